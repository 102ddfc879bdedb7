//! The port: its file, its water, its constants from readings.

mod curve;
mod form;
pub mod readings;

pub use curve::TideCurve;
pub use form::{CsvExtras, DEMO, DEMO_NAME, PortFile, convention_name};
