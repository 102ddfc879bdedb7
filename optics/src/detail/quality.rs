//! What lens, converter and colour mosaic leave of a pattern.

use alloc::vec::Vec;

use crate::error::{Error, Result, Valid, positive};

/// How far a lens falls short of a perfect one: the rms error of its wavefront, in waves.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "f64", into = "f64"))]
pub struct Wavefront {
    rms_waves: f64,
}

impl Wavefront {
    /// A lens without aberrations.
    pub const PERFECT: Self = Self { rms_waves: 0.0 };

    /// A lens with an rms wavefront error, 0 to 0.18 waves: beyond that the formula has no meaning.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside 0 to 0.18 waves.
    pub fn new(rms_waves: f64) -> Result<Self> {
        let valid = Valid {
            what: "rms wavefront error",
            lowest: 0.0,
            highest: LARGEST_ERROR,
            unit: "waves",
        };
        Ok(Self {
            rms_waves: valid.check(rms_waves)?,
        })
    }

    /// A wavefront that is known to be valid.
    pub(crate) const fn of_waves(rms_waves: f64) -> Self {
        Self { rms_waves }
    }

    /// The rms error in waves.
    #[must_use]
    pub fn rms_waves(&self) -> f64 {
        self.rms_waves
    }

    /// What the aberrations leave of the contrast that diffraction has left, at a frequency over
    /// the cut-off: 1 - (W/0.18)² (1 - 4(x - 1/2)²). Beyond the cut-off there is no contrast to
    /// take from, and it is 1.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a relative frequency outside 0 to 1e12.
    pub fn transfer(&self, relative_frequency: f64) -> Result<f64> {
        let valid = Valid {
            what: "frequency over the cut-off",
            lowest: 0.0,
            highest: 1e12,
            unit: "",
        };
        Ok(self.left_of(valid.check(relative_frequency)?))
    }

    pub(super) fn left_of(&self, relative_frequency: f64) -> f64 {
        let share = self.rms_waves / LARGEST_ERROR;
        let x = relative_frequency.min(1.0) - 0.5;
        1.0 - share * share * (1.0 - 4.0 * x * x)
    }
}

/// The constant of Shannon's formula.
const LARGEST_ERROR: f64 = 0.18;

impl TryFrom<f64> for Wavefront {
    type Error = Error;

    fn try_from(rms_waves: f64) -> Result<Self> {
        Self::new(rms_waves)
    }
}

impl From<Wavefront> for f64 {
    fn from(wavefront: Wavefront) -> Self {
        wavefront.rms_waves
    }
}

/// A point of a measured MTF.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct MtfPoint {
    /// Frequency in line pairs per millimetre at the bare lens's image, above zero.
    pub lp_per_mm: f64,
    /// The share of the contrast, 0 to 1.
    pub contrast: f64,
}

/// The measured MTF of a bare lens, diffraction included: straight lines between the points, from 1
/// at zero frequency, and from the last point down to nothing at the diffraction cut-off, where
/// every lens ends.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "Vec<MtfPoint>", into = "Vec<MtfPoint>")
)]
pub struct MeasuredMtf {
    points: Vec<MtfPoint>,
}

impl MeasuredMtf {
    /// A measured MTF from its points, frequencies rising.
    ///
    /// # Errors
    /// [`Error::NotPositive`] for an empty table or a frequency that is not finite and above zero;
    /// [`Error::OutOfRange`] for a contrast outside 0 to 1; [`Error::NotRising`] for a frequency
    /// that is not above the one before.
    pub fn new(points: Vec<MtfPoint>) -> Result<Self> {
        if points.is_empty() {
            return Err(Error::NotPositive {
                what: "number of points of the measured MTF",
                value: 0.0,
                unit: "",
            });
        }
        let mut before = 0.0;
        for point in &points {
            positive("frequency of the measured MTF", point.lp_per_mm, "lp/mm")?;
            Valid {
                what: "contrast of the measured MTF",
                lowest: 0.0,
                highest: 1.0,
                unit: "",
            }
            .check(point.contrast)?;
            if point.lp_per_mm <= before {
                return Err(Error::NotRising {
                    what: "frequency of the measured MTF",
                    lower: before,
                    upper: point.lp_per_mm,
                    unit: "lp/mm",
                });
            }
            before = point.lp_per_mm;
        }
        Ok(Self { points })
    }

    /// The contrast at a frequency of the bare lens's image, for a lens whose diffraction ends at
    /// `cutoff_lp_per_mm`.
    pub(super) fn transfer(&self, lp_per_mm: f64, cutoff_lp_per_mm: f64) -> f64 {
        if lp_per_mm >= cutoff_lp_per_mm {
            return 0.0;
        }
        let start = MtfPoint {
            lp_per_mm: 0.0,
            contrast: 1.0,
        };
        let after = self
            .points
            .partition_point(|point| point.lp_per_mm < lp_per_mm);
        let low = if after == 0 {
            start
        } else {
            self.points[after - 1]
        };
        let end = MtfPoint {
            lp_per_mm: cutoff_lp_per_mm,
            contrast: 0.0,
        };
        let high = self
            .points
            .get(after)
            .copied()
            .filter(|point| point.lp_per_mm < cutoff_lp_per_mm)
            .unwrap_or(end);
        let part = (lp_per_mm - low.lp_per_mm) / (high.lp_per_mm - low.lp_per_mm);
        low.contrast + part * (high.contrast - low.contrast)
    }
}

impl TryFrom<Vec<MtfPoint>> for MeasuredMtf {
    type Error = Error;

    fn try_from(points: Vec<MtfPoint>) -> Result<Self> {
        Self::new(points)
    }
}

impl From<MeasuredMtf> for Vec<MtfPoint> {
    fn from(measured: MeasuredMtf) -> Self {
        measured.points
    }
}

/// What is known of the bare lens's sharpness.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum LensQuality {
    /// An rms wavefront error on top of diffraction.
    Wavefront(Wavefront),
    /// A measurement, diffraction included.
    Measured(MeasuredMtf),
}

/// How colour is sampled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum Mosaic {
    /// Every pixel sees every colour.
    None,
    /// Half of the pixels see green, in a chequerboard, and the other half take the mean of their
    /// four neighbours: along a row this passes 3/4 + cos(2πνp)/4 of the contrast. Cleverer
    /// reconstruction does better, so this is the cautious end.
    GreenChequerboard,
}

crate::words::words!(Mosaic, "colour mosaic": {
    None => "none",
    GreenChequerboard => "green chequerboard",
});

impl Mosaic {
    pub(super) fn transfer(self, periods_a_pixel: f64) -> f64 {
        match self {
            Self::None => 1.0,
            Self::GreenChequerboard => {
                0.75 + 0.25 * libm::cos(core::f64::consts::TAU * periods_a_pixel)
            }
        }
    }
}
