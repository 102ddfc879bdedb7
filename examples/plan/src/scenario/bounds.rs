//! Bounds that a number must keep, and those that several tables share.

use super::reader::Table;

/// A finite interval that a number must lie in.
#[derive(Clone, Copy)]
pub(super) enum Bound {
    Within(f64, f64),
    /// Above the first, up to and including the second.
    AboveUpTo(f64, f64),
}

impl Bound {
    pub(super) fn admits(self, x: f64) -> bool {
        match self {
            Self::Within(low, high) => (low..=high).contains(&x),
            Self::AboveUpTo(low, high) => x > low && x <= high,
        }
    }

    pub(super) fn describe(self) -> String {
        match self {
            Self::Within(low, high) => format!("from {low} to {high}"),
            Self::AboveUpTo(low, high) => format!("above {low} and up to {high}"),
        }
    }
}

/// Metres above or below a datum that a level can have: more than any tide on Earth.
pub(super) const LEVEL: Bound = Bound::Within(-30.0, 30.0);
pub(super) const MINUTES: Bound = Bound::Within(0.0, 1440.0);
pub(super) const LATITUDE: Bound = Bound::Within(-90.0, 90.0);
pub(super) const LONGITUDE: Bound = Bound::Within(-180.0, 180.0);
pub(super) const BEARING: Bound = Bound::Within(0.0, 360.0);

/// A pair whose first must be below its second.
pub(super) fn ordered(table: &Table<'_, '_>, key: &'static str, bound: Bound) -> Option<[f64; 2]> {
    let [low, high] = table.pair(key, bound)?;
    if low >= high {
        table.report(
            key,
            format!("ends at {high}, before it starts at {low}"),
            "give the smaller number first",
        );
        return None;
    }
    Some([low, high])
}

pub(super) fn longest(table: &Table<'_, '_>, key: &'static str, bound: Bound) -> f64 {
    if table.is_list(key) {
        ordered(table, key, bound).map_or(1.0, |[_, long]| long)
    } else {
        table.number(key, bound)
    }
}
