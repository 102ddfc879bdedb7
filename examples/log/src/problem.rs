//! What is wrong with an input, said so that it can be put right.

use std::fmt;

#[cfg(feature = "store")]
pub(crate) use wrackline_plan::words::echo;
use wrackline_plan::words::remedy;

/// One thing wrong with one field of one entry. A scenario's problem has a file and a column; an
/// entry comes as often from flags or answers as from a file, so it has a line at most, and whoever
/// took it in names the source once for all of its problems.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Line of the file, counted from 1, where there is a file.
    pub line: Option<u64>,
    /// The field.
    pub field: String,
    /// What is wrong and what to do.
    pub message: String,
}

impl Problem {
    /// A problem not yet tied to a line.
    pub fn new(field: impl Into<String>, message: String) -> Problem {
        Problem {
            line: None,
            field: field.into(),
            message,
        }
    }

    /// The same problem on a line of a file.
    pub fn on_line(mut self, line: u64) -> Problem {
        self.line = Some(line);
        self
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}, ")?;
        }
        write!(f, "{}: {}", self.field, self.message)
    }
}

impl std::error::Error for Problem {}

/// What could be meant by a word that is not known, as the end of a message.
pub fn closest(text: &str, known: &[&str]) -> String {
    remedy(text, known.iter().copied()).map_or_else(String::new, |remedy| format!("; {remedy}"))
}
