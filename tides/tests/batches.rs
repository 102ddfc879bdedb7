//! Batches against one instant at a time: grids, rates, given instants, tables.
#![allow(clippy::unwrap_used)]

use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;
use wrackline_tides::{
    Convention, Error, Grid, Harmonic, HeightTable, Latitude, Port, PortSpec, Predictor, Reduction,
};

const NAMES: [&str; 21] = [
    "M2", "S2", "N2", "K2", "O1", "K1", "P1", "Q1", "L2", "NU2", "MU2", "M4", "MS4", "MN4", "M6",
    "SA", "MF", "2MK5", "M3", "J1", "M8",
];

fn conventions() -> impl Strategy<Value = Convention> {
    prop::sample::select(vec![
        Convention::SchuremanAnnual,
        Convention::SchuremanInstant,
        Convention::IhoInstant,
        Convention::Rijkswaterstaat,
        Convention::ForemanInstant(Latitude::new(51.5).unwrap()),
    ])
}

fn ports() -> impl Strategy<Value = Port> {
    let lines = prop::collection::vec((0.0..1.0_f64, 0.0..360.0_f64), NAMES.len());
    (lines, conventions()).prop_map(|(lines, convention)| {
        let harmonics: Vec<Harmonic> = NAMES
            .iter()
            .zip(lines)
            .map(|(name, (amplitude, phase_lag_deg))| Harmonic {
                name: (*name).into(),
                amplitude_m: 2.0 * amplitude.powi(3),
                phase_lag_deg,
            })
            .collect();
        let port = Port::new(PortSpec {
            mean_level_m: 3.0,
            harmonics: &harmonics,
            convention,
        });
        // A factor that passes through nothing, and one that is turned about.
        let reduction = |name: &str, share| Reduction {
            name: name.into(),
            of: "O1".into(),
            share,
        };
        let reductions = [reduction("K2", -2.0), reduction("MU2", 2.0)];
        port.unwrap().with_reductions(&reductions).unwrap()
    })
}

/// Four months about a New Year.
fn predictor(port: &Port) -> Predictor {
    let span = "2026-11-01T00:00:00Z".parse().unwrap().."2027-03-01T00:00:00Z".parse().unwrap();
    port.predictor(span).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_grid_agrees_with_single_instants(
        port in ports(),
        offset_s in 0..80 * 86_400_i64,
        step_s in prop::sample::select(vec![1_i64, 7, 60, 360, 900, 3_600, 5_000, 86_400]),
        len in 1..1500_usize,
    ) {
        let predictor = predictor(&port);
        let span = predictor.span();
        let start = span.start + SignedDuration::from_secs(offset_s);
        let room = (span.end.as_second() - start.as_second()) / step_s;
        let len = len.min(room as usize + 1);
        let grid = Grid::new(start, SignedDuration::from_secs(step_s), len).unwrap();
        let (mut heights, mut rates) = (vec![0.0; len], vec![0.0; len]);
        predictor.fill_heights(&grid, &mut heights).unwrap();
        predictor.fill_rates(&grid, &mut rates).unwrap();
        for ((at, height), rate) in grid.instants().zip(&heights).zip(&rates) {
            prop_assert!((height - predictor.height_m(at).unwrap()).abs() < 1e-6, "{at} {height}");
            prop_assert!((rate - predictor.rate_m_per_h(at).unwrap()).abs() < 1e-6, "{at} {rate}");
        }
        let instants: Vec<Timestamp> = grid.instants().collect();
        let mut again = vec![0.0; len];
        predictor.fill_heights_at(&instants, &mut again).unwrap();
        for (at, height) in instants.iter().zip(&again) {
            prop_assert_eq!(*height, predictor.height_m(*at).unwrap());
        }
        predictor.fill_heights_and_rates_at(&instants, &mut heights, &mut rates).unwrap();
        for ((at, height), rate) in instants.iter().zip(&heights).zip(&rates) {
            prop_assert!((height - predictor.height_m(*at).unwrap()).abs() < 1e-9);
            prop_assert_eq!(*rate, predictor.rate_m_per_h(*at).unwrap());
        }
    }

    #[test]
    fn a_table_agrees_with_the_curve(
        port in ports(),
        seconds in prop::collection::vec(0..120 * 86_400_i64, 200),
    ) {
        let predictor = predictor(&port);
        let table = HeightTable::of(&predictor);
        prop_assert!(table.error_m() < 1e-6);
        let start = predictor.span().start;
        // The seconds about the step at New Year too.
        let new_year: Timestamp = "2027-01-01T00:00:00Z".parse().unwrap();
        let about = (-3..4).map(|second| new_year + SignedDuration::from_secs(second));
        let instants: Vec<Timestamp> = seconds
            .iter()
            .map(|second| start + SignedDuration::from_secs(*second))
            .chain(about)
            .collect();
        let mut heights = vec![0.0; instants.len()];
        table.fill_heights_at(&instants, &mut heights).unwrap();
        for (at, height) in instants.iter().zip(&heights) {
            prop_assert_eq!(table.height_m(*at), Ok(*height));
            // The polynomial, the batch that made the table, and the bends of the curve between
            // chords.
            let apart = (height - predictor.height_m(*at).unwrap()).abs();
            prop_assert!(apart < table.error_m() + 3e-6, "{at}: {apart:e}");
        }
    }
}

#[test]
fn what_does_not_fit_is_refused() {
    let m2 = Harmonic {
        name: "M2".into(),
        amplitude_m: 1.0,
        phase_lag_deg: 0.0,
    };
    let port = Port::new(PortSpec {
        mean_level_m: 0.0,
        harmonics: &[m2],
        convention: Convention::IhoInstant,
    });
    let predictor = predictor(&port.unwrap());
    let start = predictor.span().start;
    let hour = SignedDuration::from_hours(1);
    assert!(matches!(
        Grid::new(start, hour, 0),
        Err(Error::GridLength { len: 0 })
    ));
    assert!(matches!(
        Grid::new(start, -hour, 5),
        Err(Error::OutOfRange { unit: "s", .. })
    ));
    assert!(matches!(
        Grid::new(start, hour * 25, 5),
        Err(Error::OutOfRange { unit: "s", .. })
    ));
    assert!(matches!(
        Grid::new(Timestamp::MAX, hour, 2),
        Err(Error::GridLength { len: 2 })
    ));
    assert!(matches!(
        Grid::new(start, hour, usize::MAX),
        Err(Error::GridLength { .. })
    ));
    let grid = Grid::new(start - hour, hour, 5).unwrap();
    let mut values = [0.0; 5];
    assert!(matches!(
        predictor.fill_heights(&grid, &mut values),
        Err(Error::OutsideSpan { .. })
    ));
    let grid = Grid::new(start, hour, 5).unwrap();
    assert!(matches!(
        predictor.fill_rates(&grid, &mut values[..4]),
        Err(Error::Lengths { given: 5, room: 4 })
    ));
    let table = HeightTable::of(&predictor);
    assert!(table.height_m(start - hour).is_err());
    assert!(matches!(
        table.fill_heights_at(&[start - hour], &mut values[..1]),
        Err(Error::OutsideSpan { .. })
    ));
}
