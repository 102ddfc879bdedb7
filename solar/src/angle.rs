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

/// The arc sine of the small numbers that semi-diameters have: its series, to the last digit up to
/// 0.03; beyond, as `libm` has it.
#[inline(always)]
pub(crate) fn small_arc_sine(x: f64) -> f64 {
    if x > 0.03 {
        return libm::asin(x.min(1.0));
    }
    let s = x * x;
    x + x * s * (1.0 / 6.0 + s * (3.0 / 40.0 + s * (15.0 / 336.0 + s * (105.0 / 3456.0))))
}

/// A polynomial, the constant term first.
#[inline]
pub(crate) fn polynomial<const N: usize>(x: f64, coefficients: [f64; N]) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// Added and taken away, it rounds a number of moderate size to the nearest integer.
const ROUND: f64 = 6_755_399_441_055_744.0;

/// The integer nearest to a number of moderate size: plain arithmetic, so that it vectorises.
#[inline(always)]
pub(crate) fn nearest_whole(x: f64) -> f64 {
    (x + ROUND) - ROUND
}

/// The greatest integer that a number of moderate size does not lie below: the library's floor
/// costs more than a whole polynomial.
#[inline(always)]
pub(crate) fn whole_below(x: f64) -> f64 {
    let towards_zero = x as i64 as f64;
    if towards_zero > x {
        towards_zero - 1.0
    } else {
        towards_zero
    }
}

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
    let fraction = turns - nearest_whole(turns);
    let y = 0.25 - fraction.abs();
    let s = y * y;
    ((((SINE[4] * s + SINE[3]) * s + SINE[2]) * s + SINE[1]) * s + SINE[0]) * y
}

/// Taylor's series of the sine and the cosine of an angle in turns, in its square: to the last digit
/// up to an eighth of a turn.
const EXACT_SINE: [f64; 8] = [
    TAU,
    -41.341_702_240_399_76,
    81.605_249_276_075_06,
    -76.705_859_753_061_39,
    42.058_693_944_897_655,
    -15.094_642_576_822_99,
    3.819_952_584_848_282,
    -0.718_122_301_778_500_6,
];
const EXACT_COSINE: [f64; 9] = [
    1.0,
    -19.739_208_802_178_716,
    64.939_394_022_668_3,
    -85.456_817_206_693_73,
    60.244_641_371_876_66,
    -26.426_256_783_374_4,
    7.903_536_371_318_469,
    -1.714_390_711_088_672,
    0.282_005_968_455_791_23,
];

/// Sine and cosine of an angle in turns, to the last digit: what an angle that is known in turns
/// need not be multiplied and reduced again for.
#[inline(always)]
pub(crate) fn sincos_of_turns(turns: f64) -> (f64, f64) {
    let fraction = turns - nearest_whole(turns);
    let quarters = nearest_whole(4.0 * fraction);
    let x = fraction - 0.25 * quarters;
    let s = x * x;
    // Even and odd powers apart, so that half as many steps wait for each other.
    let (f, e, o) = (s * s, &EXACT_SINE, &EXACT_COSINE);
    let even = ((e[6] * f + e[4]) * f + e[2]) * f + e[0];
    let odd = ((e[7] * f + e[5]) * f + e[3]) * f + e[1];
    let sine = (odd * s + even) * x;
    let even = (((o[8] * f + o[6]) * f + o[4]) * f + o[2]) * f + o[0];
    let odd = ((o[7] * f + o[5]) * f + o[3]) * f + o[1];
    let cosine = odd * s + even;
    // From -2 to 2 quarters of a turn beyond where the series hold: chosen without branches, which
    // nobody could foretell.
    let (a, b) = if quarters.abs() == 1.0 {
        (cosine, sine)
    } else {
        (sine, cosine)
    };
    let sine_negative = quarters.abs() == 2.0 || quarters == -1.0;
    let cosine_negative = quarters.abs() == 2.0 || quarters == 1.0;
    (
        if sine_negative { -a } else { a },
        if cosine_negative { -b } else { b },
    )
}

/// Arc tangent over its argument up to the tangent of an eighth of half a turn, in the square of the
/// argument: through the Chebyshev nodes, wrong by 4e-17 at most.
const EXACT_TANGENT: [f64; 11] = [
    1.0,
    -0.333_333_333_333_284_4,
    0.199_999_999_988_551_1,
    -0.142_857_141_809_764_67,
    0.111_111_061_804_559_46,
    -0.090_907_730_748_084_14,
    0.076_899_534_963_068_57,
    -0.066_402_339_304_294_08,
    0.056_883_492_268_090_106,
    -0.043_480_522_157_164_62,
    0.021_135_373_157_693_246,
];

/// Tangent of an eighth of half a turn.
const EIGHTH: f64 = 0.414_213_562_373_095_05;

/// The angles of points in degrees, -180 to 180, as `atan2` gives them, to the last digits: four
/// side by side, in plain arithmetic without branches, so that they fill vector registers.
#[inline(always)]
pub(crate) fn degrees_of_points(y: [f64; 4], x: [f64; 4]) -> [f64; 4] {
    let mut steep = [false; 4];
    let (mut q, mut base) = ([0.0; 4], [0.0; 4]);
    for i in 0..4 {
        let (ax, ay) = (x[i].abs(), y[i].abs());
        steep[i] = ay > ax;
        let (small, large) = if steep[i] { (ax, ay) } else { (ay, ax) };
        // Beyond an eighth of half a turn the angle is counted from a quarter of it.
        let wide = small > EIGHTH * large;
        let over = if wide { small - large } else { small };
        let under = if wide { small + large } else { large };
        base[i] = if wide { 45.0 } else { 0.0 };
        // The origin itself has the angle zero.
        q[i] = over / (under + f64::MIN_POSITIVE);
    }
    let mut angles = [0.0; 4];
    for i in 0..4 {
        let s = q[i] * q[i];
        // Even and odd powers apart: half as many steps wait for each other.
        let (f, t) = (s * s, &EXACT_TANGENT);
        let even = ((((t[10] * f + t[8]) * f + t[6]) * f + t[4]) * f + t[2]) * f + t[0];
        let odd = (((t[9] * f + t[7]) * f + t[5]) * f + t[3]) * f + t[1];
        angles[i] = base[i] + (odd * s + even) * q[i] * (180.0 / PI);
    }
    for i in 0..4 {
        let angle = if steep[i] {
            90.0 - angles[i]
        } else {
            angles[i]
        };
        let angle = if x[i] < 0.0 { 180.0 - angle } else { angle };
        angles[i] = if y[i] < 0.0 { -angle } else { angle };
    }
    angles
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sines_of_turns_are_those_of_radians() {
        for i in -100_000..100_000 {
            let turns = f64::from(i) * 1.3e-5;
            let ((s, c), (sine, cosine)) = (sincos_of_turns(turns), libm::sincos(turns * TAU));
            // The radians have up to 8, which a float holds to 4e-16 either way; products and sums
            // round by the last digit of a number up to 1.
            assert!(
                (s - sine).abs() < 1.2e-15 && (c - cosine).abs() < 1.2e-15,
                "{turns}"
            );
        }
    }

    #[test]
    fn angles_of_points_are_those_of_the_arc_tangent() {
        for i in -20_000..=20_000 {
            let (sine, cosine) = libm::sincos(f64::from(i) * (PI / 20_000.0));
            let (y, x) = (
                [sine, 1e8 * sine, -sine, 0.0],
                [cosine, 1e8 * cosine, cosine, cosine],
            );
            let angles = degrees_of_points(y, x);
            for k in 0..4 {
                let angle = libm::atan2(y[k], x[k]).to_degrees();
                // Two digits of the last place of 180.
                let off = (angles[k] - angle).abs();
                assert!(
                    off < 6e-14 || (off - 360.0).abs() < 6e-14,
                    "{y:?} {x:?} {angles:?}"
                );
            }
        }
        assert_eq!(degrees_of_points([0.0; 4], [0.0; 4]), [0.0; 4]);
    }

    #[test]
    fn small_arc_sines_are_arc_sines() {
        for i in 0..=4_000 {
            let x = f64::from(i) * 1e-5;
            assert!(
                (small_arc_sine(x) - libm::asin(x)).abs() <= 2e-16 * x,
                "{x}"
            );
        }
    }
}
