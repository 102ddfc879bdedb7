//! Values written as words and read back.
#![allow(clippy::unwrap_used)]

use std::fmt::Display;
use std::str::FromStr;

use wrackline_tides::{Constituent, Convention, Error, Flow, Latitude, LengthUnit, TurnKind};

fn there_and_back<T: Display + FromStr<Err = Error> + PartialEq + std::fmt::Debug>(value: T) {
    assert_eq!(value.to_string().parse::<T>().unwrap(), value);
    let error = "nonsense@1".parse::<T>().unwrap_err().to_string();
    assert!(error.contains("nonsense@1"), "{error}");
}

#[test]
fn words_are_read_as_they_are_written() {
    let foreman = Convention::ForemanInstant(Latitude::new(-33.9).unwrap());
    for convention in [
        Convention::SchuremanAnnual,
        Convention::SchuremanInstant,
        Convention::IhoInstant,
        Convention::Rijkswaterstaat,
        foreman,
    ] {
        there_and_back(convention);
    }
    there_and_back(TurnKind::HighWater);
    there_and_back(TurnKind::LowWater);
    there_and_back(Flow::Rising);
    there_and_back(Flow::Falling);
    for unit in [LengthUnit::Metre, LengthUnit::Centimetre, LengthUnit::Foot] {
        there_and_back(unit);
    }
    for name in ["M2", "2(MS)N10", "SA(FOREMAN)"] {
        there_and_back(Constituent::named(name).unwrap());
    }
    let error = "foreman-instant@97".parse::<Convention>().unwrap_err();
    assert_eq!(
        error.to_string(),
        "latitude 97 deg is out of range: give -90 to 90 deg"
    );
}
