//! Lens, teleconverter, extension tube and crop geometry, and what a picture can resolve.
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod error;

mod lens;

mod converter;

mod sensor;

mod kit;

mod focus;
mod framing;

pub use converter::{Converter, ConverterSpec, ExtensionTube, NegativeGroup};
pub use error::Error;
pub use focus::{CircleOfConfusion, DepthOfField, FarLimit};
pub use framing::{AngleOfView, Field, FrameShare};
pub use kit::{Focus, Focused, Kit};
pub use lens::{ClosePair, Conjugates, Lens, LensSpec};
pub use sensor::{Aspect, PitchSpec, Sensor, SensorSpec};
