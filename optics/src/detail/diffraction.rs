//! What a round aperture leaves of a pattern.

use crate::error::{Error, Result, Valid, positive};
use crate::sensor::Sensor;
use crate::wave::{FREQUENCY, WAVELENGTH};

/// Light of one wavelength through a round aperture.
///
/// ```
/// use wrackline_optics::{Diffraction, DiffractionSpec};
/// let diffraction = Diffraction::new(DiffractionSpec { f_number: 8.0, wavelength_um: 0.55 })?;
/// assert!((diffraction.airy_radius_um() - 5.3665).abs() < 1e-4);
/// assert!((diffraction.cutoff_lp_per_mm() - 227.27).abs() < 1e-2);
/// # Ok::<(), wrackline_optics::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "DiffractionSpec", into = "DiffractionSpec")
)]
pub struct Diffraction {
    spec: DiffractionSpec,
}

/// The figures of a diffracting aperture.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct DiffractionSpec {
    /// The working f-number, above zero.
    pub f_number: f64,
    /// The wavelength in micrometres, 0.1 to 20.
    pub wavelength_um: f64,
}

/// Radius of the first dark ring in units of λN: the first zero of the Bessel function J1, over π.
const FIRST_ZERO: f64 = 1.219_669_891_266_504_5;

impl Diffraction {
    /// Light through an aperture.
    ///
    /// # Errors
    /// [`Error::NotPositive`] for an f-number that is not finite and above zero;
    /// [`Error::OutOfRange`] for a wavelength outside 0.1 to 20 µm.
    pub fn new(spec: DiffractionSpec) -> Result<Self> {
        positive("f-number", spec.f_number, "")?;
        WAVELENGTH.check(spec.wavelength_um)?;
        Ok(Self { spec })
    }

    /// Radius of the Airy disc (its first dark ring) in micrometres: 1.21967 λN.
    #[must_use]
    pub fn airy_radius_um(&self) -> f64 {
        FIRST_ZERO * self.spec.wavelength_um * self.spec.f_number
    }

    /// Where the contrast of every pattern has gone, in line pairs per millimetre: 1/(λN).
    #[must_use]
    pub fn cutoff_lp_per_mm(&self) -> f64 {
        1000.0 / (self.spec.wavelength_um * self.spec.f_number)
    }

    /// The finest pattern of two points that Rayleigh calls separate, in line pairs per millimetre:
    /// 1/(1.21967 λN). About 9 % of the contrast is left there.
    #[must_use]
    pub fn rayleigh_lp_per_mm(&self) -> f64 {
        self.cutoff_lp_per_mm() / FIRST_ZERO
    }

    /// The share of the contrast that is left at a frequency: 2/π (acos x - x√(1 - x²)) with x the
    /// frequency over the cut-off.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a frequency outside 0 to 1e12.
    pub fn mtf(&self, lp_per_mm: f64) -> Result<f64> {
        Ok(diffraction_transfer(
            FREQUENCY.check(lp_per_mm)? / self.cutoff_lp_per_mm(),
        ))
    }

    /// The share of a point's light that falls within a radius: 1 - J0²(v) - J1²(v), v = πr/(λN).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a radius outside 0 to 1e12 µm.
    pub fn encircled_energy(&self, radius_um: f64) -> Result<f64> {
        let radius_um = Valid {
            what: "radius",
            lowest: 0.0,
            highest: 1e12,
            unit: "um",
        }
        .check(radius_um)?;
        let v = core::f64::consts::PI * radius_um / (self.spec.wavelength_um * self.spec.f_number);
        let (j0, j1) = (libm::j0(v), libm::j1(v));
        // Within a point there is nothing, not the rounding of a difference.
        Ok((1.0 - j0 * j0 - j1 * j1).max(0.0))
    }

    /// The sampling ratio Q = λN/p: at 2 the pixels take all that the aperture lets through, below
    /// it they miss some.
    #[must_use]
    pub fn sampling_ratio(&self, sensor: &Sensor) -> f64 {
        self.spec.wavelength_um * self.spec.f_number / sensor.pixel_pitch_um()
    }
}

impl TryFrom<DiffractionSpec> for Diffraction {
    type Error = Error;

    fn try_from(spec: DiffractionSpec) -> Result<Self> {
        Self::new(spec)
    }
}

impl From<Diffraction> for DiffractionSpec {
    fn from(diffraction: Diffraction) -> Self {
        diffraction.spec
    }
}

/// The MTF of a round aperture at a frequency over its cut-off.
pub(super) fn diffraction_transfer(x: f64) -> f64 {
    if x < 1.0 {
        core::f64::consts::FRAC_2_PI * (libm::acos(x) - x * libm::sqrt(1.0 - x * x))
    } else {
        0.0
    }
}
