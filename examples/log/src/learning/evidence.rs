//! Which visits count as evidence for what.

use crate::Record;
use wrackline_plan::levels::Standing;
use wrackline_plan::scenario::Place;

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

/// The height of the high water that a visit had: as seen, or else as predicted.
pub fn level_m(record: &Record) -> Option<f64> {
    let predicted = || {
        record
            .conditions
            .and_then(|conditions| conditions.high_water_m)
    };
    record.entry.observed_level_m.or_else(predicted)
}

/// Where the water of a visit stood. A place without a push level is always in its band: the tide plays no part there.
pub fn band(record: &Record, place: &Place) -> Band {
    classify(level_m(record), place)
}

/// The same by the prediction alone, to see which visits the residual moved into another class.
pub fn predicted_band(record: &Record, place: &Place) -> Band {
    classify(
        record
            .conditions
            .and_then(|conditions| conditions.high_water_m),
        place,
    )
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
