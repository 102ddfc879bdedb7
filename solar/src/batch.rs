//! Directions for many instants at once: the arithmetic of one place, laid out for vector registers.

use nalgebra::Vector3;

use crate::angle::cosine_of_turns;
use crate::frames::{ANGLE_AT_J2000, EARTH_TURN_EXCESS};
use crate::observer::Observer;
use crate::series::Horizontal;
use crate::together::LitMoon;

/// How many instants go through together.
pub(crate) const LANES: usize = 8;

/// Geocentric vectors in the frame of the Earth Rotation Angle, km, and the instants in days of UT1.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Batch {
    pub(crate) ut1: [f64; LANES],
    pub(crate) x: [f64; LANES],
    pub(crate) y: [f64; LANES],
    pub(crate) z: [f64; LANES],
}

impl Batch {
    pub(crate) const EMPTY: Self = Self {
        ut1: [0.0; LANES],
        // A place outside the Earth, so that unused lanes stay finite.
        x: [1e8; LANES],
        y: [0.0; LANES],
        z: [0.0; LANES],
    };

    /// Azimuth and altitude of each.
    pub(crate) fn horizontal(&self, observer: &Observer, out: &mut [Horizontal]) {
        let sight = self.sight(observer);
        for (i, place) in out.iter_mut().enumerate() {
            *place = Horizontal {
                azimuth_deg: sight.azimuth_deg[i],
                altitude_deg: sight.altitude_deg[i],
            };
        }
    }

    /// The moon and its light, from the cosine of the phase angle at each instant.
    pub(crate) fn moon(&self, observer: &Observer, cosine: &[f64; LANES], out: &mut [LitMoon]) {
        let sight = self.sight(observer);
        let (phase_angle_deg, lit_fraction) = phases(cosine);
        for (i, moon) in out.iter_mut().enumerate() {
            *moon = LitMoon {
                azimuth_deg: sight.azimuth_deg[i],
                altitude_deg: sight.altitude_deg[i],
                distance_km: sight.distance_km[i],
                lit_fraction: lit_fraction[i],
                phase_angle_deg: phase_angle_deg[i],
            };
        }
    }

    #[inline(always)]
    fn sight(&self, observer: &Observer) -> Sight {
        let mut topocentric = [[0.0; LANES]; 3];
        let mut square = [0.0; LANES];
        for i in 0..LANES {
            let [x, y, z] = turned(observer, self.ut1[i], self.x[i], self.y[i], self.z[i]);
            square[i] = x * x + y * y + z * z;
            (topocentric[0][i], topocentric[1][i], topocentric[2][i]) = (x, y, z);
        }
        // Roots in loops of their own: the library's root is a single instruction, but not one of a vector.
        let distance_km = square.map(libm::sqrt);
        let mut local = [[0.0; LANES]; 3];
        for i in 0..LANES {
            let [x, y, z] = [topocentric[0][i], topocentric[1][i], topocentric[2][i]];
            let [east, north, up] = levelled(observer, x, y, z, distance_km[i]);
            square[i] = east * east + north * north;
            (local[0][i], local[1][i], local[2][i]) = (east, north, up);
        }
        let level = square.map(libm::sqrt);
        let (mut azimuth_deg, mut altitude_deg) = ([0.0; LANES], [0.0; LANES]);
        for i in 0..LANES {
            azimuth_deg[i] = positive(degrees_of(local[0][i], local[1][i]));
            altitude_deg[i] = degrees_of(local[2][i], level[i]);
        }
        Sight {
            azimuth_deg,
            altitude_deg,
            distance_km,
        }
    }
}

/// Where each stands for an observer.
struct Sight {
    azimuth_deg: [f64; LANES],
    altitude_deg: [f64; LANES],
    distance_km: [f64; LANES],
}

/// Phase angles in degrees and lit fractions.
#[inline(always)]
fn phases(cosine: &[f64; LANES]) -> ([f64; LANES], [f64; LANES]) {
    // At full and new moon the last digits of the polynomial may lie beyond 1.
    let cosine = cosine.map(|c| c.clamp(-1.0, 1.0));
    let sine = cosine.map(|c| (1.0 - c) * (1.0 + c)).map(libm::sqrt);
    let (mut angle_deg, mut lit) = ([0.0; LANES], [0.0; LANES]);
    for i in 0..LANES {
        angle_deg[i] = degrees_of(sine[i], cosine[i]);
        lit[i] = 0.5 * (1.0 + cosine[i]);
    }
    (angle_deg, lit)
}

/// The same for one instant, operation by operation, so that the bits are the same.
#[inline]
pub(crate) fn horizontal(observer: &Observer, ut1: f64, vector_km: Vector3<f64>) -> Horizontal {
    let [x, y, z] = turned(observer, ut1, vector_km.x, vector_km.y, vector_km.z);
    let distance = libm::sqrt(x * x + y * y + z * z);
    let [east, north, up] = levelled(observer, x, y, z, distance);
    let level = libm::sqrt(east * east + north * north);
    Horizontal {
        azimuth_deg: positive(degrees_of(east, north)),
        altitude_deg: degrees_of(up, level),
    }
}

/// From the geocentric vector to that from the observer, in the frame of the observer's meridian and the Earth's axis.
#[inline(always)]
fn turned(observer: &Observer, ut1: f64, x: f64, y: f64, z: f64) -> [f64; 3] {
    // Earth Rotation Angle; the whole turns of the day and of the angle fall out of the cosine.
    let turns = ANGLE_AT_J2000 + EARTH_TURN_EXCESS * ut1 + ut1 + observer.longitude_turns;
    let c = cosine_of_turns(turns);
    let s = cosine_of_turns(turns - 0.25);
    [
        c * x + s * y - observer.from_axis_km,
        c * y - s * x,
        z - observer.from_equator_km,
    ]
}

/// East, north and up, with the aberration from the Earth's turning.
#[inline(always)]
fn levelled(observer: &Observer, x: f64, y: f64, z: f64, distance: f64) -> [f64; 3] {
    [
        y + observer.aberration * distance,
        observer.cosine_latitude * z - observer.sine_latitude * x,
        observer.cosine_latitude * x + observer.sine_latitude * z,
    ]
}

#[inline(always)]
fn positive(angle_deg: f64) -> f64 {
    if angle_deg < 0.0 {
        angle_deg + 360.0
    } else {
        angle_deg
    }
}

/// Arc tangent of numbers up to 1: a minimax polynomial in the square, wrong by 2.4e-10 at most.
const TANGENT: [f64; 11] = [
    0.999_999_999_553_537_6,
    -0.333_333_224_889_115_9,
    0.199_995_581_003_639_8,
    -0.142_785_760_248_079_8,
    0.110_507_712_758_496_6,
    -0.087_850_432_883_628_45,
    0.066_852_815_178_774_24,
    -0.043_928_410_733_267_46,
    0.021_912_945_865_448_39,
    -0.007_030_669_470_424_213,
    0.001_057_607_438_057_242,
];

/// The angle of a point in degrees, -180 to 180, as `atan2` gives it: plain arithmetic without branches, wrong by 0.0001" at most.
#[inline(always)]
fn degrees_of(y: f64, x: f64) -> f64 {
    let (ax, ay) = (x.abs(), y.abs());
    let steep = ay > ax;
    let (small, large) = if steep { (ax, ay) } else { (ay, ax) };
    // The origin itself has the angle zero.
    let q = small / (large + f64::MIN_POSITIVE);
    let s = q * q;
    // Even and odd powers apart: half as many steps wait for each other.
    let f = s * s;
    let t = &TANGENT;
    let even = ((((t[10] * f + t[8]) * f + t[6]) * f + t[4]) * f + t[2]) * f + t[0];
    let odd = (((t[9] * f + t[7]) * f + t[5]) * f + t[3]) * f + t[1];
    let polynomial = odd * s + even;
    let angle = polynomial * q * (180.0 / core::f64::consts::PI);
    let angle = if steep { 90.0 - angle } else { angle };
    let angle = if x < 0.0 { 180.0 - angle } else { angle };
    if y < 0.0 { -angle } else { angle }
}
