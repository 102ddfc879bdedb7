//! The moon as the centre of the Earth sees it, its phase and its bright limb.

use nalgebra::Vector3;

use crate::angle::positive_deg;
use crate::body::Body;
use crate::frames::Orientation;
use crate::moon::{fixed_km, lit_fraction, phase_angle};
use crate::sun::{AU_KM, Geocentric};
use crate::time::Instant;

/// The moon as the centre of the Earth sees it, from ELP/MPP02 (cut at 0.03"), IAU 2006 precession
/// and IAU 2000A nutation.
///
/// ```
/// use wrackline_solar::{Instant, JulianDates, moon_at};
///
/// // 1992-04-12 0h TT, the date of Meeus, Astronomical Algorithms, example 47.a: 133.166724°,
/// // -3.229190°, 368405.5 km with DE440.
/// let dates = JulianDates { ut1_jd: 2448724.5, tt_jd: 2448724.5 };
/// let moon = moon_at(Instant::from_julian_dates(dates)?);
/// assert!((moon.ecliptic_longitude_deg - 133.166_724).abs() < 0.0004);
/// assert!((moon.distance_km() - 368_405.5).abs() < 3.0);
/// # Ok::<(), wrackline_solar::Error>(())
/// ```
#[must_use]
pub fn moon_at(instant: Instant) -> Geocentric {
    let (direction, distance_km) = fixed_km(instant.tt());
    Geocentric::new(
        Orientation::at(instant.tt()),
        direction,
        distance_km / AU_KM,
    )
}

/// How the sun lights the moon, as the centre of the Earth sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct MoonLight {
    /// Lit fraction of the disc, 0 to 1.
    pub lit_fraction: f64,
    /// Angle at the moon between sun and Earth in degrees, 0 (full) to 180 (new).
    pub phase_angle_deg: f64,
    /// Angle between moon and sun in degrees, 0 to 180.
    pub elongation_deg: f64,
    /// Position angle of the middle of the bright limb in degrees, 0 to 360 from celestial north
    /// through east.
    pub bright_limb_deg: f64,
    /// Apparent ecliptic longitude of the moon less that of the sun in degrees, 0 to 360: 0 at new
    /// moon, 180 at full moon.
    pub longitude_from_sun_deg: f64,
}

/// How the sun lights the moon at an instant.
///
/// ```
/// use wrackline_solar::{Instant, JulianDates, moon_light_at};
///
/// // 1992-04-12 0h TT: Meeus, Astronomical Algorithms, example 48.a, lit fraction 0.6785, bright
/// // limb at 285.0°.
/// let dates = JulianDates { ut1_jd: 2448724.5, tt_jd: 2448724.5 };
/// let light = moon_light_at(Instant::from_julian_dates(dates)?);
/// assert!((light.lit_fraction - 0.6785).abs() < 0.0001);
/// assert!((light.bright_limb_deg - 285.0).abs() < 0.1);
/// # Ok::<(), wrackline_solar::Error>(())
/// ```
#[must_use]
pub fn moon_light_at(instant: Instant) -> MoonLight {
    let (orientation, sun) = Body::Sun.equator_km(instant);
    let (_, moon) = Body::Moon.equator_km(instant);
    let longitude = |equator| {
        let ecliptic = orientation.equator_to_ecliptic(equator);
        libm::atan2(ecliptic.y, ecliptic.x).to_degrees()
    };
    moon_light(sun, moon, positive_deg(longitude(moon) - longitude(sun)))
}

/// The same from the two geocentric vectors, true equator of date.
fn moon_light(
    sun_km: Vector3<f64>,
    moon_km: Vector3<f64>,
    longitude_from_sun_deg: f64,
) -> MoonLight {
    let (to_sun, to_moon) = (sun_km.normalize(), moon_km.normalize());
    let across = to_moon.cross(&to_sun);
    let elongation = libm::atan2(across.norm(), to_moon.dot(&to_sun));
    let phase_angle = phase_angle(sun_km, moon_km);
    // The direction to the sun, split along east and north at the moon (both of the length of the
    // cosine of its declination).
    let east = Vector3::new(-to_moon.y, to_moon.x, 0.0);
    let north = to_moon.cross(&east);
    let bright_limb = libm::atan2(to_sun.dot(&east), to_sun.dot(&north));
    MoonLight {
        lit_fraction: lit_fraction(phase_angle),
        phase_angle_deg: phase_angle.to_degrees(),
        elongation_deg: elongation.to_degrees(),
        bright_limb_deg: positive_deg(bright_limb.to_degrees()),
        longitude_from_sun_deg,
    }
}
