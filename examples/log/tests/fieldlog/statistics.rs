//! The statistics against scipy and numpy (`tests/data/learning.py`), and against published
//! figures.

use serde_json::Value;
use wrackline_log::Wind;
use wrackline_log::learning::beta::{Beta, students_t};
use wrackline_log::learning::bracket::Seen;
use wrackline_log::learning::diary::{Fit, Line, Reading, Spread};
use wrackline_log::learning::occupancy::{blanks_needed, still_used, still_used_given};
use wrackline_log::learning::pooled::{Pool, Tally};
use wrackline_log::learning::{Bracket, Expected};

fn reference() -> Value {
    serde_json::from_str(include_str!("../data/learning.json")).unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value
        .as_array()
        .unwrap()
        .iter()
        .map(|x| x.as_f64().unwrap())
        .collect()
}

#[test]
fn beta_quantiles_agree_with_scipy() {
    let mut worst: f64 = 0.0;
    for row in reference()["beta_quantiles"].as_array().unwrap() {
        let row = numbers(row);
        let got = Beta::new(row[0], row[1]).unwrap().quantile(row[2]);
        worst = worst.max((got - row[3]).abs());
    }
    // Halving ends at 2^-60; what is left is the distribution function's own error, relative 1e-12
    // or so at these shapes, over the density, which is at least 0.01 in these tails.
    assert!(worst < 1e-10, "{worst:e}");
}

#[test]
fn student_quantiles_agree_with_scipy() {
    for row in reference()["student_quantiles"].as_array().unwrap() {
        let row = numbers(row);
        let got = students_t(row[0], row[1]);
        // x = df / (df + t^2) is found to about 1e-16; where x is near 1, the small t comes out of
        // the difference 1 - x.
        assert!((got / row[2] - 1.0).abs() < 1e-10, "{row:?} {got}");
    }
}

#[test]
fn misses_in_a_row_agree_with_scipy() {
    for row in reference()["misses_in_a_row"].as_array().unwrap() {
        let row = numbers(row);
        let got = Beta::new(row[0], row[1])
            .unwrap()
            .misses_in_a_row(row[2] as u32);
        assert!((got / row[3] - 1.0).abs() < 1e-12);
    }
}

#[test]
fn pooled_chances_agree_with_a_grid_ten_times_finer() {
    let mut worst: f64 = 0.0;
    for case in reference()["pools"].as_array().unwrap() {
        let places = case["places"].as_array().unwrap();
        let tally = |place: &Value| Tally {
            hits: place["hits"].as_f64().unwrap(),
            misses: place["misses"].as_f64().unwrap(),
        };
        let tallies: Vec<Tally> = places.iter().map(tally).collect();
        let pool = Pool::learn(&tallies);
        for place in places.iter().chain([&case["new_place"]]) {
            let shrunk = pool.at(tally(place));
            let interval = shrunk.interval(0.90);
            for (got, key) in [
                (shrunk.mean(), "mean"),
                (interval.low, "low"),
                (interval.high, "high"),
            ] {
                worst = worst.max((got - place[key].as_f64().unwrap()).abs());
            }
        }
    }
    // Midpoint integration in 40 steps across what matters, against 400 across everything: the
    // observed difference is 0.0002. Chances are printed in whole per cent, of which this is a
    // twentieth.
    assert!(worst < 0.0005, "{worst}");
}

/// Gelman, Carlin, Stern, Dunson, Vehtari and Rubin (2013), Bayesian Data Analysis, 3rd edition,
/// section 5.3: for the 71 groups of rats the posterior means of the common shapes are 2.4 and
/// 14.3, printed to one decimal.
#[test]
fn the_rat_tumour_example() {
    let rats: Vec<Tally> = reference()["pools"][3]["places"]
        .as_array()
        .unwrap()
        .iter()
        .map(|place| Tally {
            hits: place["hits"].as_f64().unwrap(),
            misses: place["misses"].as_f64().unwrap(),
        })
        .collect();
    assert_eq!(rats.len(), 71);
    let (a, b) = Pool::learn(&rats).expected_shapes();
    // Half the last printed digit.
    assert!(
        (a - 2.4).abs() <= 0.05 && (b - 14.3).abs() <= 0.05,
        "{a} {b}"
    );
}

#[test]
fn few_visits_are_drawn_to_the_others_and_many_stay() {
    let others = Tally {
        hits: 40.0,
        misses: 10.0,
    };
    let few = Tally {
        hits: 0.0,
        misses: 1.0,
    };
    let many = Tally {
        hits: 0.0,
        misses: 60.0,
    };
    let alone = |tally: Tally| Beta::UNIFORM.after(tally.hits, tally.misses).mean();
    let pool = Pool::learn(&[others, others, others, few]);
    assert!(pool.at(few).mean() > alone(few) + 0.2);
    let pool = Pool::learn(&[others, others, others, many]);
    assert!((pool.at(many).mean() - alone(many)).abs() < 0.03);
}

#[test]
fn the_diary_agrees_with_least_squares() {
    let diary = &reference()["diary"];
    let lines: Vec<Line> = diary["lines"]
        .as_array()
        .unwrap()
        .iter()
        .map(numbers)
        .map(|row| Line {
            residual_m: row[0],
            pressure_hpa: row[1],
            wind: Wind::From {
                point: row[2] as u8,
                force: row[3] as u8,
            },
        })
        .collect();
    let fit = Fit::of(&lines).unwrap();
    // The normal equations square the condition number, here about 1e3: 1e-16 becomes 1e-10.
    let near = |got: f64, want: &Value| {
        assert!((got - want.as_f64().unwrap()).abs() < 1e-10, "{got} {want}")
    };
    for i in 0..4 {
        near(fit.coefficients[i], &diary["coefficients"][i]);
        near(fit.standard_errors[i], &diary["standard_errors"][i]);
    }
    near(fit.left_over_m, &diary["left_over_m"]);
    let forecast = fit.forecast(
        diary["forecast_pressure_hpa"].as_f64().unwrap(),
        Wind::parse("NW5").unwrap(),
    );
    near(forecast.residual_m, &diary["forecast_m"]);
    near(forecast.margin_m, &diary["forecast_margin_m"]);
}

#[test]
fn a_diary_that_cannot_tell_is_not_fitted() {
    let line = Line {
        residual_m: 0.1,
        pressure_hpa: 1013.0,
        wind: Wind::Calm,
    };
    assert_eq!(Fit::of(&[line; 7]), None, "too few");
    assert_eq!(
        Fit::of(&[line; 30]),
        None,
        "pressure and wind never changed"
    );
}

/// Kéry (2002), Inferring the absence of a species, Animal Conservation 5, 330-338: the number of
/// visits for 95 % belief in absence is n = ln 0.05 / ln(1 - p). The rounded values are arithmetic.
#[test]
fn blanks_for_belief_in_absence() {
    for (p, n) in [(0.2, 14), (0.3, 9), (0.4, 6), (0.5, 5), (0.6, 4)] {
        assert_eq!(blanks_needed(p, 0.95), Some(n));
        // The definition itself: n visits are enough and n - 1 are not.
        assert!(
            f64::powf(1.0 - p, f64::from(n)) <= 0.05 && f64::powf(1.0 - p, f64::from(n - 1)) > 0.05
        );
    }
    for p in [0.0, 1.0, -0.1, f64::NAN, 1e-12] {
        assert_eq!(blanks_needed(p, 0.95), None);
    }
}

/// Wintle, Walshe, Parris and McCarthy (2012), Designing occupancy surveys and interpreting
/// non-detection when observations are imperfect, Diversity and Distributions 18: psi = 0.8 and p =
/// 0.3 give .58, .40, .19 after 3, 5 and 8 blanks (two decimals, worked from the paper's formula).
#[test]
fn still_used_after_blanks() {
    for (n, want) in [(3, 0.58), (5, 0.40), (8, 0.19)] {
        assert!((still_used(0.8, 0.3, n).unwrap() - want).abs() <= 0.005);
    }
    assert_eq!(still_used(0.8, 0.3, 0), Some(0.8));
    assert_eq!(still_used(1.0, 1.0, 1), None);
    assert_eq!(still_used(f64::NAN, 0.3, 1), None);
    // A chance that is known exactly gives the same as the plain formula; one that is not known
    // keeps more belief, since the blanks may as well mean that the animals are hard to find.
    let exact = Beta::new(300_000.0, 700_000.0).unwrap();
    assert!(
        (still_used_given(0.8, exact, 5).unwrap() - still_used(0.8, 0.3, 5).unwrap()).abs() < 1e-4
    );
    let vague = Beta::new(3.0, 7.0).unwrap();
    assert!(still_used_given(0.8, vague, 5).unwrap() > still_used(0.8, 0.3, 5).unwrap());
}

/// The mean of the water needs its levels alone, and no weather.
#[test]
fn the_spread_of_the_water_agrees_with_numpy_and_scipy() {
    let reference = &reference()["spread"];
    let readings: Vec<Reading> = numbers(&reference["residuals_m"])
        .into_iter()
        .map(|residual_m| Reading {
            residual_m,
            pressure_hpa: None,
            wind: None,
        })
        .collect();
    let spread = Spread::of(&readings).unwrap();
    for (got, key) in [
        (spread.mean_m, "mean_m"),
        (spread.standard_deviation_m, "standard_deviation_m"),
        (spread.margin_m, "margin_m"),
    ] {
        // Sums of 40 numbers near 1, and Student's quantile to 1e-10.
        assert!(
            (got - reference[key].as_f64().unwrap()).abs() < 1e-11,
            "{key}"
        );
    }
    assert_eq!(Spread::of(&readings[..1]), None);
    assert_eq!(Spread::of(&[]), None);
}

#[test]
fn what_a_tide_leaves_of_a_bracket_agrees_with_an_integral() {
    for row in reference()["brackets"].as_array().unwrap() {
        let row = numbers(row);
        let seen = |level_m| {
            Some(Seen {
                level_m,
                id: String::new(),
            })
        };
        let bracket = Bracket {
            above: seen(row[0]),
            below: seen(row[1]),
        };
        let expected = Expected {
            level_m: row[2] + row[3],
            standard_deviation_m: row[4],
        };
        let got = bracket.width_after_m(expected).unwrap();
        // 41 points over the normal distribution; the function has two kinks. It is printed to the
        // centimetre, of which this is a tenth.
        assert!((got - row[5]).abs() < 0.001, "{got} {row:?}");
    }
}
