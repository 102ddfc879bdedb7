//! The skyline around a seat, from elevation data.
//!
//! [`Elevation`] reads GeoTIFF and the grids of the shuttle radar mission, as far as a range takes
//! them in; a [`View`] is the eye in them; [`View::around`] tells what it sees in every direction
//! and how far anything is known; [`profile`] makes that the few points that a scenario holds.
//!
//! Data that lie finer come before coarser ones, which count only where the finer know nothing. What
//! no data cover is unknown, and never an open horizon.

mod around;
mod earth;
mod elevation;
mod error;
mod frame;
mod geotiff;
mod grid;
mod hgt;
mod march;
mod profile;

pub use around::{
    Around, BETWEEN_RAYS_DEG, End, Eye, Gap, Obstacle, RAYS_PER_DEGREE, Ray, SITTING_EYE_M, Sector,
    USUAL_REFRACTION, View,
};
pub use elevation::{Elevation, Source, Wanted};
pub use error::Error;
pub use profile::{TOLERANCE_DEG, profile};
