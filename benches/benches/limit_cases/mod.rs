//! The work that ours and the programs in C are timed at, and what the programs are given.

mod sky;
mod tides;

use std::time::Instant;

pub(crate) use sky::sky;
pub(crate) use tides::tides;

/// One work of ours.
pub(crate) struct Case<'a> {
    /// As the program in C calls it.
    pub(crate) name: &'static str,
    work: Box<dyn FnMut() + 'a>,
    /// How often it is done for one time.
    rounds: u32,
    elements: f64,
    /// What it comes to, and by how much the program's may differ.
    pub(crate) checksum: f64,
    pub(crate) tolerance: f64,
}

impl Case<'_> {
    /// The shortest time of some rounds for each element.
    pub(crate) fn time_ns(&mut self) -> f64 {
        let mut best = f64::INFINITY;
        for _ in 0..self.rounds {
            let begun = Instant::now();
            (self.work)();
            best = best.min(begun.elapsed().as_secs_f64());
        }
        best * 1e9 / self.elements
    }
}
