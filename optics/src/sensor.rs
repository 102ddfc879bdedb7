//! The sensor: its size, its pixels, and what in-camera crops make of them.

use core::fmt;
use core::str::FromStr;

use crate::error::{Error, Result, Valid, positive};
use crate::words::unknown;

/// The figures that describe a sensor.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct SensorSpec {
    /// Width of the picture area in millimetres, above zero.
    pub width_mm: f64,
    /// Height of the picture area in millimetres, above zero.
    pub height_mm: f64,
    /// Pixels across the width, above zero.
    pub columns: u32,
    /// Pixels down the height, above zero.
    pub rows: u32,
}

/// A sensor described by the size of its pixels instead of their number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PitchSpec {
    /// Width of the picture area in millimetres, above zero.
    pub width_mm: f64,
    /// Height of the picture area in millimetres, above zero.
    pub height_mm: f64,
    /// Distance from one pixel's centre to the next in micrometres, above zero, at most the smaller
    /// side.
    pub pixel_pitch_um: f64,
}

/// The sides of a picture in proportion, such as 16 across to 9 down.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Aspect {
    /// The share of the width, above zero.
    pub across: f64,
    /// The share of the height, above zero.
    pub down: f64,
}

/// "16:9".
impl fmt::Display for Aspect {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.across, self.down)
    }
}

/// From "16:9": two figures above zero.
impl FromStr for Aspect {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let side = |text: &str| {
            let side: f64 = text.trim().parse().ok()?;
            (side.is_finite() && side > 0.0).then_some(side)
        };
        text.split_once(':')
            .and_then(|(across, down)| {
                Some(Self {
                    across: side(across)?,
                    down: side(down)?,
                })
            })
            .ok_or_else(|| unknown("aspect", text, "two figures above zero such as 16:9"))
    }
}

/// A sensor: a rectangle of pixels.
///
/// ```
/// use wrackline_optics::{Sensor, SensorSpec};
/// let sensor = Sensor::new(SensorSpec {
///     width_mm: 36.0,
///     height_mm: 24.0,
///     columns: 8000,
///     rows: 5333,
/// })?;
/// assert_eq!(sensor.pixel_pitch_um(), 4.5);
/// // A crop in the camera takes pixels away; it makes none smaller.
/// assert_eq!(sensor.cropped(1.5)?.pixel_pitch_um(), 4.5);
/// # Ok::<(), wrackline_optics::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "form::SensorForm", into = "form::SensorForm")
)]
pub struct Sensor {
    width_mm: f64,
    height_mm: f64,
    columns: u32,
    rows: u32,
    pitch_across_mm: f64,
    pitch_down_mm: f64,
}

impl Sensor {
    /// A sensor from its size and pixel counts.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) for a side or a count that is not finite
    /// and above zero.
    pub fn new(spec: SensorSpec) -> Result<Self> {
        let width_mm = positive("sensor width", spec.width_mm, "mm")?;
        let height_mm = positive("sensor height", spec.height_mm, "mm")?;
        let columns = positive("number of pixel columns", f64::from(spec.columns), "")?;
        let rows = positive("number of pixel rows", f64::from(spec.rows), "")?;
        Ok(Self {
            width_mm,
            height_mm,
            columns: spec.columns,
            rows: spec.rows,
            pitch_across_mm: width_mm / columns,
            pitch_down_mm: height_mm / rows,
        })
    }

    /// A sensor from its size and the size of its pixels; the pixel counts are rounded, the pitch
    /// is kept exactly.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) for a side or pitch that is not finite and
    /// above zero; [`Error::OutOfRange`](crate::Error::OutOfRange) for a pitch so coarse that no
    /// pixel is left, or so fine that their number is beyond counting.
    pub fn of_pitch(spec: PitchSpec) -> Result<Self> {
        let width_mm = positive("sensor width", spec.width_mm, "mm")?;
        let height_mm = positive("sensor height", spec.height_mm, "mm")?;
        let pitch_mm = positive("pixel pitch", spec.pixel_pitch_um, "um")? / 1000.0;
        let count = |what, side_mm: f64| -> Result<u32> {
            let valid = Valid {
                what,
                lowest: 1.0,
                highest: f64::from(u32::MAX),
                unit: "",
            };
            Ok(valid.check(libm::round(side_mm / pitch_mm))? as u32)
        };
        let counted = Self::new(SensorSpec {
            width_mm,
            height_mm,
            columns: count("number of pixel columns", width_mm)?,
            rows: count("number of pixel rows", height_mm)?,
        })?;
        Ok(Self {
            pitch_across_mm: pitch_mm,
            pitch_down_mm: pitch_mm,
            ..counted
        })
    }

    /// The same sensor with a crop set in the camera: both sides divided by `factor`, whole pixels
    /// kept.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a factor below 1 or so large that no
    /// pixel is left.
    pub fn cropped(&self, factor: f64) -> Result<Self> {
        let valid = Valid {
            what: "crop factor",
            lowest: 1.0,
            highest: f64::from(self.columns.min(self.rows)),
            unit: "",
        };
        let factor = valid.check(factor)?;
        Ok(self.with_pixels(
            f64::from(self.columns) / factor,
            f64::from(self.rows) / factor,
        ))
    }

    /// The largest frame of another aspect that fits into this sensor, whole pixels kept.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) for a side of the aspect that is not
    /// finite and above zero, and for an aspect so slim that no pixel is left.
    pub fn with_aspect(&self, aspect: Aspect) -> Result<Self> {
        let across = positive("aspect across", aspect.across, "")?;
        let down = positive("aspect down", aspect.down, "")?;
        let scale = (self.width_mm / across).min(self.height_mm / down);
        let columns = scale * across / self.pitch_across_mm;
        let rows = scale * down / self.pitch_down_mm;
        positive(
            "number of pixel columns",
            libm::floor(columns + ROUNDING),
            "",
        )?;
        positive("number of pixel rows", libm::floor(rows + ROUNDING), "")?;
        Ok(self.with_pixels(columns, rows))
    }

    /// A frame of whole pixels out of this sensor.
    fn with_pixels(&self, columns: f64, rows: f64) -> Self {
        // A product that should be a whole number may fall short of it by rounding.
        let columns = (libm::floor(columns + ROUNDING) as u32).clamp(1, self.columns);
        let rows = (libm::floor(rows + ROUNDING) as u32).clamp(1, self.rows);
        let side = |count: u32, all: u32, side_mm: f64, pitch_mm: f64| {
            if count == all {
                side_mm
            } else {
                f64::from(count) * pitch_mm
            }
        };
        Self {
            width_mm: side(columns, self.columns, self.width_mm, self.pitch_across_mm),
            height_mm: side(rows, self.rows, self.height_mm, self.pitch_down_mm),
            columns,
            rows,
            ..*self
        }
    }

    /// Width of the picture area in millimetres.
    #[must_use]
    pub fn width_mm(&self) -> f64 {
        self.width_mm
    }

    /// Height of the picture area in millimetres.
    #[must_use]
    pub fn height_mm(&self) -> f64 {
        self.height_mm
    }

    /// Diagonal of the picture area in millimetres.
    #[must_use]
    pub fn diagonal_mm(&self) -> f64 {
        libm::hypot(self.width_mm, self.height_mm)
    }

    /// Pixels across the width.
    #[must_use]
    pub fn columns(&self) -> u32 {
        self.columns
    }

    /// Pixels down the height.
    #[must_use]
    pub fn rows(&self) -> u32 {
        self.rows
    }

    /// Distance from one pixel's centre to the next, across the width, in micrometres.
    #[must_use]
    pub fn pixel_pitch_um(&self) -> f64 {
        self.pitch_across_mm * 1000.0
    }

    /// The pitch across the width in millimetres.
    pub(crate) fn pitch_mm(&self) -> f64 {
        self.pitch_across_mm
    }

    /// The pitch down the height in millimetres.
    pub(crate) fn pitch_down_mm(&self) -> f64 {
        self.pitch_down_mm
    }

    /// The finest pattern that the pixels can carry without aliasing, in line pairs per millimetre:
    /// 1/(2 p).
    #[must_use]
    pub fn nyquist_lp_per_mm(&self) -> f64 {
        0.5 / self.pitch_across_mm
    }

    /// How many times wider the reference sensor is: the crop factor that matters for a frame
    /// filled across.
    #[must_use]
    pub fn crop_factor_by_width(&self, reference: &Self) -> f64 {
        reference.width_mm / self.width_mm
    }

    /// How many times longer the reference sensor's diagonal is: the crop factor as it is usually
    /// quoted.
    #[must_use]
    pub fn crop_factor_by_diagonal(&self, reference: &Self) -> f64 {
        reference.diagonal_mm() / self.diagonal_mm()
    }
}

/// Far below one pixel and far above the rounding error of a pixel count.
const ROUNDING: f64 = 1e-6;

impl TryFrom<SensorSpec> for Sensor {
    type Error = crate::Error;

    fn try_from(spec: SensorSpec) -> Result<Self> {
        Self::new(spec)
    }
}

impl From<Sensor> for SensorSpec {
    fn from(sensor: Sensor) -> Self {
        Self {
            width_mm: sensor.width_mm,
            height_mm: sensor.height_mm,
            columns: sensor.columns,
            rows: sensor.rows,
        }
    }
}

#[cfg(feature = "serde")]
mod form {
    //! How a sensor is written down.

    use super::{PitchSpec, Sensor, SensorSpec};
    use crate::error::{Error, Result};

    /// By its pixel counts, by its pitch, or by both when neither follows exactly from the other.
    #[derive(serde::Serialize, serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct SensorForm {
        width_mm: f64,
        height_mm: f64,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        columns: Option<u32>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        rows: Option<u32>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        pixel_pitch_um: Option<f64>,
    }

    impl TryFrom<SensorForm> for Sensor {
        type Error = Error;

        fn try_from(form: SensorForm) -> Result<Self> {
            let SensorForm {
                width_mm,
                height_mm,
                columns,
                rows,
                pixel_pitch_um,
            } = form;
            if let Some(pixel_pitch_um) = pixel_pitch_um {
                let sensor = Self::of_pitch(PitchSpec {
                    width_mm,
                    height_mm,
                    pixel_pitch_um,
                })?;
                // Counts beside a pitch must be those of that pitch: two statements of one thing
                // must agree.
                for (what, stated, ours) in [
                    ("number of pixel columns", columns, sensor.columns),
                    ("number of pixel rows", rows, sensor.rows),
                ] {
                    if let Some(stated) = stated
                        && stated != ours
                    {
                        return Err(Error::Contradiction {
                            what,
                            value: f64::from(stated),
                            implied: f64::from(ours),
                            unit: "",
                        });
                    }
                }
                return Ok(sensor);
            }
            Self::new(SensorSpec {
                width_mm,
                height_mm,
                columns: columns.unwrap_or_default(),
                rows: rows.unwrap_or_default(),
            })
        }
    }

    impl From<Sensor> for SensorForm {
        fn from(sensor: Sensor) -> Self {
            let SensorSpec {
                width_mm,
                height_mm,
                columns,
                rows,
            } = sensor.into();
            let counted = Sensor::new(sensor.into());
            let by_pitch = counted.is_ok_and(|counted| counted != sensor);
            Self {
                width_mm,
                height_mm,
                columns: (!by_pitch).then_some(columns),
                rows: (!by_pitch).then_some(rows),
                pixel_pitch_um: by_pitch.then(|| sensor.pixel_pitch_um()),
            }
        }
    }
}
