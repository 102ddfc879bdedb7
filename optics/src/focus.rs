//! Focus: how deep the sharp zone is, and how soft everything else.
//!
//! All distances are geometry from the entrance pupil: a subject at u is sharp, a point elsewhere sends a cone through the
//! pupil that cuts the subject plane in a disc. With c the largest disc on the sensor that passes for a point and d the
//! diameter of the pupil, k = c/(m d) = cN/(mf); the near limit is u/(1 + k), the far limit u/(1 - k), infinite from k = 1
//! on. The total equals 2Nc(1 + m/P)/(m² - (Nc/f)²) (P. van Walree, *Derivation of the DOF equations*).

use crate::error::{Result, positive};
use crate::kit::Focused;
use crate::sensor::Sensor;

/// The largest disc on the sensor that passes for a point: always a choice, never a property of the lens.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "f64", into = "f64"))]
pub struct CircleOfConfusion {
    diameter_mm: f64,
}

impl CircleOfConfusion {
    /// The sensor's diagonal over a divisor. 1500 and 1730 are conventions about a small print seen from its diagonal's
    /// distance (common practice, no source), not physics.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) unless the divisor is finite and above zero.
    pub fn of_diagonal(sensor: &Sensor, divisor: f64) -> Result<Self> {
        Self::absolute_mm(sensor.diagonal_mm() / positive("divisor of the diagonal", divisor, "")?)
    }

    /// A number of pixels: what looks sharp on a screen at full size.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) unless the number is finite and above zero.
    pub fn pixels(sensor: &Sensor, number: f64) -> Result<Self> {
        Self::absolute_mm(sensor.pitch_mm() * positive("circle of confusion", number, "px")?)
    }

    /// A diameter on the sensor in millimetres.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) unless it is finite and above zero.
    pub fn absolute_mm(diameter_mm: f64) -> Result<Self> {
        Ok(Self {
            diameter_mm: positive("circle of confusion", diameter_mm, "mm")?,
        })
    }

    /// Its diameter on the sensor in millimetres.
    #[must_use]
    pub fn diameter_mm(&self) -> f64 {
        self.diameter_mm
    }
}

impl TryFrom<f64> for CircleOfConfusion {
    type Error = crate::Error;

    fn try_from(diameter_mm: f64) -> Result<Self> {
        Self::absolute_mm(diameter_mm)
    }
}

impl From<CircleOfConfusion> for f64 {
    fn from(circle: CircleOfConfusion) -> Self {
        circle.diameter_mm
    }
}

/// A distance that may have no end.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
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
    fn plus_m(self, more_m: f64) -> Self {
        match self {
            Self::At { distance_m } => Self::At {
                distance_m: distance_m + more_m,
            },
            Self::Infinity => Self::Infinity,
        }
    }
}

/// The zone in which points pass for points.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct DepthOfField {
    /// The near limit in metres from the sensor plane.
    pub near_m: f64,
    /// The far limit from the sensor plane.
    pub far: FarLimit,
    /// The near limit in metres from the entrance pupil.
    pub near_from_pupil_m: f64,
    /// The far limit from the entrance pupil.
    pub far_from_pupil: FarLimit,
    /// Depth from the near limit to the subject, in metres.
    pub in_front_m: f64,
    /// Depth from the subject to the far limit.
    pub behind: FarLimit,
    /// Depth from limit to limit.
    pub total: FarLimit,
}

impl Focused {
    /// The zone in which points pass for points, for a chosen circle of confusion.
    #[must_use]
    pub fn depth_of_field(&self, circle: CircleOfConfusion) -> DepthOfField {
        let u_m = self.entrance_pupil_distance_m();
        let to_pupil_m = self.sensor_to_pupil_mm / 1000.0;
        let k = circle.diameter_mm / (self.magnification * self.pupil_diameter_mm);
        let near_from_pupil_m = u_m / (1.0 + k);
        let in_front_m = near_from_pupil_m * k;
        let behind = if k < 1.0 {
            FarLimit::At {
                distance_m: u_m / (1.0 - k) * k,
            }
        } else {
            FarLimit::Infinity
        };
        let far_from_pupil = behind.plus_m(u_m);
        DepthOfField {
            near_m: near_from_pupil_m + to_pupil_m,
            far: far_from_pupil.plus_m(to_pupil_m),
            near_from_pupil_m,
            far_from_pupil,
            in_front_m,
            behind,
            total: behind.plus_m(in_front_m),
        }
    }
}
