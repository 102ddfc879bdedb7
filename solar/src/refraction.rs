//! How the air lifts what stands near the horizon.

use crate::error::{Error, within};

/// Pressure and temperature of the air at the observer.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct AirSpec {
    /// Pressure at the observer (not reduced to sea level), in hectopascal, 0 to 1200. Zero: no
    /// refraction.
    pub pressure_hpa: f64,
    /// Temperature in degrees Celsius, -90 to 60.
    pub temperature_c: f64,
}

/// Which published formula gives the refraction.
///
/// Both stand for a standard atmosphere and are scaled with pressure over absolute temperature;
/// they agree within 0.1' above 5° of altitude and within 0.2' at the horizon. Both hold for points
/// above the horizon. Down there real air departs from either by several minutes of arc.
#[non_exhaustive]
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
pub enum RefractionFormula {
    /// From the airless altitude: Sæmundsson, Þ. (1986), Sky and Telescope 72, 70, with the
    /// constant that makes it vanish at the zenith (Meeus, Astronomical Algorithms, chapter 16).
    #[default]
    Saemundsson,
    /// From the apparent altitude: Bennett, G. G. (1982), Journal of Navigation 35, 255, likewise
    /// vanishing at the zenith.
    Bennett,
}

/// The air at the observer, as far as it bends light.
///
/// ```
/// use wrackline_solar::{AirSpec, Atmosphere};
///
/// let frost = Atmosphere::new(AirSpec { pressure_hpa: 1030.0, temperature_c: -8.0 })?;
/// assert!(frost.refraction_deg(0.0)? > Atmosphere::STANDARD.refraction_deg(0.0)?);
/// let apparent = frost.apparent_altitude_deg(2.0)?;
/// assert!((frost.airless_altitude_deg(apparent)? - 2.0).abs() < 1e-9);
/// # Ok::<(), wrackline_solar::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(
        try_from = "crate::record::AtmosphereRecord",
        into = "crate::record::AtmosphereRecord"
    )
)]
pub struct Atmosphere {
    spec: AirSpec,
    formula: RefractionFormula,
}

impl Default for Atmosphere {
    /// [`Atmosphere::STANDARD`].
    fn default() -> Self {
        Self::STANDARD
    }
}

impl Atmosphere {
    /// 1010 hPa and 10 °C, for which the formulas were made.
    pub const STANDARD: Self = Self {
        spec: AirSpec {
            pressure_hpa: 1010.0,
            temperature_c: 10.0,
        },
        formula: RefractionFormula::Saemundsson,
    };

    /// The air with a pressure and a temperature.
    ///
    /// # Errors
    /// If a value lies outside its range or is not a number.
    pub fn new(spec: AirSpec) -> Result<Self, Error> {
        within("air pressure", spec.pressure_hpa, 0.0, 1200.0, "hPa")?;
        within("air temperature", spec.temperature_c, -90.0, 60.0, "°C")?;
        Ok(Self {
            spec,
            ..Self::STANDARD
        })
    }

    /// The same air with another formula.
    #[must_use]
    pub fn with_formula(mut self, formula: RefractionFormula) -> Self {
        self.formula = formula;
        self
    }

    /// Pressure and temperature.
    #[must_use]
    pub fn spec(&self) -> AirSpec {
        self.spec
    }

    /// The formula in use.
    #[must_use]
    pub fn formula(&self) -> RefractionFormula {
        self.formula
    }

    /// Density of the air relative to 1010 hPa and 10 °C (273 + 10, as both papers have it).
    fn density(&self) -> f64 {
        self.spec.pressure_hpa / 1010.0 * 283.0 / (273.0 + self.spec.temperature_c)
    }

    /// By how much the air lifts a point whose airless altitude is given, in degrees.
    ///
    /// Below the horizon, where light would have to come through the ground, the value falls off
    /// smoothly, so that an apparent altitude never jumps and always rises with the airless one.
    ///
    /// # Errors
    /// If the altitude lies outside -90 to 90 degrees or is not a number.
    pub fn refraction_deg(&self, airless_altitude_deg: f64) -> Result<f64, Error> {
        Ok(self.apparent_altitude_deg(airless_altitude_deg)? - airless_altitude_deg)
    }

    /// Where the air shows a point whose airless altitude is given, degrees.
    ///
    /// # Errors
    /// If the altitude lies outside -90 to 90 degrees or is not a number.
    pub fn apparent_altitude_deg(&self, airless_altitude_deg: f64) -> Result<f64, Error> {
        within("airless altitude", airless_altitude_deg, -90.0, 90.0, "deg")
            .map(|airless| self.apparent_deg(airless))
    }

    /// The airless altitude of a point that the air shows at an altitude, degrees: the exact
    /// inverse of [`Atmosphere::apparent_altitude_deg`].
    ///
    /// # Errors
    /// If the altitude lies outside -90 to 90 degrees or is not a number.
    pub fn airless_altitude_deg(&self, apparent_altitude_deg: f64) -> Result<f64, Error> {
        within(
            "apparent altitude",
            apparent_altitude_deg,
            -90.0,
            90.0,
            "deg",
        )
        .map(|apparent| self.airless_deg(apparent))
    }

    /// Where the air shows a point that is known to lie in the sky.
    pub(crate) fn apparent_deg(&self, airless: f64) -> f64 {
        let density = self.density();
        match self.formula {
            RefractionFormula::Saemundsson => airless + density * SAEMUNDSSON.deg(airless),
            RefractionFormula::Bennett => solve(airless, |apparent| {
                apparent - density * BENNETT.deg(apparent)
            }),
        }
    }

    /// The inverse of that.
    pub(crate) fn airless_deg(&self, apparent: f64) -> f64 {
        let density = self.density();
        match self.formula {
            RefractionFormula::Saemundsson => solve(apparent, |airless| {
                airless + density * SAEMUNDSSON.deg(airless)
            }),
            RefractionFormula::Bennett => apparent - density * BENNETT.deg(apparent),
        }
    }
}

/// A formula of the form scale / tan(h + a / (h + b)), in minutes of arc, with its smooth end below
/// the horizon.
struct Curve {
    scale: f64,
    a: f64,
    b: f64,
    /// What makes it vanish at the zenith, minutes.
    zenith: f64,
    /// Where the smooth fall begins, degrees; the value there and by how much it grows with each
    /// degree downwards.
    lowest: f64,
    value: f64,
    growth: f64,
}

/// The depth over which refraction falls off below the formulas' range, degrees: chosen, since no
/// light comes from there.
const FALL_DEG: f64 = 1.5;

const SAEMUNDSSON: Curve = Curve {
    scale: 1.02,
    a: 10.3,
    b: 5.11,
    zenith: 0.001_927_920_403_464,
    lowest: -1.0,
    value: 0.646_612_752_887_749,
    growth: 0.167_615_459_345_516,
};

const BENNETT: Curve = Curve {
    scale: 1.0,
    a: 7.31,
    b: 4.4,
    zenith: 0.001_351_521_673_756,
    lowest: -0.5,
    value: 0.694_707_480_349_658,
    growth: 0.262_634_751_169_166,
};

impl Curve {
    /// The refraction at an altitude, degrees.
    fn deg(&self, altitude_deg: f64) -> f64 {
        if altitude_deg >= self.lowest {
            let angle = altitude_deg + self.a / (altitude_deg + self.b);
            return (self.scale / libm::tan(angle.to_radians()) + self.zenith) / 60.0;
        }
        // Value and rate continue at the join.
        let depth = self.lowest - altitude_deg;
        let slope = self.growth + self.value / FALL_DEG;
        (self.value + slope * depth) * libm::exp(-depth / FALL_DEG)
    }
}

/// The altitude at which a rising function that stays within a few degrees of it takes a value.
fn solve(value: f64, function: impl Fn(f64) -> f64) -> f64 {
    // The functions rise with a rate between 0.6 and 1.5, so a secant from the value itself
    // converges fast; the bracket keeps it in.
    let (mut low, mut high) = (value - 3.0, value + 3.0);
    let mut x = value;
    let mut rate = 1.0;
    let mut last: Option<(f64, f64)> = None;
    for _ in 0..60 {
        let miss = function(x) - value;
        if miss > 0.0 {
            high = high.min(x);
        } else {
            low = low.max(x);
        }
        if let Some((x0, miss0)) = last
            && x != x0
        {
            rate = (miss - miss0) / (x - x0);
        }
        last = Some((x, miss));
        let mut next = x - miss / rate;
        if !(low..=high).contains(&next) {
            next = 0.5 * (low + high);
        }
        if (next - x).abs() < 1e-13 {
            return next;
        }
        x = next;
    }
    x
}
