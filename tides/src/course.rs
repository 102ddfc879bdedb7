//! The course of the water over a span, worked out when it is first asked for: where it turns, and
//! how high it stands where one run of it ends and the next begins.

use alloc::boxed::Box;
use alloc::vec::Vec;

use once_cell::race::OnceBox;

use crate::curve::Segment;
use crate::predict::Predictor;
use crate::turning::RawTurn;

/// Turns, and the heights between which the water only rises or only falls.
#[derive(Clone, Debug)]
pub(crate) struct Course {
    /// In order of time.
    pub(crate) turns: Vec<RawTurn>,
    /// Of each segment its start, its turns, its end: where one run of the water ends, the next
    /// begins.
    pub(crate) knots: Vec<Knot>,
}

/// An instant between two runs of the water.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Knot {
    pub(crate) hours: f64,
    /// Height above the datum as [`Predictor::height_m`] has it.
    pub(crate) height_m: f64,
}

impl Knot {
    #[inline(always)]
    fn of(segment: &Segment<'_>, hours: f64) -> Self {
        let height_m = segment.height_m(hours);
        Self { hours, height_m }
    }
}

impl Course {
    pub(crate) fn of(predictor: &Predictor) -> Self {
        let turns = predictor.raw_turns();
        let mut knots = Vec::with_capacity(turns.len() + 2 * predictor.segments().count());
        let mut coming = turns.iter().peekable();
        for segment in predictor.segments() {
            segment.vectors.run(
                #[inline(always)]
                || {
                    knots.push(Knot::of(&segment, segment.from_h));
                    while let Some(turn) = coming.next_if(|turn| turn.hours < segment.to_h) {
                        knots.push(Knot::of(&segment, turn.hours));
                    }
                    knots.push(Knot::of(&segment, segment.to_h));
                },
            );
        }
        Self { turns, knots }
    }
}

/// A course that may not have been asked for yet.
#[derive(Debug, Default)]
pub(crate) struct LazyCourse(OnceBox<Course>);

impl LazyCourse {
    /// What is known, or what `find` finds: by whichever thread comes first, all find the same.
    pub(crate) fn get_or_find(&self, find: impl FnOnce() -> Course) -> &Course {
        self.0.get_or_init(|| Box::new(find()))
    }
}

impl Clone for LazyCourse {
    fn clone(&self) -> Self {
        let known = self.0.get().cloned().map(Box::new);
        Self(known.map_or_else(OnceBox::new, OnceBox::with_value))
    }
}
