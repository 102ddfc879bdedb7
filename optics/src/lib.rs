#![doc = include_str!("../README.md")]
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]

extern crate alloc;

// In the order in which data flows: a module uses those above it.
mod error;
mod far_limit;
mod wave;
mod words;

mod ray;

mod lens;

mod converter;

mod sensor;

mod kit;

mod framing;

mod air;

mod detail;

mod focus;

mod exposure;

mod reach;

pub use air::{Air, AirSpec, HeatedGround, Seeing};
pub use converter::{Converter, ConverterSpec, ExtensionTube, NegativeGroup, TubeBehind};
pub use detail::{
    Chain, ChainSpec, Diffraction, DiffractionSpec, LensQuality, Limit, MeasuredMtf, Mosaic,
    MtfPoint, Resolved, Transfers, Wavefront,
};
pub use error::Error;
pub use exposure::{
    BlurLimit, ClearSky, Exposure, ExposureSpec, INCIDENT_CONSTANT, Light, Motion, NoiseRatio,
    PHOTONS_PER_LX_S_UM2, REFLECTED_CONSTANT, ReciprocalRule, Shake, Sky, clear_sky,
    ev100_of_illuminance, illuminance_of_ev100_lx, luminance_of_ev100, middle_tone_lx_s,
    saturation_lx_s,
};
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
pub use ray::{Cardinals, Shape, Surface, Telephoto, TwoGroups};
pub use reach::{
    AirGrade, Assumptions, Band, Cases, Claim, ClaimSpec, Comparison, Contender, ConverterGain,
    Decider, DetailCell, EqualThroughAir, Finding, Judgement, LensAsSuch, Meaning, OpticsCase,
    OpticsGrade, Scene, SceneSpec, Sighting, Statement, Verdict,
};
pub use sensor::{Aspect, PitchSpec, Sensor, SensorSpec};
pub use wave::GREEN_UM;
pub use words::UnknownWord;
