//! What is wrong with an input, said so that it can be put right.

use std::fmt;

use wrackline_plan::words::nearest;

/// One thing wrong with one field of one line.
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

/// How many characters of an input a message gives back.
const ECHOED: usize = 40;

/// An input as a message gives it back: a line of a whole file in one field is not repeated whole.
pub(crate) fn echo(text: &str) -> String {
    let mut shown: String = text.chars().take(ECHOED).collect();
    if shown.len() < text.len() {
        shown.push('…');
    }
    shown
}

/// "; did you mean 'x'?" when a known word is near, else "; known: ...".
pub fn closest(text: &str, known: &[&str]) -> String {
    match nearest(text, known.iter().copied()) {
        Some(word) => format!("; did you mean '{word}'?"),
        None if known.is_empty() => String::new(),
        None => format!("; known: {}", known.join(", ")),
    }
}
