//! The theory of the moon, and the angle at which the sun lights it.

use nalgebra::Vector3;

use crate::angle::{ARCSECOND, CosineSum, polynomial};
use crate::sun::{AU_KM, LIGHT_DAYS_PER_KM};
use crate::tables::moon as table;
use crate::time::Tt;
use crate::wide::{Work, widest};

static LONGITUDE_0: CosineSum<{ table::LONGITUDE_0.len() }, 2> =
    CosineSum::of_sines(&table::LONGITUDE_0);
static LONGITUDE_1: CosineSum<{ table::LONGITUDE_1.len() }, 2> =
    CosineSum::of_sines(&table::LONGITUDE_1);
static LATITUDE_0: CosineSum<{ table::LATITUDE_0.len() }, 2> =
    CosineSum::of_sines(&table::LATITUDE_0);
static LATITUDE_1: CosineSum<{ table::LATITUDE_1.len() }, 2> =
    CosineSum::of_sines(&table::LATITUDE_1);
static DISTANCE_0: CosineSum<{ table::DISTANCE_0.len() }, 2> =
    CosineSum::of_sines(&table::DISTANCE_0);
static DISTANCE_1: CosineSum<{ table::DISTANCE_1.len() }, 2> =
    CosineSum::of_sines(&table::DISTANCE_1);

/// The moon from the centre of the Earth in the fixed frame (GCRS): apparent direction, geometric
/// distance in km.
///
/// The Earth's motion during the light time is the same for both ends of the line of sight, so
/// light time and annual aberration together are the moon's motion about the Earth in that time.
pub(crate) fn fixed_km(tt: Tt) -> (Vector3<f64>, f64) {
    widest(Sums(tt))
}

/// The sums of the theory at an instant.
struct Sums(Tt);

impl Work for Sums {
    type Output = (Vector3<f64>, f64);

    #[inline(always)]
    fn run(self) -> Self::Output {
        let Self(tt) = self;
        let now = tt.centuries();
        let distance_km = DISTANCE_0.at(now) + now * DISTANCE_1.at(now);
        let t = now - distance_km * LIGHT_DAYS_PER_KM / 36_525.0;
        let longitude = (LONGITUDE_0.at(t) + t * LONGITUDE_1.at(t)) * ARCSECOND
            + polynomial(t, table::MEAN_LONGITUDE);
        let latitude = (LATITUDE_0.at(t) + t * LATITUDE_1.at(t)) * ARCSECOND;
        let (sine_l, cosine_l) = libm::sincos(longitude);
        let (sine_b, cosine_b) = libm::sincos(latitude);
        let (x, y, z) = (cosine_b * cosine_l, cosine_b * sine_l, sine_b);
        // From the ecliptic of date to that of J2000: Laskar, J. (1986), Astronomy and Astrophysics
        // 157, 59, as given with the theory.
        let p = polynomial(t, [0.0, 0.101_803_91e-4, 0.470_204_39e-6, -0.541_736_7e-9]);
        let q = polynomial(
            t,
            [0.0, -0.113_469_002e-3, 0.123_726_74e-6, 0.126_541_70e-8],
        );
        let root = 2.0 * libm::sqrt(1.0 - p * p - q * q);
        let ecliptic = Vector3::new(
            (1.0 - 2.0 * p * p) * x + 2.0 * p * q * y + p * root * z,
            2.0 * p * q * x + (1.0 - 2.0 * q * q) * y - q * root * z,
            -p * root * x + q * root * y + (1.0 - 2.0 * (p * p + q * q)) * z,
        );
        // Obliquity at J2000 (IAU 2006), 84381.406".
        let (sine, cosine) = OBLIQUITY_J2000;
        let direction = Vector3::new(
            ecliptic.x,
            cosine * ecliptic.y - sine * ecliptic.z,
            sine * ecliptic.y + cosine * ecliptic.z,
        );
        (direction, distance_km)
    }
}

/// Sine and cosine of the obliquity of the ecliptic at J2000.
const OBLIQUITY_J2000: (f64, f64) = (0.397_776_969_112_606, 0.917_482_143_065_241_8);

/// The directions at the moon to the sun and to the Earth, from the apparent geocentric vectors in
/// the true equator of date.
fn seen_from_moon(sun_km: Vector3<f64>, moon_km: Vector3<f64>) -> (Vector3<f64>, Vector3<f64>) {
    // The light that the moon shows left the sun for the moon, not for the moving Earth: put the
    // sun back to where it stands without light time and aberration, 20.5" further along the
    // ecliptic (half a unit in the fourth decimal of the lit fraction).
    let (sine, cosine) = OBLIQUITY_J2000;
    let pole = Vector3::new(0.0, -sine, cosine);
    let to_sun = sun_km + pole.cross(&sun_km) * (ABERRATION * AU_KM / sun_km.norm()) - moon_km;
    (to_sun, -moon_km)
}

/// Angle at the moon between sun and Earth, radians, from the apparent geocentric vectors in the
/// true equator of date.
pub(crate) fn phase_angle(sun_km: Vector3<f64>, moon_km: Vector3<f64>) -> f64 {
    let (to_sun, to_earth) = seen_from_moon(sun_km, moon_km);
    libm::atan2(to_sun.cross(&to_earth).norm(), to_sun.dot(&to_earth))
}

/// Its cosine, which runs smoothly through full and new moon where the angle itself turns back.
pub(crate) fn phase_cosine(sun_km: Vector3<f64>, moon_km: Vector3<f64>) -> f64 {
    let (to_sun, to_earth) = seen_from_moon(sun_km, moon_km);
    to_sun.dot(&to_earth) / (to_sun.norm() * to_earth.norm())
}

/// Constant of aberration, radians (20.49551", IAU 2009 values).
const ABERRATION: f64 = 20.495_51 * ARCSECOND;

/// Lit fraction of a sphere's disc from the phase angle.
pub(crate) fn lit_fraction(phase_angle: f64) -> f64 {
    (1.0 + libm::cos(phase_angle)) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_and_narrow_registers_give_the_same_bits() {
        for day in -30_000..30_000 {
            let tt = Tt(f64::from(day) * 1.234_5);
            let ((wide, wide_km), (narrow, narrow_km)) = (widest(Sums(tt)), Sums(tt).run());
            assert_eq!(wide, narrow);
            assert_eq!(wide_km.to_bits(), narrow_km.to_bits());
        }
    }
}
