//! Which visits count as evidence for what.

use crate::Record;
use wrackline_plan::levels::Standing;
use wrackline_plan::scenario::{Place, Scenario};

/// Where the water of a visit stood in relation to a place's band.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Band {
    /// From the push level up to the overtop level.
    Inside,
    /// Below the one or above the other.
    Outside,
    /// Nobody knows.
    Unknown,
}

/// The height that the high water of a visit was expected to reach: the prediction and what the
/// scenario expects beside it. A plan judges a coming tide by the same height, so that a visit in
/// a window of its own is not taken for one in other water.
pub fn expected_m(scenario: &Scenario, record: &Record) -> Option<f64> {
    Some(record.conditions?.high_water_m? + scenario.water().expected_m)
}

/// The height of the high water that a visit had: as seen, or else as expected.
pub fn level_m(scenario: &Scenario, record: &Record) -> Option<f64> {
    record
        .entry
        .observed_level_m
        .or_else(|| expected_m(scenario, record))
}

/// Where the water of a visit stood. A place without a push level is always in its band: the tide
/// plays no part there.
pub fn band(scenario: &Scenario, record: &Record, place: &Place) -> Band {
    classify(level_m(scenario, record), place)
}

/// The same by what was expected alone, to see which visits the water moved into another class.
pub fn expected_band(scenario: &Scenario, record: &Record, place: &Place) -> Band {
    classify(expected_m(scenario, record), place)
}

fn classify(level_m: Option<f64>, place: &Place) -> Band {
    if place.push_m.is_none() {
        return Band::Inside;
    }
    match level_m.map(|level_m| place.levels().standing(level_m)) {
        None => Band::Unknown,
        Some(Standing::InBand) => Band::Inside,
        Some(Standing::Under | Standing::Over) => Band::Outside,
    }
}
