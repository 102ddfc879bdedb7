//! One outing, judged once: when the upper water lets somebody walk in, sit and walk out again, and
//! the times that follow from it.
//!
//! `ground` holds the sets of a seat and its way over the whole prediction, `search` finds the
//! outings that lie in them, [`Timetable`] tells their times. Every output prints these and judges
//! nothing again.

mod dry;
pub(crate) mod ground;
mod refusal;
pub(crate) mod search;
mod timetable;
mod walks;

pub use ground::Closing;
pub use refusal::{Condition, Refusal};
pub use timetable::{Departure, NeverCloses, Timetable};
