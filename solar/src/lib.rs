//! Where the sun and the moon stand, when they cross an altitude, and what light they give.
//!
//! ```
//! use wrackline_solar::{Observer, Site, Threshold};
//!
//! let observer = Observer::new(Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 })?;
//! let dawn: jiff::Timestamp = "2026-12-29T07:30:00Z".parse()?;
//! let noon: jiff::Timestamp = "2026-12-29T12:00:00Z".parse()?;
//! assert!(observer.sun(dawn).altitude_deg < 0.0);
//! let day = observer.sun_crossings(Threshold::SUNRISE, dawn..noon);
//! assert_eq!(day.events.len(), 1);
//! # Ok::<(), Box<dyn core::error::Error>>(())
//! ```
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]

extern crate alloc;

mod angle;
mod error;
mod jet;
mod tables;

mod time;

mod frames;

mod sun;

mod observer;
mod refraction;

mod crossing;
mod light;
mod search;
mod series;

pub use crossing::{
    AltitudeBand, AzimuthBand, Crossing, Crossings, Direction, Outcome, Threshold, Transit,
};
pub use error::Error;
pub use frames::greenwich_apparent_sidereal_time_deg;
pub use light::{LightSide, SideLimits, SideLimitsSpec, View, shadow_line_angle_deg};
pub use observer::{Observer, Place, Site};
pub use refraction::{AirSpec, Atmosphere};
pub use sun::{Geocentric, sun_at};
pub use time::{Instant, JulianDates};
