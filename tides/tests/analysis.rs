//! Constants from made records: what went in must come out, within the errors that are claimed.
#![allow(clippy::unwrap_used)]

use jiff::SignedDuration;
use wrackline_tides::{Analysis, AnalysisSpec, Convention, Error, Inference, Reading, Selection};

mod made;

use made::{CONSTANTS, Noise, named, port, start};

fn apart(a: f64, b: f64) -> f64 {
    ((a - b + 540.0).rem_euclid(360.0) - 180.0).abs()
}

#[test]
fn a_clean_record_gives_its_constants_back_in_every_convention() {
    for convention in [
        Convention::SchuremanAnnual,
        Convention::SchuremanInstant,
        Convention::IhoInstant,
        Convention::Rijkswaterstaat,
    ] {
        let port = port(convention);
        // Uneven: hours, with a gap of a month and every seventh reading 13 minutes late.
        let readings: Vec<Reading> = (0..9000)
            .filter(|hour| !(3000..3720).contains(hour))
            .map(|hour| {
                let late = if hour % 7 == 0 { 780 } else { 0 };
                let at = start() + SignedDuration::from_secs(3600 * hour + late);
                Reading {
                    at,
                    height_m: port.height_m(at).unwrap(),
                }
            })
            .collect();
        let spec = AnalysisSpec {
            selection: named(),
            ..AnalysisSpec::new(convention)
        };
        let found = Analysis::of(&readings, &spec).unwrap();
        assert!((found.mean_level_m - 2.5).abs() < 1e-5);
        // The chords of the node factors stray by a few micrometres.
        assert!(
            found.residual.standard_deviation_m < 1e-5,
            "{:?}",
            found.residual
        );
        for (name, amplitude, lag) in CONSTANTS {
            let fitted = found
                .harmonics
                .iter()
                .find(|fitted| fitted.name == name)
                .unwrap();
            assert!((fitted.amplitude_m - amplitude).abs() < 1e-5, "{fitted:?}");
            assert!(apart(fitted.phase_lag_deg, lag) < 0.005, "{fitted:?}");
        }
        // The port made of them predicts the same curve.
        let again = found.port().unwrap();
        let later = start() + SignedDuration::from_hours(30_000);
        assert!((again.height_m(later).unwrap() - port.height_m(later).unwrap()).abs() < 1e-4);
    }
}

/// Red noise (an autoregression at 0.9 an hour, 15 cm): over many records the misses must be as
/// large as the errors say, within the scatter of 40 x 9 of them.
#[test]
fn claimed_errors_hold_in_coloured_noise() {
    let port = port(Convention::SchuremanInstant);
    let spec = AnalysisSpec {
        selection: named(),
        ..AnalysisSpec::new(Convention::SchuremanInstant)
    };
    let mut noise = Noise(7);
    let (mut squares, mut count, mut outside) = (0.0, 0, 0);
    for _ in 0..40 {
        let mut weather = 0.0;
        let readings: Vec<Reading> = (0..4400)
            .map(|hour| {
                weather = 0.9 * weather + 0.065 * noise.normal();
                let at = start() + SignedDuration::from_hours(hour);
                Reading {
                    at,
                    height_m: port.height_m(at).unwrap() + weather,
                }
            })
            .collect();
        let found = Analysis::of(&readings, &spec).unwrap();
        for (name, amplitude, _) in CONSTANTS {
            let fitted = found
                .harmonics
                .iter()
                .find(|fitted| fitted.name == name)
                .unwrap();
            let score = (fitted.amplitude_m - amplitude) / fitted.amplitude_error_m;
            squares += score * score;
            outside += usize::from(score.abs() > 1.96);
            count += 1;
        }
    }
    let scatter = (squares / f64::from(count)).sqrt();
    // Standard error of a scatter from 360 deviates is 4 %, and the spectrum is estimated: 0.8 to
    // 1.25.
    assert!((0.8..1.25).contains(&scatter), "{scatter}");
    assert!((4..=36).contains(&outside), "{outside} of {count}");
}

#[test]
fn wild_readings_are_weighed_down() {
    let port = port(Convention::SchuremanInstant);
    let mut noise = Noise(11);
    let readings: Vec<Reading> = (0..4400)
        .map(|hour| {
            let at = start() + SignedDuration::from_hours(hour);
            let spike = if hour % 37 == 5 { 2.0 } else { 0.0 };
            Reading {
                at,
                height_m: port.height_m(at).unwrap() + 0.05 * noise.normal() + spike,
            }
        })
        .collect();
    let plain = AnalysisSpec {
        selection: named(),
        ..AnalysisSpec::new(Convention::SchuremanInstant)
    };
    let robust = AnalysisSpec {
        robust: true,
        ..plain.clone()
    };
    let off = |spec| (Analysis::of(&readings, spec).unwrap().mean_level_m - 2.5).abs();
    assert!(off(&plain) > 0.05);
    assert!(off(&robust) < 0.005);
}

#[test]
fn a_trend_is_found() {
    let port = port(Convention::SchuremanInstant);
    let readings: Vec<Reading> = (0..17_000)
        .map(|hour| {
            let at = start() + SignedDuration::from_hours(hour);
            Reading {
                at,
                height_m: port.height_m(at).unwrap() + 0.1 * hour as f64 / 8766.0,
            }
        })
        .collect();
    let spec = AnalysisSpec {
        selection: named(),
        trend: true,
        ..AnalysisSpec::new(Convention::SchuremanInstant)
    };
    let found = Analysis::of(&readings, &spec).unwrap();
    assert!((found.trend_m_per_year.unwrap() - 0.1).abs() < 1e-5);
}

#[test]
fn what_a_month_cannot_tell_apart_is_said_and_can_be_inferred() {
    let port = port(Convention::SchuremanInstant);
    let readings: Vec<Reading> = (0..24 * 10)
        .map(|hour| {
            let at = start() + SignedDuration::from_hours(hour);
            Reading {
                at,
                height_m: port.height_m(at).unwrap(),
            }
        })
        .collect();
    let spec = AnalysisSpec {
        selection: named(),
        ..AnalysisSpec::new(Convention::SchuremanInstant)
    };
    let error = Analysis::of(&readings, &spec).map(|_| ()).unwrap_err();
    let Error::NotSeparable {
        first,
        second,
        needed_days,
        ..
    } = &error
    else {
        panic!("{error}")
    };
    let pair = [first.as_str(), second.as_str()];
    assert!(
        pair == ["S2", "K2"]
            || pair == ["K2", "S2"]
            || pair == ["K1", "P1"]
            || pair == ["P1", "K1"],
        "{error}"
    );
    // Half a year: 360° at 0.0821° an hour.
    assert!((needed_days.unwrap() - 182.6).abs() < 0.5, "{error}");

    // With S2's and K1's followers inferred the same ten days do for the rest (N2 left to a longer
    // record).
    let readings: Vec<Reading> = (0..24 * 30)
        .map(|hour| {
            let at = start() + SignedDuration::from_hours(hour);
            Reading {
                at,
                height_m: port.height_m(at).unwrap(),
            }
        })
        .collect();
    let infer = |inferred: &str, from: &str, amplitude_ratio, lag_difference_deg| Inference {
        inferred: inferred.into(),
        from: from.into(),
        amplitude_ratio,
        lag_difference_deg,
    };
    let spec = AnalysisSpec {
        inferences: vec![
            infer("K2", "S2", 0.28, -1.0),
            infer("P1", "K1", 0.03 / 0.07, 344.0),
        ],
        ..spec
    };
    let found = Analysis::of(&readings, &spec).unwrap();
    for (name, amplitude, lag) in CONSTANTS {
        let fitted = found
            .harmonics
            .iter()
            .find(|fitted| fitted.name == name)
            .unwrap();
        assert!((fitted.amplitude_m - amplitude).abs() < 1e-4, "{fitted:?}");
        assert!(apart(fitted.phase_lag_deg, lag) < 0.1, "{fitted:?}");
        assert_eq!(fitted.inferred_from.is_some(), name == "K2" || name == "P1");
    }
}

#[test]
fn lines_of_one_speed_can_never_be_told_apart() {
    let port = port(Convention::SchuremanInstant);
    let readings: Vec<Reading> = (0..9000)
        .map(|hour| {
            let at = start() + SignedDuration::from_hours(hour);
            Reading {
                at,
                height_m: port.height_m(at).unwrap(),
            }
        })
        .collect();
    let spec = AnalysisSpec {
        selection: Selection::Named(vec!["M2".into(), "KO2".into(), "S2".into()]),
        ..AnalysisSpec::new(Convention::SchuremanAnnual)
    };
    let error = Analysis::of(&readings, &spec).map(|_| ()).unwrap_err();
    assert!(
        matches!(
            error,
            Error::NotSeparable {
                needed_days: None,
                ..
            }
        ),
        "{error}"
    );
}

#[test]
fn rayleighs_criterion_follows_the_record() {
    let port = port(Convention::SchuremanInstant);
    let record = |hours: i64| -> Vec<Reading> {
        (0..hours)
            .map(|hour| {
                let at = start() + SignedDuration::from_hours(hour);
                Reading {
                    at,
                    height_m: port.height_m(at).unwrap(),
                }
            })
            .collect()
    };
    let names = |hours| -> Vec<String> {
        let found = Analysis::of(
            &record(hours),
            &AnalysisSpec::new(Convention::SchuremanInstant),
        )
        .unwrap();
        found
            .harmonics
            .into_iter()
            .map(|fitted| fitted.name)
            .collect()
    };
    let (month, year) = (names(24 * 30), names(8766));
    assert!(month.contains(&"S2".to_owned()) && !month.contains(&"K2".to_owned()));
    assert!(year.contains(&"K2".to_owned()) && year.contains(&"SA".to_owned()) && year.len() > 50);
}

#[test]
fn impossible_records_are_refused() {
    let at = start();
    let one = Reading { at, height_m: 1.0 };
    let spec = AnalysisSpec::new(Convention::SchuremanInstant);
    assert!(matches!(
        Analysis::of(&[one; 10], &spec),
        Err(Error::Readings { .. })
    ));
    assert!(matches!(
        Analysis::of(&[one; 40], &spec),
        Err(Error::Readings { index: 1, .. })
    ));
    let mut readings: Vec<Reading> = (0..100)
        .map(|hour| Reading {
            at: at + SignedDuration::from_hours(hour),
            height_m: 1.0,
        })
        .collect();
    readings[50].height_m = f64::NAN;
    assert!(matches!(
        Analysis::of(&readings, &spec),
        Err(Error::Readings { index: 50, .. })
    ));
}
