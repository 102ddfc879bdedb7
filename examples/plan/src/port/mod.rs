//! The port: its file, its water, its constants from readings.

mod convention;
mod curve;
mod form;
mod phase;
pub mod readings;

pub use convention::{CONVENTIONS, convention, convention_name, convention_words};
pub use curve::TideCurve;
pub use form::{CsvExtras, DEMO, DEMO_NAME, PortFile, SHORT_RECORD_DAYS, short_record};
pub use phase::Phase;
