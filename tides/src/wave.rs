//! The cosine of an angle in whole turns, for loops that the compiler can turn into vector code.
//!
//! Lines are worked on four at a time. Each step is a loop of its own over the lanes, which is what
//! compilers make vectors of. Where the processor has wider vectors than the target's baseline,
//! [`Vectors`] runs the same code compiled for them; no product is fused with a sum anywhere, so
//! the bits are the same.

/// Lines side by side.
pub(crate) const LANES: usize = 4;
pub(crate) type Lanes = [f64; LANES];

/// Adding and taking away 1.5·2⁵² rounds to the nearest whole number without a call or a branch;
/// good below 2⁵¹ turns.
pub(crate) const ROUNDER: f64 = 6_755_399_441_055_744.0;

/// The widest vectors that this processor has, found out once: asking takes as long as a height.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Vectors {
    #[cfg(all(target_arch = "x86_64", not(target_os = "none")))]
    arch: pulp::Arch,
}

#[cfg(all(target_arch = "x86_64", not(target_os = "none")))]
impl Vectors {
    pub(crate) fn widest() -> Self {
        Self {
            arch: pulp::Arch::new(),
        }
    }

    /// What every processor of the target has.
    #[cfg(test)]
    pub(crate) fn baseline() -> Self {
        Self {
            arch: pulp::Arch::Scalar,
        }
    }

    /// Runs work with these vectors. The work and what it calls must be inlined to gain by it.
    #[inline(always)]
    pub(crate) fn run<R>(self, work: impl FnOnce() -> R) -> R {
        self.arch.dispatch(work)
    }
}

/// Other processors have one width of vectors that matters, and their targets take it for granted.
#[cfg(not(all(target_arch = "x86_64", not(target_os = "none"))))]
impl Vectors {
    pub(crate) fn widest() -> Self {
        Self {}
    }

    #[cfg(test)]
    pub(crate) fn baseline() -> Self {
        Self {}
    }

    #[inline(always)]
    pub(crate) fn run<R>(self, work: impl FnOnce() -> R) -> R {
        work()
    }
}

/// cos(2π x) for x in turns.
///
/// The angle is folded onto a quarter turn and the sine there taken from an odd polynomial fitted
/// at Chebyshev nodes: error at most 3e-11 (a fraction of a nanometre on any tide), checked against
/// `libm` in the tests.
#[inline(always)]
pub(crate) fn cos_turns(x: f64) -> f64 {
    let r = x - ((x + ROUNDER) - ROUNDER);
    sin_quarter(0.25 - r.abs())
}

/// sin(2π q) for q within a quarter turn of zero; near zero the error is 2e-11 of the sine itself.
#[inline(always)]
pub(crate) fn sin_quarter(q: f64) -> f64 {
    let y = q * q;
    let mut sum = COEFFICIENTS[0];
    for coefficient in &COEFFICIENTS[1..] {
        sum = sum * y + coefficient;
    }
    sum * q
}

const COEFFICIENTS: [f64; 6] = [
    -14.394_135_483_194_543,
    42.009_805_749_830_23,
    -76.704_281_323_121_43,
    81.605_226_206_353_86,
    -41.341_702_116_996_8,
    6.283_185_307_072_584,
];

/// A function of each lane.
#[inline(always)]
pub(crate) fn each(of: impl Fn(usize) -> f64) -> Lanes {
    [of(0), of(1), of(2), of(3)]
}

/// The sum over the lanes, in the order in which it is always taken.
///
/// The compiler is kept from looking through to the lanes: it would make vectors of two by the
/// order of this sum, half as wide as the processor's, and shuffle them all the way.
#[inline(always)]
pub(crate) fn sum(lanes: Lanes) -> f64 {
    let lanes = core::hint::black_box(lanes);
    (lanes[0] + lanes[1]) + (lanes[2] + lanes[3])
}

/// [`cos_turns`] of four angles.
#[inline(always)]
pub(crate) fn cos_lanes(x: Lanes) -> Lanes {
    let folded = fold(x);
    sin_lanes_quarter(each(|k| 0.25 - folded[k].abs()))
}

/// Cosine and sine of four angles.
#[inline(always)]
pub(crate) fn cos_sin_lanes(x: Lanes) -> (Lanes, Lanes) {
    let folded = fold(x);
    let cosine = sin_lanes_quarter(each(|k| 0.25 - folded[k].abs()));
    // The sine goes up and down again within half a turn.
    let rising = each(|k| {
        let (near, far) = (folded[k].abs(), 0.5 - folded[k].abs());
        if near < far { near } else { far }
    });
    let sine = sin_lanes_quarter(rising);
    (cosine, each(|k| sine[k].copysign(folded[k])))
}

#[inline(always)]
fn fold(x: Lanes) -> Lanes {
    let raised = each(|k| x[k] + ROUNDER);
    let whole = each(|k| raised[k] - ROUNDER);
    each(|k| x[k] - whole[k])
}

/// [`sin_quarter`] of four angles.
#[inline(always)]
pub(crate) fn sin_lanes_quarter(q: Lanes) -> Lanes {
    let y = each(|k| q[k] * q[k]);
    let mut sum = [COEFFICIENTS[0]; LANES];
    for coefficient in &COEFFICIENTS[1..] {
        let product = each(|k| sum[k] * y[k]);
        sum = each(|k| product[k] + coefficient);
    }
    each(|k| sum[k] * q[k])
}

#[cfg(test)]
mod tests {
    use super::{cos_lanes, cos_sin_lanes, cos_turns};

    #[test]
    fn follows_the_library_cosine() {
        let mut worst = 0.0_f64;
        for step in 0..200_000 {
            let x = (f64::from(step) - 100_000.0) * 0.000_137;
            let exact = libm::cos(x * core::f64::consts::TAU);
            worst = worst.max((cos_turns(x) - exact).abs());
            let sine = libm::sin(x * core::f64::consts::TAU);
            let (cosines, sines) = cos_sin_lanes([x, -x, x, -x]);
            worst = worst.max((sines[0] - sine).abs().max((sines[1] + sine).abs()));
            assert_eq!(cosines[0], cos_turns(x));
            assert_eq!(cos_lanes([x; 4])[3], cos_turns(x));
        }
        assert!(worst < 2.7e-11, "{worst:e}");
    }
}
