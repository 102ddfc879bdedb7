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

/// Instants at even distances.
///
/// ```
/// use jiff::SignedDuration;
/// use wrackline_solar::Grid;
///
/// let start = "2026-12-29T00:00:00Z".parse()?;
/// assert!(Grid::new(start, SignedDuration::from_mins(10)).is_ok());
/// assert!(Grid::new(start, SignedDuration::from_mins(-10)).is_err());
/// # Ok::<(), jiff::Error>(())
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
}

impl Grid {
    /// Instants from a start on.
    ///
    /// # Errors
    /// If the step is negative, or longer than 1e12 seconds.
    pub fn new(start: Timestamp, step: SignedDuration) -> Result<Self, Error> {
        within("step of the grid", step.as_secs_f64(), 0.0, 1e12, "s")?;
        Ok(Self { start, step })
    }

    /// The first instant.
    #[must_use]
    pub fn start(&self) -> Timestamp {
        self.start
    }

    /// The distance from one to the next, not negative.
    #[must_use]
    pub fn step(&self) -> SignedDuration {
        self.step
    }
}
