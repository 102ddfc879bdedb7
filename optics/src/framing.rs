//! Framing: how much of the world the frame takes in, and how large a subject stands in it.

use crate::error::{Error, Result, positive};
use crate::kit::{Focused, Kit};

/// Full angles of view, measured at the entrance pupil, in degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct AngleOfView {
    /// Across the width.
    pub across_deg: f64,
    /// Down the height.
    pub down_deg: f64,
    /// From corner to corner.
    pub diagonal_deg: f64,
}

/// The part of the subject plane that fills the frame, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Field {
    /// Across the width.
    pub across_m: f64,
    /// Down the height.
    pub down_m: f64,
    /// From corner to corner.
    pub diagonal_m: f64,
}

/// A wish: a subject of this length is to take this share of the frame's width.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct FrameShare {
    /// Length of the subject in metres, above zero; for a bird in flight its span.
    pub subject_m: f64,
    /// Its length over the frame's width, above zero; more than 1 when it does not fit in.
    pub share: f64,
}

impl Focused {
    /// Full angles of view from the entrance pupil: 2 atan(w / (2 m u)), which for a bare lens is 2 atan(w / (2f(1 + m/P))).
    #[must_use]
    pub fn angle_of_view(&self) -> AngleOfView {
        let reach_mm = self.magnification * self.pupil_distance_mm;
        AngleOfView {
            across_deg: full_angle_deg(self.sensor.width_mm(), reach_mm),
            down_deg: full_angle_deg(self.sensor.height_mm(), reach_mm),
            diagonal_deg: full_angle_deg(self.sensor.diagonal_mm(), reach_mm),
        }
    }

    /// The part of the subject plane that fills the frame: w/m.
    #[must_use]
    pub fn field(&self) -> Field {
        let metres = 1.0 / (1000.0 * self.magnification);
        Field {
            across_m: self.sensor.width_mm() * metres,
            down_m: self.sensor.height_mm() * metres,
            diagonal_m: self.sensor.diagonal_mm() * metres,
        }
    }

    /// Length of the image of a subject of length `subject_m`, in millimetres.
    #[must_use]
    pub fn size_on_sensor_mm(&self, subject_m: f64) -> f64 {
        self.magnification * subject_m * 1000.0
    }

    /// Pixels along the image of a subject of length `subject_m` that lies across the frame.
    #[must_use]
    pub fn pixels_along(&self, subject_m: f64) -> f64 {
        self.size_on_sensor_mm(subject_m) / self.sensor.pitch_mm()
    }

    /// Pixels along the image of a subject of height `subject_m` that stands upright in the frame.
    #[must_use]
    pub fn pixels_upright(&self, subject_m: f64) -> f64 {
        self.size_on_sensor_mm(subject_m) / self.sensor.pitch_down_mm()
    }

    /// Length of a subject over the width of the frame; more than 1 when it does not fit in.
    #[must_use]
    pub fn frame_share(&self, subject_m: f64) -> f64 {
        self.size_on_sensor_mm(subject_m) / self.sensor.width_mm()
    }
}

impl Kit {
    /// The distance from the sensor plane, in metres, at which a subject takes the wanted share of the frame's width: the
    /// exact inverse of [`Focused::frame_share`].
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a length or share that is not finite and above zero; [`Error::NearerThanMinimumFocus`]
    /// when the kit cannot focus so near; [`Error::FartherThanTubeAllows`] when a tube keeps it from focusing so far.
    pub fn distance_for_share(&self, wish: FrameShare) -> Result<f64> {
        let subject_m = positive("length of the subject", wish.subject_m, "m")?;
        let share = positive("share of the frame", wish.share, "")?;
        let magnification = share * self.sensor().width_mm() / (subject_m * 1000.0);
        self.distance_for_magnification(magnification)
    }

    /// The distance from the sensor plane at which the kit shows a magnification, refused in terms of distance.
    pub(crate) fn distance_for_magnification(&self, magnification: f64) -> Result<f64> {
        match self.focused_at_magnification(magnification) {
            Ok(focused) => Ok(focused.sensor_distance_m()),
            Err(Error::MagnificationOutOfReach {
                magnification,
                smallest,
                ..
            }) => {
                let distance_m = self.imagined_distance_m(magnification);
                Err(if magnification < smallest {
                    let farthest_m = self.imagined_distance_m(smallest);
                    Error::FartherThanTubeAllows {
                        distance_m,
                        farthest_m,
                    }
                } else {
                    Error::NearerThanMinimumFocus {
                        distance_m,
                        minimum_m: self.minimum_focus_m(),
                    }
                })
            }
            Err(other) => Err(other),
        }
    }
}

/// The full angle under which a side is seen from a distance.
pub(crate) fn full_angle_deg(side_mm: f64, distance_mm: f64) -> f64 {
    (2.0 * libm::atan(side_mm / (2.0 * distance_mm))).to_degrees()
}
