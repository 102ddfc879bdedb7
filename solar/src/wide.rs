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
