//! A span of time as callers give it and as the searches walk it.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::time::{EarthTime, Instant, Ut1};

/// A span in UTC and in days of UT1.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Days {
    pub(crate) earth_time: EarthTime,
    span: Range<Timestamp>,
    /// Day of UT1 on which it starts, and on which it ends.
    pub(crate) start: f64,
    pub(crate) end: f64,
}

impl Days {
    pub(crate) fn new(span: Range<Timestamp>, earth_time: EarthTime) -> Self {
        let [start, end] = [span.start, span.end].map(|at| earth_time.ut1(at).0);
        Self {
            earth_time,
            span,
            start,
            end,
        }
    }

    /// The instant and the UTC of a day found in the span; rounding must not carry it outside.
    pub(crate) fn instant(&self, ut1: f64) -> (Instant, Timestamp) {
        let instant = self.earth_time.instant_of_ut1(Ut1(ut1));
        let Range { start, end } = self.span;
        let at = if ut1 <= self.start {
            start
        } else if ut1 >= self.end {
            end
        } else {
            self.earth_time
                .timestamp(instant)
                .map_or(end, |at| at.clamp(start, end))
        };
        (instant, at)
    }

    /// Stretches of days as stretches of UTC; those that round to nothing fall out.
    pub(crate) fn timed(&self, days: Vec<(f64, f64)>) -> Vec<Range<Timestamp>> {
        days.into_iter()
            .map(|(start, end)| self.instant(start).1..self.instant(end).1)
            .filter(|stretch| stretch.start < stretch.end)
            .collect()
    }
}

/// The stretches between cuts in which a condition holds, judged in the middle of each; neighbours
/// are joined.
pub(crate) fn between_cuts(
    (start, end): (f64, f64),
    mut cuts: Vec<f64>,
    mut holds: impl FnMut(f64) -> bool,
) -> Vec<(f64, f64)> {
    let mut found: Vec<(f64, f64)> = Vec::new();
    if start >= end {
        return found;
    }
    cuts.sort_by(f64::total_cmp);
    cuts.push(end);
    let mut from = start;
    for to in cuts {
        if to <= from {
            continue;
        }
        if holds(0.5 * (from + to)) {
            match found.last_mut() {
                Some(last) if last.1 >= from => last.1 = to,
                _ => found.push((from, to)),
            }
        }
        from = to;
    }
    found
}

/// What two lists of stretches, each in order and apart, have in common.
pub(crate) fn common(a: &[(f64, f64)], b: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut both = Vec::new();
    let (mut i, mut j) = (0, 0);
    while i < a.len() && j < b.len() {
        let (start, end) = (a[i].0.max(b[j].0), a[i].1.min(b[j].1));
        if start < end {
            both.push((start, end));
        }
        if a[i].1 < b[j].1 {
            i += 1;
        } else {
            j += 1;
        }
    }
    both
}
