//! A distance that may have no end.

use core::fmt;

/// A distance that may have no end: JSON and a photographer know no number for infinity.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
pub enum FarLimit {
    /// It ends here.
    At {
        /// The distance in metres.
        distance_m: f64,
    },
    /// It has no end.
    Infinity,
}

impl FarLimit {
    /// The distance in metres, if there is one.
    #[must_use]
    pub fn distance_m(self) -> Option<f64> {
        match self {
            Self::At { distance_m } => Some(distance_m),
            Self::Infinity => None,
        }
    }

    /// The same limit with something added to it.
    pub(crate) fn plus_m(self, more_m: f64) -> Self {
        match self {
            Self::At { distance_m } => Self::At {
                distance_m: distance_m + more_m,
            },
            Self::Infinity => Self::Infinity,
        }
    }
}

/// "12.5 m" with as many digits as the formatter asks for, or "infinity".
impl fmt::Display for FarLimit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::At { distance_m } => {
                fmt::Display::fmt(distance_m, f)?;
                f.write_str(" m")
            }
            Self::Infinity => f.write_str("infinity"),
        }
    }
}
