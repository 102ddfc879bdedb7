//! What is wrong with a scenario: every problem at once, each with its place and its remedy.

use core::fmt;
use std::path::{Path, PathBuf};

/// One thing wrong in a scenario file.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Problem {
    /// The file it stands in, as it was named on the command line or in an `include`.
    pub file: PathBuf,
    /// Line, counted from 1.
    pub line: usize,
    /// Column in characters, counted from 1.
    pub column: usize,
    /// The field, as a path such as `seat "A" > distance_m`; empty for the file as a whole.
    pub field: String,
    /// What is wrong, with the offending value.
    pub what: String,
    /// What to do about it.
    pub remedy: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}:{}: ", self.file.display(), self.line, self.column)?;
        if !self.field.is_empty() {
            write!(f, "{}: ", self.field)?;
        }
        write!(f, "{}; {}", self.what, self.remedy)
    }
}

/// What is implausible in a scenario file and not wrong, in the shape of a problem.
pub type Warning = Problem;

/// Sorts what was found as it stands in the files, each once.
pub(super) fn in_order(list: &mut Vec<Problem>) {
    list.sort_by(|a, b| (&a.file, a.line, a.column).cmp(&(&b.file, b.line, b.column)));
    list.dedup();
}

/// All problems of a scenario, in the order in which they stand in the files. Never empty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problems(Vec<Problem>);

impl Problems {
    /// `None` when there is nothing wrong.
    pub fn collect(mut list: Vec<Problem>) -> Option<Self> {
        in_order(&mut list);
        (!list.is_empty()).then_some(Self(list))
    }

    /// A single problem of a file as a whole.
    pub fn one(file: &Path, what: String, remedy: &str) -> Self {
        Self(vec![Problem {
            file: file.to_owned(),
            line: 1,
            column: 1,
            field: String::new(),
            what,
            remedy: remedy.to_owned(),
        }])
    }

    /// The problems, at least one.
    pub fn iter(&self) -> impl Iterator<Item = &Problem> {
        self.0.iter()
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for problem in &self.0 {
            writeln!(f, "{problem}")?;
        }
        match self.0.len() {
            1 => write!(f, "1 problem: nothing was computed"),
            n => write!(f, "{n} problems: nothing was computed"),
        }
    }
}

impl std::error::Error for Problems {}
