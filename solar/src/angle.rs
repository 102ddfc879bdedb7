//! Angles: units, turns, and sums of cosines.

use core::f64::consts::{PI, TAU};

/// Radians in an arc second.
pub(crate) const ARCSECOND: f64 = PI / 648_000.0;

/// The angle reduced to 0 (included) to 360 (excluded) degrees.
pub(crate) fn positive_deg(angle_deg: f64) -> f64 {
    let reduced = angle_deg - 360.0 * libm::floor(angle_deg / 360.0);
    // A tiny negative angle rounds up to a full turn.
    if reduced >= 360.0 { 0.0 } else { reduced }
}

/// The angle reduced to -180 (included) to 180 (excluded) degrees.
pub(crate) fn signed_deg(angle_deg: f64) -> f64 {
    positive_deg(angle_deg + 180.0) - 180.0
}

/// A polynomial, the constant term first.
#[inline]
pub(crate) fn polynomial<const N: usize>(x: f64, coefficients: [f64; N]) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// Added and taken away, it rounds a number of moderate size to the nearest integer.
const ROUND: f64 = 6_755_399_441_055_744.0;

/// Sine of a quarter turn at most, in turns: a minimax polynomial in the square, wrong by 2.7e-11 at most.
const SINE: [f64; 6] = [
    6.283_185_307_072_264,
    -41.341_702_116_744_0,
    81.605_226_174_029_66,
    -76.704_279_876_042_62,
    42.009_779_303_153_91,
    -14.393_966_295_455_94,
];

/// Cosine of an angle in turns, to 3e-11: the kernel of the long sums, plain arithmetic so that it vectorises.
///
/// Elsewhere the cosine comes from `libm`; here a hundred of them go into one sum whose terms matter to 1e-9 at best.
#[inline(always)]
pub(crate) fn cosine_of_turns(turns: f64) -> f64 {
    let fraction = turns - ((turns + ROUND) - ROUND);
    let y = 0.25 - fraction.abs();
    let s = y * y;
    let odd = ((((SINE[5] * s + SINE[4]) * s + SINE[3]) * s + SINE[2]) * s + SINE[1]) * s + SINE[0];
    odd * y
}

/// A sum of cosines of linear arguments, laid out so that a loop over it runs in vector registers.
#[derive(Debug)]
pub(crate) struct CosineSum<const N: usize> {
    amplitude: [f64; N],
    phase_turns: [f64; N],
    rate_turns: [f64; N],
}

impl<const N: usize> CosineSum<N> {
    /// From rows of amplitude, phase and rate, the latter two in radians.
    pub(crate) const fn new(rows: &[[f64; 3]; N]) -> Self {
        let mut sum = Self {
            amplitude: [0.0; N],
            phase_turns: [0.0; N],
            rate_turns: [0.0; N],
        };
        let mut i = 0;
        while i < N {
            sum.amplitude[i] = rows[i][0];
            sum.phase_turns[i] = rows[i][1] / TAU;
            sum.rate_turns[i] = rows[i][2] / TAU;
            i += 1;
        }
        sum
    }

    /// The value of the sum at a time in the unit of the rates.
    #[inline]
    pub(crate) fn at(&self, time: f64) -> f64 {
        const LANES: usize = 4;
        let mut partial = [0.0; LANES];
        let whole = N - N % LANES;
        for start in (0..whole).step_by(LANES) {
            for (lane, part) in partial.iter_mut().enumerate() {
                let i = start + lane;
                *part += self.amplitude[i]
                    * cosine_of_turns(self.phase_turns[i] + self.rate_turns[i] * time);
            }
        }
        let mut sum = (partial[0] + partial[1]) + (partial[2] + partial[3]);
        for i in whole..N {
            sum += self.amplitude[i]
                * cosine_of_turns(self.phase_turns[i] + self.rate_turns[i] * time);
        }
        sum
    }
}
