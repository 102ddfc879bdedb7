//! What has been planned, logged or tabled, for people and for programs: text, CSV, JSON, the card,
//! calendars, maps, pictures.
//!
//! Nothing is decided here: every writer prints what it is given. The feature `log` adds the
//! writers of that room, with all that it brings along; `page` alone adds the season page, which
//! takes the words of an entry from there and nothing else.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod axis;
#[cfg(feature = "calendar")]
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
#[cfg(feature = "maps")]
pub mod maps;
pub mod markup;
mod nothing;
pub mod panorama;
pub mod paper;
#[cfg(feature = "log")]
pub mod photos;
#[cfg(feature = "project")]
pub mod project;
pub mod reach;
pub mod report;
mod rows;
#[cfg(feature = "page")]
pub mod season_page;
pub mod sweep;
pub mod tidetable;
mod told;
pub mod warnings;
pub mod weather;
