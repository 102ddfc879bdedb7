#![doc = include_str!("../README.md")]
#![deny(missing_docs)]

#[cfg(panic = "abort")]
compile_error!("a panic must be caught before it reaches C: build with panic = \"unwind\"");

// In the order in which data flows: what can be refused, what C sees, and the calls, which alone
// take pointers.
mod refusal;

mod choices;
mod instants;

mod kit;
mod paths;
mod season;
mod sky;
mod tide;

mod boundary;

pub use boundary::*;
pub use choices::{Body, Convention, Direction, OutcomeKind, Phase, ThresholdKind, TurnKind};
pub use instants::Grid;
pub use kit::{DepthOfField, FrameWish, Framing, Kit, KitFigures, KitSpec};
pub use paths::{Horizontal, LitMoon, MoonPath, Path};
pub use refusal::Status;
pub use season::{Scenario, Season, SeasonRequest};
pub use sky::{
    Crossing, CrossingQuestion, MoonPlace, Observer, Outcome, Place, Site, Transit, TransitQuestion,
};
pub use tide::{Harmonic, Port, PortSpec, Predictor, Stretch, Turn};
