//! The tide of Eastport in the annual form over a year: steady lines, which C can have as they are.

use std::cell::RefCell;
use std::fmt::Write;
use std::hint::black_box;

use jiff::{SignedDuration, Timestamp};
use wrackline_tides::{Constituent, Convention, Grid, Harmonic, Port, PortSpec};

use super::Case;

const CONSTANTS: &str = include_str!("../../../tides/tests/data/constants.csv");
const MEAN_LEVEL_M: f64 = 2.958;
const SCATTERED: usize = 4096;
const SERIES: usize = 87_600;

fn harmonics() -> Vec<Harmonic> {
    let rows = CONSTANTS
        .lines()
        .filter_map(|line| line.strip_prefix("noaa/8410140,"));
    rows.map(|row| {
        let cells: Vec<&str> = row.split(',').collect();
        Harmonic {
            name: cells[0].into(),
            amplitude_m: cells[1].parse().unwrap(),
            phase_lag_deg: cells[2].parse().unwrap(),
        }
    })
    .collect()
}

/// Hands the programs' input and our cases on.
pub(crate) fn tides(measure: impl FnOnce(&str, &mut [Case<'_>])) {
    let start: Timestamp = "2026-01-01T00:00:00Z".parse().unwrap();
    let year = start.."2027-01-01T00:00:00Z".parse().unwrap();
    let harmonics = harmonics();
    let convention = Convention::SchuremanAnnual;
    let port = Port::new(PortSpec {
        mean_level_m: MEAN_LEVEL_M,
        harmonics: &harmonics,
        convention,
    })
    .unwrap();
    let predictor = port.predictor(year.clone()).unwrap();
    let instants: Vec<Timestamp> = (0..SCATTERED as i64)
        .map(|k| start + SignedDuration::from_secs((k * 7_919 * 977) % 31_536_000))
        .collect();
    let grid = Grid::new(start, SignedDuration::from_mins(6), SERIES).unwrap();

    let mut input = format!("{} {MEAN_LEVEL_M:e}\n", harmonics.len());
    for harmonic in &harmonics {
        let constituent = Constituent::named(&harmonic.name).unwrap();
        let argument = convention.argument(&constituent, start);
        let phase_deg = argument.v_plus_u_deg() - harmonic.phase_lag_deg;
        let speed = constituent.annual_speed_deg_per_h() / 360.0;
        let amplitude_m = harmonic.amplitude_m * argument.f;
        writeln!(input, "{amplitude_m:e} {speed:e} {:e}", phase_deg / 360.0).unwrap();
    }
    writeln!(input, "{SCATTERED}").unwrap();
    let hours = |at: Timestamp| at.duration_since(start).as_secs_f64() / 3600.0;
    for at in &instants {
        writeln!(input, "{:e}", hours(*at)).unwrap();
    }
    writeln!(input, "0.1 {SERIES}").unwrap();

    let filled = RefCell::new(vec![0.0; SERIES]);
    let scattered = || {
        let heights = &mut filled.borrow_mut()[..SCATTERED];
        predictor
            .fill_heights_at(black_box(&instants), heights)
            .unwrap();
    };
    let series = || {
        predictor
            .fill_heights(black_box(&grid), &mut filled.borrow_mut())
            .unwrap();
    };
    // A predictor keeps the turns that it has found, so each is new: a microsecond of half a
    // millisecond.
    let turns = || {
        black_box(port.predictor(year.clone()).unwrap().turns());
    };
    let sum = |count: usize| filled.borrow()[..count].iter().sum::<f64>();
    scattered();
    let of_scattered = sum(SCATTERED);
    series();
    let of_series = sum(SERIES);
    let found = predictor.turns();
    let of_turns: f64 = found.iter().map(|turn| hours(turn.at)).sum();
    // A micrometre each, and a hundredth of a second for each turn.
    let mut cases = [
        Case {
            name: "scattered",
            work: Box::new(scattered),
            rounds: 200,
            elements: SCATTERED as f64,
            checksum: of_scattered,
            tolerance: 1e-6 * SCATTERED as f64,
        },
        Case {
            name: "series",
            work: Box::new(series),
            rounds: 50,
            elements: SERIES as f64,
            checksum: of_series,
            tolerance: 1e-6 * SERIES as f64,
        },
        Case {
            name: "turns",
            work: Box::new(turns),
            rounds: 50,
            elements: 1.0,
            checksum: of_turns,
            tolerance: 0.01 / 3600.0 * found.len() as f64,
        },
    ];
    measure(&input, &mut cases);
}
