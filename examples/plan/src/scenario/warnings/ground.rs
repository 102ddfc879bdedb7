//! Places and seats on the globe: the zone, and coordinates against what is said beside them.

use jiff::Timestamp;

use super::super::draft::Marks;
use super::super::seat::Access;
use super::super::whole::Scenario;

/// Hours by which a zone may differ from the sun: the widest of today's zones differ by about
/// three.
const ZONE_OFF_H: f64 = 3.0;
/// Places farther apart have neither one tide nor one zone.
const APART_KM: f64 = 500.0;
/// How far the animals may be from the point that stands for their place, and that point from where
/// it was meant: a place is no point, and coordinates are often noted to a ten-thousandth of a
/// degree.
const LOOSE_M: f64 = 50.0;
/// A seat is off when its distance by the coordinates is that many times the stated one, or the
/// stated one that of it.
const OFF_TIMES: f64 = 3.0;
/// Or when the two differ by more.
const OFF_M: f64 = 500.0;
/// Or when the bearings differ by more.
const OFF_DEG: f64 = 45.0;
/// Nobody walks faster over mud, metres a second.
const WALK_M_PER_S: f64 = 2.0;

pub(super) fn look(scenario: &Scenario, marks: &Marks<'_>) {
    zone(scenario, marks);
    apart(scenario, marks);
    seats(scenario, marks);
    ways(scenario, marks);
}

/// Distance in metres and true bearing in degrees from one point to another, both latitude and
/// longitude, on a sphere of 6371 km.
fn between(from: [f64; 2], to: [f64; 2]) -> (f64, f64) {
    let [lat_1, lon_1] = from.map(f64::to_radians);
    let [lat_2, lon_2] = to.map(f64::to_radians);
    let east = lon_2 - lon_1;
    let half = |angle: f64| (angle / 2.0).sin().powi(2);
    let chord = half(lat_2 - lat_1) + lat_1.cos() * lat_2.cos() * half(east);
    let distance_m = 2.0 * 6_371_000.0 * chord.sqrt().min(1.0).asin();
    let bearing = (east.sin() * lat_2.cos())
        .atan2(lat_1.cos() * lat_2.sin() - lat_1.sin() * lat_2.cos() * east.cos());
    (distance_m, bearing.to_degrees().rem_euclid(360.0))
}

/// The smaller way round from one angle to another on a circle.
fn apart_on(circle: f64, a: f64, b: f64) -> f64 {
    let gap = (a - b).rem_euclid(circle);
    gap.min(circle - gap)
}

fn zone(scenario: &Scenario, marks: &Marks<'_>) {
    let Some(top) = &marks.top else { return };
    if !top.has("zone") {
        top.warn(
            "zone",
            "is missing, so dates and times are taken as UTC",
            "add `zone = ...`, a name of the IANA time zone database such as \"Europe/London\", \
             or \"UTC\"",
        );
        return;
    }
    // A day of January and one of July 2027, so that daylight saving is one of the two.
    let offsets_h = [1_800_000_000, 1_815_600_000].map(|second| {
        let at = Timestamp::from_second(second).unwrap_or(Timestamp::UNIX_EPOCH);
        f64::from(scenario.zone().to_offset(at).seconds()) / 3600.0
    });
    let off = scenario.places().iter().find(|place| {
        let sun_h = place.longitude_deg / 15.0;
        let off = offsets_h.map(|offset| apart_on(24.0, offset, sun_h));
        off[0].min(off[1]) > ZONE_OFF_H
    });
    if let Some(place) = off {
        top.warn(
            "zone",
            format!(
                "{} is {:+} h from UTC, and the sun over {} is {:+.1} h",
                scenario.zone_name(),
                offsets_h[0],
                place.name,
                place.longitude_deg / 15.0
            ),
            "check the zone, and the sign of the longitude: east is positive",
        );
    }
}

fn apart(scenario: &Scenario, marks: &Marks<'_>) {
    let [first, rest @ ..] = scenario.places() else {
        return;
    };
    for (place, mark) in rest.iter().zip(marks.places.iter().skip(1)) {
        let (distance_m, _) = between(
            [first.latitude_deg, first.longitude_deg],
            [place.latitude_deg, place.longitude_deg],
        );
        if distance_m > APART_KM * 1000.0 {
            mark.warn(
                "latitude_deg",
                format!("lies {:.0} km from {}", distance_m / 1000.0, first.name),
                "check the coordinates; places so far apart belong in scenarios of their own, \
                 each with its tide",
            );
        }
    }
}

fn seats(scenario: &Scenario, marks: &Marks<'_>) {
    for (seat, mark) in scenario.seats().iter().zip(&marks.seats) {
        let place = scenario.place_of(seat);
        let (distance_m, bearing_deg) = between(
            [seat.latitude_deg, seat.longitude_deg],
            [place.latitude_deg, place.longitude_deg],
        );
        let stated_m = seat.distance_m;
        let differ_m = (distance_m - stated_m).abs();
        let times = (distance_m / stated_m).max(stated_m / distance_m.max(1.0));
        if differ_m > OFF_M || (differ_m > LOOSE_M && times > OFF_TIMES) {
            mark.warn(
                "distance_m",
                format!(
                    "{stated_m} m to the animals, and by the coordinates {distance_m:.0} m to {}",
                    place.name
                ),
                "check the coordinates of the seat and of the place, and the distance",
            );
        } else if distance_m > LOOSE_M && apart_on(360.0, bearing_deg, seat.bearing_deg) > OFF_DEG {
            mark.warn(
                "bearing_deg",
                format!(
                    "{} degrees to the animals, and by the coordinates {bearing_deg:.0} degrees \
                     to {}",
                    seat.bearing_deg, place.name
                ),
                "give the true bearing from the seat to the animals, and check the coordinates",
            );
        }
        let unsaid = match seat.access {
            None if scenario.tide().is_some() => "is missing, and the scenario has a tide",
            Some(Access::Unknown) => "is unknown",
            _ => continue,
        };
        mark.warn(
            "access",
            format!("{unsaid}, so nothing is proposed here"),
            "write `access = \"dry\"` where the tide reaches neither the seat nor the way to it, or \
             closes no part of that way; else \"leave before the flood\" or \"stay the tide\" with a \
             `way_in`",
        );
    }
}

fn ways(scenario: &Scenario, marks: &Marks<'_>) {
    for (way, mark) in scenario.ways_in.iter().zip(&marks.ways_in) {
        if let (Some(length_m), Some(minutes)) = (way.length_m, way.walk_minutes)
            && length_m > WALK_M_PER_S * 60.0 * minutes
        {
            mark.warn(
                "walk_minutes",
                format!("{minutes} min for {length_m} m is a run"),
                "check the length in metres and the minutes to walk it",
            );
        }
        if let Some(minutes) = way.walk_minutes
            && way.loaded_dark_minutes < minutes
        {
            mark.warn(
                "loaded_dark_minutes",
                format!(
                    "{} min loaded and in the dark, and {minutes} min by day",
                    way.loaded_dark_minutes
                ),
                "time the crossing with the load, at night",
            );
        }
        let along_m: f64 = way
            .path_deg
            .windows(2)
            .map(|pair| between(pair[0], pair[1]).0)
            .sum();
        if let Some(length_m) = way.length_m
            && along_m > 0.0
            && (along_m > OFF_TIMES * length_m || along_m > length_m + OFF_M)
        {
            mark.warn(
                "length_m",
                format!("{length_m} m, and its line is {along_m:.0} m long"),
                "check the length, and the points of `path_deg`: latitude first",
            );
        }
    }
}
