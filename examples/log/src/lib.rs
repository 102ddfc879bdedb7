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

#[cfg(feature = "store")]
mod accept;
#[cfg(feature = "store")]
mod ask;
#[cfg(feature = "store")]
mod conditions;
#[cfg(feature = "store")]
mod darwin_core;
#[cfg(feature = "store")]
mod draft;
mod entry;
#[cfg(feature = "store")]
mod error;
#[cfg(feature = "store")]
mod export;
#[cfg(feature = "store")]
mod file;
#[cfg(feature = "store")]
mod import;
#[cfg(feature = "store")]
pub mod join;
#[cfg(feature = "store")]
pub mod learning;
#[cfg(feature = "store")]
mod migrate;
mod outcome;
#[cfg(feature = "store")]
pub mod photos;
mod problem;
#[cfg(feature = "store")]
pub mod review;
#[cfg(feature = "store")]
mod rows;
#[cfg(feature = "store")]
mod salvage;
#[cfg(feature = "store")]
mod seal;
#[cfg(feature = "store")]
mod store;
#[cfg(feature = "store")]
mod surroundings;
#[cfg(feature = "store")]
pub mod welfare;
mod when;
mod wind;

#[cfg(feature = "store")]
pub use accept::{Gate, Named, NamedSeat, Names};
#[cfg(feature = "store")]
pub use ask::{AskError, ask};
#[cfg(feature = "store")]
pub use conditions::{CONDITIONS, Conditions};
#[cfg(feature = "store")]
pub use darwin_core::{Gaps, Gazetteer, Point, Precision, to_darwin_core};
#[cfg(feature = "store")]
pub use draft::Draft;
pub use entry::{Cell, Entry, FIELDS, Field, Sky};
#[cfg(feature = "store")]
pub use error::Error;
#[cfg(feature = "store")]
pub use export::{Columns, to_csv, to_json_lines};
#[cfg(feature = "store")]
pub use import::{from_csv, from_json_lines};
#[cfg(feature = "store")]
pub use migrate::LAYOUT;
pub use outcome::Outcome;
pub use problem::{Problem, closest};
#[cfg(feature = "store")]
pub use rows::Record;
#[cfg(feature = "store")]
pub use salvage::{Salvaged, rebuild, salvage};
#[cfg(feature = "store")]
pub use seal::Flaw;
#[cfg(feature = "store")]
pub use store::{Added, Log, differences};
#[cfg(feature = "store")]
pub use surroundings::Surroundings;
pub use when::When;
pub use wind::Wind;
