//! The course of the water over a span, worked out when it is first asked for: where it turns, and
//! how high it stands where one run of it ends and the next begins.

use alloc::boxed::Box;
use alloc::vec::Vec;

use once_cell::race::OnceBox;

use crate::predict::Predictor;
use crate::turning::RawTurn;

/// Turns, and the heights between which the water only rises or only falls.
#[derive(Clone, Debug)]
pub(crate) struct Course {
    /// In order of time.
    pub(crate) turns: Vec<RawTurn>,
    /// Heights above the datum, metres, as [`Predictor::height_m`] has them: of each segment its
    /// start, its turns, its end.
    pub(crate) knots_m: Vec<f64>,
}

impl Course {
    pub(crate) fn of(predictor: &Predictor) -> Self {
        let turns = predictor.raw_turns();
        let mut knots_m = Vec::with_capacity(turns.len() + 2 * predictor.segments().count());
        let mut coming = turns.iter().peekable();
        for segment in predictor.segments() {
            segment.vectors.run(
                #[inline(always)]
                || {
                    knots_m.push(segment.height_m(segment.from_h));
                    while let Some(turn) = coming.next_if(|turn| turn.hours < segment.to_h) {
                        knots_m.push(segment.height_m(turn.hours));
                    }
                    knots_m.push(segment.height_m(segment.to_h));
                },
            );
        }
        Self { turns, knots_m }
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
