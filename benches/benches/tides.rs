//! The tide: ours beside a plain sum of cosines and a plain search by steps, on the same constants
//! in the same run.
//!
//! Constants: Eastport, US NOAA station 8410140, 37 constituents. No harmonic tide library was
//! found on crates.io to stand beside; the figures of UTide (Python) come from `tides_utide.py`.

#![allow(clippy::unwrap_used)]

use std::f64::consts::TAU;
use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use jiff::{SignedDuration, Timestamp};
use wrackline_tides::{
    Analysis, AnalysisSpec, Constituent, Convention, Grid, Harmonic, HeightTable, Port, PortSpec,
    Predictor, Reading,
};

const CONSTANTS: &str = include_str!("../../tides/tests/data/constants.csv");

fn instant(text: &str) -> Timestamp {
    text.parse().unwrap()
}

fn year() -> std::ops::Range<Timestamp> {
    instant("2026-01-01T00:00:00Z")..instant("2027-01-01T00:00:00Z")
}

fn harmonics(station: &str) -> Vec<Harmonic> {
    CONSTANTS
        .lines()
        .filter_map(|line| line.strip_prefix(station)?.strip_prefix(','))
        .map(|rest| {
            let cells: Vec<&str> = rest.split(',').collect();
            Harmonic {
                name: cells[0].into(),
                amplitude_m: cells[1].parse().unwrap(),
                phase_lag_deg: cells[2].parse().unwrap(),
            }
        })
        .collect()
}

fn port(convention: Convention) -> Port {
    let harmonics = harmonics("noaa/8410140");
    Port::new(PortSpec {
        mean_level_m: 2.958,
        harmonics: &harmonics,
        convention,
    })
    .unwrap()
}

/// The straight way: the annual form written out, one library cosine for each constituent.
struct Plain {
    start: Timestamp,
    lines: Vec<(f64, f64, f64)>,
}

impl Plain {
    fn new() -> Self {
        let start = year().start;
        let lines = harmonics("noaa/8410140")
            .iter()
            .map(|harmonic| {
                let constituent = Constituent::named(&harmonic.name).unwrap();
                let argument = Convention::SchuremanAnnual.argument(&constituent, start);
                let phase = argument.v_plus_u_deg() - harmonic.phase_lag_deg;
                let speed = constituent.annual_speed_deg_per_h();
                (
                    harmonic.amplitude_m * argument.f,
                    speed / 360.0 * TAU,
                    phase / 360.0 * TAU,
                )
            })
            .collect();
        Self { start, lines }
    }

    fn hours(&self, at: Timestamp) -> f64 {
        at.duration_since(self.start).as_secs_f64() / 3600.0
    }

    fn height_m(&self, hours: f64) -> f64 {
        self.lines.iter().fold(2.958, |sum, (a, speed, phase)| {
            sum + a * (speed * hours + phase).cos()
        })
    }

    /// A look every six minutes, then thirty halvings: misses pairs that fall between two looks.
    fn turns_h(&self) -> Vec<f64> {
        let slope = |hours: f64| {
            self.lines.iter().fold(0.0, |sum, (a, speed, phase)| {
                sum - a * speed * (speed * hours + phase).sin()
            })
        };
        let mut turns = Vec::new();
        let mut before = slope(0.0);
        for step in 1..=87_600 {
            let at = f64::from(step) * 0.1;
            let now = slope(at);
            if (now > 0.0) != (before > 0.0) {
                let (mut low, mut high) = (at - 0.1, at);
                for _ in 0..30 {
                    let middle = 0.5 * (low + high);
                    if (slope(middle) > 0.0) == (before > 0.0) {
                        low = middle
                    } else {
                        high = middle
                    }
                }
                turns.push(0.5 * (low + high));
            }
            before = now;
        }
        turns
    }
}

/// Instants all over the year, in no order.
fn scattered() -> Vec<Timestamp> {
    let start = year().start;
    (0..4096_i64)
        .map(|k| start + SignedDuration::from_secs((k * 7_919 * 977) % 31_536_000))
        .collect()
}

fn heights(c: &mut Criterion) {
    let plain = Plain::new();
    let instants = scattered();
    let annual = port(Convention::SchuremanAnnual).predictor(year()).unwrap();
    let each = port(Convention::IhoInstant).predictor(year()).unwrap();
    for at in &instants {
        let theirs = plain.height_m(plain.hours(*at));
        assert!((annual.height_m(*at).unwrap() - theirs).abs() < 1e-6);
    }
    let mut heights = vec![0.0; instants.len()];
    let mut group = c.benchmark_group("tides, 4096 heights at scattered instants");
    group.bench_function("ours, annual", |b| {
        b.iter(|| annual.fill_heights_at(black_box(&instants), &mut heights))
    });
    group.bench_function("ours, factors of the instant", |b| {
        b.iter(|| each.fill_heights_at(black_box(&instants), &mut heights));
    });
    group.bench_function("plain sum of cosines", |b| {
        b.iter(|| {
            for (height, at) in heights.iter_mut().zip(black_box(&instants)) {
                *height = plain.height_m(plain.hours(*at));
            }
        });
    });
    group.finish();

    let table = HeightTable::of(&each);
    group_of_tables(c, &each, &table, &instants);

    let series = Grid::new(year().start, SignedDuration::from_mins(6), 87_600).unwrap();
    let hourly = Grid::new(year().start, SignedDuration::from_hours(1), 8_760).unwrap();
    let mut heights = vec![0.0; 87_600];
    annual.fill_heights(&series, &mut heights).unwrap();
    for (index, height) in heights.iter().enumerate().step_by(97) {
        assert!((height - plain.height_m(index as f64 * 0.1)).abs() < 1e-6);
    }
    let mut group = c.benchmark_group("tides, 87600 heights every six minutes");
    group.sample_size(20);
    group.bench_function("ours, annual", |b| {
        b.iter(|| annual.fill_heights(black_box(&series), &mut heights))
    });
    group.bench_function("ours, factors of the instant", |b| {
        b.iter(|| each.fill_heights(black_box(&series), &mut heights));
    });
    group.bench_function("ours, rates", |b| {
        b.iter(|| annual.fill_rates(black_box(&series), &mut heights))
    });
    group.bench_function("ours, 8760 every hour, factors of the instant", |b| {
        b.iter(|| each.fill_heights(black_box(&hourly), &mut heights[..8_760]));
    });
    group.bench_function("plain sum of cosines", |b| {
        b.iter(|| {
            for (index, height) in heights.iter_mut().enumerate() {
                *height = plain.height_m(index as f64 * 0.1);
            }
            black_box(heights.last().copied())
        });
    });
    group.finish();
}

/// The same instants from a table of heights, and what the table costs.
fn group_of_tables(
    c: &mut Criterion,
    each: &Predictor,
    table: &HeightTable,
    instants: &[Timestamp],
) {
    for at in instants {
        let apart = table.height_m(*at).unwrap() - each.height_m(*at).unwrap();
        assert!(apart.abs() < 1e-6);
    }
    let mut heights = vec![0.0; instants.len()];
    let mut group = c.benchmark_group("tides, a table of a year");
    group.bench_function("4096 heights at scattered instants", |b| {
        b.iter(|| table.fill_heights_at(black_box(instants), &mut heights))
    });
    group.bench_function("building it", |b| {
        b.iter(|| HeightTable::of(black_box(each)))
    });
    group.finish();
}

fn turns(c: &mut Criterion) {
    let plain = Plain::new();
    let annual = port(Convention::SchuremanAnnual).predictor(year()).unwrap();
    let each = port(Convention::IhoInstant).predictor(year()).unwrap();
    let ours = annual.turns();
    let theirs = plain.turns_h();
    assert_eq!(ours.len(), theirs.len());
    for (turn, hours) in ours.iter().zip(&theirs) {
        assert!((plain.hours(turn.at) - hours).abs() * 3600.0 < 0.1);
    }
    let mut group = c.benchmark_group("tides, all turns of a year");
    group.sample_size(20);
    group.bench_function("ours, annual, certified", |b| {
        b.iter(|| black_box(&annual).turns())
    });
    group.bench_function("ours, factors of the instant, certified", |b| {
        b.iter(|| black_box(&each).turns())
    });
    group.bench_function("plain search every six minutes", |b| {
        b.iter(|| black_box(&plain).turns_h())
    });
    group.bench_function("ours, preparing the year, factors of the instant", |b| {
        let port = port(Convention::IhoInstant);
        b.iter(|| black_box(&port).predictor(year()));
    });
    group.finish();
}

/// A year of hours with 60 constituents: what the record of a gauge asks for.
fn analysis(c: &mut Criterion) {
    let predictor: Predictor = port(Convention::SchuremanInstant)
        .predictor(year())
        .unwrap();
    let readings: Vec<Reading> = (0..8760)
        .map(|hour| {
            let at = year().start + SignedDuration::from_hours(hour);
            // A ripple of no tidal speed stands for the weather.
            let ripple = 0.05 * (0.7 * hour as f64).sin() + 0.04 * (0.013 * hour as f64).cos();
            Reading {
                at,
                height_m: predictor.height_m(at).unwrap() + ripple,
            }
        })
        .collect();
    let mut spec = AnalysisSpec::new(Convention::SchuremanInstant);
    let all = Analysis::of(&readings, &spec).unwrap();
    // The sixty greatest.
    let mut found = all.harmonics;
    found.sort_by(|a, b| b.amplitude_m.total_cmp(&a.amplitude_m));
    let names: Vec<String> = found
        .iter()
        .take(60)
        .map(|fitted| fitted.name.clone())
        .collect();
    assert_eq!(names.len(), 60);
    spec.selection = wrackline_tides::Selection::Named(names);
    let m2 = Analysis::of(&readings, &spec).unwrap();
    let m2 = m2
        .harmonics
        .iter()
        .find(|fitted| fitted.name == "M2")
        .unwrap()
        .amplitude_m;
    assert!((m2 - 2.648).abs() < 0.005, "{m2}");
    let mut group =
        c.benchmark_group("tides, analysis of a year of hours, 60 constituents with errors");
    group.sample_size(10);
    group.bench_function("ours", |b| {
        b.iter(|| Analysis::of(black_box(&readings), &spec))
    });
    group.finish();
}

criterion_group!(benches, heights, turns, analysis);
criterion_main!(benches);
