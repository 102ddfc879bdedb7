//! Zones, coordinates, terrain and ways.

use wrackline_plan::scenario::{DEMO, Scenario};

use super::{demo_with, once, only, warnings};

#[test]
fn a_zone_that_the_sun_does_not_keep() {
    once(
        "zone = \"UTC\"",
        "zone = \"Asia/Tokyo\"",
        "zone",
        "+9 h from UTC",
    );
    // The other side of the date line: 13 h ahead of UTC and 11.7 h behind it are near.
    let far: String = DEMO
        .lines()
        .map(|line| match line.strip_prefix("longitude_deg = ") {
            Some(east) => format!("longitude_deg = {}\n", east.parse::<f64>().unwrap() - 177.0),
            None => format!("{line}\n"),
        })
        .collect();
    let tonga = far.replacen("zone = \"UTC\"", "zone = \"Pacific/Tongatapu\"", 1);
    assert_eq!(warnings(&tonga), []);
    assert_eq!(warnings(&far).len(), 1);
    let text = demo_with(&[("zone = \"UTC\"\n", "")]);
    let found = warnings(&text);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].what.contains("taken as UTC"));
}

#[test]
fn places_far_apart() {
    let text = demo_with(&[
        ("latitude_deg = 53.3791", "latitude_deg = 48.3791"),
        ("latitude_deg = 53.379\n", "latitude_deg = 48.379\n"),
    ]);
    only(
        &text,
        "latitude_deg = 48.3791",
        "latitude_deg",
        "558 km from Tallow Ness",
    );
}

#[test]
fn seats_against_their_places() {
    let (old, new) = ("latitude_deg = 53.4012", "latitude_deg = 53.4112");
    let off = only(
        &demo_with(&[(old, new)]),
        "distance_m = 85",
        "seat \"A\" > distance_m",
        "by the coordinates 1071 m",
    );
    assert!(off.remedy.contains("coordinates"));
    // Two hundred metres too far, and ten times what the coordinates say.
    once(
        "distance_m = 16",
        "distance_m = 216",
        "distance_m",
        "by the coordinates",
    );
    once(
        "bearing_deg = 292",
        "bearing_deg = 112",
        "bearing_deg",
        "by the coordinates",
    );
    // Seat F is a dozen metres from its place: coordinates to ten metres say nothing of its
    // bearing.
    let near = demo_with(&[("bearing_deg = 350", "bearing_deg = 170")]);
    assert_eq!(warnings(&near), []);
}

#[test]
fn terrain_with_a_gap_in_it() {
    let (old, new) = ("[170, 0.5], [171, 0]]", "[170, 0.5]]");
    only(
        &demo_with(&[(old, new)]),
        "horizon_deg = [[89",
        "horizon_deg",
        "from 170 to 89 degrees",
    );
}

#[test]
fn ways_that_cannot_be_walked_as_told() {
    only(
        &demo_with(&[("length_m = 900", "length_m = 9000")]),
        "walk_minutes = 18",
        "walk_minutes",
        "a run",
    );
    once(
        "loaded_dark_minutes = 32",
        "loaded_dark_minutes = 12",
        "loaded_dark_minutes",
        "18 min by day",
    );
    once("length_m = 900", "length_m = 90", "length_m", "its line is");
}

/// What is told of a seat and why nothing is proposed there, in a winter that has windows at it.
fn refused(text: &str, seat: &str) {
    use wrackline_plan::season::{EVERY_SUBJECT, Request, season};
    use wrackline_plan::windows::Condition;
    let found = warnings(text);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].field, format!("seat \"{seat}\" > access"));
    let scenario = Scenario::parse("test.toml", text).unwrap();
    let request = Request {
        subject: Some(EVERY_SUBJECT),
        ..Request::new(jiff::civil::date(2026, 11, 25), 96)
    };
    let season = season(&scenario, request).unwrap();
    assert!(season.outings.iter().all(|outing| outing.seat.id != seat));
    let report = season
        .seats
        .iter()
        .find(|report| report.seat.id == seat)
        .unwrap();
    let never = &report.never[0];
    assert_eq!(never.condition, Condition::Unknown);
    assert!(never.reason.contains("`access`"), "{}", never.reason);
}

#[test]
fn where_nobody_said_how_a_seat_stands_to_the_tide_nothing_is_proposed() {
    // Beside a way in, on a shore of known ground, and where nothing at all was said of the water.
    refused(&demo_with(&[("access = \"stay the tide\"\n", "")]), "B");
    for (seat, after) in [
        ("A", "cover = \"bank"),
        ("E", "cover = \"vehicle"),
        ("F", "permission = \"owner"),
    ] {
        let [said, unknown] =
            ["dry", "unknown"].map(|word| format!("access = \"{word}\"\n{after}"));
        refused(&demo_with(&[(&said, after)]), seat);
        refused(&demo_with(&[(&said, &unknown)]), seat);
    }
    // Written out, "dry" is an answer.
    let dry = demo_with(&[("access = \"stay the tide\"", "access = \"dry\"")]);
    assert_eq!(warnings(&dry), []);
}
