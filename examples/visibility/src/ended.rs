//! Why the program ends early: a table's own reasons among those of all programs.

use std::io;

use wrackline_plan::scenario::Problems;
use wrackline_programs::cli::Failure;
use wrackline_table::Error;

/// A reason to end early.
#[derive(Debug)]
pub(crate) struct Ended(Failure);

impl Ended {
    /// As all programs have it.
    pub(crate) fn failure(self) -> Failure {
        self.0
    }
}

impl From<Error> for Ended {
    fn from(error: Error) -> Self {
        Self(match error {
            Error::Write { source, .. } if source.kind() == io::ErrorKind::BrokenPipe => {
                Failure::Output(source)
            }
            error if error.is_input() => Failure::input(error),
            error => Failure::Unwritten(error.to_string()),
        })
    }
}

impl From<Failure> for Ended {
    fn from(failure: Failure) -> Self {
        Self(failure)
    }
}

impl From<Problems> for Ended {
    fn from(problems: Problems) -> Self {
        Self(problems.into())
    }
}

impl From<io::Error> for Ended {
    fn from(error: io::Error) -> Self {
        Self(error.into())
    }
}
