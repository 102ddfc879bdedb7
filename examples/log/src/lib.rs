//! The field log: what happened on each visit, kept so that it cannot be lost and can be learnt
//! from.
//!
//! [`Log`] is one SQLite file. An [`Entry`] comes in through a [`Gate`] that knows which places,
//! seats and subjects exist, is joined with the [`Conditions`] of its instant, and is never changed
//! afterwards: an amendment is a further revision.
//!
//! ```
//! use jiff::Timestamp;
//! use wrackline_log::{Draft, Log, Outcome, join};
//! use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
//!
//! let scenario = Scenario::parse(DEMO_NAME, DEMO)?; // the invented demo
//! let gate = join::gate(&scenario, Timestamp::now());
//! let mut draft = Draft::default();
//! draft.set("when", "2026-01-24T08:52Z")?;
//! draft.set("seat", "Spit End hide")?;
//! draft.set("subject", "slate knotling")?;
//! draft.set("outcome", "select")?;
//! let entry = gate.accept(&draft).map_err(|problems| format!("{problems:?}"))?;
//! let conditions = join::conditions(&scenario, &entry);
//!
//! let folder = tempfile::tempdir()?;
//! let mut log = Log::open_or_create(&folder.path().join("log.sqlite"))?;
//! let added = log.add(&[(entry, conditions)], scenario.zone())?;
//! assert_eq!(added.new, ["2026-01-24"]);
//!
//! let record = &log.records()?[0];
//! assert_eq!(record.entry.place, "tallow-ness"); // the seat says where it is
//! assert_eq!(record.entry.outcome, Outcome::Select);
//! let minutes = record.conditions.and_then(|conditions| conditions.minutes_from_high_water);
//! assert_eq!(minutes.map(f64::round), Some(-29.0));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod accept;
mod ask;
mod conditions;
mod darwin_core;
mod draft;
mod entry;
mod error;
mod export;
mod file;
mod import;
pub mod join;
pub mod learning;
mod migrate;
mod outcome;
pub mod photos;
mod problem;
pub mod review;
mod rows;
mod salvage;
mod seal;
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
pub use salvage::{Salvaged, rebuild, salvage};
pub use seal::Flaw;
pub use store::{Added, Log, differences};
pub use surroundings::Surroundings;
pub use when::When;
pub use wind::Wind;
