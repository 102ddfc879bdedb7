//! What the pixels leave of a pattern, and which patterns they carry.

use crate::error::Result;
use crate::kit::AtInfinity;
use crate::sensor::Sensor;
use crate::wave::{FREQUENCY, WAVELENGTH};

/// The share of the contrast that a box of a given width leaves: |sin(πx)/(πx)| with x the width in
/// periods.
pub(super) fn box_transfer(x: f64) -> f64 {
    let angle = core::f64::consts::PI * x;
    if angle.abs() < 1e-8 {
        1.0
    } else {
        (libm::sin(angle) / angle).abs()
    }
}

impl Sensor {
    /// The share of the contrast that pixels of full size leave: sin(πνp)/(πνp), across the width.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a frequency outside 0 to 1e12.
    pub fn pixel_mtf(&self, lp_per_mm: f64) -> Result<f64> {
        Ok(box_transfer(FREQUENCY.check(lp_per_mm)? * self.pitch_mm()))
    }

    /// The f-number at which diffraction takes over from the pixels: where both alone leave half of
    /// the contrast at the same frequency (the diffraction MTF is 1/2 at 0.40397 of the cut-off,
    /// the pixel's at 0.60335/p), so N = 0.66954 p/λ.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a wavelength outside 0.1 to 20 µm.
    pub fn diffraction_takes_over_at(&self, wavelength_um: f64) -> Result<f64> {
        // The roots of 2/π (acos x - x√(1-x²)) = 1/2 and of sin(πy)/(πy) = 1/2.
        const DIFFRACTION_HALF: f64 = 0.403_972_753_299_517_4;
        const PIXEL_HALF: f64 = 0.603_354_564_401_614_2;
        Ok(DIFFRACTION_HALF / PIXEL_HALF * self.pixel_pitch_um()
            / WAVELENGTH.check(wavelength_um)?)
    }

    /// The f-number from which on the pixels carry every pattern that the aperture lets through: Q
    /// = λN/p = 2. From there on a converter brings in no new pattern, however good it is; it can
    /// still lessen the pixels' own blur. Where that stops paying is
    /// [`ConverterGain`](crate::reach::ConverterGain).
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a wavelength outside 0.1 to 20 µm.
    pub fn fully_sampled_from(&self, wavelength_um: f64) -> Result<f64> {
        Ok(2.0 * self.pixel_pitch_um() / WAVELENGTH.check(wavelength_um)?)
    }
}

impl AtInfinity {
    /// The angle of two pixels in radians: the finest pattern that they carry.
    #[must_use]
    pub fn two_pixel_rad(&self) -> f64 {
        2.0 * self.sensor.pitch_mm() / self.focal_length_mm
    }
}
