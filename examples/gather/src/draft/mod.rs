//! Places and seats from waypoints, as a draft of a scenario.
//!
//! What a receiver knows is where things are: positions become places and seats, with bearings and
//! distances between them. What it does not know, above all the water, stands in the draft as a
//! commented line with its meaning, and a seat about which anything is missing is closed until
//! somebody has found it out: unknown ground is not dry ground.
//!
//! [`waypoints`] reads, [`Sketch::of`] says which is what, [`Draft::to_toml`] writes, and
//! [`interview`] asks for the rest in order of need.

mod ask;
mod facts;
mod geojson;
mod globe;
mod gpx;
mod names;
mod questions;
mod read;
mod sketch;
mod waypoint;
mod write;

pub use ask::{Answer, AskError};
pub use facts::{Access, Animal, Known, Levels, SeatFacts, Table, Water, Way};
pub use geojson::read_geojson;
pub use globe::{Line, Spot, in_words, line, next_sunset};
pub use gpx::read_gpx;
pub use questions::{Given, Interview, LoadPort, LoadWaypoints, OUTPUT, RefuseOutput, interview};
pub use read::waypoints;
pub use sketch::{LeftOut, Place, Seat, Sketch, SketchError, WayIn};
pub use waypoint::{Kind, Waypoint};
pub use write::Draft;
