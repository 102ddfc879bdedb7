//! Directions for many instants at once: the arithmetic of one place, laid out for vector
//! registers.

use crate::angle::cosine_of_turns;
use crate::frames::{ANGLE_AT_J2000, EARTH_TURN_EXCESS};
use crate::observer::Observer;
use crate::piece::{OTHER, Piece};
use crate::rows::{Horizontal, LitMoon};
use crate::wide::{Work, square_roots, widest};

/// How many instants go through together.
pub(crate) const LANES: usize = 8;

/// Geocentric vectors in the frame of the Earth Rotation Angle, km, and the instants in days of
/// UT1.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Batch {
    pub(crate) ut1: [f64; LANES],
    x: [f64; LANES],
    y: [f64; LANES],
    z: [f64; LANES],
    /// The fourth figure of the pieces.
    other: [f64; LANES],
}

/// Where the vectors of a batch come from.
pub(crate) trait Vectors {
    /// The vectors that go through together, counted in batches from the first.
    fn batch(&self, chunk: usize) -> Batch;
}

/// What a batch is written out as.
pub(crate) trait Row: Sized {
    /// Fills at most as many rows as there are lanes.
    fn write(batch: &Batch, observer: &Observer, rows: &mut [Self]);
}

/// Fills all rows.
pub(crate) fn fill<R: Row>(observer: &Observer, vectors: impl Vectors, rows: &mut [R]) {
    widest(Fill {
        observer,
        vectors,
        rows,
    });
}

struct Fill<'a, V, R> {
    observer: &'a Observer,
    vectors: V,
    rows: &'a mut [R],
}

impl<V: Vectors, R: Row> Work for Fill<'_, V, R> {
    type Output = ();

    #[inline(always)]
    fn run(self) {
        // First gather, then reckon: what is gathered one by one would otherwise be reckoned one by
        // one.
        const TOGETHER: usize = 8;
        let mut batches = [Batch::EMPTY; TOGETHER];
        for (group, rows) in self.rows.chunks_mut(TOGETHER * LANES).enumerate() {
            let count = rows.len().div_ceil(LANES);
            for (i, batch) in batches.iter_mut().enumerate().take(count) {
                *batch = self.vectors.batch(group * TOGETHER + i);
            }
            for (batch, rows) in batches.iter().zip(rows.chunks_mut(LANES)) {
                R::write(batch, self.observer, rows);
            }
        }
    }
}

/// Even instants within one piece of a path.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Run<'a> {
    pub(crate) piece: &'a Piece,
    /// Day of UT1 of the first, and from one to the next.
    pub(crate) start: f64,
    pub(crate) step: f64,
}

impl Vectors for Run<'_> {
    #[inline(always)]
    fn batch(&self, chunk: usize) -> Batch {
        let start = self.start + (chunk * LANES) as f64 * self.step;
        let inner = self.piece.inner_time(start);
        let inner_step = self.piece.inner_time(start + self.step) - inner;
        let (mut ut1, mut u) = ([0.0; LANES], [0.0; LANES]);
        for i in 0..LANES {
            u[i] = inner + i as f64 * inner_step;
            ut1[i] = start + i as f64 * self.step;
        }
        Batch {
            ut1,
            x: self.piece.many(0, &u),
            y: self.piece.many(1, &u),
            z: self.piece.many(2, &u),
            other: self.piece.many(OTHER, &u),
        }
    }
}

impl Row for Horizontal {
    #[inline(always)]
    fn write(batch: &Batch, observer: &Observer, rows: &mut [Self]) {
        let sight = batch.sight(observer);
        for (i, row) in rows.iter_mut().enumerate().take(LANES) {
            *row = Self {
                azimuth_deg: sight.azimuth_deg[i],
                altitude_deg: sight.altitude_deg[i],
            };
        }
    }
}

/// From the pieces of a moon's path whose fourth figure is the cosine of the phase angle.
impl Row for LitMoon {
    #[inline(always)]
    fn write(batch: &Batch, observer: &Observer, rows: &mut [Self]) {
        let sight = batch.sight(observer);
        let (phase_angle_deg, lit_fraction) = phases(&batch.other);
        for (i, row) in rows.iter_mut().enumerate().take(LANES) {
            *row = Self {
                azimuth_deg: sight.azimuth_deg[i],
                altitude_deg: sight.altitude_deg[i],
                distance_km: sight.distance_km[i],
                lit_fraction: lit_fraction[i],
                phase_angle_deg: phase_angle_deg[i],
            };
        }
    }
}

impl Batch {
    pub(crate) const EMPTY: Self = Self {
        ut1: [0.0; LANES],
        // A place outside the Earth, so that unused lanes stay finite.
        x: [1e8; LANES],
        y: [0.0; LANES],
        z: [0.0; LANES],
        other: [0.0; LANES],
    };

    /// Puts the four figures of a piece into a lane.
    #[inline(always)]
    pub(crate) fn put(&mut self, lane: usize, [x, y, z, other]: [f64; 4]) {
        (self.x[lane], self.y[lane], self.z[lane]) = (x, y, z);
        self.other[lane] = other;
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
        let distance_km = square_roots(square);
        let mut local = [[0.0; LANES]; 3];
        for i in 0..LANES {
            let [x, y, z] = [topocentric[0][i], topocentric[1][i], topocentric[2][i]];
            let [east, north, up] = levelled(observer, x, y, z, distance_km[i]);
            square[i] = east * east + north * north;
            (local[0][i], local[1][i], local[2][i]) = (east, north, up);
        }
        let level = square_roots(square);
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
    let sine = square_roots(cosine.map(|c| (1.0 - c) * (1.0 + c)));
    let (mut angle_deg, mut lit) = ([0.0; LANES], [0.0; LANES]);
    for i in 0..LANES {
        angle_deg[i] = degrees_of(sine[i], cosine[i]);
        lit[i] = 0.5 * (1.0 + cosine[i]);
    }
    (angle_deg, lit)
}

/// The same for one instant, operation by operation, so that the bits are the same; its two angles
/// run side by side.
#[inline(always)]
pub(crate) fn horizontal(observer: &Observer, ut1: f64, [x, y, z, _]: [f64; 4]) -> Horizontal {
    let [x, y, z] = turned(observer, ut1, x, y, z);
    let distance = libm::sqrt(x * x + y * y + z * z);
    let [east, north, up] = levelled(observer, x, y, z, distance);
    let level = libm::sqrt(east * east + north * north);
    let mut angles = degrees_abreast([east, up], [north, level]);
    // An altitude stays below zero: both take the same steps, so that they fill one register.
    for (angle, turn) in angles.iter_mut().zip([360.0, 0.0]) {
        *angle = if *angle < 0.0 { *angle + turn } else { *angle };
    }
    let [azimuth_deg, altitude_deg] = angles;
    Horizontal {
        azimuth_deg,
        altitude_deg,
    }
}

/// From the geocentric vector to that from the observer, in the frame of the observer's meridian
/// and the Earth's axis.
#[inline(always)]
fn turned(observer: &Observer, ut1: f64, x: f64, y: f64, z: f64) -> [f64; 3] {
    // Earth Rotation Angle; the whole turns of the day and of the angle fall out of the cosine.
    let turns = ANGLE_AT_J2000 + EARTH_TURN_EXCESS * ut1 + ut1 + observer.longitude_turns;
    let [c, s] = [turns, turns - 0.25].map(cosine_of_turns);
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

/// The angles of points in degrees, -180 to 180, as `atan2` gives them: plain arithmetic without
/// branches, wrong by 0.0001" at most.
#[inline(always)]
fn degrees_abreast<const N: usize>(y: [f64; N], x: [f64; N]) -> [f64; N] {
    let mut q = [0.0; N];
    for i in 0..N {
        let (ax, ay) = (x[i].abs(), y[i].abs());
        let steep = ay > ax;
        let (small, large) = if steep { (ax, ay) } else { (ay, ax) };
        // The origin itself has the angle zero.
        q[i] = small / (large + f64::MIN_POSITIVE);
    }
    let mut angles = [0.0; N];
    for i in 0..N {
        let s = q[i] * q[i];
        // Even and odd powers apart: half as many steps wait for each other.
        let f = s * s;
        let t = &TANGENT;
        let even = ((((t[10] * f + t[8]) * f + t[6]) * f + t[4]) * f + t[2]) * f + t[0];
        let odd = (((t[9] * f + t[7]) * f + t[5]) * f + t[3]) * f + t[1];
        let polynomial = odd * s + even;
        angles[i] = polynomial * q[i] * (180.0 / core::f64::consts::PI);
    }
    for i in 0..N {
        let angle = angles[i];
        let angle = if y[i].abs() > x[i].abs() {
            90.0 - angle
        } else {
            angle
        };
        let angle = if x[i] < 0.0 { 180.0 - angle } else { angle };
        angles[i] = if y[i] < 0.0 { -angle } else { angle };
    }
    angles
}

/// The same for one point.
#[inline(always)]
fn degrees_of(y: f64, x: f64) -> f64 {
    let [angle] = degrees_abreast([y], [x]);
    angle
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::body::Body;
    use crate::observer::Site;
    use crate::time::EarthTime;

    #[test]
    fn wide_and_narrow_registers_give_the_same_bits() {
        let site = Site {
            latitude_deg: 54.0,
            longitude_deg: 3.0,
            elevation_m: 2.0,
        };
        let observer = &Observer::new(site).expect("a place");
        let piece = Piece::numbered(Body::Moon, EarthTime::Observed, 4_900.0);
        let run = Run {
            piece: &piece,
            start: 9_800.0,
            step: 0.002,
        };
        let (mut wide, mut narrow) = ([LitMoon::default(); 999], [LitMoon::default(); 999]);
        fill(observer, run, &mut wide);
        Fill {
            observer,
            vectors: run,
            rows: &mut narrow,
        }
        .run();
        assert_eq!(wide, narrow);
    }
}
