//! Focusing a kit, and the kit focused.

use crate::error::{Error, Result, positive};
use crate::kit::Kit;
use crate::kit::travel::{Beyond, ROUNDING, Stand};
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
    /// Those of [`focused_at_m`](Self::focused_at_m),
    /// [`focused_at_pupil_m`](Self::focused_at_pupil_m) or
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
    /// [`Error::NotPositive`] for a distance that is not finite and above zero;
    /// [`Error::CloserThanFourFocalLengths`] where no image exists;
    /// [`Error::NearerThanMinimumFocus`]; [`Error::FartherThanTubeAllows`].
    pub fn focused_at_m(&self, sensor_distance_m: f64) -> Result<Focused> {
        let distance_m = positive("distance", sensor_distance_m, "m")?;
        let spec = self.lens.spec();
        let focal_mm = spec.focal_length_mm;
        let between_mm = distance_m * 1000.0 - self.shift_mm() - spec.principal_separation_mm;
        let slack = ROUNDING * distance_m * 1000.0 / focal_mm;
        match self.travel.at_distance(between_mm / focal_mm, slack) {
            Ok(stand) => Ok(self.state(stand)),
            Err(Beyond::Far) => Err(Error::FartherThanTubeAllows {
                distance_m,
                farthest_m: self.sensor_distance_m(self.travel.distances().1),
            }),
            // A focal length that changes lets a lens focus from within four of those at infinity.
            Err(Beyond::Near) if !self.lens.breathes() && between_mm < 4.0 * focal_mm => {
                Err(Error::CloserThanFourFocalLengths {
                    distance_m,
                    nearest_m: self.minimum_focus_m(),
                })
            }
            Err(Beyond::Near) => Err(self.too_near(distance_m)),
        }
    }

    /// The kit focused on a subject at a distance from the entrance pupil.
    ///
    /// # Errors
    /// Those of [`focused_at_m`](Self::focused_at_m); distances in the error are from the entrance
    /// pupil.
    pub fn focused_at_pupil_m(&self, pupil_distance_m: f64) -> Result<Focused> {
        let distance_m = positive("distance from the entrance pupil", pupil_distance_m, "m")?;
        let spec = self.lens.spec();
        let (focal_mm, pupils) = (spec.focal_length_mm, spec.pupil_magnification);
        let distance = distance_m * 1000.0 / focal_mm;
        let metres = |distance: f64| distance * focal_mm / 1000.0;
        let limits = || self.travel.pupil_distances(pupils);
        match self
            .travel
            .at_pupil_distance(distance, pupils, ROUNDING * distance)
        {
            Ok(stand) => Ok(self.state(stand)),
            Err(Beyond::Far) => Err(Error::FartherThanTubeAllows {
                distance_m,
                farthest_m: metres(limits().1),
            }),
            Err(Beyond::Near) => Err(Error::NearerThanMinimumFocus {
                distance_m,
                minimum_m: metres(limits().0),
                remedy: self.nearer_with(),
            }),
        }
    }

    /// The kit focused on whatever is shown at a magnification, converter and tube included.
    ///
    /// # Errors
    /// [`Error::NotPositive`] unless the magnification is finite and above zero;
    /// [`Error::MagnificationOutOfReach`].
    pub fn focused_at_magnification(&self, magnification: f64) -> Result<Focused> {
        let wanted = positive("magnification", magnification, "")?;
        let bare = wanted / self.factor();
        let stand = self
            .travel
            .at_magnification(bare)
            .ok_or(Error::MagnificationOutOfReach {
                magnification,
                smallest: self.smallest_magnification(),
                largest: self.largest_magnification(),
            })?;
        Ok(self.state(stand))
    }

    /// The kit focused at infinity.
    ///
    /// # Errors
    /// [`Error::FartherThanTubeAllows`] with an extension tube.
    pub fn at_infinity(&self) -> Result<AtInfinity> {
        if self.tube.is_some() {
            return Err(Error::FartherThanTubeAllows {
                distance_m: f64::INFINITY,
                farthest_m: self.sensor_distance_m(self.travel.distances().1),
            });
        }
        Ok(AtInfinity {
            sensor: self.sensor,
            focal_length_mm: self.focal_length_mm(),
            pupil_diameter_mm: self.lens.entrance_pupil_mm(),
        })
    }

    /// The kit focused, beginning from infinity, where a figure passes zero.
    pub(crate) fn focused_where(&self, excess: impl Fn(&Focused) -> f64) -> Option<Focused> {
        let stand = self
            .travel
            .first_crossing(|stand| excess(&self.state(stand)))?;
        Some(self.state(stand))
    }

    /// The kit with its mechanism at infinity, where without a tube only the pupil and its place
    /// are numbers, and at its nearest.
    pub(crate) fn ends(&self) -> [Focused; 2] {
        [0.0, 1.0].map(|end| self.state(self.travel.stand(end)))
    }

    /// The refusal of a distance that is too near, with what would help.
    pub(crate) fn too_near(&self, distance_m: f64) -> Error {
        Error::NearerThanMinimumFocus {
            distance_m,
            minimum_m: self.minimum_focus_m(),
            remedy: self.nearer_with(),
        }
    }

    /// What brings a subject nearer, beside stepping back: past 1:1 a longer tube does no more.
    fn nearer_with(&self) -> &'static str {
        let (_, most) = self.travel.magnifications();
        match self.tube {
            _ if most >= 1.0 => "",
            Some(_) => " or fit a longer extension tube",
            None => " or add an extension tube",
        }
    }

    /// The kit with its bare lens focused.
    pub(super) fn state(&self, stand: Stand) -> Focused {
        let spec = self.lens.spec();
        let bare = stand.magnification;
        let focal_mm = stand.focal * spec.focal_length_mm;
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

/// A kit focused on a subject: the prepared form for everything that depends on kit and distance
/// alone.
///
/// Four numbers say it all: the magnification m, the diameter d of the entrance pupil, its distance
/// u from the subject and its distance from the sensor plane. The sines of the marginal rays at
/// subject and image are in the ratio m, hence the working f-number is m·u/d; rays through the
/// centre of the entrance pupil give the angle of view 2 atan(w / 2mu).
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

    /// The f-number that exposure and diffraction at the sensor follow: N(1 + m/P) for a bare lens,
    /// t·N(1 + m_b/P_b) with a converter; the converter's glass loss is not in it.
    #[must_use]
    pub fn working_f_number(&self) -> f64 {
        self.magnification * self.pupil_distance_mm / self.pupil_diameter_mm
    }

    /// Diameter of the entrance pupil in millimetres.
    #[must_use]
    pub fn entrance_pupil_mm(&self) -> f64 {
        self.pupil_diameter_mm
    }

    /// Millimetres on the sensor for each radian at the entrance pupil: m·u, the focal length as
    /// the field feels it.
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
