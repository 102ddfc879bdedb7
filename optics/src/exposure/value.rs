//! Exposure values: what an f-number, a time and an ISO speed make of a light, and what reaches the
//! sensor.

use crate::error::{Result, Valid, positive};
use crate::kit::{Focused, Kit};

/// The calibration constant C of an incident-light meter with a flat receptor, in lux seconds times
/// ISO (ISO 2720: 240-400).
pub const INCIDENT_CONSTANT: f64 = 250.0;

/// The calibration constant K of a reflected-light meter, in candela seconds per square metre times
/// ISO (ISO 2720: 10.6-13.4).
pub const REFLECTED_CONSTANT: f64 = 12.5;

/// Photons that fall on a square micrometre for each lux second of light of 555 nm, where the eye
/// sees best: λ/(hc) over 683.002 lm/W (BIPM, *SI Brochure*, 9th ed. (2019), for h, c and the
/// luminous efficacy 683 lm/W at 540 THz; 683.002 at 555 nm in air, CIE S 010, from memory). Light
/// of any other colour brings more, since the eye sees it less well.
pub const PHOTONS_PER_LX_S_UM2: f64 = 4090.668;

/// An f-number and a time.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "ExposureSpec", into = "ExposureSpec")
)]
pub struct Exposure {
    spec: ExposureSpec,
}

/// The figures of an exposure.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct ExposureSpec {
    /// The f-number, above zero; for near subjects the working f-number.
    pub f_number: f64,
    /// How long the shutter is open, in seconds, above zero.
    pub time_s: f64,
}

impl Exposure {
    /// An exposure from its figures.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) for a figure that is not finite and above
    /// zero.
    pub fn new(spec: ExposureSpec) -> Result<Self> {
        positive("f-number", spec.f_number, "")?;
        positive("exposure time", spec.time_s, "s")?;
        Ok(Self { spec })
    }

    /// The figures of this exposure.
    #[must_use]
    pub fn spec(&self) -> ExposureSpec {
        self.spec
    }

    /// The exposure value log2(N²/t).
    #[must_use]
    pub fn value(&self) -> f64 {
        2.0 * libm::log2(self.spec.f_number) - libm::log2(self.spec.time_s)
    }

    /// The ISO speed that this exposure needs under a light of exposure value `ev100` at ISO 100.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for an exposure value outside -50 to 50.
    pub fn iso_under(&self, ev100: f64) -> Result<f64> {
        Ok(100.0 * libm::exp2(self.value() - EXPOSURE_VALUE.check(ev100)?))
    }

    /// The exposure time in seconds for an f-number and ISO speed under a light of exposure value
    /// `ev100` at ISO 100.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) for an f-number or ISO speed that is not
    /// finite and above zero; [`Error::OutOfRange`](crate::Error::OutOfRange) for an exposure value
    /// outside -50 to 50.
    pub fn time_under(light: Light) -> Result<f64> {
        let f_number = positive("f-number", light.f_number, "")?;
        let iso = positive("ISO speed", light.iso, "")?;
        Ok(f_number * f_number * libm::exp2(-EXPOSURE_VALUE.check(light.ev100)?) * 100.0 / iso)
    }
}

impl TryFrom<ExposureSpec> for Exposure {
    type Error = crate::Error;

    fn try_from(spec: ExposureSpec) -> Result<Self> {
        Self::new(spec)
    }
}

impl From<Exposure> for ExposureSpec {
    fn from(exposure: Exposure) -> Self {
        exposure.spec
    }
}

/// A light, and the aperture and speed to take a picture in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Light {
    /// Exposure value of the light at ISO 100, -50 to 50.
    pub ev100: f64,
    /// The f-number, above zero.
    pub f_number: f64,
    /// The ISO speed, above zero.
    pub iso: f64,
}

const EXPOSURE_VALUE: Valid = Valid {
    what: "exposure value",
    lowest: -50.0,
    highest: 50.0,
    unit: "EV",
};

/// Exposure value at ISO 100 of an illuminance in lux: log2(100 E / C).
///
/// # Errors
/// [`Error::NotPositive`](crate::Error::NotPositive) unless the illuminance is finite and above
/// zero.
pub fn ev100_of_illuminance(illuminance_lx: f64) -> Result<f64> {
    Ok(libm::log2(
        positive("illuminance", illuminance_lx, "lx")? * 100.0 / INCIDENT_CONSTANT,
    ))
}

/// Illuminance in lux of an exposure value at ISO 100: C 2^EV / 100.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) for an exposure value outside -50 to 50.
pub fn illuminance_of_ev100_lx(ev100: f64) -> Result<f64> {
    Ok(INCIDENT_CONSTANT / 100.0 * libm::exp2(EXPOSURE_VALUE.check(ev100)?))
}

/// Luminance in candela per square metre of an exposure value at ISO 100: K 2^EV / 100.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) for an exposure value outside -50 to 50.
pub fn luminance_of_ev100(ev100: f64) -> Result<f64> {
    Ok(REFLECTED_CONSTANT / 100.0 * libm::exp2(EXPOSURE_VALUE.check(ev100)?))
}

/// Exposure at the sensor, in lux seconds, that an ISO speed makes a middle tone: 10/S (ISO 12232,
/// standard output sensitivity).
///
/// # Errors
/// [`Error::NotPositive`](crate::Error::NotPositive) unless the speed is finite and above zero.
pub fn middle_tone_lx_s(iso: f64) -> Result<f64> {
    Ok(10.0 / positive("ISO speed", iso, "")?)
}

/// Exposure at the sensor, in lux seconds, at which an ISO speed saturates: 78/S (ISO 12232,
/// saturation based speed).
///
/// # Errors
/// [`Error::NotPositive`](crate::Error::NotPositive) unless the speed is finite and above zero.
pub fn saturation_lx_s(iso: f64) -> Result<f64> {
    Ok(78.0 / positive("ISO speed", iso, "")?)
}

impl Focused {
    /// Exposure that the magnification costs against the focus at infinity, in stops: 2 log2(1 +
    /// m/P).
    #[must_use]
    pub fn stops_lost_to_magnification(&self, kit: &Kit) -> f64 {
        2.0 * libm::log2(self.working_f_number() / kit.effective_f_number())
    }

    /// The light of each area of the subject that reaches the sensor: the solid angle of the
    /// entrance pupil seen from the subject, in steradians, times what the converter's glass lets
    /// through.
    ///
    /// A converter leaves the pupil as it is, so it costs its glass loss here and no more; by how
    /// much it spreads the light is in the working f-number.
    #[must_use]
    pub fn light_of_subject_sr(&self) -> f64 {
        let half_angle_tangent = 0.5 * self.pupil_diameter_mm / self.pupil_distance_mm;
        core::f64::consts::PI * half_angle_tangent * half_angle_tangent * self.transmittance
    }

    /// The light of each area of the sensor, with the subject's luminance as the unit: π/(4 N_w²)
    /// times the transmittance.
    #[must_use]
    pub fn light_of_sensor(&self) -> f64 {
        let f_number = self.working_f_number();
        core::f64::consts::FRAC_PI_4 * self.transmittance / (f_number * f_number)
    }
}

/// How much noisier one picture is than another when both are taken with the same shutter time in
/// the same light, counting the noise of the light itself: the square root of the light that is
/// missing.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct NoiseRatio {
    /// Noise of one pixel, first over second.
    pub by_pixel: f64,
    /// Noise of one and the same patch of the subject, first over second.
    pub by_subject_area: f64,
}

impl NoiseRatio {
    /// The noise of the first kit over that of the second.
    #[must_use]
    pub fn at_equal_shutter(first: &Focused, second: &Focused) -> Self {
        let light_of_pixel = |focused: &Focused| {
            focused.light_of_sensor()
                * focused.sensor().pitch_mm()
                * focused.sensor().pitch_down_mm()
        };
        Self {
            by_pixel: libm::sqrt(light_of_pixel(second) / light_of_pixel(first)),
            by_subject_area: libm::sqrt(second.light_of_subject_sr() / first.light_of_subject_sr()),
        }
    }
}
