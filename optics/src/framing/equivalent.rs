//! Equivalence: the lens that takes the same picture on a sensor of another size.
//!
//! The same picture has the same angle of view and, from the same place, the same blur beside the
//! focus and the same light in all. The first asks for c times the focal length, c the crop factor;
//! the second for the same entrance pupil, so c times the f-number; and that spreads the same light
//! over c² times the area, so c² times the ISO speed shows it as bright with the same shutter time
//! (arithmetic; S. F. Ray, *Applied Photographic Optics*, 3rd ed., for the angle). Pixels stay what
//! they are.

use core::fmt;

use crate::error::{Result, positive};
use crate::kit::Kit;
use crate::sensor::Sensor;

/// What of two frames is set equal: they agree in all only if both have one shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum FrameSide {
    /// The width: what matters for a subject that fills the frame across.
    Width,
    /// The height.
    Height,
    /// The diagonal: as crop factors are usually quoted.
    Diagonal,
}

crate::words::words!(FrameSide, "side of the frame": {
    Width => "width",
    Height => "height",
    Diagonal => "diagonal",
});

/// The lens, as set, that takes a kit's picture on another sensor.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Equivalent {
    /// How many times larger the other sensor is.
    pub crop_factor: f64,
    /// The focal length with the same angle of view at infinity, in millimetres.
    pub focal_length_mm: f64,
    /// The f-number with the same entrance pupil.
    pub f_number: f64,
}

impl Equivalent {
    /// The ISO speed that makes the picture as bright, and as noisy, as `iso` does on the kit's own
    /// sensor.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) unless the speed is finite and above zero.
    pub fn iso(&self, iso: f64) -> Result<f64> {
        Ok(positive("ISO speed", iso, "")? * self.crop_factor * self.crop_factor)
    }
}

/// "900 mm f/6.0".
impl fmt::Display for Equivalent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.0} mm f/{:.1}", self.focal_length_mm, self.f_number)
    }
}

impl Sensor {
    /// How many times longer a side of the reference sensor is.
    #[must_use]
    pub fn crop_factor(&self, reference: &Self, side: FrameSide) -> f64 {
        let of = |sensor: &Self| match side {
            FrameSide::Width => sensor.width_mm(),
            FrameSide::Height => sensor.height_mm(),
            FrameSide::Diagonal => sensor.diagonal_mm(),
        };
        of(reference) / of(self)
    }
}

impl Kit {
    /// The lens that takes this kit's picture on another sensor.
    ///
    /// ```
    /// use wrackline_optics::{FrameSide, Kit, Lens, LensSpec, Sensor, SensorSpec};
    /// let small = Sensor::new(SensorSpec {
    ///     width_mm: 24.0,
    ///     height_mm: 16.0,
    ///     columns: 6000,
    ///     rows: 4000,
    /// })?;
    /// let large = Sensor::new(SensorSpec {
    ///     width_mm: 36.0,
    ///     height_mm: 24.0,
    ///     columns: 8000,
    ///     rows: 5333,
    /// })?;
    /// let lens = LensSpec {
    ///     focal_length_mm: 400.0,
    ///     f_number: 4.0,
    ///     minimum_focus_m: 2.5,
    ///     ..LensSpec::THIN
    /// };
    /// let same =
    ///     Kit::new(Lens::new(lens)?, None, small).equivalent_on(&large, FrameSide::Diagonal);
    /// assert_eq!(same.to_string(), "600 mm f/6.0");
    /// assert!((same.iso(400.0)? - 900.0).abs() < 1e-9);
    /// # Ok::<(), wrackline_optics::Error>(())
    /// ```
    #[must_use]
    pub fn equivalent_on(&self, reference: &Sensor, side: FrameSide) -> Equivalent {
        let crop_factor = self.sensor().crop_factor(reference, side);
        Equivalent {
            crop_factor,
            focal_length_mm: self.focal_length_mm() * crop_factor,
            f_number: self.effective_f_number() * crop_factor,
        }
    }
}
