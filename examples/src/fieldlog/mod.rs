//! The field log: what happened on each visit, kept so that it cannot be lost and can be learnt from.
//!
//! [`Log`] is one SQLite file. An [`Entry`] comes in through a [`Gate`] that knows which places, seats and subjects exist,
//! is joined with the [`Conditions`] of its instant, and is never changed afterwards: an amendment is a further revision.

mod accept;
mod ask;
mod conditions;
mod darwin_core;
mod draft;
mod entry;
mod error;
mod export;
mod import;
pub mod join;
mod migrate;
mod outcome;
pub mod photos;
mod problem;
pub mod review;
mod rows;
pub mod show;
mod store;
mod surroundings;
pub mod welfare;
mod when;
mod wind;

pub use accept::{Gate, Named, NamedSeat, Names};
pub use ask::{AskError, ask};
pub use conditions::{CONDITIONS, Conditions};
pub use darwin_core::{Gaps, Gazetteer, Point, Precision, to_darwin_core};
pub use draft::Draft;
pub use entry::{Cell, Entry, FIELDS, Field, Sky};
pub use error::Error;
pub use export::{Columns, to_csv, to_json_lines};
pub use import::{from_csv, from_json_lines};
pub use migrate::LAYOUT;
pub use outcome::Outcome;
pub use problem::{Problem, closest};
pub use rows::Record;
pub use store::{Added, Log, differences};
pub use surroundings::Surroundings;
pub use when::When;
pub use wind::{Wind, WindVector};
