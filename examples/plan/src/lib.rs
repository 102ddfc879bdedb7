//! Light, tide, places and kit joined into the windows of a season.
//!
//! Data flows one way: a [`scenario`] is read and checked, with its [`port`]; an [`outing`] is what
//! the upper water allows; [`windows`] joins it with light, [`levels`], stand-off and closures into
//! stretches of [`time`]; [`season`] ranks the windows of many days and seats, weighed by the
//! [`experience`] of past visits; a [`project`] allocates visits to wanted pictures; [`sweep`]
//! tries seats all around a place. The [`weather`] of a forecast makes all of them more careful. [`framing`] and [`reach`] say what a kit makes of an animal at a
//! distance.
//!
//! Nothing here touches the command line, a picture or a database, so that a page can do the same.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod cautions;
pub mod coarse;
mod cores;
pub mod experience;
pub mod framing;
pub mod levels;
pub mod outing;
pub mod port;
#[cfg(feature = "project")]
pub mod project;
pub mod reach;
pub mod rfc4180;
pub mod rounding;
pub mod scenario;
pub mod season;
pub mod sweep;
pub mod time;
pub mod weather;
pub mod windows;
pub mod words;
