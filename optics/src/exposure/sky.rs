//! The light of the sky.

use crate::error::{Result, Valid};

/// Illuminance of level ground under a clear sky by the sun alone, by two published models.
///
/// Their spread is a fair measure of how well such a figure is known; clouds can take away ten
/// times more.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct ClearSky {
    /// By the polynomials of the *Explanatory Supplement* (1992), in lux.
    pub supplement_lx: f64,
    /// By US Naval Observatory Circular 171 (1987), with its 0.0005 lx of night sky, in lux.
    pub circular_171_lx: f64,
}

/// Illuminance of level ground under a clear sky, for the airless altitude of the sun's centre,
/// from -18° to 90°.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) outside -18° to 90°: below it is night, and no
/// longer the sun's light.
pub fn clear_sky(sun_altitude_deg: f64) -> Result<ClearSky> {
    let altitude_deg = Valid {
        what: "altitude of the sun",
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

/// From the highest to the lowest stretch. The coefficients are from memory; every stretch
/// reproduces computed values of the printed table to six digits (see the tests).
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

/// How clouds divide the light of a clear sky (US Naval Observatory Circular 171, appendix B): a
/// factor, not a forecast; its authors allow a factor of ten.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
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

crate::words::words!(Sky, "sky": {
    Clear => "clear",
    ThinVeil => "thin veil",
    Cloudy => "cloudy",
    DarkStratus => "dark stratus",
});

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
