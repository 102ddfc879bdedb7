//! Seasons of a year: one place on one core, and a thousand places, each with a port of its own, on
//! all.

#![allow(clippy::panic)]

use criterion::{Criterion, criterion_group, criterion_main};
use jiff::civil::date;
use wrackline_plan::scenario::Scenario;
use wrackline_plan::season::{Request, season, seasons};

const PLACES: usize = 1000;

/// The constituents of an invented port with their amplitudes, centimetres.
const CONSTITUENTS: [(&str, f64); 37] = [
    ("M2", 252.0),
    ("S2", 86.0),
    ("N2", 47.0),
    ("K1", 15.0),
    ("M4", 9.0),
    ("O1", 17.0),
    ("M6", 4.0),
    ("MK3", 1.0),
    ("S4", 1.0),
    ("MN4", 4.0),
    ("NU2", 9.0),
    ("S6", 0.5),
    ("MU2", 8.0),
    ("2N2", 6.0),
    ("OO1", 0.8),
    ("LAM2", 3.0),
    ("S1", 0.6),
    ("M1", 0.9),
    ("J1", 0.9),
    ("MM", 2.0),
    ("SSA", 3.0),
    ("SA", 7.0),
    ("MSF", 1.5),
    ("MF", 1.5),
    ("RHO1", 0.8),
    ("Q1", 5.0),
    ("T2", 5.0),
    ("R2", 0.7),
    ("2Q1", 0.6),
    ("P1", 5.0),
    ("2SM2", 1.0),
    ("M3", 1.0),
    ("L2", 9.0),
    ("2MK3", 0.8),
    ("K2", 24.0),
    ("M8", 0.7),
    ("MS4", 6.0),
];

/// A place of an invented coast with its port: every second one behind a way that the tide closes
/// before the animals come and opens after they have left, the others left before the flood.
fn coast(number: usize) -> String {
    let share = number as f64 / PLACES as f64;
    let mut constituents = String::new();
    for (at, (name, centimetres)) in CONSTITUENTS.iter().enumerate() {
        let amplitude_m = centimetres / 100.0 * (0.9 + 0.2 * share);
        let lag_deg = (37.0 * at as f64 + 360.0 * share) % 360.0;
        constituents += &format!(
            "{{ name = \"{name}\", amplitude_m = {amplitude_m:.4}, phase_lag_deg = {lag_deg:.1} }},"
        );
    }
    let (latitude_deg, longitude_deg) = (48.0 + 12.0 * share, 1.0 + share);
    let bearing_deg = (number * 37) % 360;
    let (ground_m, low_point_m, access) = if number.is_multiple_of(2) {
        (9.6, 5.6, "stay the tide")
    } else {
        (8.6, 7.6, "leave before the flood")
    };
    format!(
        r#"
title = "an invented coast"
zone = "UTC"
[port]
name = "port {number}"
datum = "chart datum"
mean_level_m = 4.4
convention = "schureman-instant"
constituents = [{constituents}]
[water]
standard_deviation_m = 0.15
upper_allowance_m = 0.3
lower_allowance_m = 0.3
[[light]]
name = "low front light"
altitude_deg = [0, 12]
angle_deg = [0, 60]
[[place]]
id = "ridge"
name = "Ridge"
kind = "roost"
latitude_deg = {latitude_deg:.4}
longitude_deg = {longitude_deg:.4}
push_m = 6.4
overtop_m = 8.3
subjects = ["wader"]
[[seat]]
id = "A"
name = "Seat"
place = "ridge"
latitude_deg = {latitude_deg:.4}
longitude_deg = {longitude_deg:.4}
ground_m = {ground_m}
bearing_deg = {bearing_deg}
distance_m = 90
in_minutes = 35
out_minutes = 45
hide = false
way_in = "causeway"
access = "{access}"
horizon_deg = [[89, 0], [90, 1.0], [110, 1.8], [130, 1.8], [150, 1.2], [170, 0.5], [171, 0]]
[[way_in]]
id = "causeway"
name = "Causeway"
kind = "causeway"
low_point_m = {low_point_m}
length_m = 900
walk_minutes = 18
loaded_dark_minutes = 32
margin_m = 0.3
margin_minutes = 30
[[subject]]
id = "wader"
name = "wader"
length_m = 0.24
stand_off_on_foot_m = 85
stand_off_from_hide_m = 60
present = "all year"
[[body]]
id = "body"
sensor_mm = [36.0, 24.0]
pixels = [8000, 5333]
[[lens]]
id = "lens"
focal_length_mm = 600
f_number = 4.0
minimum_focus_m = 4.3
"#
    )
}

fn scenario(number: usize) -> Scenario {
    match Scenario::parse("coast.toml", &coast(number)) {
        Ok(scenario) => scenario,
        Err(problems) => panic!("{problems}"),
    }
}

fn year<'r>() -> Request<'r> {
    Request {
        keep: 15,
        keep_refused: false,
        ..Request::new(date(2026, 1, 1), 365)
    }
}

fn benches(criterion: &mut Criterion) {
    let scenarios: Vec<Scenario> = (0..PLACES).map(scenario).collect();
    // One by one and all at once they must come to the same.
    let at_once = seasons(&scenarios[..20], year());
    let mut windows = 0;
    for (scenario, at_once) in scenarios.iter().zip(&at_once) {
        let alone = season(scenario, year());
        let (Ok(alone), Ok(at_once)) = (alone, at_once) else {
            panic!("no season");
        };
        assert_eq!(format!("{alone:?}"), format!("{at_once:?}"));
        windows += alone.windows_in_all;
    }
    assert!(windows > 200, "{windows} windows make no season");

    let mut group = criterion.benchmark_group("season");
    for (number, name) in [(0, "stay the tide"), (1, "leave before the flood")] {
        group.bench_function(format!("a year of one place: {name}"), |bencher| {
            bencher.iter(|| season(&scenarios[number], year()));
        });
    }
    group.sample_size(10);
    group.bench_function("a year of 1000 places, a port each", |bencher| {
        bencher.iter(|| seasons(&scenarios, year()));
    });
    group.finish();
}

criterion_group!(all, benches);
criterion_main!(all);
