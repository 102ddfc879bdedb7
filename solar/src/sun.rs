//! The sun as the centre of the Earth sees it.

use nalgebra::Vector3;

use crate::angle::{ARCSECOND, CosineSum, positive_deg, signed_deg};
use crate::frames::{Orientation, greenwich_apparent_sidereal_time_deg};
use crate::tables::earth as table;
use crate::time::{Instant, Tt};
use crate::wide::{Work, widest};

/// Kilometres in an astronomical unit (IAU 2012 resolution B2).
pub(crate) const AU_KM: f64 = 149_597_870.7;
/// Days that light takes for a kilometre.
pub(crate) const LIGHT_DAYS_PER_KM: f64 = 1.0 / (299_792.458 * 86_400.0);
/// Days that light takes for an astronomical unit.
const LIGHT_DAYS_PER_AU: f64 = AU_KM * LIGHT_DAYS_PER_KM;

static LONGITUDE_0: CosineSum<{ table::LONGITUDE_0.len() }> =
    CosineSum::of_cosines(&table::LONGITUDE_0);
static LONGITUDE_1: CosineSum<{ table::LONGITUDE_1.len() }> =
    CosineSum::of_cosines(&table::LONGITUDE_1);
static LONGITUDE_2: CosineSum<{ table::LONGITUDE_2.len() }> =
    CosineSum::of_cosines(&table::LONGITUDE_2);
static LATITUDE_0: CosineSum<{ table::LATITUDE_0.len() }> =
    CosineSum::of_cosines(&table::LATITUDE_0);
static LATITUDE_1: CosineSum<{ table::LATITUDE_1.len() }> =
    CosineSum::of_cosines(&table::LATITUDE_1);
static LATITUDE_2: CosineSum<{ table::LATITUDE_2.len() }> =
    CosineSum::of_cosines(&table::LATITUDE_2);
static DISTANCE_0: CosineSum<{ table::DISTANCE_0.len() }> =
    CosineSum::of_cosines(&table::DISTANCE_0);
static DISTANCE_1: CosineSum<{ table::DISTANCE_1.len() }> =
    CosineSum::of_cosines(&table::DISTANCE_1);
static DISTANCE_2: CosineSum<{ table::DISTANCE_2.len() }> =
    CosineSum::of_cosines(&table::DISTANCE_2);

/// The sun's apparent place in the fixed frame (GCRS) and its geometric distance.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Fixed {
    /// Unit vector, light time and annual aberration included.
    pub(crate) direction: Vector3<f64>,
    /// Distance in au at the instant itself.
    pub(crate) distance_au: f64,
}

/// The sun from the centre of the Earth, in the fixed frame.
///
/// Light time and annual aberration together are the motion of the Earth about the sun during the
/// light time: what is left out, the sun's own motion about the barycentre, is 0.01" at most.
pub(crate) fn fixed(tt: Tt) -> Fixed {
    widest(Sums(tt))
}

/// The sums of the theory at an instant.
struct Sums(Tt);

impl Work for Sums {
    type Output = Fixed;

    #[inline(always)]
    fn run(self) -> Fixed {
        let Self(tt) = self;
        let millennia = tt.0 / 365_250.0;
        let distance_au = DISTANCE_0.at(millennia)
            + millennia * (DISTANCE_1.at(millennia) + millennia * DISTANCE_2.at(millennia));
        let t = millennia - distance_au * LIGHT_DAYS_PER_AU / 365_250.0;
        let longitude = LONGITUDE_0.at(t)
            + t * (LONGITUDE_1.at(t) + t * LONGITUDE_2.at(t))
            + (EQUINOX_OFFSET + EQUINOX_RATE * t) * ARCSECOND;
        let (sine_l, cosine_l) = libm::sincos(longitude);
        let latitude = LATITUDE_0.at(t)
            + t * (LATITUDE_1.at(t) + t * LATITUDE_2.at(t))
            + (TILT[0] * cosine_l + TILT[1] * sine_l) * ARCSECOND;
        let (sine_b, cosine_b) = libm::sincos(latitude);
        // The Earth from the sun, turned round.
        let (x, y, z) = (-cosine_b * cosine_l, -cosine_b * sine_l, -sine_b);
        // From the dynamical ecliptic of the theory to the equator of J2000 (Bretagnon & Francou
        // 1988, note to the files).
        let direction = Vector3::new(
            x + 0.000_000_440_36 * y - 0.000_000_190_919 * z,
            -0.000_000_479_966 * x + 0.917_482_137_087 * y - 0.397_776_982_902 * z,
            0.397_776_982_902 * y + 0.917_482_137_087 * z,
        );
        Fixed {
            direction,
            distance_au,
        }
    }
}

/// The theory's equinox against that of the ephemeris DE440, arc seconds (fitted over 1900-2100 to
/// the whole series).
const EQUINOX_OFFSET: f64 = 0.0090;
/// The change of that, arc seconds per Julian millennium.
const EQUINOX_RATE: f64 = 0.2149;
/// The theory's ecliptic against that of DE440: parts of the latitude that go with the cosine and
/// sine of the longitude, arc seconds.
const TILT: [f64; 2] = [-0.0184, 0.0016];

/// Where a body stands for the centre of the Earth: apparent place, true equator and equinox of
/// date.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Geocentric {
    /// Right ascension in degrees, 0 to 360.
    pub right_ascension_deg: f64,
    /// Declination in degrees, north positive.
    pub declination_deg: f64,
    /// Apparent ecliptic longitude of date in degrees, 0 to 360.
    pub ecliptic_longitude_deg: f64,
    /// Apparent ecliptic latitude of date in degrees.
    pub ecliptic_latitude_deg: f64,
    /// Geometric distance at the instant, in astronomical units.
    pub distance_au: f64,
}

impl Geocentric {
    /// Distance in kilometres.
    #[must_use]
    pub fn distance_km(&self) -> f64 {
        self.distance_au * AU_KM
    }

    pub(crate) fn new(orientation: Orientation, direction: Vector3<f64>, distance_au: f64) -> Self {
        let ecliptic = orientation.to_ecliptic(direction);
        let equator = orientation.to_equator(direction);
        let longitude = |v: Vector3<f64>| positive_deg(libm::atan2(v.y, v.x).to_degrees());
        let latitude = |v: Vector3<f64>| libm::atan2(v.z, libm::hypot(v.x, v.y)).to_degrees();
        Self {
            right_ascension_deg: longitude(equator),
            declination_deg: latitude(equator),
            ecliptic_longitude_deg: longitude(ecliptic),
            ecliptic_latitude_deg: latitude(ecliptic),
            distance_au,
        }
    }
}

/// The sun as the centre of the Earth sees it, from VSOP87 (cut at 0.0015"), IAU 2006 precession
/// and IAU 2000A nutation (cut at 0.0005").
///
/// ```
/// use wrackline_solar::{Instant, JulianDates, sun_at};
///
/// // 1992-10-13 0h TT, the date of Meeus, Astronomical Algorithms, example 25.b: 199.9059976° with
/// // the ephemeris DE440.
/// let dates = JulianDates { ut1_jd: 2448908.5, tt_jd: 2448908.5 };
/// let sun = sun_at(Instant::from_julian_dates(dates)?);
/// assert!((sun.ecliptic_longitude_deg - 199.905_997_6).abs() < 3e-5);
/// # Ok::<(), wrackline_solar::Error>(())
/// ```
#[must_use]
pub fn sun_at(instant: Instant) -> Geocentric {
    let sun = fixed(instant.tt());
    Geocentric::new(
        Orientation::at(instant.tt()),
        sun.direction,
        sun.distance_au,
    )
}

/// Equation of time in minutes: apparent solar time less mean solar time, positive when a sundial
/// is ahead of the clock.
///
/// Mean solar time is UT1, whose fictitious sun has followed its definition by the Earth Rotation
/// Angle since 2003.
#[must_use]
pub fn equation_of_time_min(instant: Instant) -> f64 {
    let sun = sun_at(instant);
    let apparent_deg = greenwich_apparent_sidereal_time_deg(instant) - sun.right_ascension_deg;
    let days = instant.ut1().0;
    // The mean sun stands in the meridian of Greenwich at noon, the epoch's hour.
    let mean_deg = (days - libm::floor(days)) * 360.0;
    signed_deg(apparent_deg - mean_deg) * 4.0
}
