//! One polynomial of a body's path, and how an observer sees the body move along it.

use core::f64::consts::FRAC_1_SQRT_2;

use nalgebra::Vector3;

use crate::angle::whole_below;
use crate::body::Body;
use crate::frames::{EARTH_TURN_EXCESS, earth_turn, turned_third};
use crate::jet::Jet;
use crate::moving::Moving;
use crate::number::{ABREAST, Abreast, Number};
use crate::observer::Observer;
use crate::time::{EarthTime, Ut1};
use crate::wide::{Work, widest};

/// Number of coefficients of a coordinate, even.
pub(crate) const ORDER: usize = 10;
/// Radians that the Earth turns in a day of UT1.
const TURN_RATE: f64 = core::f64::consts::TAU * (1.0 + EARTH_TURN_EXCESS);

impl Body {
    /// Days of UT1 that one polynomial covers. Pieces lie on a grid fixed in time, so that results
    /// do not depend on the span asked for.
    pub(crate) const fn piece_days(self) -> f64 {
        match self {
            Self::Sun => 16.0,
            Self::Moon => 4.0,
        }
    }
}

/// The geocentric place of a body over a few days: a polynomial for each rectangular coordinate,
/// through the full theory at the Chebyshev nodes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Piece {
    body: Body,
    start: f64,
    /// Coefficients of the powers of a time that runs from -1 to 1 over the piece, one power after
    /// the other: the three coordinates in km in the frame of [`Body::intermediate_km`], and
    /// whatever else is known of the body, since a vector register has room for a fourth.
    coefficients: [[f64; LANES]; ORDER],
}

/// Polynomials side by side.
pub(crate) const LANES: usize = 4;
/// Which of them is not a coordinate.
pub(crate) const OTHER: usize = 3;

impl Body {
    /// The number of the piece that contains a day, counted from J2000.
    #[inline(always)]
    pub(crate) fn piece_number(self, ut1: f64) -> f64 {
        whole_below(ut1 * self.piece_rate())
    }

    /// Pieces in a day.
    #[inline(always)]
    pub(crate) const fn piece_rate(self) -> f64 {
        match self {
            Self::Sun => 1.0 / Self::Sun.piece_days(),
            Self::Moon => 1.0 / Self::Moon.piece_days(),
        }
    }
}

impl Piece {
    /// The piece with a number, counted from J2000.
    pub(crate) fn numbered(body: Body, earth_time: EarthTime, number: f64) -> Self {
        let values = Self::nodes(body, number).map(|ut1| {
            let km = body.intermediate_km(earth_time.instant_of_ut1(Ut1(ut1)));
            [km.x, km.y, km.z, 0.0]
        });
        Self::through(body, number, &values)
    }

    /// The days of UT1 at which a piece must be known.
    pub(crate) fn nodes(body: Body, number: f64) -> [f64; ORDER] {
        let half = body.piece_days() / 2.0;
        NODES.map(|u| number * body.piece_days() + half * (1.0 + u))
    }

    /// The piece through the figures at its nodes: a vector in km, and another.
    pub(crate) fn through(body: Body, number: f64, values: &[[f64; LANES]; ORDER]) -> Self {
        let mut coefficients = [[0.0; LANES]; ORDER];
        for (value, weights) in values.iter().zip(&WEIGHTS) {
            for (power, weight) in coefficients.iter_mut().zip(weights) {
                for lane in 0..LANES {
                    power[lane] += weight * value[lane];
                }
            }
        }
        Self {
            body,
            start: number * body.piece_days(),
            coefficients,
        }
    }

    pub(crate) fn end(&self) -> f64 {
        self.start + self.body.piece_days()
    }

    /// The time within the piece, -1 to 1.
    #[inline(always)]
    pub(crate) fn inner_time(&self, ut1: f64) -> f64 {
        (ut1 - self.start) * (2.0 * self.body.piece_rate()) - 1.0
    }

    /// All four polynomials at a time within the piece.
    #[inline(always)]
    pub(crate) fn at(&self, inner_time: f64) -> [f64; LANES] {
        let c = &self.coefficients;
        let f = inner_time * inner_time;
        // Even and odd powers apart: half as many steps wait for each other.
        let [mut even, mut odd] = [c[ORDER - 2], c[ORDER - 1]];
        for pair in c[..ORDER - 2].chunks_exact(2).rev() {
            for lane in 0..LANES {
                even[lane] = even[lane] * f + pair[0][lane];
                odd[lane] = odd[lane] * f + pair[1][lane];
            }
        }
        core::array::from_fn(|lane| odd[lane] * inner_time + even[lane])
    }

    /// One of the polynomials at many times within the piece, the same to the bit.
    #[inline(always)]
    pub(crate) fn many<const N: usize>(&self, lane: usize, inner_times: &[f64; N]) -> [f64; N] {
        let f = inner_times.map(|u| u * u);
        let c = &self.coefficients;
        let (mut even, mut odd) = ([c[ORDER - 2][lane]; N], [c[ORDER - 1][lane]; N]);
        for pair in c[..ORDER - 2].chunks_exact(2).rev() {
            for i in 0..N {
                even[i] = even[i] * f[i] + pair[0][lane];
                odd[i] = odd[i] * f[i] + pair[1][lane];
            }
        }
        core::array::from_fn(|i| odd[i] * inner_times[i] + even[i])
    }

    /// The vector at a time within the piece, km.
    #[inline]
    pub(crate) fn intermediate_km(&self, inner_time: f64) -> Vector3<f64> {
        let [x, y, z, _] = self.at(inner_time);
        Vector3::new(x, y, z)
    }

    /// The fourth figure at a time within the piece.
    #[inline]
    pub(crate) fn other(&self, inner_time: f64) -> f64 {
        self.at(inner_time)[OTHER]
    }

    /// One of the polynomials with its derivatives a day of UT1.
    #[inline(always)]
    fn jet<T: Number>(&self, lane: usize, ut1: T) -> Jet<T> {
        let scale = T::all(2.0 * self.body.piece_rate());
        let u = (ut1 - T::all(self.start)) * scale - T::all(1.0);
        let [lower @ .., third, second, highest] = self.coefficients.map(|power| power[lane]);
        // The steps that would only add to nothing are left out.
        let mut bend = T::all(highest);
        let mut value = bend * u + T::all(second);
        let mut rate = bend * u + value;
        value = value * u + T::all(third);
        for power in lower.iter().rev() {
            bend = bend * u + rate;
            rate = rate * u + value;
            value = value * u + T::all(*power);
        }
        Jet {
            value,
            rate: rate * scale,
            bend: T::all(2.0) * bend * scale * scale,
        }
    }

    /// The fourth figure with its derivatives a day of UT1.
    pub(crate) fn other_jet(&self, ut1: f64) -> Jet {
        self.jet(OTHER, ut1)
    }

    /// The apparent vector east, north, up of the observer, and the distance.
    pub(crate) fn local_km(&self, observer: &Observer, ut1: f64) -> ([f64; 3], f64) {
        let vector = self.intermediate_km(self.inner_time(ut1));
        observer.local_km(turned_third(
            vector,
            earth_turn(ut1, observer.longitude_turns),
        ))
    }

    /// The direction as it moves over the observer's sky.
    #[inline(always)]
    pub(crate) fn moving<T: Number>(&self, observer: &Observer, ut1: T) -> Moving<T> {
        // Written out, here and below: a closure would be compiled for narrow registers.
        let (x, y, z) = (self.jet(0, ut1), self.jet(1, ut1), self.jet(2, ut1));
        let turn = earth_turn(ut1, observer.longitude_turns);
        // Turned into the meridian's frame, which itself turns: hence the terms with the rate of
        // the turn.
        let (w, w_twice, w_square) = (
            T::all(TURN_RATE),
            T::all(2.0 * TURN_RATE),
            T::all(TURN_RATE * TURN_RATE),
        );
        let (qx, qy) = turned(x.value, y.value, turn);
        let (ax, ay) = turned(x.rate, y.rate, turn);
        let (bx, by) = turned(x.bend, y.bend, turn);
        let mx = Jet {
            value: qx - T::all(observer.from_axis_km),
            rate: ax + w * qy,
            bend: bx + w_twice * ay - w_square * qx,
        };
        let my = Jet {
            value: qy,
            rate: ay - w * qx,
            bend: by - w_twice * ax - w_square * qy,
        };
        let mz = Jet {
            value: z.value - T::all(observer.from_equator_km),
            ..z
        };
        let distance_km = (mx * mx + my * my + mz * mz).square_root();
        let along_east = distance_km.times(observer.aberration);
        // To first order in the aberration (its square is 1e-12) the length grows by its part along
        // the line of sight.
        let scale = (distance_km + my.times(observer.aberration)).reciprocal();
        let (s, c) = (observer.sine_latitude, observer.cosine_latitude);
        Moving {
            east: (my + along_east) * scale,
            north: (mz.times(c) - mx.times(s)) * scale,
            up: (mx.times(c) + mz.times(s)) * scale,
            // The sine of the semi-diameter.
            radius: distance_km.reciprocal().times(self.body.radius_km()),
        }
    }

    /// The direction on many days, in vector registers: the bits are those of each alone.
    pub(crate) fn moving_abreast(
        &self,
        observer: &Observer,
        ut1: &[f64; ABREAST],
    ) -> [Moving; ABREAST] {
        let piece = self;
        let many = widest(Seen {
            piece,
            observer,
            ut1,
        });
        core::array::from_fn(|i| many.of_lane(i))
    }
}

/// A vector of the equator's plane seen from a frame that is turned on.
#[inline(always)]
fn turned<T: Number>(x: T, y: T, (sine, cosine): (T, T)) -> (T, T) {
    (cosine * x + sine * y, cosine * y - sine * x)
}

/// What many days of a piece are worked out from.
struct Seen<'a> {
    piece: &'a Piece,
    observer: &'a Observer,
    ut1: &'a [f64; ABREAST],
}

impl Work for Seen<'_> {
    type Output = Moving<Abreast>;

    #[inline(always)]
    fn run(self) -> Self::Output {
        self.piece.moving(self.observer, Abreast(*self.ut1))
    }
}

/// The Chebyshev nodes: cosines of the odd multiples of a twentieth of half a turn.
const NODES: [f64; ORDER] = [
    0.987_688_340_595_137_8,
    0.891_006_524_188_367_9,
    FRAC_1_SQRT_2,
    0.453_990_499_739_546_8,
    0.156_434_465_040_230_87,
    -0.156_434_465_040_230_87,
    -0.453_990_499_739_546_8,
    -FRAC_1_SQRT_2,
    -0.891_006_524_188_367_9,
    -0.987_688_340_595_137_8,
];

/// What the value at each node adds to the coefficient of each power.
static WEIGHTS: [[f64; ORDER]; ORDER] = {
    let mut weights = [[0.0; ORDER]; ORDER];
    let mut node = 0;
    while node < ORDER {
        // Chebyshev's polynomials in turn, with T_k+1 = 2 u T_k - T_k-1: their values at the node,
        // and the coefficients of their powers. By their discrete orthogonality a value goes into
        // the sum of them by their values there.
        let u = NODES[node];
        let (mut at_node, mut next_at_node) = (1.0, u);
        let (mut now, mut next) = ([0.0; ORDER], [0.0; ORDER]);
        now[0] = 1.0;
        next[1] = 1.0;
        let mut k = 0;
        while k < ORDER {
            let share = (if k == 0 { 1.0 } else { 2.0 }) / ORDER as f64 * at_node;
            let mut after = [0.0; ORDER];
            let mut power = 0;
            while power < ORDER {
                weights[node][power] += share * now[power];
                let raised = if power == 0 { 0.0 } else { next[power - 1] };
                after[power] = 2.0 * raised - now[power];
                power += 1;
            }
            (now, next) = (next, after);
            (at_node, next_at_node) = (next_at_node, 2.0 * u * next_at_node - at_node);
            k += 1;
        }
        node += 1;
    }
    weights
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::observer::Site;

    #[test]
    fn many_days_have_the_bits_of_each() {
        let site = Site {
            latitude_deg: 54.0,
            longitude_deg: 3.0,
            elevation_m: 2.0,
        };
        let observer = &Observer::new(site).expect("a place");
        for body in [Body::Sun, Body::Moon] {
            let piece = Piece::numbered(body, EarthTime::Observed, 600.0);
            for start in 0..50 {
                let days: [f64; ABREAST] = core::array::from_fn(|i| {
                    piece.start + body.piece_days() * (0.02 * f64::from(start) + 0.0023 * i as f64)
                });
                let together = piece.moving_abreast(observer, &days);
                for (day, many) in days.into_iter().zip(together) {
                    let one = piece.moving(observer, day);
                    for (a, b) in [
                        (one.east, many.east),
                        (one.north, many.north),
                        (one.up, many.up),
                        (one.radius, many.radius),
                    ] {
                        assert_eq!(a, b);
                    }
                }
            }
        }
    }
}
