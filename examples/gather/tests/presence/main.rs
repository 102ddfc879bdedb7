//! The year of an animal from sightings: what is read, what is refused, and how often the intervals
//! hold.
#![allow(clippy::unwrap_used)]

mod coverage;
mod readers;
mod simulate;
