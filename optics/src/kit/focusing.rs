//! Focusing a kit, and the kit focused.

use crate::error::{Error, Result, positive};
use crate::kit::Kit;
use crate::sensor::Sensor;

/// What to focus on.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
pub enum Focus {
    /// A subject at this distance from the sensor plane, in metres.
    SensorDistance {
        /// The distance, above zero.
        distance_m: f64,
    },
    /// A subject at this distance from the entrance pupil, in metres.
    PupilDistance {
        /// The distance, above zero.
        distance_m: f64,
    },
    /// Whatever is shown at this magnification.
    Magnification {
        /// Image size over subject size, above zero.
        magnification: f64,
    },
}

impl Kit {
    /// The kit focused on something.
    ///
    /// # Errors
    /// Those of [`focused_at_m`](Self::focused_at_m), [`focused_at_pupil_m`](Self::focused_at_pupil_m) or
    /// [`focused_at_magnification`](Self::focused_at_magnification).
    pub fn focused(&self, focus: Focus) -> Result<Focused> {
        match focus {
            Focus::SensorDistance { distance_m } => self.focused_at_m(distance_m),
            Focus::PupilDistance { distance_m } => self.focused_at_pupil_m(distance_m),
            Focus::Magnification { magnification } => self.focused_at_magnification(magnification),
        }
    }

    /// The kit focused on a subject at a distance from the sensor plane.
    ///
    /// Where two magnifications belong to the distance, the smaller one that the kit reaches.
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a distance that is not finite and above zero; [`Error::CloserThanFourFocalLengths`]
    /// where no image exists; [`Error::NearerThanMinimumFocus`]; [`Error::FartherThanTubeAllows`].
    pub fn focused_at_m(&self, sensor_distance_m: f64) -> Result<Focused> {
        let distance_m = positive("distance", sensor_distance_m, "m")?;
        let bare_m = distance_m - self.shift_mm() / 1000.0;
        if self.lens.breathes() {
            let target_mm = bare_m * 1000.0;
            return self.search(distance_m, |kit, setting| {
                kit.lens.distance_mm(kit.bare_of_setting(setting), setting) - target_mm
            });
        }
        let roots = match self.lens.conjugates_at_m(bare_m) {
            Ok(roots) => roots,
            Err(_) => {
                let nearest_m = self.lens.nearest_image_m() + self.shift_mm() / 1000.0;
                return Err(Error::CloserThanFourFocalLengths {
                    distance_m,
                    nearest_m,
                });
            }
        };
        for bare in [roots.magnification, roots.macro_magnification] {
            if self.reaches_bare(bare) {
                return Ok(self.state(bare, 0.0));
            }
        }
        // Near 1:1 the distance is stationary, so that its last bit shows in half of the magnification's: there the distance
        // decides what is within reach.
        let (_, most) = self.bare_range;
        if most <= 1.0
            && roots.magnification > most
            && distance_m >= self.minimum_focus_m() * (1.0 - LAST_BITS)
        {
            return Ok(self.state(most, 0.0));
        }
        Err(self.out_of_range_at(distance_m, roots.magnification))
    }

    /// The kit focused on a subject at a distance from the entrance pupil.
    ///
    /// # Errors
    /// Those of [`focused_at_m`](Self::focused_at_m); distances in the error are from the entrance pupil.
    pub fn focused_at_pupil_m(&self, pupil_distance_m: f64) -> Result<Focused> {
        let distance_m = positive("distance from the entrance pupil", pupil_distance_m, "m")?;
        let target_mm = distance_m * 1000.0;
        let pupils = self.lens.spec().pupil_magnification;
        if self.lens.breathes() {
            return self.search(distance_m, |kit, setting| {
                let bare = kit.bare_of_setting(setting);
                kit.lens.focal_at_setting_mm(setting) * (1.0 / bare + 1.0 / pupils) - target_mm
            });
        }
        let inverse = target_mm / self.lens.focal_length_mm() - 1.0 / pupils;
        let bare = 1.0 / inverse;
        if inverse > 0.0 && self.reaches_bare(bare) {
            return Ok(self.state(bare, 0.0));
        }
        let limit = |bare: f64| self.state(bare, 0.0).entrance_pupil_distance_m();
        if inverse > 0.0 && bare < self.bare_range.0 {
            return Err(Error::FartherThanTubeAllows {
                distance_m,
                farthest_m: limit(self.bare_range.0),
            });
        }
        let minimum_m = limit(self.bare_range.1);
        Err(Error::NearerThanMinimumFocus {
            distance_m,
            minimum_m,
        })
    }

    /// The kit focused on whatever is shown at a magnification, converter and tube included.
    ///
    /// # Errors
    /// [`Error::NotPositive`] unless the magnification is finite and above zero; [`Error::MagnificationOutOfReach`].
    pub fn focused_at_magnification(&self, magnification: f64) -> Result<Focused> {
        let wanted = positive("magnification", magnification, "")?;
        let bare = wanted / self.factor();
        if !self.reaches_bare(bare) {
            return Err(Error::MagnificationOutOfReach {
                magnification,
                smallest: self.smallest_magnification(),
                largest: self.largest_magnification(),
            });
        }
        Ok(self.state(bare, self.setting_of_bare(bare)))
    }

    /// The kit focused at infinity.
    ///
    /// # Errors
    /// [`Error::FartherThanTubeAllows`] with an extension tube.
    pub fn at_infinity(&self) -> Result<AtInfinity> {
        if self.tube.is_some() {
            let farthest_m = self.imagined_distance_m(self.smallest_magnification());
            return Err(Error::FartherThanTubeAllows {
                distance_m: f64::INFINITY,
                farthest_m,
            });
        }
        Ok(AtInfinity {
            sensor: self.sensor,
            focal_length_mm: self.focal_length_mm(),
            pupil_diameter_mm: self.lens.entrance_pupil_mm(),
        })
    }

    /// Whether the mechanism reaches a magnification of the bare lens, the rounding of a caller's metres forgiven.
    fn reaches_bare(&self, bare: f64) -> bool {
        let (least, most) = self.bare_range;
        bare >= least * (1.0 - ROUNDING) && bare <= most * (1.0 + ROUNDING)
    }

    fn out_of_range_at(&self, distance_m: f64, bare: f64) -> Error {
        if bare < self.bare_range.0 {
            let farthest_mm = self.lens.distance_mm(self.bare_range.0, 0.0) + self.shift_mm();
            Error::FartherThanTubeAllows {
                distance_m,
                farthest_m: farthest_mm / 1000.0,
            }
        } else {
            Error::NearerThanMinimumFocus {
                distance_m,
                minimum_m: self.minimum_focus_m(),
            }
        }
    }

    /// Focus by bisection for a lens whose focal length changes: `excess` falls as the setting grows.
    fn search(&self, distance_m: f64, excess: impl Fn(&Self, f64) -> f64) -> Result<Focused> {
        let largest = self.lens.largest_magnification();
        let slack = ROUNDING * distance_m * 1000.0;
        let at_largest = excess(self, largest);
        if at_largest > slack {
            let minimum_m = distance_m + at_largest / 1000.0;
            return Err(Error::NearerThanMinimumFocus {
                distance_m,
                minimum_m,
            });
        }
        if self.tube.is_some() {
            let at_infinity_setting = excess(self, 0.0);
            if at_infinity_setting < -slack {
                let farthest_m = distance_m + at_infinity_setting / 1000.0;
                return Err(Error::FartherThanTubeAllows {
                    distance_m,
                    farthest_m,
                });
            }
        }
        let (mut low, mut high) = (0.0, largest);
        // Each step halves the interval; after these it is below the spacing of floating-point numbers.
        for _ in 0..128 {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high {
                break;
            }
            if excess(self, middle) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        Ok(self.state(self.bare_of_setting(high), high))
    }

    /// The kit with its bare lens at magnification `bare`.
    fn state(&self, bare: f64, setting: f64) -> Focused {
        let spec = self.lens.spec();
        let focal_mm = self.lens.focal_at_setting_mm(setting);
        let pupil_distance_mm = focal_mm * (1.0 / bare + 1.0 / spec.pupil_magnification);
        // D - u, written so that nothing large cancels.
        let sensor_to_pupil_mm = focal_mm * (2.0 + bare - 1.0 / spec.pupil_magnification)
            + spec.principal_separation_mm
            + self.shift_mm();
        Focused {
            sensor: self.sensor,
            magnification: self.factor() * bare,
            pupil_diameter_mm: self.lens.entrance_pupil_mm(),
            pupil_distance_mm,
            sensor_to_pupil_mm,
            transmittance: self.transmittance(),
        }
    }
}

/// A kit focused at infinity: it has angles, but no magnification and no field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtInfinity {
    pub(crate) sensor: Sensor,
    pub(crate) focal_length_mm: f64,
    pub(crate) pupil_diameter_mm: f64,
}

impl AtInfinity {
    /// The f-number that exposure and diffraction follow.
    #[must_use]
    pub fn working_f_number(&self) -> f64 {
        self.focal_length_mm / self.pupil_diameter_mm
    }
}

/// Far above the rounding of a distance in metres, far below any focusing scale.
const ROUNDING: f64 = 1e-9;

/// A few units of the last place.
const LAST_BITS: f64 = 1e-13;

/// A kit focused on a subject: the prepared form for everything that depends on kit and distance alone.
///
/// Four numbers say it all: the magnification m, the diameter d of the entrance pupil, its distance u from the subject and
/// its distance from the sensor plane. The sines of the marginal rays at subject and image are in the ratio m, hence the
/// working f-number is m·u/d; rays through the centre of the entrance pupil give the angle of view 2 atan(w / 2mu).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Focused {
    pub(crate) sensor: Sensor,
    pub(crate) magnification: f64,
    pub(crate) pupil_diameter_mm: f64,
    pub(crate) pupil_distance_mm: f64,
    pub(crate) sensor_to_pupil_mm: f64,
    pub(crate) transmittance: f64,
}

impl Focused {
    /// Image size over subject size.
    #[must_use]
    pub fn magnification(&self) -> f64 {
        self.magnification
    }

    /// The f-number that exposure and diffraction at the sensor follow: N(1 + m/P) for a bare lens, t·N(1 + m_b/P_b) with
    /// a converter; the converter's glass loss is not in it.
    #[must_use]
    pub fn working_f_number(&self) -> f64 {
        self.magnification * self.pupil_distance_mm / self.pupil_diameter_mm
    }

    /// Diameter of the entrance pupil in millimetres.
    #[must_use]
    pub fn entrance_pupil_mm(&self) -> f64 {
        self.pupil_diameter_mm
    }

    /// Millimetres on the sensor for each radian at the entrance pupil: m·u, the focal length as the field feels it.
    #[must_use]
    pub fn millimetres_per_radian(&self) -> f64 {
        self.magnification * self.pupil_distance_mm
    }

    /// Distance from the entrance pupil to the subject in metres.
    #[must_use]
    pub fn entrance_pupil_distance_m(&self) -> f64 {
        self.pupil_distance_mm / 1000.0
    }

    /// Distance from the sensor plane to the subject in metres.
    #[must_use]
    pub fn sensor_distance_m(&self) -> f64 {
        (self.pupil_distance_mm + self.sensor_to_pupil_mm) / 1000.0
    }

    /// The sensor behind the optics.
    #[must_use]
    pub fn sensor(&self) -> &Sensor {
        &self.sensor
    }
}
