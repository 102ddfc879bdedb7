//! Records of named fields, and the problems found in them.

use std::fmt::Display;
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::str::FromStr;

use crate::error::Error;
use wrackline_files::texts;
use wrackline_plan::scenario::{Problem, Problems};
use wrackline_plan::words;

/// One line of a CSV file or one feature of a GeoJSON file.
#[derive(Clone, Debug, Default)]
pub(super) struct Record {
    /// Where it starts, counted from 1.
    pub(super) line: usize,
    /// Fields that are not empty.
    pub(super) fields: Vec<(Rc<str>, String)>,
}

impl Record {
    pub(super) fn get(&self, name: &str) -> Option<&str> {
        self.fields
            .iter()
            .find(|(known, _)| **known == *name)
            .map(|(_, value)| value.as_str())
    }
}

/// One file's text and what was found wrong in it.
#[derive(Debug)]
pub(super) struct Reader {
    file: PathBuf,
    pub(super) text: String,
    problems: Vec<Problem>,
}

/// The text of a file, read already.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Text {
    /// What messages call it; for places its ending tells the format.
    pub name: PathBuf,
    /// What is in it.
    pub text: String,
}

impl Text {
    /// Reads a file, or standard input for `-`.
    ///
    /// # Errors
    /// A file that cannot be read, with what to do.
    pub fn read(path: &Path, remedy: &str) -> Result<Self, Error> {
        let text = if path.as_os_str() == "-" {
            std::io::read_to_string(std::io::stdin())
        } else {
            texts::read(path)
        };
        let text =
            text.map_err(|error| Problems::one(path, format!("cannot be read: {error}"), remedy))?;
        Ok(Self {
            name: path.to_owned(),
            text,
        })
    }
}

impl Reader {
    pub(super) fn new(text: Text) -> Self {
        let Text { name: file, text } = text;
        Self {
            file,
            text: text
                .strip_prefix('\u{feff}')
                .map_or(text.clone(), str::to_owned),
            problems: Vec::new(),
        }
    }

    pub(super) fn report(
        &mut self,
        line: usize,
        field: &str,
        what: impl Display,
        remedy: impl Display,
    ) {
        self.problems.push(Problem {
            file: self.file.clone(),
            line,
            column: 1,
            field: field.to_owned(),
            what: what.to_string(),
            remedy: remedy.to_string(),
        });
    }

    /// Ends reading: nothing is worked with unless all is well.
    pub(super) fn finish(self) -> Result<(), Error> {
        Problems::collect(self.problems).map_or(Ok(()), |problems| Err(problems.into()))
    }

    /// The records of the text as CSV with a header of known names.
    pub(super) fn csv_records(&mut self, known: &[&str]) -> Vec<Record> {
        let text = std::mem::take(&mut self.text);
        let mut csv = csv::ReaderBuilder::new()
            .trim(csv::Trim::All)
            .comment(Some(b'#'))
            .from_reader(text.as_bytes());
        let header = match csv.headers() {
            Ok(header) => header.clone(),
            Err(error) => {
                self.report(1, "", error, "write CSV in UTF-8");
                return Vec::new();
            }
        };
        let line = header.position().map_or(1, |at| at.line() as usize);
        for (index, name) in header.iter().enumerate() {
            self.check_name(line, name, known);
            if header.iter().take(index).any(|before| before == name) {
                self.report(line, name, "stands twice in the header", "keep one");
            }
        }
        // Each record names its fields, but the names are there once.
        let names: Vec<Rc<str>> = header.iter().map(Rc::from).collect();
        let mut records = Vec::new();
        for record in csv.records() {
            match record {
                Ok(record) => records.push(Record {
                    line: record.position().map_or(line, |at| at.line() as usize),
                    fields: names
                        .iter()
                        .zip(&record)
                        .filter(|(_, value)| !value.is_empty())
                        .map(|(name, value)| (Rc::clone(name), value.to_owned()))
                        .collect(),
                }),
                Err(error) => {
                    let at = error.position().map_or(line, |at| at.line() as usize);
                    let what = match error.kind() {
                        csv::ErrorKind::UnequalLengths {
                            expected_len, len, ..
                        } => format!("has {len} fields, the header {expected_len}"),
                        _ => error.to_string(),
                    };
                    self.report(at, "", what, "mend the line");
                }
            }
        }
        records
    }

    /// Reports a field that is not known: a misspelt name must not pass in silence.
    pub(super) fn check_name(&mut self, line: usize, name: &str, known: &[&str]) {
        if known.contains(&name) {
            return;
        }
        let remedy = words::remedy(name, known.iter().copied());
        let remedy = remedy.unwrap_or_else(|| "take it out: no field is known here".to_owned());
        self.report(line, name, "is not a known field", remedy);
    }

    pub(super) fn text(&mut self, record: &Record, name: &str) -> String {
        record.get(name).map(str::to_owned).unwrap_or_else(|| {
            self.report(record.line, name, "is missing", "fill it in");
            String::new()
        })
    }

    /// A number that may be left out.
    pub(super) fn number(
        &mut self,
        record: &Record,
        name: &str,
        range: RangeInclusive<f64>,
    ) -> Option<f64> {
        let text = record.get(name)?;
        let remedy = format!("give a number from {} to {}", range.start(), range.end());
        match f64::from_str(text) {
            Ok(value) if range.contains(&value) => Some(value),
            Ok(value) => {
                self.report(
                    record.line,
                    name,
                    format!("{value} is out of range"),
                    remedy,
                );
                None
            }
            Err(_) => {
                self.report(
                    record.line,
                    name,
                    format!("\"{text}\" is not a number"),
                    remedy,
                );
                None
            }
        }
    }

    /// A number that must be there; the lower end of the range stands in after a problem.
    pub(super) fn needed_number(
        &mut self,
        record: &Record,
        name: &str,
        range: RangeInclusive<f64>,
    ) -> f64 {
        if record.get(name).is_none() {
            self.report(
                record.line,
                name,
                "is missing",
                format!("give a number from {} to {}", range.start(), range.end()),
            );
        }
        let lowest = *range.start();
        self.number(record, name, range).unwrap_or(lowest)
    }
}
