//! One file's text, what was found in it, and places in it that outlive the reading.

use std::cell::RefCell;
use std::ops::Range;
use std::path::{Path, PathBuf};

use super::problem::Problem;
use super::text::visible;
use crate::port::RowProblem;

/// One file's text, what is wrong in it, and what is only implausible.
pub(super) struct Source {
    file: PathBuf,
    text: String,
    problems: RefCell<Vec<Problem>>,
    warnings: RefCell<Vec<Problem>>,
    tables: RefCell<Vec<Attached>>,
}

/// A table that a file names beside itself, loaded with the scenario: what it is called, and its
/// text or why there is none.
pub(super) type Attached = (PathBuf, Result<String, String>);

impl Source {
    pub(super) fn new(file: PathBuf, text: String) -> Self {
        Self {
            file,
            text,
            problems: RefCell::default(),
            warnings: RefCell::default(),
            tables: RefCell::default(),
        }
    }

    pub(super) fn attach(&self, table: Attached) {
        self.tables.borrow_mut().push(table);
    }

    /// The table of a name, relative to this file.
    pub(super) fn attached(&self, name: &str) -> Option<Attached> {
        let path = self.beside(name);
        let tables = self.tables.borrow();
        tables.iter().find(|(known, _)| *known == path).cloned()
    }

    /// The path of what this file names relative to its own folder.
    pub(super) fn beside(&self, name: &str) -> PathBuf {
        let folder = self.file.parent().unwrap_or(Path::new(""));
        folder.join(name)
    }

    /// Notes what is wrong in a table that this file names.
    pub(super) fn report_in_table(&self, file: PathBuf, row: &RowProblem) {
        self.problems.borrow_mut().push(Problem {
            file,
            line: row.line,
            column: 1,
            field: String::new(),
            what: visible(&row.what).into_owned(),
            remedy: visible(&row.remedy).into_owned(),
        });
    }

    pub(super) fn text(&self) -> &str {
        &self.text
    }

    pub(super) fn file(&self) -> &PathBuf {
        &self.file
    }

    pub(super) fn problems(&self) -> Vec<Problem> {
        self.problems.borrow().clone()
    }

    pub(super) fn warnings(&self) -> Vec<Problem> {
        self.warnings.borrow().clone()
    }

    pub(super) fn report(
        &self,
        span: &Range<usize>,
        field: String,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        let problem = self.found(span, field, what.into(), remedy.into());
        self.problems.borrow_mut().push(problem);
    }

    fn found(&self, span: &Range<usize>, field: String, what: String, remedy: String) -> Problem {
        let before = &self.text[..self.text.floor_char_boundary(span.start)];
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        Problem {
            file: self.file.clone(),
            line: before.matches('\n').count() + 1,
            column: before[line_start..].chars().count() + 1,
            field: visible(&field).into_owned(),
            what: visible(&what).into_owned(),
            remedy: visible(&remedy).into_owned(),
        }
    }
}

/// A text together with the place where it was written: a name to be looked up when all are known.
#[derive(Clone)]
pub(super) struct Located<'s> {
    pub value: String,
    pub source: &'s Source,
    pub span: Range<usize>,
    pub field: String,
}

impl Located<'_> {
    pub(super) fn report(&self, what: impl Into<String>, remedy: impl Into<String>) {
        self.source
            .report(&self.span, self.field.clone(), what, remedy);
    }
}

/// Where a table and its fields stand, for what can be judged only when the whole scenario is
/// known.
#[derive(Clone)]
pub(super) struct Mark<'s> {
    pub(super) source: &'s Source,
    pub(super) span: Range<usize>,
    pub(super) path: String,
    pub(super) fields: Vec<(String, Range<usize>)>,
}

impl Mark<'_> {
    /// Whether the table has a field.
    pub(super) fn has(&self, key: &str) -> bool {
        self.fields.iter().any(|(name, _)| name == key)
    }

    /// Notes a problem with a field of it, or with the table where it has no such field.
    pub(super) fn problem(&self, key: &str, what: impl Into<String>, remedy: impl Into<String>) {
        let found = self.found(key, what.into(), remedy.into());
        self.source.problems.borrow_mut().push(found);
    }

    /// Notes what is implausible about a field of it: the scenario is good all the same.
    pub(super) fn warn(&self, key: &str, what: impl Into<String>, remedy: impl Into<String>) {
        let found = self.found(key, what.into(), remedy.into());
        self.source.warnings.borrow_mut().push(found);
    }

    /// How another table speaks of a field of this one: by its line, and by its file where that is
    /// another.
    pub(super) fn line_seen_from(&self, other: &Mark<'_>, key: &str) -> String {
        let found = self.found(key, String::new(), String::new());
        if self.source.file == other.source.file {
            format!("line {}", found.line)
        } else {
            format!("{}:{}", found.file.display(), found.line)
        }
    }

    fn found(&self, key: &str, what: String, remedy: String) -> Problem {
        let at = self.fields.iter().find(|(name, _)| name == key);
        let span = at.map_or(&self.span, |(_, span)| span);
        let field = match (self.path.is_empty(), key.is_empty()) {
            (true, _) => key.to_owned(),
            (false, true) => self.path.clone(),
            (false, false) => format!("{} > {key}", self.path),
        };
        self.source.found(span, field, what, remedy)
    }
}
