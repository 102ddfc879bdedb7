#![doc = include_str!("../README.md")]
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]
#![warn(clippy::must_use_candidate)]

extern crate alloc;

// In the order in which data flows: a module uses those above it.
mod error;
mod far_limit;
mod wave;
mod words;

pub mod ray;

mod lens;

mod converter;

mod sensor;

mod kit;

mod framing;

mod air;

pub mod detail;

mod focus;

mod batch;

pub mod exposure;

pub mod reach;

pub use air::{Air, AirSpec, HeatedGround, Seeing};
pub use converter::{Converter, ConverterSpec, ExtensionTube, NegativeGroup, TubeBehind};
pub use detail::chain::{Chain, ChainSpec};
pub use detail::diffraction::{Diffraction, DiffractionSpec};
pub use error::Error;
pub use exposure::motion::{BlurLimit, Motion, Shake};
pub use exposure::sky::Sky;
pub use exposure::value::{Exposure, ExposureSpec, Light, ev100_of_illuminance};
pub use far_limit::FarLimit;
pub use focus::{
    BelowAiry, Blur, CircleOfConfusion, DepthOfField, DepthWish, Elsewhere, Hyperfocal,
    PrintViewing, SharpBetween, SharpSetting,
};
pub use framing::{
    AngleOfView, Equivalent, Field, FrameShare, FrameSide, Measure, MeasureShare, Print, PrintSpec,
    Subject, SubjectSpec, ZoomWish,
};
pub use kit::{AtInfinity, Focus, Focused, Kit};
pub use lens::{ClosePair, Conjugates, Lens, LensSetting, LensSpec, Zoom, ZoomEnds};
pub use reach::compare::Comparison;
pub use reach::judge::Judgement;
pub use reach::scene::{Assumptions, Claim, ClaimSpec, Scene, SceneSpec};
pub use reach::verdict::{Meaning, Verdict};
pub use reach::view::Contender;
pub use sensor::{Aspect, PitchSpec, Sensor, SensorSpec};
pub use wave::GREEN_UM;
