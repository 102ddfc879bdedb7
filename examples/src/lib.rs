//! The programs that join optics, solar and tides into the job of a wildlife photographer.
//!
//! Data flows one way: a [`scenario`] is read and checked; [`windows`] joins light, tide, stand-off, season and access
//! into stretches of time; [`season`] ranks the windows of many days and seats; [`report`] prints them.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod calendar;
pub mod card;
pub mod cautions;
pub mod cli;
pub mod columns;
pub mod fieldlog;
pub mod framing;
pub mod harmonics;
pub mod learning;
pub mod maps;
pub mod markup;
pub mod reach;
pub mod report;
pub mod scenario;
pub mod season;
pub mod stretches;
pub mod sweep;
pub mod table;
pub mod tidetable;
pub mod water;
pub mod windows;
