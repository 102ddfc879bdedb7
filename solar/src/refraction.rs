//! How the air lifts what stands near the horizon.

use crate::error::{Error, within};

/// Pressure and temperature of the air at the observer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirSpec {
    /// Pressure at the observer (not reduced to sea level), in hectopascal, 0 to 1200. Zero: no refraction.
    pub pressure_hpa: f64,
    /// Temperature in degrees Celsius, -90 to 60.
    pub temperature_c: f64,
}

/// The air at the observer, as far as it bends light.
///
/// ```
/// use wrackline_solar::{AirSpec, Atmosphere};
///
/// let frost = Atmosphere::new(AirSpec { pressure_hpa: 1030.0, temperature_c: -8.0 })?;
/// assert!(frost.refraction_deg(0.0) > Atmosphere::STANDARD.refraction_deg(0.0));
/// # Ok::<(), wrackline_solar::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Atmosphere {
    /// Density of the air relative to 1010 hPa and 10 °C.
    density: f64,
}

impl Atmosphere {
    /// 1010 hPa and 10 °C, for which the formulas were made.
    pub const STANDARD: Self = Self { density: 1.0 };

    /// The air with a pressure and a temperature.
    ///
    /// # Errors
    /// If a value lies outside its range or is not a number.
    pub fn new(air: AirSpec) -> Result<Self, Error> {
        let pressure = within("the air pressure in hPa", air.pressure_hpa, 0.0, 1200.0)?;
        let temperature = within("the air temperature in °C", air.temperature_c, -90.0, 60.0)?;
        Ok(Self {
            density: pressure / 1010.0 * 283.0 / (273.0 + temperature),
        })
    }

    /// By how much the air lifts a point whose airless altitude is given, in degrees.
    ///
    /// Sæmundsson, Þ. (1986), Sky and Telescope 72, 70, scaled with pressure and temperature: within 0.1' of the standard
    /// atmosphere above the horizon; near it real air departs by several minutes of arc. Below -1° the light would have to come through the
    /// ground: from there the value falls off smoothly, so that an altitude never jumps.
    pub fn refraction_deg(&self, airless_altitude_deg: f64) -> f64 {
        let h = airless_altitude_deg.clamp(-90.0, 90.0);
        if h >= LOWEST_DEG {
            return self.density * saemundsson_deg(h);
        }
        // Value and slope continue; the sum of altitude and refraction keeps rising down to the nadir.
        let depth = LOWEST_DEG - h;
        let growth = RATE_AT_LOWEST + VALUE_AT_LOWEST_DEG / FALL_DEG;
        self.density * (VALUE_AT_LOWEST_DEG + growth * depth) * libm::exp(-depth / FALL_DEG)
    }
}

/// Where the formula hands over to the smooth fall, degrees.
const LOWEST_DEG: f64 = -1.0;
/// The formula's value there, degrees.
const VALUE_AT_LOWEST_DEG: f64 = 0.646_612_753_176_3;
/// By how much the refraction grows there with each degree downwards.
const RATE_AT_LOWEST: f64 = 0.167_615_459;
/// The depth over which it falls off below, degrees: chosen, since no light comes from there.
const FALL_DEG: f64 = 1.5;

fn saemundsson_deg(h: f64) -> f64 {
    // The last term brings the value at the zenith to zero (Meeus, Astronomical Algorithms, chapter 16).
    (1.02 / libm::tan((h + 10.3 / (h + 5.11)).to_radians()) + 0.001_927_9) / 60.0
}
