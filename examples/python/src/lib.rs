//! The libraries, a season and the tables from Python.
//!
//! Here values only change their form: instants and arrays on the way in, named tuples and arrays
//! on the way out. Whatever computes runs without the interpreter's lock.

mod analysis;
mod errors;
mod instants;
mod kit;
mod observer;
mod port;
mod results;
mod scenario;
mod table;
mod units;

use pyo3::prelude::*;

/// The compiled part of the package `wrackline`.
#[pymodule]
mod _native {
    use super::*;

    #[pymodule_export]
    use super::analysis::analyse;
    #[pymodule_export]
    use super::kit::{Kit, judge_reach};
    #[pymodule_export]
    use super::observer::Observer;
    #[pymodule_export]
    use super::port::Port;
    #[pymodule_export]
    use super::scenario::{Scenario, season};
    #[pymodule_export]
    use super::table::{PartOfTable, TableSchema, VisibilityTable};

    #[pymodule_init]
    fn init(module: &Bound<'_, PyModule>) -> PyResult<()> {
        module.add("__version__", env!("CARGO_PKG_VERSION"))
    }
}
