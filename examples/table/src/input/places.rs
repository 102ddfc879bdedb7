//! Places from records.

use std::collections::{HashMap, HashSet};

use jiff::tz::TimeZone;
use wrackline_solar::{Observer, Site};

use super::record::{Reader, Record};
use crate::spot::{Levels, NamedPort, Places, Spot};

pub(super) const COLUMNS: [&str; 10] = [
    "place",
    "seat",
    "latitude_deg",
    "longitude_deg",
    "elevation_m",
    "bearing_deg",
    "push_m",
    "overtop_m",
    "port",
    "zone",
];

/// Water levels that a place can have: more than any tide on Earth, metres.
const LEVEL: std::ops::RangeInclusive<f64> = -30.0..=30.0;

pub(super) fn gather(
    reader: &mut Reader,
    records: &[Record],
    ports: Vec<NamedPort>,
    default_port: Option<&str>,
    zone: &str,
) -> Places {
    let mut places = Places {
        ports,
        ..Places::default()
    };
    let by_name: HashMap<String, usize> = places
        .ports
        .iter()
        .enumerate()
        .map(|(index, port)| (port.name.clone(), index))
        .collect();
    let mut seen = HashSet::new();
    for record in records {
        let place = reader.text(record, "place");
        let seat = record.get("seat").map(str::to_owned);
        if !seen.insert((place.clone(), seat.clone())) {
            reader.report(
                record.line,
                "place",
                format!("\"{place}\" stands twice, with the same seat"),
                "give each row of places its own name or seat",
            );
        }
        let levels = Levels {
            push_m: reader.number(record, "push_m", LEVEL),
            overtop_m: reader.number(record, "overtop_m", LEVEL),
            expected_m: 0.0,
        };
        if let (Some(push), Some(overtop)) = (levels.push_m, levels.overtop_m)
            && push >= overtop
        {
            let what = format!("{overtop} is not above push_m, {push}");
            reader.report(record.line, "overtop_m", what, "correct one of the two");
        }
        let port = record.get("port").or(default_port).and_then(|name| {
            let found = by_name.get(name).copied();
            if found.is_none() {
                let known = places.ports.iter().map(|port| port.name.as_str());
                let remedy = wrackline_plan::words::remedy(name, known)
                    .unwrap_or_else(|| "give a file of --ports".to_owned());
                let what = format!("\"{name}\" is not a known port");
                reader.report(record.line, "port", what, remedy);
            }
            found
        });
        if port.is_none() && (levels.push_m.is_some() || levels.overtop_m.is_some()) {
            let field = if levels.push_m.is_some() {
                "push_m"
            } else {
                "overtop_m"
            };
            let what = "is given, but no port whose tide could reach it";
            reader.report(
                record.line,
                field,
                what,
                "name a port, or leave the level out",
            );
        }
        let zone_name = record.get("zone").unwrap_or(zone);
        let zone = places.zone(zone_name).unwrap_or_else(|| {
            let what = format!("\"{zone_name}\" is not a known time zone");
            let remedy = "give a name of the IANA time zone database, such as Europe/London";
            reader.report(record.line, "zone", what, remedy);
            places.add_zone("UTC", TimeZone::UTC)
        });
        let site = Site {
            latitude_deg: reader.needed_number(record, "latitude_deg", -90.0..=90.0),
            longitude_deg: reader.needed_number(record, "longitude_deg", -180.0..=360.0),
            elevation_m: reader
                .number(record, "elevation_m", -1_000.0..=100_000.0)
                .unwrap_or(0.0),
        };
        let bearing_deg = reader.number(record, "bearing_deg", 0.0..=360.0);
        match Observer::new(site) {
            Ok(observer) => places.spots.push(Spot {
                place,
                seat,
                observer,
                bearing_deg,
                levels,
                port,
                zone,
                wish: None,
            }),
            Err(error) => reader.report(record.line, "latitude_deg", error, "correct the site"),
        }
    }
    if records.is_empty() {
        reader.report(1, "", "holds no place", "give at least one");
    }
    places
}
