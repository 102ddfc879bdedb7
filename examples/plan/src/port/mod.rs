//! The port: its file, its water, its constants from readings, its printed table.

mod between;
mod constants_csv;
mod convention;
mod curve;
mod form;
mod lags;
mod layouts;
mod phase;
mod printed;
pub mod readings;
mod told;
mod turns_csv;

pub use between::{CurveError, Shape};
pub use convention::{CONVENTIONS, convention, convention_name, convention_words};
pub use curve::TideCurve;
pub use form::{CsvExtras, DEMO, DEMO_NAME, PortFile, SHORT_RECORD_DAYS, short_record};
pub use lags::{LAG_WORDS, Lags, UNITS, unit};
pub use phase::Phase;
pub use printed::{CURVE_SHARE, LONGEST_GAP_H, PrintedSpec, PrintedTable};
pub use turns_csv::{RowProblem, is_a_table_of_turns};
