//! Records that mislead: marks for missing readings, too few readings, lines that the sampling
//! makes alike.
#![allow(clippy::panic, clippy::unwrap_used)]

use jiff::SignedDuration;
use wrackline_tides::{
    Analysis, AnalysisSpec, Convention, Error, Likeness, Port, Reading, Reduction, Selection,
    Warning,
};

mod made;

use made::{Noise, named, port, start};

/// Two months of hours of the port, and what a made weather adds.
fn two_months(port: &Port, noise_m: f64) -> Vec<Reading> {
    let mut noise = Noise(7);
    (0..24 * 60)
        .map(|hour| {
            let at = start() + SignedDuration::from_hours(hour);
            Reading {
                at,
                height_m: port.height_m(at).unwrap() + noise_m * noise.normal(),
            }
        })
        .collect()
}

#[test]
fn what_stands_for_a_missing_reading_is_refused_by_its_place_or_taken_out() {
    let port = port(Convention::SchuremanInstant);
    let clean = two_months(&port, 0.02);
    let mut spec = AnalysisSpec {
        selection: Selection::Named(vec!["M2".into(), "S2".into(), "O1".into()]),
        ..AnalysisSpec::new(Convention::SchuremanInstant)
    };
    for mark in [-9999.0, 9999.0, 999.9, 99.99, -99.9] {
        let mut marked = clean.clone();
        for index in [17, 400, 401] {
            marked[index].height_m = mark;
        }
        for robust in [false, true] {
            spec.robust = robust;
            spec.missing_m.clear();
            let error = Analysis::of(&marked, &spec).map(|_| ()).unwrap_err();
            assert!(
                matches!(&error, Error::FarOff { index: 17, height_m, .. } if *height_m == mark),
                "{error}"
            );
            spec.missing_m = vec![mark];
            let found = Analysis::of(&marked, &spec).unwrap();
            assert_eq!(found.residual.readings, clean.len() - 3);
            let without: Vec<Reading> = clean
                .iter()
                .enumerate()
                .filter(|(index, _)| ![17, 400, 401].contains(index))
                .map(|(_, reading)| *reading)
                .collect();
            spec.missing_m.clear();
            let expected = Analysis::of(&without, &spec).unwrap();
            assert_eq!(found, expected);
        }
    }
    // The place told is that among the readings given.
    let mut marked = clean.clone();
    marked[3].height_m = -9999.0;
    marked[200].height_m = 99.99;
    spec.missing_m = vec![-9999.0];
    let error = Analysis::of(&marked, &spec).map(|_| ()).unwrap_err();
    assert!(matches!(error, Error::FarOff { index: 200, .. }), "{error}");
    // A surge of three metres is water.
    let mut surge = clean;
    for (hour, reading) in surge.iter_mut().skip(700).take(24).enumerate() {
        reading.height_m += 3.0 * (std::f64::consts::PI * hour as f64 / 24.0).sin();
    }
    assert!(Analysis::of(&surge, &spec).is_ok());
}

#[test]
fn few_readings_and_leaning_lines_are_told() {
    let port = port(Convention::SchuremanInstant);
    let clean = two_months(&port, 0.1);
    // A reading every two days or so, at no even step.
    let few: Vec<Reading> = (0..26).map(|k| clean[k * 55 + (k * k * 7) % 23]).collect();
    let names = |names: &str| Selection::Named(names.split(' ').map(str::to_owned).collect());
    let mut spec = AnalysisSpec {
        selection: names("M2 S2 N2 K1 O1 M4 MS4 MF MM"),
        ..AnalysisSpec::new(Convention::SchuremanInstant)
    };
    assert_eq!(few.len(), 26);
    let found = Analysis::of(&few, &spec).unwrap();
    assert!(found.warnings.contains(&Warning::FewReadings {
        readings: 26,
        unknowns: 19
    }));
    // The sum of squares is shared by the seven readings that are left over, not by all 26.
    let squares: f64 = found.residuals_m.iter().map(|r| r * r).sum();
    for fitted in &found.harmonics {
        let least = (squares / 7.0 * 2.0 / 26.0).sqrt();
        assert!(fitted.amplitude_error_m > 0.9 * least, "{fitted:?}");
    }
    spec.selection = names("M2 S2 N2 K1 O1 M4 MS4 MF MM 2N2 L2 NU2 MU2 Q1 J1");
    assert!(matches!(
        Analysis::of(&few, &spec),
        Err(Error::TooFewReadings {
            readings: 26,
            unknowns: 31
        })
    ));
    // Six weeks do not part K2 from S2, but they hold them apart far enough to be solved.
    spec.selection = names("M2 S2 K2 N2 O1 K1");
    let found = Analysis::of(&clean[..24 * 45], &spec).unwrap();
    assert!(
        matches!(
            found.warnings.as_slice(),
            [Warning::Leaning { name, on, error_inflation }, Warning::Leaning { .. }]
                if name == "S2" && on == "K2" && *error_inflation > 2.0
        ),
        "{:?}",
        found.warnings
    );
    spec.selection = names("M2 S2 N2 O1 K1");
    assert_eq!(Analysis::of(&clean, &spec).unwrap().warnings, []);
}

#[test]
fn the_cause_that_lines_look_alike_is_told() {
    let port = port(Convention::SchuremanInstant);
    let cause = |readings: &[Reading], names: &str| {
        let spec = AnalysisSpec {
            selection: Selection::Named(names.split(' ').map(str::to_owned).collect()),
            ..AnalysisSpec::new(Convention::SchuremanInstant)
        };
        match Analysis::of(readings, &spec) {
            Err(error @ Error::NotSeparable { cause, .. }) => (cause, error.to_string()),
            other => panic!("{other:?}"),
        }
    };
    let every = |step: i64, count: i64| -> Vec<Reading> {
        (0..count)
            .map(|index| {
                let at = start() + SignedDuration::from_hours(index * step);
                Reading {
                    at,
                    height_m: port.height_m(at).unwrap(),
                }
            })
            .collect()
    };
    // Once a day, K1 is a line of a year, and so is SA, for however long.
    let (why, text) = cause(&every(24, 3650), "K1 SA");
    assert_eq!(why, Likeness::Sampling { step_h: 24.0 });
    assert!(
        text.contains("every 24.00 hours") && !text.contains("days would do"),
        "{text}"
    );
    // Twice a day S2 stands still.
    assert_eq!(
        cause(&every(12, 3650), "S2").0,
        Likeness::Sampling { step_h: 12.0 }
    );
    assert_eq!(cause(&every(1, 240), "S2 K2").0, Likeness::ShortRecord);
    assert_eq!(cause(&every(1, 9000), "M2 KO2").0, Likeness::SameSpeed);
    // A few hours at the start and a few a year later do not show how N2 and M2 part.
    let ends: Vec<Reading> = every(1, 8800)
        .into_iter()
        .enumerate()
        .filter(|(hour, _)| *hour < 14 || *hour > 8784)
        .map(|(_, reading)| reading)
        .collect();
    let (why, text) = cause(&ends, "M2 S2 N2 K1");
    assert_eq!(why, Likeness::Gaps, "{text}");
    assert!(text.contains("gaps"), "{text}");
}

#[test]
fn an_analysis_is_refused_before_the_fit_for_what_it_cannot_use() {
    let readings = two_months(&port(Convention::SchuremanInstant), 0.0);
    let mut spec = AnalysisSpec::new(Convention::SchuremanInstant);
    let reduction = |name: &str, of: &str, share| Reduction {
        name: name.into(),
        of: of.into(),
        share,
    };
    for (reductions, expected) in [
        (
            vec![reduction("MM22", "M2", 0.5)],
            "unknown constituent `MM22`",
        ),
        (
            vec![reduction("M2", "MM22", 0.5)],
            "unknown constituent `MM22`",
        ),
        (vec![reduction("M2", "M2", 5.0)], "share 5"),
    ] {
        spec.reductions = reductions;
        let error = Analysis::of(&readings, &spec).map(|_| ()).unwrap_err();
        assert!(error.to_string().contains(expected), "{error}");
    }
    // A reduction of a line that this record does not hold is left for records that do.
    spec.reductions = vec![reduction("K2", "K2", 0.5), reduction("M2", "M2", 0.5)];
    let found = Analysis::of(&readings, &spec).unwrap();
    assert!(found.harmonics.iter().all(|fitted| fitted.name != "K2"));
    assert!(found.port().is_ok());

    spec.reductions.clear();
    spec.selection = Selection::Named(vec!["S2".into(), "lambda2".into(), "LAM2".into()]);
    let error = Analysis::of(&readings, &spec).map(|_| ()).unwrap_err();
    assert!(
        error.to_string().contains("`LAM2` repeats `lambda2`"),
        "{error}"
    );
    spec.selection = Selection::Named(vec!["M2".into(), "Z0".into()]);
    let error = Analysis::of(&readings, &spec).map(|_| ()).unwrap_err();
    assert!(matches!(error, Error::MeanLevelAsLine { .. }), "{error}");
}

#[test]
fn a_record_longer_than_a_span_is_analysed() {
    let port = port(Convention::IhoInstant);
    // Every 37 hours of 130 years.
    let readings: Vec<Reading> = (0..30_800)
        .map(|index| {
            let at = start() + SignedDuration::from_hours(37 * index);
            Reading {
                at,
                height_m: port.height_m(at).unwrap(),
            }
        })
        .collect();
    let spec = AnalysisSpec {
        selection: named(),
        ..AnalysisSpec::new(Convention::IhoInstant)
    };
    let found = Analysis::of(&readings, &spec).unwrap();
    assert!(found.residual.standard_deviation_m < 1e-5);
}
