//! High and low waters, with a certificate that none is missed and none invented.
//!
//! A turn is a sign change of the slope h′. The span is cut into cells; on a cell of half-width r
//! about its middle, with B no less than |h‴| anywhere, Taylor's theorem decides:
//!
//! - |h′| > |h″| r + B r²/2: the slope keeps its sign, no turn;
//! - |h″| > B r: the slope is monotone, at most one turn, and the signs at the two ends tell;
//! - otherwise the cell is halved, and from a quarter of an hour on looked at more closely
//!   (`close`).
//!
//! Cells shorter than a few milliseconds end the halving: there a slope that touches zero without
//! passing through it is not a turn, and two turns closer than that are a stand. Water whose slope
//! cannot be told from the rounding of its lines (half a nanometre an hour for lines of a metre
//! that cancel) stands too: it turns where it is next seen to move the other way.

#![allow(
    clippy::needless_range_loop,
    reason = "lanes of several arrays run side by side"
)]

use alloc::vec::Vec;

use jiff::Timestamp;

use core::f64::consts::TAU;

use crate::close::{LEAST_SLOPE, Look, REACH_H, look};
use crate::curve::{Segment, Slope};
use crate::error::Error;
use crate::predict::Predictor;
use crate::wave::{LANES, Lanes, cos_sin_lanes, each, sum};

/// Whether the water stops rising or stops falling.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum TurnKind {
    /// The water stops rising.
    HighWater,
    /// The water stops falling.
    LowWater,
}

/// One turning point of the tide.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Turn {
    /// When.
    pub at: Timestamp,
    /// Height above the datum, metres.
    pub height_m: f64,
    /// High or low.
    pub kind: TurnKind,
}

/// First cells this long, hours: short enough that most are settled at once, long enough to be few.
const CELL_H: f64 = 1.0;
/// No cell is halved below this, hours.
const SHORTEST_H: f64 = 1e-6;
/// Turns are refined until the step is below this, hours (0.04 ms).
const STEP_H: f64 = 1e-8;
/// A tide whose third derivative stays below this, metres in an hour cubed, does not move.
const STILL: f64 = 1e-60;

/// Error of a rotation, of cosine and sine together.
const ROTATION: f64 = 4e-11;

/// A turn on the predictor's own clock.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RawTurn {
    pub(crate) hours: f64,
    pub(crate) height_m: f64,
    pub(crate) kind: TurnKind,
}

impl Predictor {
    /// All high and low waters of the span in order of time, none missed and none invented: double
    /// high waters and stands with a few centimetres between them included. High and low alternate.
    ///
    /// They are sought once: whatever else goes from turn to turn, such as [`Predictor::above`],
    /// then knows them.
    #[must_use]
    pub fn turns(&self) -> Vec<Turn> {
        self.course()
            .turns
            .iter()
            .map(|turn| Turn {
                at: self.timestamp(turn.hours),
                height_m: turn.height_m,
                kind: turn.kind,
            })
            .filter(|turn| turn.at < self.span().end)
            .collect()
    }

    /// The first turn after an instant of the span; none where the span ends before it.
    ///
    /// # Errors
    /// [`Error::OutsideSpan`]: before the span there may be a turn that is not known.
    pub fn next_turn(&self, after: Timestamp) -> Result<Option<Turn>, Error> {
        self.all_within(&[after])?;
        Ok(self.turns().into_iter().find(|turn| turn.at > after))
    }

    /// The height as a share of the range between the turns before and after: 0 at low water, 1 at
    /// high water. None where the span holds no turn on one of the two sides.
    ///
    /// # Errors
    /// [`Error::OutsideSpan`].
    pub fn share_of_range(&self, at: Timestamp) -> Result<Option<f64>, Error> {
        let height_m = self.height_m(at)?;
        Ok(share_between(&self.turns(), at, height_m))
    }

    pub(crate) fn raw_turns(&self) -> Vec<RawTurn> {
        let mut turns = Vec::new();
        let mut sweep = Vec::new();
        let mut rising: Option<bool> = None;
        for segment in self.segments() {
            if segment.bounds.third < STILL {
                continue;
            }
            let slope = segment.slope(segment.from_h).first;
            // Water that stands goes on as it was.
            let rises = match rising {
                Some(before) if slope.abs() <= LEAST_SLOPE * segment.bounds.first => before,
                _ => slope > 0.0,
            };
            // Chords meet at an angle too small to see, and the annual convention steps at New
            // Year: a change of sign is a turn.
            if rising.is_some_and(|before| before != rises) {
                turns.push(turn_at(&segment, segment.from_h, rises));
            }
            rising = Some(segment.vectors.run(
                #[inline(always)]
                || search(&segment, rises, &mut sweep, &mut turns),
            ));
        }
        turns
    }
}

/// A height as a share of the range between the turns around its instant.
fn share_between(turns: &[Turn], at: Timestamp, height_m: f64) -> Option<f64> {
    let next = turns.partition_point(|turn| turn.at <= at);
    let (before, after) = (turns.get(next.checked_sub(1)?)?, turns.get(next)?);
    let low = before.height_m.min(after.height_m);
    let range = (before.height_m - after.height_m).abs();
    // A stand has no range to speak of: half way, whichever way.
    if range <= f64::MIN_POSITIVE {
        return Some(0.5);
    }
    Some(((height_m - low) / range).clamp(0.0, 1.0))
}

fn turn_at(segment: &Segment<'_>, hours: f64, rises_after: bool) -> RawTurn {
    let kind = if rises_after {
        TurnKind::LowWater
    } else {
        TurnKind::HighWater
    };
    RawTurn {
        hours,
        height_m: segment.height_m(hours),
        kind,
    }
}

/// Appends the turns inside a segment; tells whether the water rises at its end.
///
/// The cells' middles lie on a regular grid, where a rotation takes every line from one cell to the
/// next: first and second derivative for the cost of a few products. What the rotation leaves out,
/// the slow growth of the amplitudes, enters the test as an error bound; only cells near a turn are
/// looked at more closely.
#[inline(always)]
fn search(
    segment: &Segment<'_>,
    rises: bool,
    sweep: &mut Vec<Spin>,
    turns: &mut Vec<RawTurn>,
) -> bool {
    let length = segment.to_h - segment.from_h;
    let cells = libm::ceil(length / CELL_H).max(1.0);
    let width = length / cells;
    let r = 0.5 * width;
    let third = segment.bounds.third;
    let remainder = 0.5 * third * r * r;
    let slack = start_sweep(segment, width, sweep);
    let mut rises = rises;
    for index in 0..cells as u32 {
        let slope = step_sweep(sweep);
        let steep = slope.second.abs() + slack.second;
        let from = segment.from_h + width * f64::from(index);
        if slope.first.abs() > steep * r + remainder + slack.first {
            rises = carry_on(segment, from, rises, slope.first > 0.0, turns);
            continue;
        }
        let to = if index + 1 < cells as u32 {
            from + width
        } else {
            segment.to_h
        };
        let after = slope.first + slope.second * r;
        let sure = after.abs() > remainder + slack.first + slack.second * r;
        if slope.second.abs() - slack.second > third * r && sure {
            let rises_after = after > 0.0;
            if rises_after != rises {
                let guess = from + r + zero_near(slope, sweep);
                turns.push(refine(segment, (from, to), guess, rises));
                rises = rises_after;
            }
        } else {
            rises = settle(segment, from, to, rises, turns);
        }
    }
    rises
}

/// Goes on in a cell whose slope has one sign throughout: another sign than before it only after
/// water that stood.
fn carry_on(
    segment: &Segment<'_>,
    from: f64,
    rose: bool,
    rises: bool,
    turns: &mut Vec<RawTurn>,
) -> bool {
    if rises != rose {
        turns.push(turn_at(segment, from, rises));
    }
    rises
}

/// Decides one cell by halving it as often as it takes.
fn settle(
    segment: &Segment<'_>,
    from: f64,
    to: f64,
    rises: bool,
    turns: &mut Vec<RawTurn>,
) -> bool {
    let middle = 0.5 * (from + to);
    let r = 0.5 * (to - from);
    let slope = segment.slope(middle);
    let third = segment.bounds.third;
    let look = if slope.first.abs() > slope.second.abs() * r + 0.5 * third * r * r {
        Look::Keeps(slope.first > 0.0)
    } else if slope.second.abs() > third * r {
        Look::Monotone
    } else if r <= REACH_H {
        look(segment, middle, r)
    } else {
        Look::Unclear
    };
    if let Look::Keeps(rising) = look {
        carry_on(segment, from, rises, rising, turns)
    } else if look == Look::Stands {
        rises
    } else if look == Look::Monotone || r < SHORTEST_H {
        let rises_after = segment.slope(to).first > 0.0;
        if rises_after != rises {
            turns.push(refine(
                segment,
                (from, to),
                middle - slope.first / slope.second,
                rises,
            ));
        }
        rises_after
    } else {
        // Twenty halvings at most: from an hour to a few milliseconds.
        let rises = settle(segment, from, middle, rises, turns);
        settle(segment, middle, to, rises, turns)
    }
}

/// Four lines on their way round: amplitude times angular speed times cosine and sine, and the turn
/// to the next cell.
#[derive(Clone, Copy, Default)]
struct Spin {
    cosine: Lanes,
    sine: Lanes,
    step_cosine: Lanes,
    step_sine: Lanes,
    omega: Lanes,
}

/// Sets the lines half a cell before the segment, with the amplitudes of its middle; tells how far
/// first and second derivative can be off for that.
#[inline(always)]
fn start_sweep(segment: &Segment<'_>, width: f64, sweep: &mut Vec<Spin>) -> Slope {
    let length = segment.to_h - segment.from_h;
    let half = 0.5 * length;
    let centre = segment.from_h + half - segment.start_h;
    let before = segment.from_h - 0.5 * width - segment.start_h;
    let (mut first, mut second) = ([0.0; LANES], [0.0; LANES]);
    sweep.clear();
    for four in segment.fours {
        let (amplitude, _) = four.at(centre);
        let (_, phase) = four.at(before);
        let omega = each(|k| four.speed[k] * TAU);
        let (cosine, sine) = cos_sin_lanes(phase);
        let (step_cosine, step_sine) = cos_sin_lanes(each(|k| four.speed[k] * width));
        let swing = each(|k| amplitude[k] * omega[k]);
        sweep.push(Spin {
            cosine: each(|k| swing[k] * cosine[k]),
            sine: each(|k| swing[k] * sine[k]),
            step_cosine,
            step_sine,
            omega,
        });
        // The growth, and the errors of the cosines, which every rotation adds to.
        let growth = each(|k| four.growth[k].abs());
        let turned = each(|k| half * omega[k].abs());
        let rounding = each(|k| ROTATION * (length / width + 2.0) * swing[k].abs());
        first = each(|k| first[k] + growth[k] * (1.0 + turned[k]) + rounding[k]);
        second =
            each(|k| second[k] + omega[k].abs() * (growth[k] * (2.0 + turned[k]) + rounding[k]));
    }
    Slope {
        first: sum(first),
        second: sum(second),
    }
}

/// Where the slope is nothing, from the middle of a cell: by its first six derivatives of the
/// height.
#[inline(always)]
fn zero_near(slope: Slope, sweep: &[Spin]) -> f64 {
    let mut higher = [[0.0; LANES]; 4];
    for spin in sweep {
        let square = each(|k| spin.omega[k] * spin.omega[k]);
        let third = each(|k| square[k] * spin.sine[k]);
        let fourth = each(|k| spin.omega[k] * square[k] * spin.cosine[k]);
        higher[0] = each(|k| higher[0][k] + third[k]);
        higher[1] = each(|k| higher[1][k] + fourth[k]);
        higher[2] = each(|k| higher[2][k] - square[k] * third[k]);
        higher[3] = each(|k| higher[3][k] - square[k] * fourth[k]);
    }
    let [third, fourth, fifth, sixth] = higher.map(sum);
    let straight = -slope.first / slope.second;
    // One step of Halley's method, then two of Newton's.
    let mut x = straight / (1.0 + 0.5 * straight * third / slope.second);
    for _ in 0..2 {
        let bend = third + x * (fourth / 2.0 + x * (fifth / 6.0 + x * sixth / 24.0));
        let half = third / 2.0 + x * (fourth / 6.0 + x * (fifth / 24.0 + x * sixth / 120.0));
        let value = slope.first + x * (slope.second + x * half);
        x -= value / (slope.second + x * bend);
    }
    x
}

/// Turns all lines on by one cell; the first two derivatives in its middle.
#[inline(always)]
fn step_sweep(sweep: &mut [Spin]) -> Slope {
    let mut first = [0.0; LANES];
    let mut second = [0.0; LANES];
    for spin in sweep {
        let cosine =
            each(|k| spin.cosine[k] * spin.step_cosine[k] - spin.sine[k] * spin.step_sine[k]);
        let sine =
            each(|k| spin.sine[k] * spin.step_cosine[k] + spin.cosine[k] * spin.step_sine[k]);
        spin.cosine = cosine;
        spin.sine = sine;
        let curved = each(|k| spin.omega[k] * cosine[k]);
        first = each(|k| first[k] - sine[k]);
        second = each(|k| second[k] - curved[k]);
    }
    Slope {
        first: sum(first),
        second: sum(second),
    }
}

/// The turn between two instants of which the first has the given sign of the slope: Newton's steps
/// from a guess, kept inside a shrinking bracket, until the next step could not matter.
fn refine(segment: &Segment<'_>, cell: (f64, f64), guess: f64, rises: bool) -> RawTurn {
    let (mut low, mut high) = cell;
    let mut at = if guess > low && guess < high {
        guess
    } else {
        0.5 * (low + high)
    };
    let mut height_m = 0.0;
    for _ in 0..60 {
        let (height, slope) = segment.vectors.run(
            #[inline(always)]
            || segment.height_and_slope(at),
        );
        if (slope.first > 0.0) == rises {
            low = at;
        } else {
            high = at;
        }
        let newton = -slope.first / slope.second;
        let inside = at + newton > low && at + newton < high;
        let step = if inside {
            newton
        } else {
            0.5 * (low + high) - at
        };
        height_m = height + step * (slope.first + 0.5 * step * slope.second);
        at += step;
        // Newton's error after this step, by the bound on the third derivative.
        let left = 0.5 * segment.bounds.third * step * step / slope.second.abs();
        if inside && left < STEP_H || high - low < STEP_H {
            break;
        }
    }
    let kind = if rises {
        TurnKind::HighWater
    } else {
        TurnKind::LowWater
    };
    RawTurn {
        hours: at,
        height_m,
        kind,
    }
}
