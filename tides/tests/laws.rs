//! Laws that hold for every tide, checked on made ports.
#![allow(clippy::unwrap_used)]

use std::ops::Range;

use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;
use wrackline_tides::{
    ArgumentClock, Constituent, Convention, ConventionTerms, Error, Flow, Formulas, Grid, Harmonic,
    LevelBand, LongitudeSeries, NodeEpoch, Port, PortSpec, Predictor, Residual, ResidualSpec,
    TurnKind, constants_from_csv,
};

const NAMES: [&str; 24] = [
    "M2", "S2", "N2", "K2", "O1", "K1", "P1", "Q1", "M1", "L2", "NU2", "MU2", "M4", "MS4", "MN4",
    "M6", "2MS6", "M8", "SA", "MF", "2MK5", "M3", "S1", "M12",
];

fn conventions() -> impl Strategy<Value = Convention> {
    prop_oneof![
        Just(Convention::SchuremanAnnual),
        Just(Convention::SchuremanInstant),
        Just(Convention::IhoInstant),
        Just(Convention::Rijkswaterstaat),
        Just(Convention::Custom(ConventionTerms {
            formulas: Formulas::Iho,
            nodes: NodeEpoch::At("2026-07-02T12:00:00Z".parse().unwrap()),
            clock: ArgumentClock::Instant,
            longitudes: LongitudeSeries::Meeus,
        })),
    ]
}

/// Ports from nearly still to great, with any mixture of bands, so that double high waters and
/// vanishing tides come up.
fn ports() -> impl Strategy<Value = Port> {
    let lines = prop::collection::vec((0.0..1.0_f64, 0.0..360.0_f64), NAMES.len());
    (
        lines,
        conventions(),
        -3.0..3.0_f64,
        prop::sample::select(vec![0.02, 0.3, 2.0]),
    )
        .prop_map(|(lines, convention, mean_level_m, scale)| {
            let harmonics: Vec<Harmonic> = NAMES
                .iter()
                .zip(lines)
                .map(|(name, (amplitude, phase_lag_deg))| Harmonic {
                    name: (*name).into(),
                    // Cubed: a few great lines among many small ones.
                    amplitude_m: scale * amplitude.powi(3),
                    phase_lag_deg,
                })
                .collect();
            Port::new(PortSpec {
                mean_level_m,
                harmonics: &harmonics,
                convention,
            })
            .unwrap()
        })
}

/// Spans of a few days, New Year among them.
fn spans() -> impl Strategy<Value = (Timestamp, Timestamp)> {
    (
        prop_oneof![
            Just(1_798_761_600_i64 - 2 * 86_400),
            946_684_800..1_900_000_000_i64
        ],
        3_600..6 * 86_400_i64,
    )
        .prop_map(|(start, length)| {
            (
                Timestamp::from_second(start).unwrap(),
                Timestamp::from_second(start + length).unwrap(),
            )
        })
}

/// Every 30 seconds of a span.
fn walk(predictor: &Predictor) -> Vec<(Timestamp, f64)> {
    let span = predictor.span();
    let mut at = span.start;
    let mut heights = Vec::new();
    while at < span.end {
        heights.push((at, predictor.height_m(at).unwrap()));
        at += SignedDuration::from_secs(30);
    }
    heights
}

/// Whether a year's end lies in the span: there the held factors step.
fn crosses_new_year(predictor: &Predictor) -> bool {
    let year = |at: Timestamp| jiff::tz::Offset::UTC.to_datetime(at).year();
    year(predictor.span().start) != year(predictor.span().end)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn no_turn_is_missed_and_none_invented(port in ports(), (start, end) in spans()) {
        let predictor = port.predictor(start..end).unwrap();
        let turns = predictor.turns();
        for pair in turns.windows(2) {
            prop_assert!(pair[0].at < pair[1].at && pair[0].kind != pair[1].kind);
        }
        if crosses_new_year(&predictor) {
            return Ok(());
        }
        // Each turn is one: the slope is nothing there, and lower (higher) water lies a little
        // before and after.
        for turn in &turns {
            prop_assert!(predictor.rate_m_per_h(turn.at).unwrap().abs() < 1e-5);
        }
        // Each change of direction in a walk lies within one step of a turn.
        let walk = walk(&predictor);
        for three in walk.windows(3) {
            let (a, b, c) = (three[0].1, three[1].1, three[2].1);
            let high = b > a + 1e-12 && b > c + 1e-12;
            let low = b < a - 1e-12 && b < c - 1e-12;
            if high || low {
                let kind = if high { TurnKind::HighWater } else { TurnKind::LowWater };
                let found = turns.iter().any(|turn| {
                    turn.kind == kind && turn.at >= three[0].0 && turn.at <= three[2].0
                });
                prop_assert!(found, "{kind:?} near {}", three[1].0);
            }
        }
    }

    #[test]
    fn crossings_part_what_is_above_from_what_is_below(
        port in ports(),
        (start, end) in spans(),
        level in -1.0..1.0_f64,
    ) {
        let predictor = port.predictor(start..end).unwrap();
        let level = predictor.mean_level_m() + level * 0.3;
        let above = predictor.above(level).unwrap();
        let below = predictor.below(level).unwrap();
        let turns = predictor.turns();
        let walked = walk(&predictor);
        let instants = turns.iter().map(|turn| turn.at).chain(walked.iter().map(|(at, _)| *at));
        for at in instants.chain([end]) {
            let around = above.iter().find(|span| span.contains(&at)).cloned();
            prop_assert_eq!(predictor.above_around(level, at).unwrap(), around, "{}", at);
        }
        let seconds = |span: &Range<Timestamp>| span.end.as_second() - span.start.as_second();
        let total: i64 = above.iter().chain(&below).map(seconds).sum();
        let pieces = (above.len() + below.len()) as i64;
        prop_assert!((total - seconds(&(start..end))).abs() <= pieces);
        for (at, height) in walked {
            // A walker within a millimetre of the level may stand on either side.
            if (height - level).abs() > 1e-6 {
                let told = above.iter().any(|span| span.contains(&at));
                prop_assert_eq!(told, height > level, "{}", at);
            }
        }
        if !crosses_new_year(&predictor) {
            for crossing in predictor.crossings(level).unwrap() {
                prop_assert!((predictor.height_m(crossing.at).unwrap() - level).abs() < 1e-6);
                // At the very end of the span there is no soon.
                let later = (crossing.at + SignedDuration::from_millis(200)).min(end);
                let soon = predictor.height_m(later).unwrap();
                let rising = crossing.direction == Flow::Rising;
                prop_assert!((soon - level > -1e-7) == rising || (soon - level).abs() < 1e-7);
            }
        }
        let band = LevelBand { lowest_m: level, highest_m: level + 0.2 };
        for span in predictor.between(band).unwrap() {
            let middle = span.start + span.end.duration_since(span.start) / 2;
            let height = predictor.height_m(middle).unwrap();
            prop_assert!(height > level - 1e-6 && height <= level + 0.2 + 1e-6);
        }
    }

    #[test]
    fn batches_agree_with_single_heights(
        port in ports(),
        (start, end) in spans(),
        step_s in 1..20_000_i64,
        count in 1..1_500_usize,
    ) {
        let predictor = port.predictor(start..end).unwrap();
        let fit = ((end.as_second() - start.as_second()) / step_s) as usize + 1;
        let step = SignedDuration::from_secs(step_s);
        let mut heights = vec![f64::NAN; count.min(fit)];
        let grid = Grid::new(start, step, heights.len()).unwrap();
        predictor.fill_heights(&grid, &mut heights).unwrap();
        let instants: Vec<Timestamp> = grid.instants().collect();
        let mut given = vec![f64::NAN; heights.len()];
        predictor.fill_heights_at(&instants, &mut given).unwrap();
        for ((at, regular), given) in instants.iter().zip(&heights).zip(&given) {
            prop_assert_eq!(*given, predictor.height_m(*at).unwrap());
            prop_assert!((regular - given).abs() < 1e-6, "{} {} {}", at, regular, given);
        }
        // The definition itself: chords of node factors, lines up to 2 m.
        for at in instants.iter().step_by(97).filter(|at| **at < end) {
            let apart = port.height_m(*at).unwrap() - predictor.height_m(*at).unwrap();
            prop_assert!(apart.abs() < 3e-5);
        }
    }

    #[test]
    fn rates_are_the_slope_of_heights(
        port in ports(),
        (start, end) in spans(),
        share in 0.1..0.9_f64,
    ) {
        let predictor = port.predictor(start..end).unwrap();
        prop_assume!(!crosses_new_year(&predictor));
        let length_s = (end.as_second() - start.as_second()) as f64;
        let at = start + SignedDuration::from_millis((length_s * share * 1e3) as i64);
        let aside = SignedDuration::from_secs(10);
        let [before, after] = [at - aside, at + aside].map(|at| predictor.height_m(at).unwrap());
        let slope = (after - before) / 20.0 * 3600.0;
        // A difference over 20 s misses by h''' dt²/6: under 1e-4 m/h for lines of 2 m and 3 rad/h.
        prop_assert!((slope - predictor.rate_m_per_h(at).unwrap()).abs() < 1e-3);
    }

    #[test]
    fn a_higher_level_never_raises_the_risk(
        port in ports(),
        (start, end) in spans(),
        level in -1.0..1.0_f64,
    ) {
        let residual = Residual::new(ResidualSpec {
            bias_m: 0.02, standard_deviation_m: 0.15, pressure_hpa: Some(1_000.0), surge_m: 0.0,
            upper_allowance_m: 0.0, lower_allowance_m: 0.0, memory_h: 12.0,
        }).unwrap();
        let predictor = port.predictor(start..end).unwrap();
        let chance = |level_m| predictor.probability_above(level_m, &residual).unwrap();
        prop_assert!((0.0..=1.0).contains(&chance(level)));
        prop_assert!(chance(level + 0.1) <= chance(level) + 1e-12);
        let bounds = residual.bounds(0.95).unwrap();
        let expected_m = residual.expected_m();
        prop_assert!(bounds.lower_m < expected_m && expected_m < bounds.upper_m);
    }

    #[test]
    fn any_name_is_a_constituent_or_a_typed_error(name in "\\PC{0,12}") {
        match Constituent::named(&name) {
            Ok(constituent) => prop_assert!(constituent.speed_deg_per_h().is_finite()),
            Err(Error::UnknownConstituent { .. }) => {}
            Err(other) => prop_assert!(false, "{other}"),
        }
    }

    #[test]
    fn any_compound_has_a_speed_of_its_cycles(
        name in "[1-9]?\\(?[MSNKLO]{1,3}\\)?[1-4]?[MSNKOPQ]{0,2}[1-9]",
    ) {
        if let Ok(constituent) = Constituent::named(&name) {
            let cycles = f64::from(constituent.arguments().solar_time);
            // Parts run within 2.7° of 15° an hour for each cycle a day, and there are 20 at most.
            prop_assert!((constituent.speed_deg_per_h() - 15.0 * cycles).abs() < 60.0, "{name}");
        }
    }

    #[test]
    fn any_table_is_read_or_refused_with_its_line(
        text in "(name,amplitude_(m|cm|ft),lag_(g|utc\\+1|kappa)_deg\\n)?(\\PC{0,20}\\n){0,4}",
    ) {
        if let Ok(harmonics) = constants_from_csv(&text, Some(3.0)) {
            for line in harmonics {
                prop_assert!(line.phase_lag_deg.is_finite() && line.amplitude_m.is_finite());
            }
        }
    }
}

#[test]
fn impossible_ports_and_spans_are_refused() {
    let line = |name: &str, amplitude_m, phase_lag_deg| Harmonic {
        name: name.into(),
        amplitude_m,
        phase_lag_deg,
    };
    let make = |harmonics: &[Harmonic], mean_level_m| {
        Port::new(PortSpec {
            mean_level_m,
            harmonics,
            convention: Convention::IhoInstant,
        })
    };
    assert!(matches!(make(&[], 0.0), Err(Error::NoConstituents)));
    assert!(matches!(
        make(&[line("M2", f64::NAN, 0.0)], 0.0),
        Err(Error::Amplitude { .. })
    ));
    assert!(matches!(
        make(&[line("M2", -0.1, 0.0)], 0.0),
        Err(Error::Amplitude { .. })
    ));
    assert!(matches!(
        make(&[line("M2", 1.0, f64::INFINITY)], 0.0),
        Err(Error::PhaseLag { .. })
    ));
    assert!(matches!(
        make(&[line("M2", 1.0, 0.0)], f64::NAN),
        Err(Error::MeanLevel { .. })
    ));
    assert!(matches!(
        make(&[line("XX7", 1.0, 0.0)], 0.0),
        Err(Error::UnknownConstituent { .. })
    ));
    let twice = [line("LAM2", 1.0, 0.0), line("LAMBDA2", 1.0, 0.0)];
    assert!(matches!(
        make(&twice, 0.0),
        Err(Error::RepeatedConstituent { .. })
    ));
    let port = make(&[line("M2", 1.0, 0.0)], 0.0).unwrap();
    let day: Timestamp = "2026-01-01T00:00:00Z".parse().unwrap();
    assert!(matches!(
        port.predictor(day..day),
        Err(Error::EmptySpan { .. })
    ));
    let far: Timestamp = "2300-01-01T00:00:00Z".parse().unwrap();
    assert!(matches!(port.predictor(day..far), Err(Error::Span { .. })));
    let predictor = port
        .predictor(day..day + SignedDuration::from_hours(24))
        .unwrap();
    let mut two = [0.0; 2];
    let outside = Grid::new(day, SignedDuration::from_hours(24), 3).unwrap();
    assert!(matches!(
        predictor.fill_heights(&outside, &mut [0.0; 3]),
        Err(Error::OutsideSpan { .. })
    ));
    assert!(matches!(
        predictor.fill_heights_at(&[day], &mut two),
        Err(Error::Lengths { .. })
    ));
}
