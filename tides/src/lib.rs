#![doc = include_str!("../README.md")]
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]
#![warn(clippy::must_use_candidate)]

extern crate alloc;
#[cfg(test)]
extern crate std;

mod error;

mod astro;

mod arguments;

mod nodal;

mod catalogue;
mod compound;
mod names;
mod offices;

mod constituent;

mod convention;

mod constants;

mod table;

mod wave;

mod curve;

mod prepare;

mod grid;
mod predict;

mod batch;
mod dense;

mod close;

mod turning;

mod course;

mod datum;
mod level;
mod residual;
mod secondary;

mod record;

mod selection;

mod normal;
mod spectrum;

mod analysis;
mod turns;

mod words;

/// The instants at the library's edges.
pub use jiff;

pub use analysis::{Analysis, FittedHarmonic, ResidualSummary, Warning};
pub use arguments::Arguments;
pub use astro::{LongitudeSeries, Longitudes, SlowAngles};
pub use constants::{Constants, Harmonic, Port, PortSpec, Reduction};
pub use constituent::{Constituent, Definition};
pub use convention::{Argument, ArgumentClock, Convention, ConventionTerms, NodeEpoch};
pub use datum::{
    Datums, Shallow, Spring, SpringClock, SpringOrNeap, TIDAL_DAY_H, springs_and_neaps,
    without_shallow,
};
pub use dense::HeightTable;
pub use error::{Error, Likeness};
pub use grid::Grid;
pub use level::{Flow, LevelBand, LevelCrossing};
pub use nodal::{Formulas, Latitude, NodalParent, NodeFactor};
pub use predict::Predictor;
pub use record::Reading;
pub use residual::{
    INVERSE_BAROMETER_M_PER_HPA, Residual, ResidualSpec, STANDARD_PRESSURE_HPA, WaterBounds,
};
pub use secondary::{ClockDifference, SecondaryPort, SecondarySpec, SpringNeapHeights};
pub use selection::{AnalysisSpec, Inference, Selection};
pub use table::{LagReference, LengthUnit, constants_from_csv, constants_from_csv_by};
pub use turning::{Turn, TurnKind};
