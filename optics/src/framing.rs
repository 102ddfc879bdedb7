//! Framing: how much of the world the frame takes in, and how large a subject stands in it.

mod equivalent;
mod print;
mod zoomed;

pub use equivalent::{Equivalent, FrameSide};
pub use print::{Print, PrintSpec};
pub use zoomed::ZoomWish;

use crate::error::{Error, Result, positive};
use crate::kit::{AtInfinity, Focused, Kit};
use crate::lens::ClosePair;
use crate::sensor::Sensor;

/// Full angles of view, measured at the entrance pupil, in degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
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
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
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

/// An animal as a box: body length, height, and span with open wings, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "SubjectSpec", into = "SubjectSpec")
)]
pub struct Subject {
    spec: SubjectSpec,
}

/// The figures that describe an animal as a box.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct SubjectSpec {
    /// Length of the body as it lies across the frame, above zero.
    pub length_m: f64,
    /// Height as it stands, above zero.
    pub height_m: f64,
    /// Span of the open wings, above zero; for an animal without wings its length.
    pub span_m: f64,
}

impl Subject {
    /// An animal from its measures.
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a measure that is not finite and above zero.
    pub fn new(spec: SubjectSpec) -> Result<Self> {
        positive("length of the subject", spec.length_m, "m")?;
        positive("height of the subject", spec.height_m, "m")?;
        positive("span of the subject", spec.span_m, "m")?;
        Ok(Self { spec })
    }

    /// The measures of the animal.
    #[must_use]
    pub fn spec(&self) -> SubjectSpec {
        self.spec
    }

    /// The share of a frame of the given size, at magnification 1, that a measure of this subject
    /// takes.
    fn share_at_life_size(&self, sensor: &Sensor, measure: Measure) -> f64 {
        let across = |metres: f64| metres * 1000.0 / sensor.width_mm();
        let down = |metres: f64| metres * 1000.0 / sensor.height_mm();
        match measure {
            Measure::Length => across(self.spec.length_m),
            Measure::Height => down(self.spec.height_m),
            Measure::Area => across(self.spec.length_m) * down(self.spec.height_m),
            Measure::Span => across(self.spec.span_m),
        }
    }
}

impl TryFrom<SubjectSpec> for Subject {
    type Error = Error;

    fn try_from(spec: SubjectSpec) -> Result<Self> {
        Self::new(spec)
    }
}

impl From<Subject> for SubjectSpec {
    fn from(subject: Subject) -> Self {
        subject.spec
    }
}

/// What of a subject is held against what of the frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Measure {
    /// Body length over the frame's width: perched or standing.
    Length,
    /// Height over the frame's height: perched or standing.
    Height,
    /// The box of length and height over the frame's area.
    Area,
    /// Span over the frame's width: in flight.
    Span,
}

crate::words::words!(Measure, "measure of a subject": {
    Length => "length",
    Height => "height",
    Area => "area",
    Span => "span",
});

/// A wish: a measure of a subject is to take this share of the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasureShare {
    /// The subject.
    pub subject: Subject,
    /// What of it is held against what of the frame.
    pub measure: Measure,
    /// The share, above zero; more than 1 when it does not fit in.
    pub share: f64,
}

impl AtInfinity {
    /// Full angles of view: 2 atan(w / 2f) (S. F. Ray, *Applied Photographic Optics*, 3rd ed.).
    #[must_use]
    pub fn angle_of_view(&self) -> AngleOfView {
        AngleOfView::of(&self.sensor, self.focal_length_mm)
    }
}

impl AngleOfView {
    /// The angles under which a sensor is seen from a distance.
    fn of(sensor: &Sensor, distance_mm: f64) -> Self {
        let full_deg =
            |side_mm: f64| (2.0 * libm::atan(side_mm / (2.0 * distance_mm))).to_degrees();
        Self {
            across_deg: full_deg(sensor.width_mm()),
            down_deg: full_deg(sensor.height_mm()),
            diagonal_deg: full_deg(sensor.diagonal_mm()),
        }
    }
}

impl Focused {
    /// Full angles of view from the entrance pupil: 2 atan(w / (2 m u)), which for a bare lens is 2
    /// atan(w / (2f(1 + m/P))).
    #[must_use]
    pub fn angle_of_view(&self) -> AngleOfView {
        AngleOfView::of(&self.sensor, self.millimetres_per_radian())
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
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a length that is not finite and above zero.
    pub fn size_on_sensor_mm(&self, subject_m: f64) -> Result<f64> {
        Ok(self.image_mm(positive("length of the subject", subject_m, "m")?))
    }

    /// Pixels along the image of a subject of length `subject_m` that lies across the frame.
    ///
    /// # Errors
    /// Those of [`size_on_sensor_mm`](Self::size_on_sensor_mm).
    pub fn pixels_along(&self, subject_m: f64) -> Result<f64> {
        Ok(self.size_on_sensor_mm(subject_m)? / self.sensor.pitch_mm())
    }

    /// Pixels along the image of a subject of height `subject_m` that stands upright in the frame.
    ///
    /// # Errors
    /// Those of [`size_on_sensor_mm`](Self::size_on_sensor_mm).
    pub fn pixels_upright(&self, subject_m: f64) -> Result<f64> {
        Ok(self.size_on_sensor_mm(subject_m)? / self.sensor.pitch_down_mm())
    }

    /// Length of a subject over the width of the frame; more than 1 when it does not fit in.
    ///
    /// # Errors
    /// Those of [`size_on_sensor_mm`](Self::size_on_sensor_mm).
    pub fn frame_share(&self, subject_m: f64) -> Result<f64> {
        Ok(self.size_on_sensor_mm(subject_m)? / self.sensor.width_mm())
    }

    /// Length of the image of a length that is known to be valid, or zero.
    pub(crate) fn image_mm(&self, length_m: f64) -> f64 {
        self.magnification * length_m * 1000.0
    }

    /// The share of the frame that a measure of the subject takes; more than 1 when it does not fit
    /// in.
    #[must_use]
    pub fn share_of(&self, subject: &Subject, measure: Measure) -> f64 {
        let sides = if measure == Measure::Area { 2 } else { 1 };
        subject.share_at_life_size(&self.sensor, measure)
            * libm::pow(self.magnification, f64::from(sides))
    }
}

impl Kit {
    /// The distance from the sensor plane, in metres, at which a subject takes the wanted share of
    /// the frame's width: the exact inverse of [`Focused::frame_share`].
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a length or share that is not finite and above zero;
    /// [`Error::NearerThanMinimumFocus`] when the kit cannot focus so near;
    /// [`Error::FartherThanTubeAllows`] when a tube keeps it from focusing so far.
    pub fn distance_for_share(&self, wish: FrameShare) -> Result<f64> {
        let subject_m = positive("length of the subject", wish.subject_m, "m")?;
        let share = positive("share of the frame", wish.share, "")?;
        let magnification = share * self.sensor().width_mm() / (subject_m * 1000.0);
        self.distance_for_magnification(magnification)
    }

    /// The distance from the sensor plane, in metres, at which a measure of a subject takes the
    /// wanted share of the frame: the exact inverse of [`Focused::share_of`].
    ///
    /// # Errors
    /// Those of [`distance_for_share`](Self::distance_for_share).
    pub fn distance_for_measure(&self, wish: MeasureShare) -> Result<f64> {
        self.distance_for_magnification(self.magnification_for(&wish)?)
    }

    /// The focal length in millimetres that the bare lens must have for a measure of a subject at
    /// `distance_m` from the sensor plane to take the wanted share of the frame, with this kit's
    /// converter, sensor and principal planes, moved as a whole.
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a distance or share that is not finite and above zero, or a
    /// distance that the converter's shift and the separation of the principal planes use up.
    pub fn focal_length_for_measure(&self, wish: MeasureShare, distance_m: f64) -> Result<f64> {
        let distance_m = positive("distance", distance_m, "m")?;
        let magnification = self.magnification_for(&wish)? / self.factor();
        self.lens().focal_length_at_mm(ClosePair {
            distance_m: distance_m - self.shift_mm() / 1000.0,
            magnification,
        })
    }

    /// The magnification at which a wish comes true.
    fn magnification_for(&self, wish: &MeasureShare) -> Result<f64> {
        let share = positive("share of the frame", wish.share, "")?;
        let ratio = share / wish.subject.share_at_life_size(self.sensor(), wish.measure);
        Ok(if wish.measure == Measure::Area {
            libm::sqrt(ratio)
        } else {
            ratio
        })
    }

    /// The focal length, in millimetres, that gives this kit's angle of view across at infinity on
    /// another sensor.
    ///
    /// It equates angles, not lenses: pupil, light and pixels stay what they are.
    #[must_use]
    pub fn equivalent_focal_length_mm(&self, reference: &Sensor) -> f64 {
        self.focal_length_mm() * self.sensor().crop_factor_by_width(reference)
    }

    /// The distance from the sensor plane at which the kit shows a magnification, refused in terms
    /// of distance where that says more: past 1:1 a larger picture is not nearer.
    pub(crate) fn distance_for_magnification(&self, magnification: f64) -> Result<f64> {
        let refusal = match self.focused_at_magnification(magnification) {
            Ok(focused) => return Ok(focused.sensor_distance_m()),
            Err(refusal) => refusal,
        };
        let distance_m = self.imagined_distance_m(magnification);
        let farthest = self.farthest_focus().distance_m();
        Err(match (&refusal, farthest) {
            (Error::MagnificationOutOfReach { .. }, Some(farthest_m))
                if distance_m > farthest_m && magnification < self.smallest_magnification() =>
            {
                Error::FartherThanTubeAllows {
                    distance_m,
                    farthest_m,
                }
            }
            (Error::MagnificationOutOfReach { largest, .. }, _)
                if magnification > *largest && distance_m < self.minimum_focus_m() =>
            {
                self.too_near(distance_m)
            }
            _ => refusal,
        })
    }
}
