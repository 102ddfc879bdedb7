//! The widest vector registers that the processor has, for the loops that fill them.
//!
//! The same code is compiled for narrow and for wide registers; nothing is fused in either, so the
//! bits are the same.

/// Work worth doing in wide registers. `run` and what it calls must be marked `#[inline(always)]`:
/// what is not inlined is compiled once, for the narrow ones, and a closure cannot be marked.
pub(crate) trait Work {
    /// What comes of it.
    type Output;

    /// Does it.
    fn run(self) -> Self::Output;
}

/// Does work with the widest vectors of this processor.
#[cfg(all(target_arch = "x86_64", not(target_os = "none")))]
#[inline(always)]
pub(crate) fn widest<W: Work>(work: W) -> W::Output {
    struct Wide<W>(W);
    impl<W: Work> pulp::NullaryFnOnce for Wide<W> {
        type Output = W::Output;

        #[inline(always)]
        fn call(self) -> W::Output {
            self.0.run()
        }
    }
    pulp::Arch::new().dispatch(Wide(work))
}

/// Elsewhere the target takes its one width for granted.
#[cfg(not(all(target_arch = "x86_64", not(target_os = "none"))))]
#[inline(always)]
pub(crate) fn widest<W: Work>(work: W) -> W::Output {
    work.run()
}

/// Square roots side by side, each to the bit as `libm` has it: its root is a single instruction,
/// but not one of a vector.
#[inline(always)]
pub(crate) fn square_roots<const N: usize>(mut x: [f64; N]) -> [f64; N] {
    #[cfg(all(target_arch = "x86_64", not(target_os = "none")))]
    if let Some(wide) = pulp::x86::V3::try_new() {
        let mut fours = x.chunks_exact_mut(4);
        for four in &mut fours {
            let roots = wide.sqrt_f64x4(pulp::f64x4(four[0], four[1], four[2], four[3]));
            four.copy_from_slice(&[roots.0, roots.1, roots.2, roots.3]);
        }
        for rest in fours.into_remainder() {
            *rest = libm::sqrt(*rest);
        }
        return x;
    }
    for x in &mut x {
        *x = libm::sqrt(*x);
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn roots_side_by_side_are_those_of_each() {
        let mut x = [0.0, f64::MIN_POSITIVE, 2.0, 1e300, 0.1, 3.0];
        for _ in 0..10_000 {
            assert_eq!(square_roots(x), x.map(libm::sqrt));
            x = x.map(|x| x * 1.000_37);
        }
    }
}
