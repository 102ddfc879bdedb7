//! Prints: what a picture must hold to be printed, and how long the subject becomes on paper.

use crate::error::{Error, Result, Valid, positive};
use crate::kit::Focused;
use crate::sensor::Sensor;

const MILLIMETRES_PER_INCH: f64 = 25.4;

/// The figures of a print.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct PrintSpec {
    /// Width in millimetres, above zero.
    pub width_mm: f64,
    /// Height in millimetres, above zero.
    pub height_mm: f64,
    /// What is printed beyond each edge and cut off, in millimetres, 0 to 100.
    #[cfg_attr(feature = "serde", serde(default))]
    pub bleed_mm: f64,
    /// Pixels to the inch, above zero; 300 is common practice, no source.
    pub ppi: f64,
}

/// A print of a given size and density.
///
/// ```
/// use wrackline_optics::{Print, PrintSpec};
/// let page = Print::new(PrintSpec {
///     width_mm: 210.0,
///     height_mm: 297.0,
///     bleed_mm: 3.0,
///     ppi: 300.0,
/// })?;
/// assert_eq!((page.columns(), page.rows()), (2552, 3579));
/// # Ok::<(), wrackline_optics::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "PrintSpec", into = "PrintSpec"))]
pub struct Print {
    spec: PrintSpec,
}

impl Print {
    /// A print from its figures.
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a side or density that is not finite and above zero;
    /// [`Error::OutOfRange`] for a bleed outside 0 to 100 mm, or a print of more than a million
    /// pixels along a side.
    pub fn new(spec: PrintSpec) -> Result<Self> {
        positive("width of the print", spec.width_mm, "mm")?;
        positive("height of the print", spec.height_mm, "mm")?;
        positive("density of the print", spec.ppi, "ppi")?;
        Valid {
            what: "bleed of the print",
            lowest: 0.0,
            highest: 100.0,
            unit: "mm",
        }
        .check(spec.bleed_mm)?;
        let print = Self { spec };
        let side = Valid {
            what: "side of the print",
            lowest: 0.0,
            highest: 1e6,
            unit: "px",
        };
        side.check(print.pixels(spec.width_mm))?;
        side.check(print.pixels(spec.height_mm))?;
        Ok(print)
    }

    /// The figures of this print.
    #[must_use]
    pub fn spec(&self) -> PrintSpec {
        self.spec
    }

    /// Pixels across, bleed included, rounded up.
    #[must_use]
    pub fn columns(&self) -> u32 {
        libm::ceil(self.pixels(self.spec.width_mm)) as u32
    }

    /// Pixels down, bleed included, rounded up.
    #[must_use]
    pub fn rows(&self) -> u32 {
        libm::ceil(self.pixels(self.spec.height_mm)) as u32
    }

    /// The density in pixels to the inch that a sensor's whole frame gives when it is cropped to
    /// this print's shape and fills it, bleed included, upright or across, whichever suits.
    #[must_use]
    pub fn density_from(&self, sensor: &Sensor) -> f64 {
        let inches = |side_mm: f64| (side_mm + 2.0 * self.spec.bleed_mm) / MILLIMETRES_PER_INCH;
        let (width, height) = (inches(self.spec.width_mm), inches(self.spec.height_mm));
        let (columns, rows) = (f64::from(sensor.columns()), f64::from(sensor.rows()));
        let across = (columns / width).min(rows / height);
        let upright = (rows / width).min(columns / height);
        across.max(upright)
    }

    fn pixels(&self, side_mm: f64) -> f64 {
        (side_mm + 2.0 * self.spec.bleed_mm) / MILLIMETRES_PER_INCH * self.spec.ppi
    }
}

impl Focused {
    /// Length of a subject on paper in millimetres, printed at the print's density with one pixel
    /// of the sensor to a pixel of the print: how large it becomes before the print is softer than
    /// its density promises.
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a length that is not finite and above zero.
    pub fn length_on_print_mm(&self, subject_m: f64, print: &Print) -> Result<f64> {
        Ok(self.pixels_along(subject_m)? / print.spec().ppi * MILLIMETRES_PER_INCH)
    }
}

impl TryFrom<PrintSpec> for Print {
    type Error = Error;

    fn try_from(spec: PrintSpec) -> Result<Self> {
        Self::new(spec)
    }
}

impl From<Print> for PrintSpec {
    fn from(print: Print) -> Self {
        print.spec
    }
}
