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
            let remedy = remedy.replace("--", "");
            refused(format!("{}: {what}; {remedy}", argument(option)))
        }
        Error::Name { option, unknown } => refused(format!("{}: {unknown}", argument(option))),
        error @ (Error::OtherRequest { .. } | Error::Foreign { .. }) => {
            refused(error.to_string().replace("--restart", "restart=True"))
        }
        error if error.is_input() => refused(error),
        error => PyOSError::new_err(error.to_string()),
    }
}

/// The argument that does what an option of the program does.
fn argument(option: &str) -> String {
    match option {
        "--from" => "start".to_owned(),
        "--to" => "end".to_owned(),
        "--sun-altitude" => "sun_altitude_deg".to_owned(),
        "--light-angle" => "light_angle_deg".to_owned(),
        other => other.trim_start_matches('-').replace('-', "_"),
    }
}
