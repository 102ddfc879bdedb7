#![doc = include_str!("../README.md")]
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]
#![warn(clippy::must_use_candidate)]

extern crate alloc;

mod angle;
mod error;
mod jet;
mod number;
mod tables;
mod wide;

mod observed;
mod time;

mod frames;

mod sun;

mod moon;

mod body;
mod moon_light;
mod phase;

mod refraction;

mod observer;

mod moving;
mod piece;
mod rows;

mod batch;
mod bounds;
mod search;
mod series;
mod span;

mod sky;

mod crossing;
mod skyline;

mod aim;
mod dial;
mod edges;
mod highest;
mod horizon;
mod light;
mod sides;
mod threshold_band;

mod path_search;

mod illuminance;
mod level_light;

mod together;

mod words;

#[cfg(feature = "serde")]
mod record;

/// The instants, spans and civil days that this library takes: the version it was built with.
pub use jiff;

pub use aim::{Aim, SUN_CAUTION, SunInView, separation_deg};
pub use body::Body;
pub use crossing::{
    AltitudeBand, AzimuthBand, Crossing, Crossings, Culmination, Direction, Limb, Outcome,
    Threshold, Transit,
};
pub use dial::Surface;
pub use error::Error;
pub use frames::greenwich_apparent_sidereal_time_deg;
pub use highest::Highest;
pub use horizon::dip_deg;
pub use illuminance::{Illuminance, Luminaries, SkyCondition, Upright, sun_illuminance, sun_lx};
pub use level_light::fill_level_lx;
pub use light::{
    LightBounds, LightSide, Shadow, SideLimits, SideLimitsSpec, View, shadow_line_angle_deg,
};
pub use moon_light::{MoonLight, moon_at, moon_light_at};
pub use observer::{MoonPlace, Observer, Place, Site, Snapshot};
pub use phase::{MoonPhase, PhaseEvent, Season, SeasonEvent, moon_age_days, moon_phases, seasons};
pub use refraction::{AirSpec, Atmosphere, RefractionFormula};
pub use rows::{Grid, Horizontal, LitMoon};
pub use series::Path;
pub use sides::SideStretch;
pub use skyline::{Skyline, SkylinePoint};
pub use sun::{Geocentric, equation_of_time_min, sun_at};
pub use threshold_band::ThresholdBand;
pub use time::{EarthTime, EarthTimeSpec, GivenEarthTime, Instant, JulianDates};
pub use together::{SunAndMoon, moon_lit_above};
