//! How much light falls on the subject, from noon through twilight to a moonlit night.

use crate::angle::polynomial;
use crate::error::{Error, within};
use crate::observer::{EARTH_RADIUS_KM, MoonPlace, Place};
use crate::rows::{Horizontal, LitMoon};

/// What lies before the sky.
///
/// The divisors are those of Janiczek, P. M. & DeYoung, J. A. (1987), "Computer programs for sun
/// and moon illuminance", USNO Circular 171, appendix B, whose authors warn that real light can
/// differ by ten times.
#[non_exhaustive]
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
pub enum SkyCondition {
    /// Clear, or less than 30 % of cloud: divided by 1.
    #[default]
    Clear,
    /// A thin veil over the sun: divided by 2.
    ThinVeil,
    /// Average cloud: divided by 3.
    AverageCloud,
    /// Dark stratus over the whole sky: divided by 10.
    DarkStratus,
}

impl SkyCondition {
    /// By how much the light of a clear sky is divided.
    #[must_use]
    pub fn divisor(self) -> f64 {
        match self {
            Self::Clear => 1.0,
            Self::ThinVeil => 2.0,
            Self::AverageCloud => 3.0,
            Self::DarkStratus => 10.0,
        }
    }

    /// Half the width of the band in stops: our choice, after the spread of 0.6 to 1.3 between
    /// published models of the clear sky and the warning of the divisors' authors; twice as wide in
    /// twilight.
    fn spread_stops(self, twilight: bool) -> f64 {
        let stops = match self {
            Self::Clear => 0.5,
            Self::ThinVeil => 1.0,
            Self::AverageCloud => 1.25,
            Self::DarkStratus => 1.75,
        };
        if twilight { 2.0 * stops } else { stops }
    }

    /// Direct (normal to the beam) and diffuse (on the horizontal) light in klx at a sine of the
    /// altitude: from memory of the IES Lighting Handbook (1984 reference volume, clear, partly
    /// cloudy and cloudy sky). Only their ratio is used.
    fn direct_and_diffuse(self, sine: f64) -> (f64, f64) {
        let (extinction, a, b) = match self {
            Self::Clear => (0.21, 0.8, 15.5),
            Self::ThinVeil | Self::AverageCloud => (0.80, 0.3, 45.0),
            Self::DarkStratus => return (0.0, 1.0),
        };
        let rise = if matches!(self, Self::Clear) {
            libm::sqrt(sine)
        } else {
            sine
        };
        (127.5 * libm::exp(-extinction / sine), a + b * rise)
    }
}

/// An illuminance as a band, since the sky is never the one of the formula.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Illuminance {
    /// The lower end in lux.
    pub lowest_lx: f64,
    /// The likely value in lux.
    pub likely_lx: f64,
    /// The upper end in lux.
    pub highest_lx: f64,
}

impl Illuminance {
    /// The width of the band in stops; never below one, half a stop either way.
    #[must_use]
    pub fn width_stops(&self) -> f64 {
        libm::log2(self.highest_lx / self.lowest_lx)
    }

    fn band(likely_lx: f64, half_width_stops: f64) -> Self {
        let factor = libm::exp2(half_width_stops.max(0.5));
        Self {
            lowest_lx: likely_lx / factor,
            likely_lx,
            highest_lx: likely_lx * factor,
        }
    }
}

/// A surface that stands upright: a bird's flank, a trunk.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Upright {
    /// The azimuth towards which the surface looks, degrees clockwise from true north, -360 to 720.
    pub facing_deg: f64,
    /// The share of the light that the ground throws back, 0 to 1: 0.2 for grass, 0.1 for water and
    /// wet mud, 0.8 for snow (common practice, no source).
    pub ground_reflectance: f64,
}

/// Sun and moon over the subject, as far as they give light.
///
/// ```
/// use wrackline_solar::{Luminaries, Observer, Site, SkyCondition};
///
/// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
/// let observer = Observer::new(site)?;
/// let at = "2026-12-29T12:00:00Z".parse()?;
/// let light = Luminaries::new(&observer.sun(at), &observer.moon(at))?;
/// let level = light.horizontal(SkyCondition::Clear);
/// assert!(level.lowest_lx > 10_000.0 && level.highest_lx < 40_000.0);
/// # Ok::<(), Box<dyn core::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Luminaries {
    sun_altitude_deg: f64,
    sun_azimuth_deg: f64,
    moon_altitude_deg: f64,
    moon_azimuth_deg: f64,
    /// Light of the moon relative to that of the formula's full moon at mean distance.
    moon_strength: f64,
}

impl Luminaries {
    /// From the places of sun and moon at one instant.
    ///
    /// # Errors
    /// If a place, as somebody may have set it, is none.
    pub fn new(sun: &Place, moon: &MoonPlace) -> Result<Self, Error> {
        let sun = Horizontal {
            azimuth_deg: sun.azimuth_deg,
            altitude_deg: sun.altitude_deg,
        };
        let moon = LitMoon {
            azimuth_deg: moon.azimuth_deg,
            altitude_deg: moon.altitude_deg,
            distance_km: moon.distance_km,
            lit_fraction: moon.lit_fraction,
            phase_angle_deg: moon.phase_angle_deg,
        };
        Self::of_batches(&sun, &moon)
    }

    /// From the rows of two batches at one instant.
    ///
    /// # Errors
    /// If a row, as somebody may have set it, is no place.
    pub fn of_batches(sun: &Horizontal, moon: &LitMoon) -> Result<Self, Error> {
        Self::check(sun, moon)?;
        Ok(Self {
            sun_altitude_deg: sun.altitude_deg,
            sun_azimuth_deg: sun.azimuth_deg,
            moon_altitude_deg: moon.altitude_deg,
            moon_azimuth_deg: moon.azimuth_deg,
            moon_strength: moon_strength(moon.phase_angle_deg, moon.distance_km),
        })
    }

    /// Whether two rows are places in the sky.
    #[inline]
    pub(crate) fn check(sun: &Horizontal, moon: &LitMoon) -> Result<(), Error> {
        let altitude = |what, value| within(what, value, -90.0, 90.0, "deg");
        let azimuth = |what, value| within(what, value, -360.0, 720.0, "deg");
        altitude("altitude of the sun", sun.altitude_deg)?;
        azimuth("azimuth of the sun", sun.azimuth_deg)?;
        altitude("altitude of the moon", moon.altitude_deg)?;
        azimuth("azimuth of the moon", moon.azimuth_deg)?;
        let phase_deg = moon.phase_angle_deg;
        within("phase angle of the moon", phase_deg, 0.0, 180.0, "deg")?;
        // Nearer than the Earth's surface there is no moon.
        within(
            "distance of the moon",
            moon.distance_km,
            EARTH_RADIUS_KM,
            1e9,
            "km",
        )?;
        Ok(())
    }

    /// The light on level ground.
    #[must_use]
    pub fn horizontal(&self, sky: SkyCondition) -> Illuminance {
        let sun = level_sun_lx(self.sun_altitude_deg);
        let moon = moon_lx(self.moon_altitude_deg) * self.moon_strength;
        self.band((sun + moon) / sky.divisor(), sky)
    }

    /// The light on an upright surface: the beam at its angle, half the sky, and what the ground
    /// throws back.
    ///
    /// # Errors
    /// If the facing is not finite or the reflectance lies outside 0 to 1.
    pub fn upright(&self, surface: Upright, sky: SkyCondition) -> Result<Illuminance, Error> {
        let facing = within("facing", surface.facing_deg, -360.0, 720.0, "deg")?;
        let reflectance = within(
            "reflectance of the ground",
            surface.ground_reflectance,
            0.0,
            1.0,
            "",
        )?;
        let one = |level_lx: f64, altitude_deg: f64, azimuth_deg: f64| {
            let (sine, cosine) = libm::sincos(altitude_deg.to_radians());
            let off = libm::cos((azimuth_deg - facing).to_radians());
            // Below the horizon all light is the sky's.
            let (direct_normal, diffuse) = if sine > 0.0 {
                sky.direct_and_diffuse(sine)
            } else {
                (0.0, 1.0)
            };
            let scale = level_lx / (direct_normal * sine.max(0.0) + diffuse);
            scale * (direct_normal * (cosine * off).max(0.0) + 0.5 * diffuse)
                + 0.5 * reflectance * level_lx
        };
        let sun = one(
            level_sun_lx(self.sun_altitude_deg),
            self.sun_altitude_deg,
            self.sun_azimuth_deg,
        );
        let moon = one(
            moon_lx(self.moon_altitude_deg) * self.moon_strength,
            self.moon_altitude_deg,
            self.moon_azimuth_deg,
        );
        Ok(self.band((sun + moon) / sky.divisor(), sky))
    }

    fn band(&self, likely_lx: f64, sky: SkyCondition) -> Illuminance {
        Illuminance::band(likely_lx, sky.spread_stops(self.sun_altitude_deg < 0.0))
    }
}

/// The light of the sun alone on level ground, for an airless altitude of its centre in degrees:
/// what an exposure is reckoned from by day.
///
/// ```
/// use wrackline_solar::{SkyCondition, sun_illuminance};
///
/// let low = sun_illuminance(10.0, SkyCondition::Clear)?;
/// assert!((11_000.0..11_300.0).contains(&low.likely_lx));
/// assert!(low.lowest_lx < 8_000.0 && low.highest_lx > 15_000.0);
/// # Ok::<(), wrackline_solar::Error>(())
/// ```
///
/// # Errors
/// If the altitude lies outside -90 to 90 degrees or is not a number.
pub fn sun_illuminance(altitude_deg: f64, sky: SkyCondition) -> Result<Illuminance, Error> {
    let likely_lx = sun_lx(altitude_deg)? / sky.divisor();
    Ok(Illuminance::band(
        likely_lx,
        sky.spread_stops(altitude_deg < 0.0),
    ))
}

/// Illuminance of level ground under a clear sky from the sun alone, in lux, for an airless
/// altitude of its centre in degrees.
///
/// Cubic polynomials in the logarithm: Seidelmann, P. K. (ed.) (1992), Explanatory Supplement to
/// the Astronomical Almanac, section 9.35, as printed in Vallado, D. A. (2022), Fundamentals of
/// Astrodynamics and Applications, table 5-1; their own errors are 2 to 5 %. Over the half degree
/// below each join one runs into the next, so that light never rises as the sun sinks; below -18°
/// the night sky keeps the last value, 0.00065 lx.
///
/// # Errors
/// If the altitude lies outside -90 to 90 degrees or is not a number.
pub fn sun_lx(altitude_deg: f64) -> Result<f64, Error> {
    within("altitude of the sun", altitude_deg, -90.0, 90.0, "deg").map(level_sun_lx)
}

/// The same for an altitude that is one.
fn level_sun_lx(altitude_deg: f64) -> f64 {
    libm::exp10(joined(&SUN, altitude_deg.max(-18.0)))
}

/// Illuminance of level ground under a clear sky from a full moon at mean distance, in lux, for an
/// airless altitude of its centre in degrees.
///
/// From the same table; below its lower end, -0.8°, the light falls by ten times in each half
/// degree, a smooth end that has no source.
fn moon_lx(altitude_deg: f64) -> f64 {
    let above = altitude_deg.max(MOON[MOON.len() - 1].0);
    libm::exp10(joined(&MOON, above) + MOON_FALL_PER_DEG * (altitude_deg - above))
}

/// How the phase and the distance of the moon change its light, relative to full moon at a
/// horizontal parallax of 0.951° (from the same table).
fn moon_strength(phase_deg: f64, distance_km: f64) -> f64 {
    let nearness = nearness(distance_km);
    libm::exp10(phase_logarithm(phase_deg)) * nearness * nearness
}

/// The decimal logarithm of what the phase leaves of the light of a full moon.
#[inline(always)]
pub(crate) fn phase_logarithm(phase_deg: f64) -> f64 {
    let square = phase_deg * phase_deg;
    -8.68e-3 * phase_deg - 2.2e-9 * square * square
}

/// The moon's parallax over the 0.951° of the table.
#[inline(always)]
pub(crate) fn nearness(distance_km: f64) -> f64 {
    const MEAN_PARALLAX_DEG: f64 = 0.951;
    let sine = EARTH_RADIUS_KM / distance_km;
    // The arc sine's series: at the moon's distance its next term is 6e-9.
    (sine * (1.0 + sine * sine / 6.0)).to_degrees() / MEAN_PARALLAX_DEG
}

/// By how much the logarithm of the moon's light falls with each degree below the table.
pub(crate) const MOON_FALL_PER_DEG: f64 = 2.0;

/// A cubic of the table, held here against three transcriptions by others, the companion code of
/// Vallado's book among them: from which altitude on it holds, and its coefficients in powers of
/// the altitude over 90°.
pub(crate) type Cubic = (f64, [f64; 4]);

/// The sun's cubics, from high to low.
pub(crate) const SUN: [Cubic; 6] = [
    (20.0, [3.74, 3.97, -4.07, 1.47]),
    (5.0, [3.05, 13.28, -45.98, 64.33]),
    (-0.8, [2.88, 22.26, -207.64, 1034.30]),
    (-5.0, [2.88, 21.81, -258.11, -858.36]),
    (-12.0, [2.70, 12.17, -431.69, -1899.83]),
    (-18.0, [13.84, 262.72, 1447.42, 2797.93]),
];

/// The moon's.
pub(crate) const MOON: [Cubic; 3] = [
    (20.0, [-1.95, 4.06, -4.24, 1.56]),
    (5.0, [-2.58, 12.58, -42.58, 59.06]),
    (-0.8, [-2.79, 24.27, -252.95, 1321.29]),
];

/// Over how many degrees below a join the upper cubic runs into the lower one.
pub(crate) const BLEND_DEG: f64 = 0.5;

/// The decimal logarithm of the illuminance from a table whose last cubic reaches down to the
/// altitude.
fn joined(cubics: &[Cubic], altitude_deg: f64) -> f64 {
    let x = altitude_deg / 90.0;
    let index = cubics
        .iter()
        .position(|(from, _)| altitude_deg >= *from)
        .unwrap_or(cubics.len() - 1);
    let lower = polynomial(x, cubics[index].1);
    match index.checked_sub(1).map(|above| cubics[above]) {
        Some((join, above)) if altitude_deg > join - BLEND_DEG => {
            let u = (join - altitude_deg) / BLEND_DEG;
            let share = u * u * (3.0 - 2.0 * u);
            let upper = polynomial(x, above);
            upper + share * (lower - upper)
        }
        _ => lower,
    }
}
