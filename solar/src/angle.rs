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

/// Sine of a quarter turn at most, in turns: a minimax polynomial in the square, wrong by 6.7e-9 at
/// most.
const SINE: [f64; 5] = [
    6.283_185_280_154_407,
    -41.341_680_613_346_52,
    81.602_476_367_925_18,
    -76.581_172_644_278_72,
    39.759_827_085_319_1,
];

/// Cosine of an angle in turns, to 6.7e-9: the kernel of the long sums, plain arithmetic so that it
/// vectorises.
///
/// Elsewhere the cosine comes from `libm`; here hundreds go into one sum. The largest amplitudes,
/// 1.9 degrees for the sun and 6.3 degrees for the moon, then carry errors of 0.00005" and
/// 0.00015".
#[inline(always)]
pub(crate) fn cosine_of_turns(turns: f64) -> f64 {
    let fraction = turns - ((turns + ROUND) - ROUND);
    let y = 0.25 - fraction.abs();
    let s = y * y;
    ((((SINE[4] * s + SINE[3]) * s + SINE[2]) * s + SINE[1]) * s + SINE[0]) * y
}

/// A term of a series: its amplitude, its phase in radians, and the coefficients of the powers of
/// time in its argument.
pub(crate) type Row<const D: usize> = (f64, f64, [f64; D]);

/// A sum of cosines whose arguments are polynomials of time, laid out so that a loop over it runs
/// in vector registers.
#[derive(Debug)]
pub(crate) struct CosineSum<const N: usize, const D: usize = 1> {
    /// The terms that do not move, taken exactly.
    constant: f64,
    amplitude: [f64; N],
    phase_turns: [f64; N],
    rates_turns: [[f64; N]; D],
}

impl<const N: usize, const D: usize> CosineSum<N, D> {
    pub(crate) const fn of_cosines(rows: &[Row<D>; N]) -> Self {
        Self::new(rows, 0.0)
    }

    /// A sine is a cosine a quarter of a turn behind.
    pub(crate) const fn of_sines(rows: &[Row<D>; N]) -> Self {
        Self::new(rows, -0.25)
    }

    const fn new(rows: &[Row<D>; N], shift_turns: f64) -> Self {
        let mut sum = Self {
            constant: 0.0,
            amplitude: [0.0; N],
            phase_turns: [0.0; N],
            rates_turns: [[0.0; N]; D],
        };
        let mut i = 0;
        while i < N {
            let (amplitude, phase, rates) = rows[i];
            let phase_turns = phase / TAU + shift_turns;
            if rates[0] == 0.0 {
                // In the published tables the cosine of such a phase is 1 or -1.
                let up = phase_turns < 0.25 && phase_turns > -0.25;
                sum.constant += if up { amplitude } else { -amplitude };
            } else {
                sum.amplitude[i] = amplitude;
                sum.phase_turns[i] = phase_turns;
                let mut k = 0;
                while k < D {
                    sum.rates_turns[k][i] = rates[k] / TAU;
                    k += 1;
                }
            }
            i += 1;
        }
        sum
    }

    #[inline(always)]
    fn term(&self, i: usize, time: f64) -> f64 {
        let mut turns = 0.0;
        for rates in self.rates_turns.iter().rev() {
            turns = (turns + rates[i]) * time;
        }
        self.amplitude[i] * cosine_of_turns(self.phase_turns[i] + turns)
    }

    /// The value of the sum at a time in the unit of the rates.
    #[inline(always)]
    pub(crate) fn at(&self, time: f64) -> f64 {
        const LANES: usize = 4;
        let mut partial = [0.0; LANES];
        let whole = N - N % LANES;
        for start in (0..whole).step_by(LANES) {
            for (lane, part) in partial.iter_mut().enumerate() {
                *part += self.term(start + lane, time);
            }
        }
        let mut sum = self.constant + (partial[0] + partial[1]) + (partial[2] + partial[3]);
        for i in whole..N {
            sum += self.term(i, time);
        }
        sum
    }
}
