//! What somebody owns already, read into parts of a scenario: the terrain around a seat from an
//! elevation map, places and seats from waypoints, the year of an animal from sightings.
//!
//! Apart from `plan`, so that who plans compiles none of the formats of maps and archives.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod draft;
pub mod presence;
pub mod terrain;
