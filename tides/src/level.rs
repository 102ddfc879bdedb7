//! When the water stands above, below or between levels.
//!
//! Between neighbouring turns the curve is monotone, so it meets a level at most once: the
//! certificate of the turns carries over to crossings.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::course::Knot;
use crate::error::{Error, in_range};
use crate::predict::Predictor;

/// Which way the water moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Flow {
    /// Up.
    Rising,
    /// Down.
    Falling,
}

/// The instant at which the water passes a level.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct LevelCrossing {
    /// When.
    pub at: Timestamp,
    /// Which way.
    pub direction: Flow,
}

/// A band of heights above the datum, both edges included.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct LevelBand {
    /// The lower edge, metres; a roost's push level, say.
    pub lowest_m: f64,
    /// The upper edge, metres; the level that overtops it.
    pub highest_m: f64,
}

/// Where a crossing is refined to, hours (0.04 ms).
const STEP_H: f64 = 1e-8;

impl Predictor {
    /// All crossings of a level in the span, in order of time. A tide that only touches the level
    /// does not cross it.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a level that is not a number or more than 100 km away: an answer
    /// of no stretch at all would read as water that never comes.
    pub fn crossings(&self, level_m: f64) -> Result<Vec<LevelCrossing>, Error> {
        let crossings = self.changes(level(level_m)?).into_iter();
        Ok(crossings
            .map(|(hours, above)| LevelCrossing {
                at: self.timestamp(hours),
                direction: if above { Flow::Rising } else { Flow::Falling },
            })
            .collect())
    }

    /// The stretches with the water above a level.
    ///
    /// # Errors
    /// As [`Predictor::crossings`].
    pub fn above(&self, level_m: f64) -> Result<Vec<Range<Timestamp>>, Error> {
        self.stretches(level(level_m)?, true)
    }

    /// The stretch of [`Predictor::above`] that holds an instant of the span, without looking for
    /// the others; none where the water does not stand above the level then. The end of the span
    /// lies in no stretch.
    ///
    /// # Errors
    /// As [`Predictor::crossings`], and [`Error::OutsideSpan`].
    pub fn above_around(
        &self,
        level_m: f64,
        at: Timestamp,
    ) -> Result<Option<Range<Timestamp>>, Error> {
        let (level_m, hours) = (level(level_m)?, self.hours_at(at)?);
        let knots = self.course().knots.as_slice();
        let next = knots.partition_point(|knot| knot.hours <= hours);
        let here = next.checked_sub(1).and_then(|from| knots.get(from..=next));
        let Some(here) = here else {
            return Ok(None);
        };
        let change = |run: &[Knot]| {
            let (hours, above) = self.change(run, level_m)?;
            Some((self.timestamp(hours), above))
        };
        let before = || knots.get(..next)?.windows(2).rev().find_map(change);
        let after = || knots.get(next..)?.windows(2).find_map(change);
        let passed = change(here);
        let above = match passed {
            Some((when, above)) => above == (when <= at),
            None => here.iter().all(|knot| knot.height_m > level_m),
        };
        if !above {
            return Ok(None);
        }
        let (rise, fall) = match passed {
            Some(passed) if passed.0 <= at => (Some(passed), after()),
            Some(passed) => (before(), Some(passed)),
            None => (before(), after()),
        };
        let span = self.span();
        let start = rise.map_or(span.start, |(when, _)| when);
        let end = fall.map_or(span.end, |(when, _)| when);
        // Hours are known to some nanoseconds only.
        Ok(Some(start..end).filter(|stretch| stretch.contains(&at)))
    }

    /// The stretches with the water at or below a level.
    ///
    /// # Errors
    /// As [`Predictor::crossings`].
    pub fn below(&self, level_m: f64) -> Result<Vec<Range<Timestamp>>, Error> {
        self.stretches(level(level_m)?, false)
    }

    /// The stretches with the water above the lower edge of a band and not above its upper edge.
    ///
    /// # Errors
    /// As [`Predictor::crossings`], and [`Error::NotRising`] for edges the wrong way round.
    pub fn between(&self, band: LevelBand) -> Result<Vec<Range<Timestamp>>, Error> {
        let (above, below) = (self.above(band.lowest_m)?, self.below(band.highest_m)?);
        if band.lowest_m > band.highest_m {
            return Err(Error::NotRising {
                what: "levels of a band",
                lower: band.lowest_m,
                upper: band.highest_m,
                unit: "m",
            });
        }
        Ok(intersection(&above, &below))
    }

    fn stretches(&self, level_m: f64, above: bool) -> Result<Vec<Range<Timestamp>>, Error> {
        let mut stretches = Vec::new();
        let span = self.span();
        let mut open = (self.height_m(span.start)? > level_m) == above;
        let mut from = span.start;
        for (hours, now_above) in self.changes(level_m) {
            let at = self.timestamp(hours);
            if now_above == above {
                from = at;
                open = true;
            } else if open {
                push(&mut stretches, from..at);
                open = false;
            }
        }
        if open {
            push(&mut stretches, from..span.end);
        }
        Ok(stretches)
    }

    /// Instants (predictor hours) at which the water passes the level, and whether it is above
    /// afterwards.
    fn changes(&self, level_m: f64) -> Vec<(f64, bool)> {
        let runs = self.course().knots.windows(2);
        runs.filter_map(|run| self.change(run, level_m)).collect()
    }

    /// The same in one run, from knot to knot. Segments meet in a run that takes no time: only a
    /// step of the convention itself, at New Year, passes a level there.
    fn change(&self, run: &[Knot], level_m: f64) -> Option<(f64, bool)> {
        let [from, to] = *run else { return None };
        let above = |knot: Knot| knot.height_m - level_m > 0.0;
        if above(from) == above(to) {
            return None;
        }
        if from.hours >= to.hours {
            return Some((to.hours, above(to)));
        }
        let segment = self.segment_at(0.5 * (from.hours + to.hours));
        let at = segment.vectors.run(
            #[inline(always)]
            || {
                crossing(
                    [from, to].map(|knot| (knot.hours, knot.height_m - level_m)),
                    #[inline(always)]
                    |at| segment.height_m(at) - level_m,
                )
            },
        );
        Some((at, above(to)))
    }
}

/// A level to be compared with the water.
pub(crate) fn level(level_m: f64) -> Result<f64, Error> {
    in_range("level", level_m, [-100_000.0, 100_000.0], "m")
}

/// The zero of a monotone function between two instants, each with its value there, by bisection
/// sped up with secants (Illinois).
#[inline(always)]
fn crossing([from, to]: [(f64, f64); 2], offset: impl Fn(f64) -> f64) -> f64 {
    let above = from.1 > 0.0;
    let (mut a, mut at_a) = from;
    let (mut b, mut at_b) = to;
    let mut kept = 0_i8;
    for _ in 0..100 {
        if b - a < STEP_H {
            break;
        }
        let secant = (a * at_b - b * at_a) / (at_b - at_a);
        let middle = if secant > a && secant < b {
            secant
        } else {
            0.5 * (a + b)
        };
        let value = offset(middle);
        if value == 0.0 {
            return middle;
        }
        if (value > 0.0) == above {
            (a, at_a) = (middle, value);
            if kept == -1 {
                at_b *= 0.5;
            }
            kept = -1;
        } else {
            (b, at_b) = (middle, value);
            if kept == 1 {
                at_a *= 0.5;
            }
            kept = 1;
        }
    }
    0.5 * (a + b)
}

fn push(stretches: &mut Vec<Range<Timestamp>>, stretch: Range<Timestamp>) {
    if stretch.start < stretch.end {
        stretches.push(stretch);
    }
}

/// Where two ordered lists of stretches overlap.
fn intersection(one: &[Range<Timestamp>], other: &[Range<Timestamp>]) -> Vec<Range<Timestamp>> {
    let (mut i, mut j) = (0, 0);
    let mut both = Vec::new();
    while let (Some(a), Some(b)) = (one.get(i), other.get(j)) {
        push(&mut both, a.start.max(b.start)..a.end.min(b.end));
        if a.end < b.end {
            i += 1;
        } else {
            j += 1;
        }
    }
    both
}
