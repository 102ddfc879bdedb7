//! Errors of the libraries as exceptions.

use pyo3::PyErr;
use pyo3::exceptions::{PyOSError, PyValueError};
use wrackline_table::Error;

/// What a library refused, in its own words.
pub(crate) fn refused(error: impl std::fmt::Display) -> PyErr {
    PyValueError::new_err(error.to_string())
}

/// What keeps a table from being made or written. The options of the program are arguments here.
pub(crate) fn of_table(error: Error) -> PyErr {
    match error {
        Error::Option {
            option,
            what,
            remedy,
        } => {
            let name = match option {
                "--from" => "start",
                "--to" => "end",
                "--sun-altitude" => "sun_altitude_deg",
                "--light-angle" => "light_angle_deg",
                other => other.trim_start_matches('-'),
            };
            let remedy = remedy.replace("--", "");
            PyValueError::new_err(format!("{}: {what}; {remedy}", name.replace('-', "_")))
        }
        // The same remedy, by the argument's name.
        error @ Error::OtherRequest { .. } => {
            let told = error.to_string().replace("--restart", "restart=True");
            PyValueError::new_err(told)
        }
        error if error.is_input() => PyValueError::new_err(error.to_string()),
        error => PyOSError::new_err(error.to_string()),
    }
}
