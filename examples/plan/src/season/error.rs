//! Why a season, or a project in it, cannot be computed.

use jiff::civil::Date;

use crate::words::Unknown;

/// The longest season, in days: ten years.
pub const MOST_DAYS: u32 = 3660;
/// The most visits that are allocated to a project: one a day for a year.
pub const MOST_VISITS: u32 = 366;

/// Why a season cannot be computed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A name that the scenario does not have.
    #[error(transparent)]
    Unknown(#[from] Unknown),
    /// A number of days that makes no season.
    #[error("{days} days is out of range; give 1 to {MOST_DAYS}")]
    Days {
        /// The number of days.
        days: u32,
    },
    /// A project without a wanted picture.
    #[error("the scenario wants no picture; add [[wanted]] with a `name` and its `light`")]
    NothingWanted,
    /// More visits than are allocated.
    #[error("{visits} visits is out of range; give 0 to {MOST_VISITS}")]
    Visits {
        /// The number of visits.
        visits: u32,
    },
    /// Dates outside of what the calendar or the tide can represent.
    #[error("the season from {from} cannot be computed: {reason}; choose other dates")]
    Dates {
        /// First day.
        from: Date,
        /// Why.
        reason: String,
    },
}

impl Error {
    /// Dates that something refused.
    pub(super) fn dates(from: Date, error: &dyn std::fmt::Display) -> Self {
        Self::Dates {
            from,
            reason: error.to_string(),
        }
    }
}
