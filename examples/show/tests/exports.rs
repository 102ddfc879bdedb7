//! Calendar and maps of a season, read back by parsers that know nothing of us.
#![allow(clippy::unwrap_used, clippy::panic)]

mod support;

use ical::parser::ical::component::IcalEvent;
use jiff::Timestamp;
use jiff::civil::date;
use proptest::prelude::*;
use support::{demo, demo_with};
use wrackline_plan::coarse::Grid;
use wrackline_plan::scenario::Scenario;
use wrackline_plan::season::{EVERY_SUBJECT, Request, Season, season};
use wrackline_plan::time::shifted;
use wrackline_show::calendar::{ALARM_MINUTES, calendar};
use wrackline_show::maps::{self, Positions, position};
use wrackline_show::report::{Order, arrange};

fn january(scenario: &Scenario) -> Season<'_> {
    the_best(scenario, usize::MAX)
}

/// So many windows of January.
fn the_best(scenario: &Scenario, keep: usize) -> Season<'_> {
    let request = Request {
        subject: Some(EVERY_SUBJECT),
        ..Request::new(date(2027, 1, 1), 31)
    };
    let mut season = season(scenario, request).unwrap();
    arrange(&mut season, keep, false, Order::Rank);
    season
}

fn events(text: &str) -> Vec<IcalEvent> {
    let mut calendars: Vec<_> = ical::IcalParser::new(text.as_bytes())
        .map(Result::unwrap)
        .collect();
    assert_eq!(calendars.len(), 1);
    calendars.remove(0).events
}

fn value(event: &IcalEvent, name: &str) -> String {
    let found: Vec<_> = event
        .properties
        .iter()
        .filter(|property| property.name == name)
        .collect();
    assert_eq!(found.len(), 1, "{name}");
    found[0].value.clone().unwrap()
}

/// An instant of RFC 5545, which must be UTC.
fn instant(text: &str) -> Timestamp {
    let utc = text.strip_suffix('Z').unwrap();
    let local = jiff::civil::DateTime::strptime("%Y%m%dT%H%M%S", utc).unwrap();
    local
        .to_zoned_datetime(jiff::tz::TimeZone::UTC)
        .unwrap()
        .timestamp()
}

#[test]
fn a_calendar_has_an_event_for_each_window() {
    let scenario = demo();
    let count = 12;
    let season = the_best(&scenario, count);
    let text = calendar(&season, ALARM_MINUTES);
    let events = events(&text);
    assert_eq!(events.len(), count);
    for (event, outing) in events.iter().zip(&season.outings) {
        let times = &outing.window.timetable;
        assert_eq!(
            instant(&value(event, "DTSTART")).as_second(),
            times.set_out.as_second()
        );
        assert!(instant(&value(event, "DTEND")) > instant(&value(event, "DTSTART")));
        assert!(!value(event, "DTSTAMP").is_empty());
        assert_eq!(value(event, "CLASS"), "PRIVATE");
        assert!(value(event, "SUMMARY").contains(&outing.subject.name));
        // No position at all, so nothing that could give a place away.
        assert!(!event.properties.iter().any(|p| p.name == "GEO"));
    }
    let mut uids: Vec<_> = events.iter().map(|event| value(event, "UID")).collect();
    uids.sort();
    uids.dedup();
    assert_eq!(uids.len(), count);
}

#[test]
fn alarms_ring_before_setting_out_and_when_the_water_asks_for_it() {
    // A seat that is left before the flood, with animals that come up early and a way that is lost late.
    let scenario = demo_with(&[
        ("low_point_m = 7.45", "low_point_m = 8.0"),
        ("level_m = 6.95", "level_m = 7.6"),
        ("loaded_dark_minutes = 25", "loaded_dark_minutes = 5"),
        ("margin_minutes = 40", "margin_minutes = 10"),
        ("push_m = 7.2", "push_m = 3.5"),
        ("altitude_deg = [0, 12]", "altitude_deg = [-12, 60]"),
        ("angle_deg = [0, 45]", "angle_deg = [0, 180]"),
    ]);
    let season = january(&scenario);
    let events = events(&calendar(&season, ALARM_MINUTES));
    let (mut latest, mut crossings, mut none, mut homes) = (0, 0, 0, 0);
    for (event, outing) in events.iter().zip(&season.outings) {
        let times = &outing.window.timetable;
        let expected = match (times.latest_departure, times.way) {
            (Some(at), _) => {
                latest += 1;
                Some(at)
            }
            (None, Some(way)) => {
                crossings += 1;
                Some(way.cross_by)
            }
            (None, None) => {
                none += 1;
                None
            }
        };
        // Before leaving home, where it is known how far that is, for every outing.
        let home = scenario.place_of(outing.seat).from_home_minutes;
        let ready = shifted(times.set_out, -home.unwrap_or(0.0) - ALARM_MINUTES);
        homes += usize::from(home.is_some());
        assert_eq!(event.alarms.len(), 1 + usize::from(expected.is_some()));
        for (alarm, at) in event
            .alarms
            .iter()
            .zip([Some(ready), expected].into_iter().flatten())
        {
            let alarm = &alarm.properties;
            let trigger = alarm.iter().find(|p| p.name == "TRIGGER").unwrap();
            assert!(!alarm.iter().any(|p| p.name == "DTSTAMP"));
            let kind = trigger
                .params
                .iter()
                .flatten()
                .find(|(name, _)| name == "VALUE")
                .unwrap();
            assert_eq!(kind.1, ["DATE-TIME"]);
            // Never later than the instant, and less than a second before it.
            let rings = instant(trigger.value.as_ref().unwrap());
            assert!(rings <= at && at.duration_since(rings).as_secs() == 0);
            assert!(
                alarm
                    .iter()
                    .any(|p| p.name == "ACTION" && p.value.as_deref() == Some("DISPLAY"))
            );
        }
    }
    assert!(homes > 0 && homes < events.len());
    assert!(
        latest > 0 && crossings > 0 && none > 0,
        "{latest} {crossings} {none}"
    );
}

#[test]
fn a_calendar_is_folded_at_75_octets_with_crlf() {
    let scenario = demo_with(&[(
        "name = \"Wall Seat\"",
        "name = \"Wall Seat, behind the long wäll; with the bank\\\\on the left and a név that goes on\"",
    )]);
    let text = calendar(&january(&scenario), ALARM_MINUTES);
    assert!(text.starts_with("BEGIN:VCALENDAR\r\n") && text.ends_with("END:VCALENDAR\r\n"));
    for line in text.split("\r\n") {
        assert!(line.len() <= 75, "{} octets: {line}", line.len());
        assert!(!line.contains('\n') && !line.contains('\r'));
    }
    let location = events(&text)
        .iter()
        .map(|event| value(event, "LOCATION"))
        .find(|location| location.contains("wäll"))
        .unwrap();
    // Commas, semicolons and backslashes of text are escaped (RFC 5545, 3.3.11).
    assert!(
        location
            .contains("Tallow Ness\\, Wall Seat\\, behind the long wäll\\; with the bank\\\\on"),
        "{location}"
    );
}

#[test]
fn a_calendar_has_no_outing_to_a_seat_of_unknown_ground() {
    let demo = demo();
    let known = january(&demo);
    assert!(known.outings.iter().any(|outing| outing.seat.id == "A"));
    let scenario = demo_with(&[("ground_m = 9.1\n", "")]);
    let season = january(&scenario);
    assert!(!calendar(&season, ALARM_MINUTES).contains("seat A"));
}

#[test]
fn the_same_season_gives_the_same_calendar_and_maps() {
    let scenario = demo();
    let (a, b) = (january(&scenario), january(&scenario));
    assert_eq!(calendar(&a, ALARM_MINUTES), calendar(&b, ALARM_MINUTES));
    let map = |season| maps::gpx(season, Positions::Coarse).unwrap();
    assert_eq!(map(&a), map(&b));
}

#[test]
fn snapshots_of_a_calendar_and_of_maps() {
    let scenario = demo();
    let season = the_best(&scenario, 2);
    let two = calendar(&season, ALARM_MINUTES);
    insta::assert_snapshot!("calendar", two.replace("\r\n", "\n"));
    insta::assert_snapshot!(
        "geojson",
        maps::geojson(&season, Positions::Coarse).unwrap()
    );
    insta::assert_snapshot!("gpx", maps::gpx(&season, Positions::Exact).unwrap());
}

fn features(positions: Positions) -> Vec<geojson::Feature> {
    let scenario = demo();
    let text = maps::geojson(&january(&scenario), positions).unwrap();
    match text.parse().unwrap() {
        geojson::GeoJson::FeatureCollection(collection) => collection.features,
        other => panic!("{other:?}"),
    }
}

/// Longitude and latitude of the point of a feature.
fn point(feature: &geojson::Feature) -> Option<(f64, f64)> {
    match &feature.geometry.as_ref()?.value {
        geojson::GeometryValue::Point { coordinates } => Some((coordinates[0], coordinates[1])),
        _ => None,
    }
}

fn text<'f>(feature: &'f geojson::Feature, name: &str) -> Option<&'f str> {
    feature.property(name).and_then(|value| value.as_str())
}

#[test]
fn a_map_has_places_seats_and_ways_with_longitude_first() {
    let features = features(Positions::Exact);
    let named = |id: &str| features.iter().find(|f| text(f, "id") == Some(id)).unwrap();
    assert_eq!(point(named("tallow-ness")), Some((1.202, 53.4016)));
    assert_eq!(point(named("B")), Some((1.2022, 53.4003)));
    let way = named("hurdle-hard");
    match &way.geometry.as_ref().unwrap().value {
        geojson::GeometryValue::LineString { coordinates } => {
            assert!(coordinates.len() >= 2);
            assert_eq!(coordinates.last().unwrap().as_slice(), [1.2022, 53.4003]);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn sensitive_places_are_coarsened_with_everything_that_would_give_them_away() {
    let coarse = features(Positions::Coarse);
    let ids: Vec<_> = coarse.iter().filter_map(|f| text(f, "id")).collect();
    assert!(
        !ids.contains(&"hurdle-hard"),
        "the line of the way leads to the place"
    );
    let mut hidden = 0;
    for feature in &coarse {
        let place = text(feature, "place").or(text(feature, "id")).unwrap();
        if place == "tallow-ness" {
            hidden += 1;
            // The place and its seats, all in the middle of one cell.
            assert_eq!(point(feature), Some((1.25, 53.45)));
            assert!(
                feature
                    .property("coordinate_uncertainty_m")
                    .unwrap()
                    .as_f64()
                    .unwrap()
                    > 6000.0
            );
        } else {
            assert!(feature.property("coordinate_uncertainty_m").is_none());
        }
    }
    assert_eq!(hidden, 3);
    let scenario = demo();
    let season = january(&scenario);
    let gpx = maps::gpx(&season, Positions::Coarse).unwrap();
    let geojson = maps::geojson(&season, Positions::Coarse).unwrap();
    for exact in ["53.4016", "1.202", "53.4012", "1.2034", "53.4003", "1.2022"] {
        assert!(
            !gpx.contains(&format!("\"{exact}\"")) && !geojson.contains(exact),
            "{exact}"
        );
    }
}

#[test]
fn a_gpx_document_is_read_back() {
    let scenario = demo();
    let season = january(&scenario);
    let text = maps::gpx(&season, Positions::Exact).unwrap();
    assert!(text.contains("http://www.topografix.com/GPX/1/1"));
    let read = gpx::read(text.as_bytes()).unwrap();
    assert_eq!(read.version, gpx::GpxVersion::Gpx11);
    let seat = read
        .waypoints
        .iter()
        .find(|w| w.name.as_deref() == Some("B Spit End hide"))
        .unwrap();
    assert_eq!((seat.point().x(), seat.point().y()), (1.2022, 53.4003));
    let names: Vec<_> = read
        .routes
        .iter()
        .filter_map(|r| r.name.as_deref())
        .collect();
    assert_eq!(names, ["Hurdle Hard in", "Hurdle Hard out"]);
    let ends = |route: &gpx::Route| {
        (
            route.points[0].point(),
            route.points.last().unwrap().point(),
        )
    };
    let ((start, end), (back_start, back_end)) = (ends(&read.routes[0]), ends(&read.routes[1]));
    assert_eq!((start, end), (back_end, back_start));

    // And by a parser of plain XML that knows nothing of maps: the order of elements is that of the schema.
    let mut reader = quick_xml::Reader::from_str(&text);
    let mut order = Vec::new();
    let mut depth = 0;
    loop {
        match reader.read_event().unwrap() {
            quick_xml::events::Event::Eof => break,
            quick_xml::events::Event::Start(tag) => {
                if depth == 1 {
                    order.push(tag.name().as_ref().to_owned());
                }
                depth += 1;
            }
            quick_xml::events::Event::End(_) => depth -= 1,
            _ => {}
        }
    }
    order.dedup();
    assert_eq!(order, ["metadata", "wpt", "rte"]);
}

proptest! {
    #[test]
    fn a_coarse_position_holds_the_true_one_within_its_uncertainty(
        latitude in -90.0..=90.0f64,
        longitude in -180.0..=180.0f64,
    ) {
        let half_cell = Grid::TENTHS.side_deg() / 2.0;
        let coarse = position(latitude, longitude, true);
        prop_assert!((coarse.latitude_deg - latitude).abs() <= half_cell + 1e-9);
        prop_assert!((coarse.longitude_deg - longitude).abs() <= half_cell + 1e-9);
        prop_assert!(coarse.latitude_deg.abs() <= 90.0 && coarse.longitude_deg.abs() <= 180.0);
        // Great circle on a sphere of 6371 km.
        let (a, b) = (latitude.to_radians(), coarse.latitude_deg.to_radians());
        let half = |x: f64| (x / 2.0).sin().powi(2);
        let chord = half(b - a)
            + a.cos() * b.cos() * half((coarse.longitude_deg - longitude).to_radians());
        let metres = 2.0 * 6_371_000.0 * chord.sqrt().asin();
        prop_assert!(metres <= coarse.uncertainty_m.unwrap(), "{metres} {coarse:?}");
        // The same for everything in the cell: nothing can be averaged out of many.
        let again = position(coarse.latitude_deg, coarse.longitude_deg, true);
        prop_assert_eq!(again, coarse);
    }
}
