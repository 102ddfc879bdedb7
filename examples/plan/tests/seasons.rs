//! The seasons of many scenarios at once are those of each.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use jiff::tz::TimeZone;
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
use wrackline_plan::season::{EVERY_SUBJECT, Request, season, seasons};

fn demo() -> Scenario {
    Scenario::parse(DEMO_NAME, DEMO).unwrap()
}

#[test]
fn many_scenarios_have_the_season_of_each() {
    // Another port.
    let higher = DEMO.replace("mean_level_m = 4.4", "mean_level_m = 4.6");
    let east = demo().in_zone(TimeZone::get("Europe/Berlin").unwrap(), "Europe/Berlin");
    let other = Scenario::parse("test.toml", &higher).unwrap();
    let scenarios = [demo(), east, other];
    for subject in [None, Some(EVERY_SUBJECT)] {
        let request = Request {
            subject,
            ..Request::new(jiff::civil::date(2026, 9, 1), 40)
        };
        let many = seasons(&scenarios, request);
        assert_eq!(many.len(), scenarios.len());
        for (scenario, found) in scenarios.iter().zip(many) {
            let alone = season(scenario, request).unwrap();
            assert!(alone.windows_in_all > 0);
            assert_eq!(format!("{:?}", found.unwrap()), format!("{alone:?}"));
        }
    }
}

/// A scenario that cannot answer stands in nobody else's way.
#[test]
fn each_scenario_has_its_own_error() {
    let place = "[[place]]\nid = \"tallow-ness\"";
    let renamed = DEMO
        .replace(place, "[[place]]\nid = \"candle-ness\"")
        .replace("place = \"tallow-ness\"", "place = \"candle-ness\"");
    let scenarios = [Scenario::parse("test.toml", &renamed).unwrap(), demo()];
    let request = Request {
        place: Some("tallow-ness"),
        ..Request::new(jiff::civil::date(2026, 9, 1), 10)
    };
    let found = seasons(&scenarios, request);
    let error = found[0].as_ref().unwrap_err().to_string();
    assert!(error.contains("tallow-ness"), "{error}");
    assert!(found[1].is_ok());
}
