//! What is asked of a curve outside what it knows, or with what is no number, is refused and
//! named: an empty answer would read as water that never comes.

#![allow(clippy::unwrap_used)]

use jiff::{SignedDuration, Timestamp};
use wrackline_tides::{
    ClockDifference, Convention, Error, Grid, Harmonic, HeightTable, LevelBand, Longitudes, Port,
    PortSpec, Predictor, Residual, ResidualSpec, SecondaryPort, SecondarySpec, Shallow, SlowAngles,
    SpringNeapHeights, Turn, TurnKind, WaterBounds, springs_and_neaps, without_shallow,
};

fn port() -> Port {
    let line = |name: &str, amplitude_m, phase_lag_deg| Harmonic {
        name: name.into(),
        amplitude_m,
        phase_lag_deg,
    };
    Port::new(PortSpec {
        mean_level_m: 4.0,
        harmonics: &[line("M2", 2.0, 100.0), line("S2", 0.7, 140.0)],
        convention: Convention::IhoInstant,
    })
    .unwrap()
}

fn at(text: &str) -> Timestamp {
    text.parse().unwrap()
}

fn day() -> Predictor {
    let span = at("2026-06-01T00:00:00Z")..at("2026-06-02T00:00:00Z");
    port().predictor(span).unwrap()
}

const NO_NUMBERS: [f64; 3] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY];

#[test]
fn instants_outside_the_span_are_refused_on_every_way_in() {
    let tide = day();
    let table = HeightTable::of(&tide);
    let (start, end) = (tide.span().start, tide.span().end);
    let instant = SignedDuration::from_nanos(1);
    for outside in [start - instant, end + instant, at("1999-01-01T00:00:00Z")] {
        let refused = Error::OutsideSpan {
            at: outside,
            start,
            end,
        };
        let given = [start, outside];
        let (mut one, mut two) = ([7.0; 2], [7.0; 2]);
        assert_eq!(tide.height_m(outside), Err(refused.clone()));
        assert_eq!(tide.rate_m_per_h(outside), Err(refused.clone()));
        assert_eq!(tide.next_turn(outside), Err(refused.clone()));
        assert_eq!(tide.share_of_range(outside), Err(refused.clone()));
        assert_eq!(tide.fill_heights_at(&given, &mut one), Err(refused.clone()));
        assert_eq!(
            tide.fill_heights_and_rates_at(&given, &mut one, &mut two),
            Err(refused.clone())
        );
        assert_eq!((one, two), ([7.0; 2], [7.0; 2]), "nothing is filled");
        assert_eq!(table.height_m(outside), Err(refused.clone()));
        assert_eq!(table.fill_heights_at(&given, &mut one), Err(refused));
    }
    let long = Grid::new(start, SignedDuration::from_hours(12), 4).unwrap();
    let refused = Error::OutsideSpan {
        at: long.last(),
        start,
        end,
    };
    assert_eq!(
        tide.fill_heights(&long, &mut [0.0; 4]),
        Err(refused.clone())
    );
    assert_eq!(tide.fill_rates(&long, &mut [0.0; 4]), Err(refused));
    // Stretches end where the span does, so the end itself has a height.
    assert!((table.height_m(end).unwrap() - tide.height_m(end).unwrap()).abs() < 1e-6);
    assert!((tide.height_m(end).unwrap() - port().height_m(end).unwrap()).abs() < 1e-5);
}

#[test]
fn years_without_a_theory_are_refused() {
    for (text, covered) in [
        ("1599-12-31T23:59:59Z", false),
        ("1600-01-01T00:00:00Z", true),
        ("2400-01-01T00:00:00Z", true),
        ("2400-01-01T00:00:01Z", false),
        ("9000-01-01T00:00:00Z", false),
    ] {
        let height = port().height_m(at(text));
        assert_eq!(height.is_ok(), covered, "{text}");
        if !covered {
            assert_eq!(height, Err(Error::OutsideYears { at: at(text) }));
        }
    }
}

#[test]
fn levels_that_are_no_number_are_refused() {
    let tide = day();
    let bounds = WaterBounds {
        upper_m: 0.3,
        lower_m: -0.2,
    };
    let weather = Residual::new(ResidualSpec {
        bias_m: 0.0,
        standard_deviation_m: 0.2,
        pressure_hpa: None,
        surge_m: 0.0,
        upper_allowance_m: 0.0,
        lower_allowance_m: 0.0,
        memory_h: 24.0,
    })
    .unwrap();
    fn refused<T: std::fmt::Debug>(answer: Result<T, Error>) {
        assert!(
            matches!(answer, Err(Error::OutOfRange { .. })),
            "{answer:?}"
        );
    }
    for level_m in NO_NUMBERS {
        let band = |lowest_m, highest_m| LevelBand {
            lowest_m,
            highest_m,
        };
        refused(tide.crossings(level_m));
        refused(tide.above(level_m));
        refused(tide.below(level_m));
        refused(tide.between(band(level_m, 5.0)));
        refused(tide.between(band(3.0, level_m)));
        refused(tide.possibly_above(level_m, bounds));
        refused(tide.surely_above(level_m, bounds));
        refused(tide.probability_above(level_m, &weather));
        let upper_m = level_m;
        refused(tide.possibly_above(5.0, WaterBounds { upper_m, ..bounds }));
        let lower_m = level_m;
        refused(tide.surely_above(5.0, WaterBounds { lower_m, ..bounds }));
    }
    let wrong_way = LevelBand {
        lowest_m: 5.0,
        highest_m: 4.0,
    };
    assert_eq!(
        tide.between(wrong_way).unwrap_err().to_string(),
        "levels of a band 4 m follows 5 m: give figures that rise"
    );
}

#[test]
fn turns_and_angles_from_elsewhere_are_looked_at() {
    let hours = |minutes| [0.0, 6.0].map(|hour| ClockDifference { hour, minutes });
    let secondary = SecondaryPort::new(SecondarySpec {
        standard: SpringNeapHeights {
            mhws_m: 5.0,
            mhwn_m: 4.0,
            mlwn_m: 2.0,
            mlws_m: 1.0,
        },
        differences: SpringNeapHeights {
            mhws_m: 0.0,
            mhwn_m: 0.0,
            mlwn_m: 0.0,
            mlws_m: 0.0,
        },
        high_water: hours(20.0),
        low_water: hours(20.0),
        utc_offset_h: 0.0,
    })
    .unwrap();
    let turn = |height_m| Turn {
        at: at("2026-06-01T03:00:00Z"),
        height_m,
        kind: TurnKind::HighWater,
    };
    for none in NO_NUMBERS {
        assert!(secondary.turn(turn(none)).is_err());
        assert!(secondary.turns(&[turn(4.0), turn(none)]).is_err());
        assert!(springs_and_neaps(&[turn(none)]).is_err());
        assert!(without_shallow(&[turn(none)], Shallow::NOAA).is_err());
        let range_m = none;
        let shallow = Shallow {
            range_m,
            ..Shallow::NOAA
        };
        assert!(without_shallow(&[turn(4.0)], shallow).is_err());
        let real = Longitudes::at(at("2026-06-01T03:00:00Z")).angles();
        assert_eq!(Longitudes::new(real).unwrap().angles(), real);
        let node_deg = none;
        assert!(Longitudes::new(SlowAngles { node_deg, ..real }).is_err());
        let hours_since_2000 = none;
        let angles = SlowAngles {
            hours_since_2000,
            ..real
        };
        assert!(Longitudes::new(angles).is_err());
    }
    let last = Turn {
        at: Timestamp::MAX,
        ..turn(4.0)
    };
    assert!(matches!(
        secondary.turn(last),
        Err(Error::OutsideYears { .. })
    ));
}
