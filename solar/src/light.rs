//! What the light does at the subject.

use crate::angle::signed_deg;
use crate::error::{Error, within};

/// A view and the sun that lights it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// Azimuth of the sun in degrees, clockwise from true north.
    pub sun_azimuth_deg: f64,
    /// Bearing from the camera to the subject in degrees, clockwise from true north.
    pub bearing_deg: f64,
}

/// The angle between the shadow line (away from the sun) and the view, in degrees: 0 with the sun behind the camera,
/// 180 when the camera points into the sun.
///
/// ```
/// use wrackline_solar::{View, shadow_line_angle_deg};
///
/// // Evening sun in the west, camera to the east.
/// assert_eq!(shadow_line_angle_deg(View { sun_azimuth_deg: 270.0, bearing_deg: 90.0 }), 0.0);
/// ```
pub fn shadow_line_angle_deg(view: View) -> f64 {
    signed_deg(view.bearing_deg - view.sun_azimuth_deg - 180.0).abs()
}

/// From which side the light falls on the subject, as the camera sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LightSide {
    /// From behind the camera.
    Front,
    /// Over the photographer's shoulder.
    Shoulder,
    /// From the side.
    Side,
    /// From behind the subject, lighting its rim.
    Rim,
    /// The camera points into the sun.
    IntoTheSun,
}

/// The upper limits of the sides, as angles between the shadow line and the view in degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideLimitsSpec {
    /// Up to here front light.
    pub front_deg: f64,
    /// Up to here light over the shoulder.
    pub shoulder_deg: f64,
    /// Up to here side light.
    pub side_deg: f64,
    /// Up to here rim light; beyond, into the sun.
    pub rim_deg: f64,
}

/// Limits that divide the angle between shadow line and view into sides of light.
///
/// ```
/// use wrackline_solar::{LightSide, SideLimits};
///
/// assert_eq!(SideLimits::default().side(45.0), LightSide::Shoulder);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideLimits {
    spec: SideLimitsSpec,
}

impl Default for SideLimits {
    /// 30, 60, 120 and 160 degrees (our choice, no source).
    fn default() -> Self {
        Self {
            spec: SideLimitsSpec {
                front_deg: 30.0,
                shoulder_deg: 60.0,
                side_deg: 120.0,
                rim_deg: 160.0,
            },
        }
    }
}

impl SideLimits {
    /// Limits of one's own.
    ///
    /// # Errors
    /// If a limit lies outside 0 to 180 degrees or is not a number, or if the limits do not rise.
    pub fn new(spec: SideLimitsSpec) -> Result<Self, Error> {
        let limits = [
            spec.front_deg,
            spec.shoulder_deg,
            spec.side_deg,
            spec.rim_deg,
        ];
        for limit in limits {
            within("the limit of a side of light in degrees", limit, 0.0, 180.0)?;
        }
        for pair in limits.windows(2) {
            if pair[0] >= pair[1] {
                return Err(Error::NotRising {
                    what: "the limits of the sides of light in degrees",
                    lower: pair[0],
                    upper: pair[1],
                });
            }
        }
        Ok(Self { spec })
    }

    /// The limits themselves.
    pub fn spec(&self) -> SideLimitsSpec {
        self.spec
    }

    /// The side on which an angle between shadow line and view lies; a limit belongs to the side that it closes.
    pub fn side(&self, shadow_line_angle_deg: f64) -> LightSide {
        match shadow_line_angle_deg {
            a if a <= self.spec.front_deg => LightSide::Front,
            a if a <= self.spec.shoulder_deg => LightSide::Shoulder,
            a if a <= self.spec.side_deg => LightSide::Side,
            a if a <= self.spec.rim_deg => LightSide::Rim,
            _ => LightSide::IntoTheSun,
        }
    }
}
