//! A reader over parsed TOML that notes every problem with its place instead of stopping at the
//! first.
//!
//! A getter that finds something wrong records the problem and returns a placeholder, so that
//! reading goes on. Whoever reads must throw the result away when [`Source::problems`] is not
//! empty; `scenario::parse` is the one place that does.

mod lists;
mod values;

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::source::{Located, Mark, Source};
use crate::words::remedy;

/// One table of a file, with the fields that were asked for so far.
pub(super) struct Table<'s, 'i> {
    source: &'s Source,
    table: &'s DeTable<'i>,
    span: Range<usize>,
    path: String,
    asked: RefCell<BTreeSet<&'static str>>,
}

impl<'s, 'i> Table<'s, 'i> {
    pub(super) fn root(source: &'s Source, document: &'s Spanned<DeTable<'i>>) -> Self {
        Self {
            source,
            table: document.get_ref(),
            span: 0..0,
            path: String::new(),
            asked: RefCell::default(),
        }
    }

    pub(super) fn source(&self) -> &'s Source {
        self.source
    }

    /// The place of the table itself, for what is missing from it.
    pub(super) fn here(&self) -> Range<usize> {
        self.span.clone()
    }

    pub(super) fn field(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_owned()
        } else {
            format!("{} > {key}", self.path)
        }
    }

    /// Notes a problem with `key`, at its value where it has one.
    pub(super) fn report(
        &self,
        key: &'static str,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        let span = self.get(key).map_or_else(|| self.here(), Spanned::span);
        self.source.report(&span, self.field(key), what, remedy);
    }

    /// Notes what is implausible about `key`.
    pub(super) fn warn(&self, key: &str, what: impl Into<String>, remedy: impl Into<String>) {
        self.mark().warn(key, what, remedy);
    }

    fn get(&self, key: &'static str) -> Option<&'s Spanned<DeValue<'i>>> {
        self.asked.borrow_mut().insert(key);
        self.table
            .iter()
            .find(|(name, _)| name.get_ref().as_ref() == key)
            .map(|(_, value)| value)
    }

    pub(super) fn is_list(&self, key: &'static str) -> bool {
        self.get(key)
            .is_some_and(|value| value.get_ref().is_array())
    }

    pub(super) fn has(&self, key: &'static str) -> bool {
        self.get(key).is_some()
    }

    /// A name that is looked up when all are known; empty where it is missing, which is reported.
    pub(super) fn reference(&self, key: &'static str) -> Located<'s> {
        let value = self.text(key);
        self.locate(key, value)
    }

    /// The same where it may be left out.
    pub(super) fn optional_reference(&self, key: &'static str) -> Option<Located<'s>> {
        self.optional_text(key).map(|text| self.locate(key, text))
    }

    fn locate(&self, key: &'static str, value: String) -> Located<'s> {
        Located {
            value,
            source: self.source,
            span: self.get(key).map_or_else(|| self.here(), Spanned::span),
            field: self.field(key),
        }
    }

    /// Where this table stands, for what is judged when the whole scenario is known.
    pub(super) fn mark(&self) -> Mark<'s> {
        let fields = self.table.iter();
        Mark {
            source: self.source,
            span: self.here(),
            path: self.path.clone(),
            fields: fields
                .map(|(name, value)| (name.get_ref().as_ref().to_owned(), value.span()))
                .collect(),
        }
    }

    fn wrong_type(&self, key: &'static str, value: &DeValue<'_>, wanted: &str) {
        self.report(
            key,
            format!("found {}", spell(value)),
            format!("give {wanted}"),
        );
    }

    fn missing(&self, key: &'static str, wanted: &str) {
        self.source.report(
            &self.span,
            self.field(key),
            "is missing",
            format!("add `{key} = ...`, {wanted}"),
        );
    }

    /// A table that may be left out.
    pub(super) fn table(&self, key: &'static str) -> Option<Table<'s, 'i>> {
        let value = self.get(key)?;
        let Some(table) = value.get_ref().as_table() else {
            self.wrong_type(key, value.get_ref(), &format!("a table, [{key}]"));
            return None;
        };
        Some(Table {
            source: self.source,
            table,
            span: value.span(),
            path: self.field(key),
            asked: RefCell::default(),
        })
    }

    /// An array of tables that may be left out; each is named by its `id` or `name` in messages.
    pub(super) fn tables(&self, key: &'static str) -> Vec<Table<'s, 'i>> {
        let Some(value) = self.get(key) else {
            return Vec::new();
        };
        if value.get_ref().is_table() {
            self.report(
                key,
                format!("[{key}] in single brackets, and there may be several"),
                format!("head each of them with double brackets: [[{key}]]"),
            );
            // Read all the same, so that names that are used elsewhere are known.
            return self.numbered(key, 0, value).into_iter().collect();
        }
        let Some(array) = value.get_ref().as_array() else {
            self.wrong_type(key, value.get_ref(), &format!("tables headed [[{key}]]"));
            return Vec::new();
        };
        let rows = array.iter().enumerate();
        rows.filter_map(|(index, item)| self.numbered(key, index, item))
            .collect()
    }

    /// One of an array of tables.
    fn numbered(
        &self,
        key: &'static str,
        index: usize,
        item: &'s Spanned<DeValue<'i>>,
    ) -> Option<Table<'s, 'i>> {
        let Some(table) = item.get_ref().as_table() else {
            self.source.report(
                &item.span(),
                self.field(key),
                format!("found {}", spell(item.get_ref())),
                format!("give tables headed [[{key}]]"),
            );
            return None;
        };
        let name = ["id", "name", "place", "seat", "subject"].iter();
        let name = name.copied().find_map(|wanted| {
            table
                .iter()
                .find(|(name, _)| name.get_ref().as_ref() == wanted)
                .and_then(|(_, value)| value.get_ref().as_str())
        });
        let label = match name {
            Some(name) => format!("{key} \"{name}\""),
            None => format!("{key} {}", index + 1),
        };
        Some(Table {
            source: self.source,
            table,
            span: item.span(),
            path: self.field(&label),
            asked: RefCell::default(),
        })
    }

    /// Reports the fields that nobody asked for: a misspelt name must not pass in silence.
    pub(super) fn finish(self) {
        let asked = self.asked.borrow();
        for (name, _) in self.table {
            let key = name.get_ref().as_ref();
            if asked.contains(key) {
                continue;
            }
            let remedy = remedy(key, asked.iter().copied())
                .unwrap_or_else(|| "take it out: no field is known here".to_owned());
            self.source.report(
                &name.span(),
                self.field(key),
                "is not a known field",
                remedy,
            );
        }
    }
}

fn number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(n) => i64::from_str_radix(n.as_str(), n.radix())
            .ok()
            .map(|n| n as f64),
        DeValue::Float(x) => x.as_str().parse().ok(),
        _ => None,
    }
}

fn spell(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(text) => format!("the text \"{text}\""),
        DeValue::Integer(n) => format!("the whole number {}", n.as_str()),
        DeValue::Float(x) => format!("the number {}", x.as_str()),
        DeValue::Boolean(flag) => format!("{flag}"),
        DeValue::Datetime(instant) => format!("the date {instant}"),
        DeValue::Array(array) => format!("a list of {}", array.len()),
        DeValue::Table(_) => "a table".to_owned(),
    }
}
