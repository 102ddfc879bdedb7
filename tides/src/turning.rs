//! High and low waters, with a certificate that none is missed and none invented.
//!
//! A turn is a sign change of the slope h′. The span is cut into cells; on a cell of half-width r about its middle, with B no less
//! than |h‴| anywhere, Taylor's theorem decides:
//!
//! - |h′| > |h″| r + B r²/2: the slope keeps its sign, no turn;
//! - |h″| > B r: the slope is monotone, at most one turn, and the signs at the two ends tell;
//! - otherwise the cell is halved.
//!
//! Cells shorter than a few milliseconds end the halving: there a slope that touches zero without passing through it is not a
//! turn, and two turns closer than that are a stand.

use alloc::vec::Vec;

use jiff::Timestamp;

use crate::predict::{Predictor, Segment};

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

/// A turn on the predictor's own clock.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RawTurn {
    pub(crate) hours: f64,
    pub(crate) height_m: f64,
    pub(crate) kind: TurnKind,
}

impl Predictor {
    /// All high and low waters of the span in order of time, none missed and none invented: double high waters and stands
    /// with a few centimetres between them included. High and low alternate.
    #[must_use]
    pub fn turns(&self) -> Vec<Turn> {
        self.raw_turns()
            .into_iter()
            .map(|turn| Turn {
                at: self.timestamp(turn.hours),
                height_m: turn.height_m,
                kind: turn.kind,
            })
            .filter(|turn| turn.at < self.span().end)
            .collect()
    }

    pub(crate) fn raw_turns(&self) -> Vec<RawTurn> {
        let mut turns = Vec::new();
        let mut rising: Option<bool> = None;
        for segment in self.segments() {
            let rises = segment.slope(segment.from_h).first > 0.0;
            // Chords meet at an angle too small to see, and the annual convention steps at New Year: a change of sign is a turn.
            if rising.is_some_and(|before| before != rises) {
                turns.push(turn_at(&segment, segment.from_h, rises));
            }
            rising = Some(search(&segment, rises, &mut turns));
        }
        turns
    }
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
fn search(segment: &Segment<'_>, rises: bool, turns: &mut Vec<RawTurn>) -> bool {
    let length = segment.to_h - segment.from_h;
    let cells = libm::ceil(length / CELL_H).max(1.0);
    let mut rises = rises;
    let mut stack: Vec<(f64, f64)> = Vec::new();
    for index in 0..cells as u32 {
        let from = segment.from_h + length * f64::from(index) / cells;
        let to = segment.from_h + length * f64::from(index + 1) / cells;
        stack.push((from, to));
        while let Some((from, to)) = stack.pop() {
            let middle = 0.5 * (from + to);
            let r = 0.5 * (to - from);
            let slope = segment.slope(middle);
            let third = segment.bounds.third;
            if slope.first.abs() > slope.second.abs() * r + 0.5 * third * r * r {
                rises = slope.first > 0.0;
            } else if slope.second.abs() > third * r || r < SHORTEST_H {
                let rises_after = segment.slope(to).first > 0.0;
                if rises_after != rises {
                    let at = root(segment, from, to, rises);
                    turns.push(turn_at(segment, at, rises_after));
                    rises = rises_after;
                }
            } else {
                stack.push((middle, to));
                stack.push((from, middle));
            }
        }
    }
    rises
}

/// The zero of the slope between two instants of which the first has the given sign: Newton's steps, kept inside a shrinking
/// bracket.
fn root(segment: &Segment<'_>, from: f64, to: f64, rises: bool) -> f64 {
    let (mut low, mut high) = (from, to);
    let mut at = 0.5 * (low + high);
    for _ in 0..60 {
        let slope = segment.slope(at);
        if (slope.first > 0.0) == rises {
            low = at;
        } else {
            high = at;
        }
        let newton = at - slope.first / slope.second;
        let next = if newton > low && newton < high {
            newton
        } else {
            0.5 * (low + high)
        };
        let step = (next - at).abs();
        at = next;
        if step < STEP_H || high - low < STEP_H {
            break;
        }
    }
    at
}
