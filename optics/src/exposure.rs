//! Exposure: how much light there is, how long the shutter may stay open, and what a longer lens costs.
//!
//! Sources: ISO 2720 (exposure value, calibration constants C and K); ISO 12232 (exposure at the sensor for an ISO speed);
//! P. K. Seidelmann (ed.), *Explanatory Supplement to the Astronomical Almanac* (1992), polynomials for the illuminance of a
//! clear sky, as printed in D. A. Vallado, *Fundamentals of Astrodynamics and Applications*, Table 5-1; P. M. Janiczek and
//! J. A. DeYoung, *Computer Programs for Sun and Moon Illuminance*, US Naval Observatory Circular 171 (1987).

use crate::error::{Result, Valid, positive};
use crate::kit::{Focused, Kit};

/// The calibration constant C of an incident-light meter with a flat receptor, in lux seconds times ISO (ISO 2720: 240-400).
pub const INCIDENT_CONSTANT: f64 = 250.0;

/// The calibration constant K of a reflected-light meter, in candela seconds per square metre times ISO (ISO 2720: 10.6-13.4).
pub const REFLECTED_CONSTANT: f64 = 12.5;

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
    /// [`Error::NotPositive`](crate::Error::NotPositive) for a figure that is not finite and above zero.
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

    /// The exposure time in seconds for an f-number and ISO speed under a light of exposure value `ev100` at ISO 100.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) for an f-number or ISO speed that is not finite and above zero;
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for an exposure value outside -50 to 50.
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
    quantity: "exposure value",
    lowest: -50.0,
    highest: 50.0,
    unit: "EV",
};

/// Exposure value at ISO 100 of an illuminance in lux: log2(100 E / C).
///
/// # Errors
/// [`Error::NotPositive`](crate::Error::NotPositive) unless the illuminance is finite and above zero.
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

/// Exposure at the sensor, in lux seconds, that an ISO speed makes a middle tone: 10/S (ISO 12232, standard output
/// sensitivity).
///
/// # Errors
/// [`Error::NotPositive`](crate::Error::NotPositive) unless the speed is finite and above zero.
pub fn middle_tone_lx_s(iso: f64) -> Result<f64> {
    Ok(10.0 / positive("ISO speed", iso, "")?)
}

/// Exposure at the sensor, in lux seconds, at which an ISO speed saturates: 78/S (ISO 12232, saturation based speed).
///
/// # Errors
/// [`Error::NotPositive`](crate::Error::NotPositive) unless the speed is finite and above zero.
pub fn saturation_lx_s(iso: f64) -> Result<f64> {
    Ok(78.0 / positive("ISO speed", iso, "")?)
}

/// Illuminance of level ground under a clear sky by the sun alone, by two published models.
///
/// Their spread is a fair measure of how well such a figure is known; clouds can take away ten times more.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct ClearSky {
    /// By the polynomials of the *Explanatory Supplement* (1992), in lux.
    pub supplement_lx: f64,
    /// By US Naval Observatory Circular 171 (1987), with its 0.0005 lx of night sky, in lux.
    pub circular_171_lx: f64,
}

/// Illuminance of level ground under a clear sky, for the airless altitude of the sun's centre, from -18° to 90°.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) outside -18° to 90°: below it is night, and no longer the sun's light.
pub fn clear_sky(sun_altitude_deg: f64) -> Result<ClearSky> {
    let altitude_deg = Valid {
        quantity: "altitude of the sun",
        lowest: -18.0,
        highest: 90.0,
        unit: "deg",
    }
    .check(sun_altitude_deg)?;
    Ok(ClearSky {
        supplement_lx: supplement_lx(altitude_deg),
        circular_171_lx: circular_171_lx(altitude_deg),
    })
}

/// Lowest altitude in degrees, and the coefficients of log10(lux) in powers of altitude/90°.
type Stretch = (f64, [f64; 4]);

/// From the highest to the lowest stretch. The coefficients are from memory; every stretch reproduces computed values of the
/// printed table to six digits (see the tests).
const STRETCHES: [Stretch; 6] = [
    (20.0, [3.74, 3.97, -4.07, 1.47]),
    (5.0, [3.05, 13.28, -45.98, 64.33]),
    (-0.8, [2.88, 22.26, -207.64, 1034.30]),
    (-5.0, [2.88, 21.81, -258.11, -858.36]),
    (-12.0, [2.70, 12.17, -431.69, -1899.83]),
    (-18.0, [13.84, 262.72, 1447.42, 2797.93]),
];

fn supplement_lx(altitude_deg: f64) -> f64 {
    let x = altitude_deg / 90.0;
    let lowest = STRETCHES[STRETCHES.len() - 1].1;
    let [c0, c1, c2, c3] = STRETCHES
        .iter()
        .find(|stretch| altitude_deg >= stretch.0)
        .map_or(lowest, |stretch| stretch.1);
    libm::pow(10.0, c0 + x * (c1 + x * (c2 + x * c3)))
}

fn circular_171_lx(altitude_deg: f64) -> f64 {
    // Earth's radius over the scale height of the atmosphere.
    const RADIUS_IN_HEIGHTS: f64 = 753.66156;
    // Starlight and airglow.
    const NIGHT_SKY_LX: f64 = 0.0005;
    let refraction_deg = if altitude_deg < -5.0 / 6.0 {
        0.0
    } else {
        1.0 / libm::tan((altitude_deg + 8.6 / (altitude_deg + 4.42)).to_radians()) / 60.0
    };
    let apparent_deg = altitude_deg + refraction_deg;
    let apparent = apparent_deg.to_radians();
    let sine = libm::sin(apparent);
    let slant = libm::asin(RADIUS_IN_HEIGHTS * libm::cos(apparent) / (RADIUS_IN_HEIGHTS + 1.0));
    let air_mass = RADIUS_IN_HEIGHTS * (libm::cos(slant) - sine) + libm::cos(slant);
    let direct = libm::exp(-0.21 * air_mass) * sine;
    let scattered =
        0.0289 * libm::exp(-0.042 * air_mass) * (1.0 + (apparent_deg + 90.0) * sine / 57.29577951);
    133_775.0 * (direct + scattered) + NIGHT_SKY_LX
}

/// How clouds divide the light of a clear sky (US Naval Observatory Circular 171, appendix B): a factor, not a forecast; its
/// authors allow a factor of ten.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Sky {
    /// Clear, or clouds that leave the sun free.
    Clear,
    /// A thin veil before the sun.
    ThinVeil,
    /// Ordinary clouds before the sun.
    Cloudy,
    /// Dark stratus over the whole sky.
    DarkStratus,
}

impl Sky {
    /// What the illuminance of a clear sky is divided by.
    #[must_use]
    pub fn divisor(self) -> f64 {
        match self {
            Self::Clear => 1.0,
            Self::ThinVeil => 2.0,
            Self::Cloudy => 3.0,
            Self::DarkStratus => 10.0,
        }
    }
}

/// A subject that crosses the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Motion {
    /// Its speed across the line of sight in metres a second, zero or more.
    pub speed_m_per_s: f64,
    /// The exposure time in seconds, above zero.
    pub time_s: f64,
}

/// A blur that a moving subject may not exceed.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct BlurLimit {
    /// The subject's speed across the line of sight in metres a second, above zero.
    pub speed_m_per_s: f64,
    /// The longest blur allowed, in pixels, above zero.
    pub pixels: f64,
}

/// A camera that turns while the shutter is open.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Shake {
    /// How fast it turns, in radians a second, zero or more.
    pub drift_rad_per_s: f64,
    /// The exposure time in seconds, above zero.
    pub time_s: f64,
}

/// The rule of thumb that a hand holds for one over the focal length in seconds: a convention about a small print from a
/// 36 mm frame (common practice, no source), not about pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct ReciprocalRule {
    /// Focal length in millimetres, above zero.
    pub focal_length_mm: f64,
    /// How many times wider a 36 mm frame is, above zero.
    pub crop_factor: f64,
    /// Stops that a stabiliser is trusted with, 0 to 20.
    pub stabiliser_stops: f64,
}

impl ReciprocalRule {
    /// The longest time in seconds: 2^stops / (f · crop).
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) and [`Error::OutOfRange`](crate::Error::OutOfRange) for a figure
    /// outside the range that its field states.
    pub fn longest_time_s(&self) -> Result<f64> {
        let focal = positive("focal length", self.focal_length_mm, "mm")?;
        let crop = positive("crop factor", self.crop_factor, "")?;
        let stops = Valid {
            quantity: "stops of the stabiliser",
            lowest: 0.0,
            highest: 20.0,
            unit: "",
        }
        .check(self.stabiliser_stops)?;
        Ok(libm::exp2(stops) / (focal * crop))
    }

    /// How fast a hand turns the camera if the rule keeps the blur within `circle_mm` on the sensor, in radians a second: for
    /// 0.030 mm on a 36 mm frame without a stabiliser it is 0.030 rad/s at any focal length.
    ///
    /// # Errors
    /// Those of [`longest_time_s`](Self::longest_time_s); [`Error::NotPositive`](crate::Error::NotPositive) unless the circle
    /// is finite and above zero.
    pub fn drift_rad_per_s(&self, circle_mm: f64) -> Result<f64> {
        let circle_mm = positive("circle of confusion", circle_mm, "mm")?;
        Ok(circle_mm / self.focal_length_mm / self.longest_time_s()?)
    }
}

const SPEED: Valid = Valid {
    quantity: "speed of the subject",
    lowest: 0.0,
    highest: 1e6,
    unit: "m/s",
};
const DRIFT: Valid = Valid {
    quantity: "drift of the camera",
    lowest: 0.0,
    highest: 1e3,
    unit: "rad/s",
};

impl Focused {
    /// Length of the blur that a moving subject leaves, in pixels: v·t·m/p.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a speed that is negative or not finite;
    /// [`Error::NotPositive`](crate::Error::NotPositive) unless the time is finite and above zero.
    pub fn motion_blur_px(&self, motion: Motion) -> Result<f64> {
        let speed = SPEED.check(motion.speed_m_per_s)?;
        Ok(self.pixels_along(speed * positive("exposure time", motion.time_s, "s")?))
    }

    /// The longest exposure in seconds that keeps a moving subject's blur within a limit: b·p/(v·m).
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) for a speed or limit that is not finite and above zero.
    pub fn longest_time_s(&self, limit: BlurLimit) -> Result<f64> {
        let speed = positive("speed of the subject", limit.speed_m_per_s, "m/s")?;
        Ok(positive("longest blur", limit.pixels, "px")? / self.pixels_along(speed))
    }

    /// Length of the blur that a turning camera leaves, in pixels.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a drift that is negative or not finite;
    /// [`Error::NotPositive`](crate::Error::NotPositive) unless the time is finite and above zero.
    pub fn shake_blur_px(&self, shake: Shake) -> Result<f64> {
        let angle =
            DRIFT.check(shake.drift_rad_per_s)? * positive("exposure time", shake.time_s, "s")?;
        Ok(angle * self.millimetres_per_radian() / self.sensor.pitch_mm())
    }

    /// Exposure that the magnification costs against the focus at infinity, in stops: 2 log2(1 + m/P).
    #[must_use]
    pub fn stops_lost_to_magnification(&self, kit: &Kit) -> f64 {
        2.0 * libm::log2(self.working_f_number() / kit.effective_f_number())
    }

    /// The light of each area of the subject that reaches the sensor: the solid angle of the entrance pupil seen from the
    /// subject, in steradians, times what the converter's glass lets through.
    ///
    /// A converter leaves the pupil as it is, so it costs its glass loss here and no more; by how much it spreads the light is
    /// in the working f-number.
    #[must_use]
    pub fn light_of_subject_sr(&self) -> f64 {
        let half_angle_tangent = 0.5 * self.pupil_diameter_mm / self.pupil_distance_mm;
        core::f64::consts::PI * half_angle_tangent * half_angle_tangent * self.transmittance
    }

    /// The light of each area of the sensor, with the subject's luminance as the unit: π/(4 N_w²) times the transmittance.
    #[must_use]
    pub fn light_of_sensor(&self) -> f64 {
        let f_number = self.working_f_number();
        core::f64::consts::FRAC_PI_4 * self.transmittance / (f_number * f_number)
    }
}

/// How much noisier one picture is than another when both are taken with the same shutter time in the same light, counting
/// the noise of the light itself: the square root of the light that is missing.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
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
