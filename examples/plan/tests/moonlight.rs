//! Windows by moonlight: held, minute by minute, to the moon's own places.
#![allow(clippy::unwrap_used)]

use jiff::civil::{Date, date};
use jiff::{SignedDuration, Timestamp};
use wrackline_plan::scenario::Scenario;
use wrackline_plan::season::{Request, season};
use wrackline_solar::{Atmosphere, View, shadow_line_angle_deg};

/// A seat far north, where the moon can be up for days and down for days, with a ridge to the
/// south.
fn scenario(latitude_deg: f64) -> Scenario {
    Scenario::parse("moonlight.toml", &text(latitude_deg)).unwrap()
}

fn text(latitude_deg: f64) -> String {
    format!(
        r#"
title = "moonlight"
zone = "UTC"
[[light]]
name = "moonlight"
altitude_deg = [-18, -4]
angle_deg = [0, 120]
moon = {{ lowest_deg = 5, lit_fraction = 0.6 }}
[[place]]
id = "p"
name = "place"
latitude_deg = {latitude_deg}
longitude_deg = 20
subjects = ["s"]
[[seat]]
id = "a"
name = "seat"
place = "p"
latitude_deg = {latitude_deg}
longitude_deg = 20
bearing_deg = 10
distance_m = 100
in_minutes = 20
out_minutes = 20
horizon_deg = [[120, 9], [160, 14], [200, 12], [240, 8]]
[[subject]]
id = "s"
name = "subject"
length_m = 0.5
stand_off_on_foot_m = 90
stand_off_from_hide_m = 50
present = "all year"
"#
    )
}

fn windows(scenario: &Scenario, from: Date, days: u32) -> Vec<std::ops::Range<Timestamp>> {
    let found = season(scenario, Request::new(from, days)).unwrap();
    let mut windows: Vec<_> = found
        .outings
        .into_iter()
        .map(|o| o.window.stretch)
        .collect();
    windows.sort_by_key(|window| window.start);
    windows
}

#[test]
fn every_minute_of_a_window_has_the_moon_that_was_wanted() {
    let mut minutes = 0;
    for latitude_deg in [-52.0, 54.0, 71.0] {
        let scenario = scenario(latitude_deg);
        let seat = &scenario.seats()[0];
        let skyline = seat.skyline.as_ref().unwrap();
        for window in windows(&scenario, date(2026, 11, 1), 90) {
            // Stretches are roots to the microsecond; the scalar places agree with the prepared
            // path within 0.003", and the lit fraction within 2e-9. A minute inside the ends leaves
            // nothing of that.
            let minute = SignedDuration::from_mins(1);
            let mut at = window.start + minute;
            while at < window.end - minute {
                let (sun, moon) = (seat.observer.sun(at), seat.observer.moon(at));
                assert!(sun.altitude_deg < -4.0, "{at}: the sun is up");
                assert!(moon.altitude_deg > 5.0, "{at}: {}", moon.altitude_deg);
                assert!(moon.lit_fraction > 0.6, "{at}: {}", moon.lit_fraction);
                let angle = shadow_line_angle_deg(View {
                    light_azimuth_deg: moon.azimuth_deg,
                    bearing_deg: seat.bearing_deg,
                });
                assert!(angle.unwrap() < 120.0, "{at}");
                let apparent = Atmosphere::STANDARD
                    .apparent_altitude_deg(moon.altitude_deg)
                    .unwrap();
                // The terrain is a polygon of its own: 0.002 degrees is what its searches keep to.
                let ridge = skyline.altitude_deg(moon.azimuth_deg).unwrap();
                assert!(apparent > ridge - 0.003, "{at}: {apparent} under {ridge}");
                minutes += 1;
                at += minute;
            }
        }
    }
    assert!(minutes > 1_000, "only {minutes} minutes were tried");
}

/// The share that is lit passes the wanted one in the middle of a night: the window is cut there,
/// whatever day the season begins on.
#[test]
fn the_day_a_season_begins_on_changes_no_window_by_moonlight() {
    let scenario = scenario(71.0);
    let whole = windows(&scenario, date(2026, 11, 1), 60);
    assert!(whole.len() > 10);
    for start in [5, 12, 20] {
        let from = date(2026, 11, start);
        let first = from
            .to_zoned_datetime(jiff::tz::TimeZone::UTC)
            .unwrap()
            .timestamp();
        let part = windows(&scenario, from, 30);
        for window in &part {
            assert!(
                whole.contains(window),
                "{window:?} stands alone from {from}"
            );
        }
        let last = first + SignedDuration::from_hours(30 * 24);
        let begins = |window: &&std::ops::Range<Timestamp>| (first..last).contains(&window.start);
        assert_eq!(whole.iter().filter(begins).count(), part.len());
    }
}

/// The side that is told is the moon's: the sun stands below the horizon on another side.
#[test]
fn the_side_of_the_light_is_the_moons() {
    let scenario = scenario(54.0);
    let found = season(&scenario, Request::new(date(2026, 11, 1), 90)).unwrap();
    assert!(!found.outings.is_empty());
    for outing in &found.outings {
        let light = outing.window.light();
        assert_eq!(Some(light), outing.window.moon.as_ref());
        for over in light {
            let moon = outing.seat.observer.moon(over.at);
            assert!((over.azimuth_deg - moon.azimuth_deg).abs() < 1e-9);
        }
    }
}

/// Cloud takes the side from the light, not the ridge from before the moon.
#[test]
fn a_ridge_hides_the_moon_under_a_cloudy_sky_too() {
    let with = |angles: &str| {
        let text = text(71.0).replace("angle_deg = [0, 120]", angles);
        assert!(text.contains(angles));
        let scenario = Scenario::parse("moonlight.toml", &text).unwrap();
        windows(&scenario, date(2026, 11, 1), 60)
    };
    assert_eq!(with("overcast = true"), with("angle_deg = [0, 180]"));
}
