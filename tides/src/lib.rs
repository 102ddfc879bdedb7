//! Heights and turning points of the tide from harmonic constants, and constants from readings.
//!
//! A port's tide is a sum of cosines, the harmonic constituents, whose arguments follow the moon and the sun. This crate looks the
//! constituents up, corrects them for the moon's 18.6-year cycle, adds them, and finds the turning points and level crossings
//! of the sum with a guarantee that none is missed.
//!
//! Start with [`Port`] and [`Predictor`]. Predictions leave out surge, wind, rain, waves and shifting channels.
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]

extern crate alloc;
#[cfg(test)]
extern crate std;

mod analysis;
mod arguments;
mod astro;
mod batch;
mod catalogue;
mod close;
mod compound;
mod constants;
mod constituent;
mod convention;
mod curve;
mod datum;
mod dense;
mod error;
mod grid;
mod level;
mod names;
mod nodal;
mod normal;
mod offices;
mod predict;
mod prepare;
mod record;
mod residual;
mod secondary;
mod selection;
mod spectrum;
mod table;
mod turning;
mod wave;

pub use analysis::{Analysis, FittedHarmonic, ResidualSummary, Warning};
pub use arguments::Arguments;
pub use astro::{LongitudeSeries, Longitudes};
pub use batch::RegularSeries;
pub use constants::{Harmonic, Port, PortSpec, Reduction};
pub use constituent::{Constituent, Definition};
pub use convention::{Argument, ArgumentClock, Convention, ConventionTerms, NodeEpoch};
pub use datum::{
    Datums, Shallow, SpringClock, SpringOrNeap, TIDAL_DAY_H, springs_and_neaps, without_shallow,
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

/// Compiles the examples of the README.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
pub struct Readme;
