//! Why a table cannot be made, or not be finished.

use std::io;
use std::path::PathBuf;

use wrackline_plan::scenario::Problems;
use wrackline_plan::words::Unknown;

use wrackline_files::target::in_words;

/// Why a table cannot be made, or not be finished.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// Files that cannot be worked with: every problem in them, each with file, line and field.
    #[error("{0}")]
    Input(#[from] Problems),
    /// A value on the command line that cannot be worked with.
    #[error("{option}: {what}; {remedy}")]
    Option {
        /// The option it came with.
        option: &'static str,
        /// What is wrong, with the offending value.
        what: String,
        /// What to do about it.
        remedy: String,
    },
    /// A name on the command line that the scenario does not have.
    #[error("{option}: {unknown}")]
    Name {
        /// The option it came with.
        option: &'static str,
        /// The name, and what could be meant.
        unknown: Unknown,
    },
    /// A place whose tide cannot be predicted for these instants.
    #[error("{place}: {source}")]
    Tide {
        /// The place.
        place: String,
        /// Why.
        source: Box<wrackline_tides::Error>,
    },
    /// A place whose sky or water cannot be prepared for these instants.
    #[error("{place}: {source}")]
    Almanac {
        /// The place.
        place: String,
        /// Why.
        source: Box<wrackline_plan::windows::AlmanacError>,
    },
    /// The output holds the unfinished table of another request.
    #[error(
        "{} is the unfinished part of another table: finish that one with its own request, or \
         give --restart to throw it away", path.display()
    )]
    OtherRequest {
        /// The unfinished part.
        path: PathBuf,
    },
    /// A file of the name of an unfinished table that no run has written.
    #[error(
        "{} is not an unfinished table: name it otherwise, choose another output, or give \
         --restart to throw it away", path.display()
    )]
    Foreign {
        /// The file.
        path: PathBuf,
    },
    /// Another run is writing the same output.
    #[error("{} is being written by another run; wait for it or choose another \
        output", path.display())]
    Busy {
        /// The unfinished part.
        path: PathBuf,
    },
    /// The output cannot be written. What was finished is kept if the output is a file.
    #[error(
        "cannot write {target}: {}; {finished} of {groups} row groups are written{}",
        in_words(source),
        if *kept { ", and kept: give the same command again to go on from there" } else { "" }
    )]
    Write {
        /// The output.
        target: String,
        /// Row groups written whole.
        finished: usize,
        /// Row groups in all.
        groups: usize,
        /// Whether they are kept for another run.
        kept: bool,
        /// What the system said.
        source: io::Error,
    },
    /// The encoder of the output format refused, which no input should bring about.
    #[error("cannot encode the table: {0}")]
    Encode(String),
}

impl Error {
    /// Whether the input is at fault, rather than the output.
    pub fn is_input(&self) -> bool {
        !matches!(
            self,
            Self::Write { .. } | Self::Encode(_) | Self::Busy { .. }
        )
    }

    pub(super) fn option(
        option: &'static str,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self::Option {
            option,
            what: what.into(),
            remedy: remedy.into(),
        }
    }
}

/// What an encoder refused.
pub(super) fn encode_error(error: impl std::fmt::Display) -> Error {
    Error::Encode(error.to_string())
}
