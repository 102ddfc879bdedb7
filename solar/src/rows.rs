//! What goes into a batch and what comes out of it.

use jiff::{SignedDuration, Timestamp};

use crate::error::{Error, within};

/// A direction at the observer, without the air.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Horizontal {
    /// Azimuth of the centre in degrees, clockwise from true north, 0 to 360.
    pub azimuth_deg: f64,
    /// Airless altitude of the centre in degrees.
    pub altitude_deg: f64,
}

/// The moon at an observer and how it is lit, as a batch gives it: without the air.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct LitMoon {
    /// Azimuth of the centre in degrees, clockwise from true north, 0 to 360.
    pub azimuth_deg: f64,
    /// Airless altitude of the centre in degrees.
    pub altitude_deg: f64,
    /// Distance from the observer in kilometres.
    pub distance_km: f64,
    /// Lit fraction of the disc, 0 to 1, for the centre of the Earth.
    pub lit_fraction: f64,
    /// Angle at the moon between sun and Earth in degrees, 0 (full) to 180 (new).
    pub phase_angle_deg: f64,
}

/// Instants at equal steps, checked: one at least, the last within what a timestamp holds.
///
/// ```
/// use jiff::SignedDuration;
/// use wrackline_solar::Grid;
///
/// let start = "2026-12-29T00:00:00Z".parse()?;
/// let day = Grid::new(start, SignedDuration::from_mins(10), 144)?;
/// assert_eq!(day.last(), "2026-12-29T23:50:00Z".parse()?);
/// assert_eq!(day.instants().nth(6), Some("2026-12-29T01:00:00Z".parse()?));
/// assert!(Grid::new(start, SignedDuration::from_mins(-10), 144).is_err());
/// # Ok::<(), Box<dyn core::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(
        try_from = "crate::record::GridRecord",
        into = "crate::record::GridRecord"
    )
)]
pub struct Grid {
    start: Timestamp,
    step: SignedDuration,
    len: usize,
}

impl Grid {
    /// From the first instant, the step and the number of instants.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a step that is not longer than nothing, or longer than 1e12
    /// seconds; [`Error::GridLength`] for no instants, or more than time has room for.
    pub fn new(start: Timestamp, step: SignedDuration, len: usize) -> Result<Self, Error> {
        within("step of the grid", step.as_secs_f64(), 1e-9, 1e12, "s")?;
        let last = len
            .checked_sub(1)
            .and_then(|last| i32::try_from(last).ok())
            .and_then(|last| step.checked_mul(last))
            .and_then(|length| start.checked_add(length).ok());
        if last.is_none() {
            return Err(Error::GridLength { len });
        }
        Ok(Self { start, step, len })
    }

    /// The first instant.
    #[must_use]
    pub fn start(&self) -> Timestamp {
        self.start
    }

    /// From one instant to the next.
    #[must_use]
    pub fn step(&self) -> SignedDuration {
        self.step
    }

    /// How many instants; never none.
    #[must_use]
    #[allow(clippy::len_without_is_empty, reason = "a grid is never empty")]
    pub fn len(&self) -> usize {
        self.len
    }

    /// The last instant.
    #[must_use]
    pub fn last(&self) -> Timestamp {
        self.at(self.len - 1)
    }

    /// The instants in order.
    #[must_use]
    pub fn instants(&self) -> impl ExactSizeIterator<Item = Timestamp> + use<> {
        let grid = *self;
        (0..self.len).map(move |index| grid.at(index))
    }

    /// The instant of an index below the length.
    pub(crate) fn at(&self, index: usize) -> Timestamp {
        // The last instant has been found to exist, and the others lie before it.
        i32::try_from(index)
            .ok()
            .and_then(|index| self.step.checked_mul(index))
            .and_then(|length| self.start.checked_add(length).ok())
            .unwrap_or(self.start)
    }
}
