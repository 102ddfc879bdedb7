//! Exposure: how much light there is, how long the shutter may stay open, and what a longer lens
//! costs.
//!
//! Sources: ISO 2720 (exposure value, calibration constants C and K); ISO 12232 (exposure at the
//! sensor for an ISO speed); P. M. Janiczek and J. A. DeYoung, *Computer Programs for Sun and Moon
//! Illuminance*, US Naval Observatory Circular 171 (1987), for what clouds leave of a clear sky.

pub(crate) mod motion;
pub(crate) mod sky;
pub(crate) mod value;

pub use motion::ReciprocalRule;
pub use value::{
    INCIDENT_CONSTANT, NoiseRatio, PHOTONS_PER_LX_S_UM2, REFLECTED_CONSTANT,
    illuminance_of_ev100_lx, luminance_of_ev100, middle_tone_lx_s, saturation_lx_s,
};
