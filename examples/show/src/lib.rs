//! What has been planned, logged or tabled, for people and for programs: text, CSV, JSON, the card, calendars, maps, pictures.
//!
//! Nothing is decided here: every writer prints what it is given. The features `log` and `table` add
//! the writers of those rooms, with all that these bring along.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod calendar;
pub mod card;
pub mod clock;
pub mod columns;
#[cfg(feature = "log")]
pub mod fieldlog;
pub mod harmonics;
#[cfg(feature = "log")]
pub mod learning;
pub mod light;
pub mod limits;
pub mod maps;
pub mod markup;
#[cfg(feature = "log")]
pub mod photos;
pub mod reach;
pub mod report;
#[cfg(feature = "log")]
pub mod season_page;
pub mod sweep;
pub mod tidetable;
mod told;
#[cfg(feature = "table")]
pub mod visibility;
pub mod warnings;
