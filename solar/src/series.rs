//! The path of a body over a stretch of time, prepared once: piecewise polynomials from the full theory.

use nalgebra::Vector3;

use crate::frames::{EARTH_TURN_EXCESS, Orientation, earth_rotation_angle, turn_third};
use crate::jet::Jet;
use crate::observer::Observer;
use crate::sun::{self, AU_KM};
use crate::time::{Instant, Ut1};

/// The bodies that give light.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Body {
    Sun,
}

impl Body {
    /// Days of UT1 that one polynomial covers. Pieces lie on a grid fixed in time, so that a result does not depend on the span asked for.
    pub(crate) const fn piece_days(self) -> f64 {
        match self {
            Self::Sun => 8.0,
        }
    }

    /// Geocentric apparent vector in the frame of the terrestrial equator whose angle to Greenwich is the Earth Rotation Angle, km.
    fn intermediate_km(self, instant: Instant) -> Vector3<f64> {
        let orientation = Orientation::at(instant.tt());
        let fixed_km = match self {
            Self::Sun => {
                let sun = sun::fixed(instant.tt());
                sun.direction * (sun.distance_au * AU_KM)
            }
        };
        turn_third(
            orientation.to_equator(fixed_km),
            orientation.sidereal_excess,
        )
    }
}

/// Coefficients of one coordinate in one piece.
const ORDER: usize = 10;

/// One polynomial for each coordinate, good over one piece of time.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Piece {
    body: Body,
    start: f64,
    /// Coefficients of the powers of a time that runs from -1 to 1 over the piece, km.
    coordinates: [[f64; ORDER]; 3],
}

impl Piece {
    /// The piece that contains the instant.
    pub(crate) fn around(body: Body, ut1: f64) -> Self {
        let start = libm::floor(ut1 / body.piece_days()) * body.piece_days();
        Self::starting(body, start)
    }

    /// The piece that starts at the given day.
    pub(crate) fn starting(body: Body, start: f64) -> Self {
        let half = body.piece_days() / 2.0;
        let nodes = core::array::from_fn::<_, ORDER, _>(|i| {
            // Zeros of the Chebyshev polynomial of this order.
            libm::cos(core::f64::consts::PI * (2 * i + 1) as f64 / (2 * ORDER) as f64)
        });
        let values = nodes.map(|u| {
            let ut1 = Ut1(start + half * (1.0 + u));
            body.intermediate_km(Instant::from_ut1(ut1))
        });
        let coordinates = core::array::from_fn(|axis| {
            powers_through(&nodes, &core::array::from_fn(|i| values[i][axis]))
        });
        Self {
            body,
            start,
            coordinates,
        }
    }

    pub(crate) fn end(&self) -> f64 {
        self.start + self.body.piece_days()
    }

    /// The vector with its derivatives a day of UT1.
    #[inline]
    fn moving_km(&self, ut1: f64) -> [Jet; 3] {
        let scale = 2.0 / self.body.piece_days();
        let u = (ut1 - self.start) * scale - 1.0;
        self.coordinates.map(|c| {
            let (mut value, mut rate, mut bend) = (0.0, 0.0, 0.0);
            for coefficient in c.iter().rev() {
                bend = bend * u + rate;
                rate = rate * u + value;
                value = value * u + coefficient;
            }
            Jet {
                value,
                rate: rate * scale,
                bend: 2.0 * bend * scale * scale,
            }
        })
    }

    /// Unit vector towards the body in the observer's frame as it moves,.
    #[inline]
    pub(crate) fn moving(&self, observer: &Observer, ut1: f64) -> Moving {
        let [x, y, z] = self.moving_km(ut1);
        let angle = earth_rotation_angle(Ut1(ut1)) + observer.longitude;
        let (sine, cosine) = libm::sincos(angle);
        let turn = |px: f64, py: f64| (cosine * px + sine * py, cosine * py - sine * px);
        let w = TURN_RATE;
        let (qx, qy) = turn(x.value, y.value);
        let (ax, ay) = turn(x.rate, y.rate);
        let (bx, by) = turn(x.bend, y.bend);
        let mx = Jet {
            value: qx - observer.from_axis_km,
            rate: ax + w * qy,
            bend: bx + 2.0 * w * ay - w * w * qx,
        };
        let my = Jet {
            value: qy,
            rate: ay - w * qx,
            bend: by - 2.0 * w * ax - w * w * qy,
        };
        let mz = z - Jet::constant(observer.from_equator_km);
        let distance_km = (mx * mx + my * my + mz * mz).square_root();
        let along_east = distance_km.times(observer.aberration);
        // To first order in the aberration (its square is 1e-12) the length grows by its part along the line of sight.
        let scale = (distance_km + my.times(observer.aberration)).reciprocal();
        let (s, c) = (observer.sine_latitude, observer.cosine_latitude);
        Moving {
            east: (my + along_east) * scale,
            north: (mz.times(c) - mx.times(s)) * scale,
            up: (mx.times(c) + mz.times(s)) * scale,
        }
    }
}

/// Radians that the Earth turns in a day of UT1.
const TURN_RATE: f64 = core::f64::consts::TAU * (1.0 + EARTH_TURN_EXCESS);

/// A direction as it moves over the observer's sky.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Moving {
    pub(crate) east: Jet,
    pub(crate) north: Jet,
    pub(crate) up: Jet,
}

/// Coefficients of the powers of the polynomial through values at the Chebyshev nodes.
fn powers_through(nodes: &[f64; ORDER], values: &[f64; ORDER]) -> [f64; ORDER] {
    // Chebyshev coefficients by the discrete orthogonality; T_k by its recurrence.
    let mut chebyshev = [0.0; ORDER];
    for (u, value) in nodes.iter().zip(values) {
        let (mut before, mut now) = (1.0, *u);
        for (k, coefficient) in chebyshev.iter_mut().enumerate() {
            let weight = if k == 0 { 1.0 } else { 2.0 };
            let polynomial = if k == 0 { 1.0 } else { now };
            *coefficient += weight / ORDER as f64 * value * polynomial;
            if k > 0 {
                (before, now) = (now, 2.0 * u * now - before);
            }
        }
    }
    // Sum of c_k T_k in powers, T_k = 2u T_{k-1} - T_{k-2}.
    let mut powers = [0.0; ORDER];
    let mut before = [0.0; ORDER];
    let mut now = [0.0; ORDER];
    before[0] = 1.0;
    now[1] = 1.0;
    powers[0] = chebyshev[0];
    for coefficient in &chebyshev[1..] {
        for (power, t) in powers.iter_mut().zip(&now) {
            *power += coefficient * t;
        }
        let mut next = [0.0; ORDER];
        for i in 0..ORDER {
            next[i] = if i == 0 { 0.0 } else { 2.0 * now[i - 1] } - before[i];
        }
        (before, now) = (now, next);
    }
    powers
}
