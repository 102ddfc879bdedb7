//! The programs: what each can be told, and what it then does with the rooms below.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod card;
pub mod cli;
pub mod completions;
pub mod fieldlog;
mod files;
pub mod harmonics;
pub mod reach;
mod reader;
pub mod season;
pub mod sweep;
pub mod tidetable;
pub mod visibility;
mod words;
