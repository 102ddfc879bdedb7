//! Focus: how deep the sharp zone is, and how soft everything else.
//!
//! All distances are geometry from the entrance pupil: a subject at u is sharp, a point elsewhere
//! sends a cone through the pupil that cuts the subject plane in a disc. With c the largest disc on
//! the sensor that passes for a point and d the diameter of the pupil, k = c/(m d) = cN/(mf); the
//! near limit is u/(1 + k), the far limit u/(1 - k), infinite from k = 1 on. The total equals 2Nc(1
//! + m/P)/(m² - (Nc/f)²) (P. van Walree, *Derivation of the DOF equations*).

mod wish;

pub use wish::{DepthWish, SharpBetween, SharpSetting};

use crate::detail::diffraction::Diffraction;
use crate::error::{Result, Valid, positive};
use crate::far_limit::FarLimit;
use crate::kit::{AtInfinity, Focused, Kit};
use crate::sensor::Sensor;

/// The largest disc on the sensor that passes for a point: always a choice, never a property of the
/// lens.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "f64", into = "f64"))]
pub struct CircleOfConfusion {
    diameter_mm: f64,
}

impl CircleOfConfusion {
    /// The sensor's diagonal over a divisor. 1500 and 1730 are conventions about a small print seen
    /// from its diagonal's distance (common practice, no source), not physics.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) unless the divisor is finite and above
    /// zero.
    pub fn of_diagonal(sensor: &Sensor, divisor: f64) -> Result<Self> {
        Self::absolute_mm(sensor.diagonal_mm() / positive("divisor of the diagonal", divisor, "")?)
    }

    /// A number of pixels: what looks sharp on a screen at full size.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) unless the number is finite and above
    /// zero.
    pub fn pixels(sensor: &Sensor, number: f64) -> Result<Self> {
        Self::absolute_mm(sensor.pitch_mm() * positive("circle of confusion", number, "px")?)
    }

    /// What an eye separates on a print: acuity times viewing distance, scaled from the print down
    /// to the sensor.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) for a figure that is not finite and above
    /// zero.
    pub fn on_print(sensor: &Sensor, viewing: PrintViewing) -> Result<Self> {
        let width_mm = positive("width of the print", viewing.print_width_mm, "mm")?;
        let distance_mm = positive("viewing distance", viewing.distance_mm, "mm")?;
        let acuity_rad =
            (positive("acuity of the eye", viewing.acuity_arcmin, "arcmin")? / 60.0).to_radians();
        Self::absolute_mm(acuity_rad * distance_mm * sensor.width_mm() / width_mm)
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

    /// The warning that this circle is smaller than the Airy disc, if it is: then diffraction blurs
    /// even the subject in focus by more, and a depth of field for this circle promises what the
    /// picture cannot show.
    #[must_use]
    pub fn below_airy(&self, diffraction: &Diffraction) -> Option<BelowAiry> {
        let airy_diameter_mm = 2.0 * diffraction.airy_radius_um() / 1000.0;
        (self.diameter_mm < airy_diameter_mm).then_some(BelowAiry {
            circle_mm: self.diameter_mm,
            airy_diameter_mm,
        })
    }
}

/// How a print is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct PrintViewing {
    /// Width of the print that shows the whole frame, in millimetres, above zero.
    pub print_width_mm: f64,
    /// From the eye to the print, in millimetres, above zero.
    pub distance_mm: f64,
    /// The smallest angle that the eye separates, in minutes of arc, above zero; 1 to 2 is common
    /// practice, no source.
    pub acuity_arcmin: f64,
}

/// A circle of confusion smaller than the Airy disc.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct BelowAiry {
    /// Diameter of the circle in millimetres.
    pub circle_mm: f64,
    /// Diameter of the first dark ring in millimetres.
    pub airy_diameter_mm: f64,
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

/// The zone in which points pass for points.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
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
        let k = self.relative_circle(circle);
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

    /// k = c/(m d): the circle laid against the subject, over the pupil.
    fn relative_circle(&self, circle: CircleOfConfusion) -> f64 {
        circle.diameter_mm / (self.magnification * self.pupil_diameter_mm)
    }

    /// The blur of a point away from the subject plane: m·d·|u_b - u|/u_b.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) for a distance that is not finite and
    /// above zero; [`Error::OutOfRange`](crate::Error::OutOfRange) for a point that lies in or
    /// behind the entrance pupil.
    pub fn blur_of(&self, point: Elsewhere) -> Result<Blur> {
        let u_mm = self.pupil_distance_mm;
        // |u_b - u|/u_b
        let defocus = match point {
            Elsewhere::FromPupil { distance_m } => {
                let point_mm =
                    positive("distance from the entrance pupil", distance_m, "m")? * 1000.0;
                (point_mm - u_mm).abs() / point_mm
            }
            Elsewhere::Behind { metres } => {
                let what = "distance behind the subject";
                let nearest_m = -u_mm / 1000.0 * (1.0 - 1e-9);
                let offset_m = Valid {
                    what,
                    lowest: nearest_m,
                    highest: 1e12,
                    unit: "m",
                }
                .check(metres)?;
                offset_m.abs() * 1000.0 / (u_mm + offset_m * 1000.0)
            }
            Elsewhere::Infinity => 1.0,
        };
        let disc_mm = self.magnification * self.pupil_diameter_mm * defocus;
        Ok(Blur {
            disc_mm,
            share_of_frame: disc_mm / self.sensor.width_mm(),
            at_subject_m: disc_mm / self.magnification / 1000.0,
        })
    }
}

/// A point that is not in the subject plane.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
pub enum Elsewhere {
    /// At this distance from the entrance pupil.
    FromPupil {
        /// The distance in metres, above zero.
        distance_m: f64,
    },
    /// This far behind the subject, negative in front of it.
    Behind {
        /// The distance in metres.
        metres: f64,
    },
    /// At infinity.
    Infinity,
}

/// How a point out of focus is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Blur {
    /// Diameter of its disc on the sensor in millimetres.
    pub disc_mm: f64,
    /// That diameter over the frame's width.
    pub share_of_frame: f64,
    /// That diameter laid against the subject, in metres: over the subject's length it is the share
    /// of the subject.
    pub at_subject_m: f64,
}

impl AtInfinity {
    /// The nearest point that passes for sharp, in metres from the entrance pupil: d·f/c, which is
    /// f²/(Nc) whatever the pupil magnification.
    #[must_use]
    pub fn near_limit_from_pupil_m(&self, circle: CircleOfConfusion) -> f64 {
        self.focal_length_mm * self.pupil_diameter_mm / circle.diameter_mm / 1000.0
    }
}

/// The focus that just carries sharpness to infinity.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Hyperfocal {
    /// The magnification there.
    pub magnification: f64,
    /// From the bare lens's front principal plane, in metres: f + f²/(Nc) without a converter.
    pub from_front_principal_m: f64,
    /// From the entrance pupil, in metres.
    pub from_pupil_m: f64,
    /// From the sensor plane, in metres.
    pub from_sensor_m: f64,
}

impl Kit {
    /// The focus at which the far limit just reaches infinity: where k = 1, so m = c/d (S. F. Ray,
    /// *Applied Photographic Optics*, 3rd ed.; R. Kingslake, *Optics in Photography*).
    ///
    /// # Errors
    /// [`Error::MagnificationOutOfReach`](crate::Error::MagnificationOutOfReach) when the kit does
    /// not focus there.
    pub fn hyperfocal(&self, circle: CircleOfConfusion) -> Result<Hyperfocal> {
        let focused =
            self.focused_at_magnification(circle.diameter_mm / self.lens().entrance_pupil_mm())?;
        let bare = focused.magnification / self.factor();
        let pupils = self.lens().spec().pupil_magnification;
        // u = f(1/m + 1/P), so f follows from u, and f(1 + 1/m) from both.
        let focal_mm = focused.pupil_distance_mm / (1.0 / bare + 1.0 / pupils);
        Ok(Hyperfocal {
            magnification: focused.magnification,
            from_front_principal_m: focal_mm * (1.0 + 1.0 / bare) / 1000.0,
            from_pupil_m: focused.entrance_pupil_distance_m(),
            from_sensor_m: focused.sensor_distance_m(),
        })
    }
}
