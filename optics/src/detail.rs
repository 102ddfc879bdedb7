//! Detail: how much contrast of a pattern survives its way from the subject into the picture.
//!
//! Each blur passes a pattern of frequency ν with a share of its contrast, its modulation transfer
//! (MTF); the shares multiply. Frequencies are line pairs per millimetre on the sensor; m times
//! that is line pairs per millimetre at the subject.
//!
//! Sources: J. W. Goodman, *Introduction to Fourier Optics* (diffraction MTF, cut-off 1/(λN)); R.
//! R. Shannon, *The Art and Science of Optical Design* (1997) (transfer of an aberrated lens from
//! its rms wavefront error); R. D. Fiete, *Modeling the Imaging Chain* (sampling ratio Q = λN/p).
pub(crate) mod diffraction;

mod quality;

mod sampling;

mod transfers;

pub(crate) mod chain;

pub use chain::Resolved;
pub use quality::{LensQuality, MeasuredMtf, Mosaic, MtfPoint, Wavefront};
pub use transfers::{Limit, Transfers};
