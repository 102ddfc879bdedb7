//! From the fixed stars to the turning Earth: precession, nutation, obliquity, sidereal time.

use core::f64::consts::TAU;

use nalgebra::Vector3;

use crate::angle::{ARCSECOND, CosineSum, Row, polynomial};
use crate::number::Number;
use crate::tables::nutation as table;
use crate::time::{Instant, Tt, Ut1};
use crate::wide::{Work, widest};

/// How far the Earth turns in a day of UT1, in turns, beyond the whole turn.
pub(crate) const EARTH_TURN_EXCESS: f64 = 0.002_737_811_911_354_48;

/// Earth Rotation Angle at J2000 (UT1), in turns.
pub(crate) const ANGLE_AT_J2000: f64 = 0.779_057_273_264;

/// Earth Rotation Angle in radians (IAU 2000 resolution B1.8).
pub(crate) fn earth_rotation_angle(ut1: Ut1) -> f64 {
    let whole = libm::floor(ut1.0);
    let turns = ANGLE_AT_J2000 + EARTH_TURN_EXCESS * ut1.0 + (ut1.0 - whole);
    (turns - libm::floor(turns)) * TAU
}

/// Sine and cosine of the Earth Rotation Angle at a longitude.
#[inline(always)]
pub(crate) fn earth_turn<T: Number>(ut1_days: T, longitude_turns: f64) -> (T, T) {
    let of_day = ut1_days - ut1_days.nearest_whole();
    let turns = T::all(ANGLE_AT_J2000) + T::all(EARTH_TURN_EXCESS) * ut1_days + of_day;
    (turns + T::all(longitude_turns)).sincos_of_turns()
}

/// A vector turned about the first axis: the frame turns by the angle, the vector stays.
#[inline]
pub(crate) fn turn_first(v: Vector3<f64>, angle: f64) -> Vector3<f64> {
    let (sine, cosine) = libm::sincos(angle);
    Vector3::new(v.x, cosine * v.y + sine * v.z, cosine * v.z - sine * v.y)
}

/// A vector seen from a frame turned about the third axis by the angle.
#[inline]
pub(crate) fn turn_third(v: Vector3<f64>, angle: f64) -> Vector3<f64> {
    turned_third(v, libm::sincos(angle))
}

/// The same for the sine and cosine of the angle.
#[inline(always)]
pub(crate) fn turned_third(v: Vector3<f64>, (sine, cosine): (f64, f64)) -> Vector3<f64> {
    Vector3::new(cosine * v.x + sine * v.y, cosine * v.y - sine * v.x, v.z)
}

/// Nutation in longitude and obliquity, radians.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Nutation {
    pub(crate) longitude: f64,
    pub(crate) obliquity: f64,
}

/// The five fundamental arguments l, l', F, D and the node: value at J2000 and rate per Julian
/// century, arc seconds (Simon et al. 1994, as in the IERS Conventions 2010, 5.43). Their squares
/// move no term by 0.001" over 1900-2100.
const FUNDAMENTAL: [[f64; 2]; 5] = [
    [485_868.249_036, 1_717_915_923.217_8],
    [1_287_104.793_05, 129_596_581.048_1],
    [335_779.526_232, 1_739_527_262.847_8],
    [1_072_260.703_69, 1_602_961_601.209],
    [450_160.398_036, -6_962_890.543_1],
];

/// A table with the arguments worked out.
const fn linear<const N: usize>(rows: &[table::Row; N]) -> [Row<1>; N] {
    let mut linear = [(0.0, 0.0, [0.0]); N];
    let mut i = 0;
    while i < N {
        let (multipliers, coefficient) = rows[i];
        let (mut phase, mut rate) = (0.0, 0.0);
        let mut k = 0;
        while k < multipliers.len() {
            phase += multipliers[k] as f64 * FUNDAMENTAL[k][0] * ARCSECOND;
            rate += multipliers[k] as f64 * FUNDAMENTAL[k][1] * ARCSECOND;
            k += 1;
        }
        linear[i] = (coefficient, phase, [rate]);
        i += 1;
    }
    linear
}

static LONGITUDE_SINE: CosineSum<{ table::LONGITUDE_SINE.len() }> =
    CosineSum::of_sines(&linear(&table::LONGITUDE_SINE));
static LONGITUDE_COSINE: CosineSum<{ table::LONGITUDE_COSINE.len() }> =
    CosineSum::of_cosines(&linear(&table::LONGITUDE_COSINE));
static OBLIQUITY_COSINE: CosineSum<{ table::OBLIQUITY_COSINE.len() }> =
    CosineSum::of_cosines(&linear(&table::OBLIQUITY_COSINE));
static OBLIQUITY_SINE: CosineSum<{ table::OBLIQUITY_SINE.len() }> =
    CosineSum::of_sines(&linear(&table::OBLIQUITY_SINE));

/// The sums of the theory, and the node as [`nutation`] has it.
struct Sums {
    t: f64,
    node: (f64, f64),
}

impl Work for Sums {
    type Output = (f64, f64);

    #[inline(always)]
    fn run(self) -> (f64, f64) {
        let Self { t, node } = self;
        (
            LONGITUDE_SINE.at(t) + LONGITUDE_COSINE.at(t) + table::LONGITUDE_RATE * t * node.0,
            OBLIQUITY_COSINE.at(t) + OBLIQUITY_SINE.at(t) + table::OBLIQUITY_RATE * t * node.1,
        )
    }
}

/// Nutation, IAU 2000A cut at 0.0005": within 0.005" of the whole series over 1900-2100.
///
/// `node` is the sine and cosine of the longitude of the ascending node of the moon's mean orbit.
fn nutation(t: f64, node: (f64, f64)) -> Nutation {
    const UNIT: f64 = 1e-7 * ARCSECOND;
    let (longitude, obliquity) = widest(Sums { t, node });
    Nutation {
        longitude: longitude * UNIT,
        obliquity: obliquity * UNIT,
    }
}

/// How the true equator and equinox of an instant lie to the fixed frame.
///
/// Precession: the four angles of Fukushima and Williams with the IAU 2006 values (Capitaine, N.,
/// Wallace, P. T. & Chapront, J. (2003), Astronomy and Astrophysics 412, 567; Hilton, J. L. et al.
/// (2006), Celestial Mechanics 94, 351).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Orientation {
    gamma: f64,
    phi: f64,
    psi: f64,
    /// True obliquity of the ecliptic.
    pub(crate) obliquity: f64,
    /// Greenwich apparent sidereal time less the Earth Rotation Angle.
    pub(crate) sidereal_excess: f64,
}

impl Orientation {
    pub(crate) fn at(tt: Tt) -> Self {
        let t = tt.centuries();
        let node = libm::sincos((FUNDAMENTAL[4][0] + FUNDAMENTAL[4][1] * t) * ARCSECOND);
        let nutation = nutation(t, node);
        let mean_obliquity = polynomial(
            t,
            [
                84_381.406,
                -46.836_769,
                -0.000_183_1,
                0.002_003_40,
                -5.76e-7,
                -4.34e-8,
            ],
        ) * ARCSECOND;
        // Equation of the equinoxes with its two largest complementary terms (IERS Conventions
        // 2010, table 5.2e).
        let equinoxes = nutation.longitude * libm::cos(mean_obliquity)
            + (0.002_640_96 + 2.0 * 0.000_063_52 * node.1) * node.0 * ARCSECOND;
        let mean_excess = polynomial(
            t,
            [
                0.014_506,
                4_612.156_534,
                1.391_581_7,
                -4.4e-7,
                -2.995_6e-5,
                -3.68e-8,
            ],
        ) * ARCSECOND;
        Self {
            gamma: polynomial(
                t,
                [
                    -0.052_928,
                    10.556_378,
                    0.493_204_4,
                    -0.000_312_38,
                    -2.788e-6,
                    2.60e-8,
                ],
            ) * ARCSECOND,
            phi: polynomial(
                t,
                [
                    84_381.412_819,
                    -46.811_016,
                    0.051_126_8,
                    0.000_532_89,
                    -4.40e-7,
                    -1.76e-8,
                ],
            ) * ARCSECOND,
            psi: polynomial(
                t,
                [
                    -0.041_775,
                    5_038.481_484,
                    1.558_417_5,
                    -0.000_185_22,
                    -2.645_2e-5,
                    -1.48e-8,
                ],
            ) * ARCSECOND
                + nutation.longitude,
            obliquity: mean_obliquity + nutation.obliquity,
            sidereal_excess: mean_excess + equinoxes,
        }
    }

    /// A vector of the fixed frame (GCRS) in the true equator and equinox of date.
    pub(crate) fn to_equator(self, fixed: Vector3<f64>) -> Vector3<f64> {
        turn_first(self.to_ecliptic(fixed), -self.obliquity)
    }

    /// From the true equator to the ecliptic of date.
    pub(crate) fn equator_to_ecliptic(self, equator: Vector3<f64>) -> Vector3<f64> {
        turn_first(equator, self.obliquity)
    }

    /// A vector of the fixed frame in the ecliptic and true equinox of date.
    pub(crate) fn to_ecliptic(self, fixed: Vector3<f64>) -> Vector3<f64> {
        turn_third(
            turn_first(turn_third(fixed, self.gamma), self.phi),
            -self.psi,
        )
    }
}

/// Greenwich apparent sidereal time in degrees, 0 to 360 (IAU 2006 precession, IAU 2000A nutation).
///
/// Within 0.005" of the full theory over 1900-2100, given UT1 and TT.
#[must_use]
pub fn greenwich_apparent_sidereal_time_deg(instant: Instant) -> f64 {
    let angle = earth_rotation_angle(instant.ut1()) + Orientation::at(instant.tt()).sidereal_excess;
    crate::angle::positive_deg(angle.to_degrees())
}
