//! Water that hardly moves, and what is refused as a constituent.
#![allow(clippy::unwrap_used)]

use std::ops::Range;

use jiff::Timestamp;
use proptest::prelude::*;
use wrackline_tides::{
    Constants, Constituent, Convention, Definition, Error, Harmonic, Port, PortSpec, TurnKind,
    constants_from_csv,
};

fn line(name: &str, amplitude_m: f64, phase_lag_deg: f64) -> Harmonic {
    Harmonic {
        name: name.into(),
        amplitude_m,
        phase_lag_deg,
    }
}

fn year() -> Range<Timestamp> {
    "2026-01-01T00:00:00Z".parse().unwrap().."2027-01-02T00:00:00Z".parse().unwrap()
}

fn port(harmonics: &[Harmonic], convention: Convention) -> Port {
    Port::new(PortSpec {
        mean_level_m: 1.0,
        harmonics,
        convention,
    })
    .unwrap()
}

const CONVENTIONS: [Convention; 4] = [
    Convention::SchuremanAnnual,
    Convention::SchuremanInstant,
    Convention::IhoInstant,
    Convention::Rijkswaterstaat,
];

#[test]
fn water_that_does_not_move_has_no_turns() {
    for convention in CONVENTIONS {
        for amplitude_m in [0.0, 5e-324, 1e-300, 1e-100] {
            let still = port(&[line("M2", amplitude_m, 40.0)], convention);
            let predictor = still.predictor(year()).unwrap();
            assert_eq!(predictor.turns(), []);
            assert_eq!(predictor.crossings(1.0).unwrap(), []);
            assert_eq!(predictor.above(0.9).unwrap(), [year()]);
        }
    }
}

#[test]
fn the_least_tide_turns_as_often_as_the_greatest() {
    for convention in CONVENTIONS {
        let turns = |amplitude_m| {
            let port = port(&[line("M2", amplitude_m, 40.0)], convention);
            port.predictor(year()).unwrap().turns().len()
        };
        assert_eq!(turns(1e-12), turns(1.0));
        assert_eq!(turns(1e-50), turns(1.0));
    }
}

/// Two lines of one speed, one against the other: what is left of a metre is a tide of its own down
/// to the rounding, and nothing below.
#[test]
fn lines_that_cancel_leave_the_turns_of_what_is_left() {
    let convention = Convention::IhoInstant;
    let alone = port(&[line("3MS2", 1.0, 0.0)], convention);
    let alone = alone.predictor(year()).unwrap().turns();
    for left in [1e-3, 1e-6, 1e-8] {
        let pair = [line("3MS2", 1.0, 0.0), line("3M2S2", 1.0 - left, 180.0)];
        let turns = port(&pair, convention).predictor(year()).unwrap().turns();
        assert_eq!(turns.len(), alone.len(), "{left}");
        for (one, other) in turns.iter().zip(&alone) {
            assert_eq!(one.kind, other.kind);
            // The cosine of a line is good to 3e-11, which shifts the turns of what is left by that
            // over it, in radians.
            let seconds = one.at.duration_since(other.at).as_secs_f64().abs();
            assert!(
                seconds < 1.0 + 3e-11 / left * 7600.0 * 2.0,
                "{left}: {seconds}"
            );
        }
    }
    let pair = [line("3MS2", 1.0, 0.0), line("3M2S2", 1.0, 180.0)];
    assert_eq!(
        port(&pair, convention).predictor(year()).unwrap().turns(),
        []
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Lines of neighbouring speeds that nearly cancel, faint and bold: high and low waters
    /// alternate, and the search ends.
    #[test]
    fn faint_water_ends_and_alternates(
        lags in prop::collection::vec(0.0..360.0_f64, 4),
        faint in prop::sample::select(vec![0.0, 1e-11, 1e-10, 1e-9, 1e-6]),
        convention in prop::sample::select(CONVENTIONS.to_vec()),
    ) {
        let lines = [
            line("MU2", 1.0, lags[0]),
            line("2MS2", 1.0 - faint, lags[0] + 180.0),
            line("3MS2", 0.5, lags[1]),
            line("3M2S2", 0.5 + faint, lags[1] + 180.0),
            line("M4", faint, lags[2]),
        ];
        let span = "2026-01-01T00:00:00Z".parse().unwrap().."2026-02-01T00:00:00Z".parse().unwrap();
        let turns = port(&lines, convention).predictor(span).unwrap().turns();
        for pair in turns.windows(2) {
            prop_assert!(pair[0].at <= pair[1].at && pair[0].kind != pair[1].kind);
            let falls = pair[0].kind == TurnKind::HighWater;
            let drop = pair[0].height_m - pair[1].height_m;
            let wrong_way = if falls { -drop } else { drop };
            prop_assert!(wrong_way < 1e-9);
        }
    }
}

#[test]
fn a_mean_level_is_no_constituent() {
    let m2 = line("M2", 2.0, 100.0);
    for name in ["Z0", "Zo", "z₀", "A0"] {
        for amplitude_m in [1.5, 0.0, -1.5] {
            let error = Port::new(PortSpec {
                mean_level_m: 4.0,
                harmonics: &[m2.clone(), line(name, amplitude_m, 0.0)],
                convention: Convention::IhoInstant,
            })
            .unwrap_err();
            assert!(
                error.to_string().contains("give it as the mean level"),
                "{error}"
            );
        }
    }
    let text = "name,amplitude_m,lag_g_deg\nM2,2.0,100\nZ0,1.5,0\n";
    let error = constants_from_csv(text, None).unwrap_err().to_string();
    assert!(error.starts_with("line 3: `Z0` (1.5 m)"), "{error}");
    // One of one's own that does not move either.
    let nothing = Definition::Compound(vec![("M2".into(), 1), ("M2".into(), -1)]);
    let nothing = Constituent::defined("NOTHING", &nothing).unwrap();
    let error = port(&[m2], Convention::IhoInstant)
        .with_constituent(
            nothing,
            Constants {
                amplitude_m: 1.5,
                phase_lag_deg: 0.0,
            },
        )
        .unwrap_err();
    assert!(matches!(error, Error::MeanLevelAsLine { .. }), "{error}");
}

#[test]
fn a_table_tells_the_line_of_what_it_cannot_use() {
    for (row, says) in [
        ("S2,-0.5,10", "line 4: the amplitude of S2 is -0.5 m"),
        ("S2,51,10", "line 4: the amplitude of S2 is 51 m"),
        ("S9X,0.5,10", "line 4: unknown constituent `S9X`"),
        (
            "LAM2,0.5,10",
            "line 4: constituent `LAM2` repeats `LAMBDA2` (two names of one constituent)",
        ),
        (
            "LAMBDA2,0.5,10",
            "line 4: constituent `LAMBDA2` repeats `LAMBDA2`: keep one",
        ),
        ("S2,0.5,x", "line 4: the lag is `x`"),
    ] {
        let text = format!("name,amplitude_m,lag_g_deg\nM2,2.0,100\nLAMBDA2,0.1,20\n{row}\n");
        let error = constants_from_csv(&text, None).unwrap_err().to_string();
        assert!(error.starts_with(says), "{error}");
    }
}

#[test]
fn a_repeated_constituent_is_shown_in_both_spellings() {
    let error = Port::new(PortSpec {
        mean_level_m: 0.0,
        harmonics: &[line("lam2", 0.1, 0.0), line("λ₂", 0.1, 0.0)],
        convention: Convention::IhoInstant,
    })
    .unwrap_err();
    assert!(
        error.to_string().contains("`λ₂` repeats `lam2` (two names"),
        "{error}"
    );
}
