//! Bounds that a number must keep, and those that several tables share.

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
