//! The same work on many things: on all cores where threads may be started, one after another where
//! not.

/// What `work` makes of each thing, in the order of the things.
pub(crate) fn map<T: Sync, R: Send>(things: &[T], work: impl Fn(&T) -> R + Sync + Send) -> Vec<R> {
    #[cfg(feature = "parallel")]
    {
        use rayon::prelude::*;
        things.par_iter().map(work).collect()
    }
    #[cfg(not(feature = "parallel"))]
    {
        things.iter().map(work).collect()
    }
}
