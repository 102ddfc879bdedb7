//! Constants from high and low waters alone, at real stations.
#![allow(clippy::unwrap_used)]

use std::collections::BTreeMap;

use jiff::Timestamp;
use wrackline_tides::{
    Analysis, AnalysisSpec, Convention, Error, Harmonic, Port, PortSpec, Selection, Turn, Warning,
};

/// NOAA CO-OPS (public domain) and TICON-4 (Hart-Davis et al., CC BY 4.0): see the file's head.
const CONSTANTS: &str = include_str!("data/constants.csv");

fn harmonics() -> BTreeMap<&'static str, Vec<Harmonic>> {
    let mut harmonics: BTreeMap<&str, Vec<Harmonic>> = BTreeMap::new();
    let lines = CONSTANTS.lines().filter(|line| !line.starts_with('#'));
    for line in lines.skip(1) {
        let mut fields = line.split(',');
        let mut next = || fields.next().unwrap();
        harmonics.entry(next()).or_default().push(Harmonic {
            name: next().to_owned(),
            amplitude_m: next().parse().unwrap(),
            phase_lag_deg: next().parse().unwrap(),
        });
    }
    harmonics
}

fn port(harmonics: &[Harmonic]) -> Port {
    Port::new(PortSpec {
        mean_level_m: 3.0,
        harmonics,
        convention: Convention::IhoInstant,
    })
    .unwrap()
}

/// To the minute and the centimetre.
fn printed(turn: &Turn) -> Turn {
    let minute = (turn.at.as_second() + 30).div_euclid(60) * 60;
    Turn {
        at: Timestamp::from_second(minute).unwrap(),
        height_m: (turn.height_m * 100.0).round() / 100.0,
        kind: turn.kind,
    }
}

fn turns_of_2026(port: &Port) -> Vec<Turn> {
    let span = "2026-01-01T00:00:00Z".parse().unwrap().."2027-01-01T00:00:00Z".parse().unwrap();
    let turns = port.predictor(span).unwrap().turns();
    let mut printed: Vec<Turn> = turns.iter().map(printed).collect();
    // Where the water hardly turns, a table prints one of the two or none.
    printed.dedup_by(|next, one| next.at.duration_since(one.at).as_secs() < 300);
    printed
}

/// How far apart two constants stand as vectors, metres.
fn apart([a, b]: [(f64, f64); 2]) -> f64 {
    let (x, y) = (a.1.to_radians().sin_cos(), b.1.to_radians().sin_cos());
    (a.0 * x.1 - b.0 * y.1).hypot(a.0 * x.0 - b.0 * y.0)
}

const FIVE: [&str; 5] = ["M2", "S2", "N2", "K1", "O1"];

/// The largest error of the five, with the standard error that is stated for it.
fn worst(known: &[Harmonic], found: &Analysis) -> (f64, f64) {
    let pairs = FIVE.into_iter().map(|name| {
        let truth = known.iter().find(|it| it.name == name).unwrap();
        let found = found.harmonics.iter().find(|it| it.name == name).unwrap();
        let error_m = apart([
            (truth.amplitude_m, truth.phase_lag_deg),
            (found.amplitude_m, found.phase_lag_deg),
        ]);
        (error_m, found.amplitude_error_m)
    });
    pairs.fold((0.0, 0.0), |a, b| if b.0 > a.0 { b } else { a })
}

/// A year of printed turns, 783 to 1448 of them: at every port whose tide is made of the 37 lines
/// that NOAA publishes, twice a day, mixed or once a day, with ranges up to 9 m.
#[test]
fn a_year_of_printed_turns_gives_the_constants_within_two_centimetres() {
    let (mut ports, mut covered) = (0, 0);
    for (station, known) in harmonics() {
        if known.len() != 37 {
            continue;
        }
        let turns = turns_of_2026(&port(&known));
        let spec = AnalysisSpec::new(Convention::IhoInstant);
        let found = Analysis::of_turns(&turns, &spec).unwrap();
        let (error_m, stated_m) = worst(&known, &found);
        assert!(error_m < 0.007, "{station}: {error_m:.4} m");
        // What is left is what was printed round: a centimetre, evenly, is 2.9 mm.
        let left_m = found.residual.standard_deviation_m;
        assert!((0.0025..0.0035).contains(&left_m), "{station}: {left_m}");
        assert!((found.mean_level_m - 3.0).abs() < 0.005, "{station}");
        ports += 1;
        covered += i32::from(error_m < 3.0 * stated_m + 0.001);
    }
    assert_eq!(ports, 24);
    assert!(
        covered >= 21,
        "{covered} of {ports} within three standard errors"
    );
}

/// Tides with lines that are not looked for, in shallow water. Turns cannot tell these from the
/// great lines, and what they move is more than the errors say; that more is left of the heights
/// than was printed round is the sign of it.
#[test]
fn lines_that_are_not_looked_for_show_in_what_is_left() {
    for (station, known) in harmonics() {
        if known.len() == 37 {
            continue;
        }
        let turns = turns_of_2026(&port(&known));
        let spec = AnalysisSpec::new(Convention::IhoInstant);
        let found = Analysis::of_turns(&turns, &spec).unwrap();
        let (error_m, _) = worst(&known, &found);
        let left_m = found.residual.standard_deviation_m;
        assert!(left_m > 0.0035, "{station}: {left_m}");
        assert!(
            error_m < 12.0 * left_m,
            "{station}: {error_m:.3} m, {left_m:.4} m left"
        );
    }
}

#[test]
fn what_turns_cannot_tell_is_left_out_and_named() {
    let known = harmonics();
    let turns = turns_of_2026(&port(&known["noaa/8443970"]));
    let spec = AnalysisSpec::new(Convention::IhoInstant);
    let bold = AnalysisSpec {
        selection: Selection::Rayleigh(0.2),
        ..spec.clone()
    };
    let found = Analysis::of_turns(&turns[..348], &bold).unwrap();
    let left_out = |warning: &Warning| matches!(warning, Warning::LeftOut { .. });
    assert!(found.warnings.iter().any(left_out), "{:?}", found.warnings);
    // Two months tell M2 from M6, and by how little is said.
    let found = Analysis::of_turns(&turns[..232], &spec).unwrap();
    let leans = |warning: &Warning| {
        matches!(warning, Warning::Leaning { name, error_inflation, .. }
            if name == "M2" && *error_inflation > 10.0)
    };
    assert!(found.warnings.iter().any(leans), "{:?}", found.warnings);
    let named = AnalysisSpec {
        selection: Selection::Named(vec!["M2".to_owned(), "S2".to_owned(), "K2".to_owned()]),
        ..spec.clone()
    };
    let days = Analysis::of_turns(&turns[..40], &named);
    assert!(matches!(days, Err(Error::NotSeparable { .. })), "{days:?}");
}

#[test]
fn wrong_turns_are_refused() {
    let known = harmonics();
    let turns = turns_of_2026(&port(&known["noaa/8443970"]));
    let spec = AnalysisSpec::new(Convention::IhoInstant);
    let refused = |turns: &[Turn]| Analysis::of_turns(turns, &spec).unwrap_err().to_string();
    assert!(refused(&turns[..10]).contains("fewer than 25"));
    let mut close = turns.clone();
    close[7].at = close[6].at + jiff::SignedDuration::from_secs(60);
    assert!(refused(&close).contains("within three minutes"));
    let mut turned = turns.clone();
    turned.swap(4, 5);
    assert!(refused(&turned).contains("not later"));
    let mut wrong = turns.clone();
    wrong[3].height_m = f64::NAN;
    assert!(refused(&wrong).contains("not a number"));
    for few in [25, 26, 30, 60] {
        let found = Analysis::of_turns(&turns[..few], &spec);
        if let Ok(found) = found {
            assert!(found.harmonics.iter().all(|it| it.amplitude_m.is_finite()));
        }
    }
}
