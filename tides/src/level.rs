//! When the water stands above, below or between levels.
//!
//! Between neighbouring turns the curve is monotone, so it meets a level at most once: the
//! certificate of the turns carries over to crossings.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

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
        let course = self.course();
        let mut turns = course.turns.iter().peekable();
        let mut knots_m = course.knots_m.iter().copied();
        let mut changes = Vec::new();
        let mut above: Option<bool> = None;
        for segment in self.segments() {
            let mut from = Knot::new(segment.from_h, knots_m.next(), level_m);
            // Only a step of the convention itself, at New Year, can bring this about.
            if above.is_some_and(|before| before != from.above()) {
                changes.push((from.hours, from.above()));
            }
            loop {
                let turn = turns.next_if(|turn| turn.hours < segment.to_h);
                let hours = turn.map_or(segment.to_h, |turn| turn.hours);
                let to = Knot::new(hours, knots_m.next(), level_m);
                if to.above() != from.above() {
                    let at = segment.vectors.run(
                        #[inline(always)]
                        || {
                            crossing(
                                from,
                                to,
                                #[inline(always)]
                                |at| segment.height_m(at) - level_m,
                            )
                        },
                    );
                    changes.push((at, to.above()));
                }
                from = to;
                if turn.is_none() {
                    break;
                }
            }
            above = Some(from.above());
        }
        changes
    }
}

/// An end of a run of the water, and how far it lies above the level.
#[derive(Clone, Copy)]
struct Knot {
    hours: f64,
    offset_m: f64,
}

impl Knot {
    fn new(hours: f64, height_m: Option<f64>, level_m: f64) -> Self {
        // There is a knot for each end of each run.
        let offset_m = height_m.unwrap_or(level_m) - level_m;
        Self { hours, offset_m }
    }

    fn above(&self) -> bool {
        self.offset_m > 0.0
    }
}

/// A level to be compared with the water.
pub(crate) fn level(level_m: f64) -> Result<f64, Error> {
    in_range("level", level_m, [-100_000.0, 100_000.0], "m")
}

/// The zero of a monotone function between two instants, by bisection sped up with secants
/// (Illinois).
#[inline(always)]
fn crossing(from: Knot, to: Knot, offset: impl Fn(f64) -> f64) -> f64 {
    let above = from.above();
    let (mut a, mut b) = (from.hours, to.hours);
    let (mut at_a, mut at_b) = (from.offset_m, to.offset_m);
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
