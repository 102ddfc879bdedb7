//! Single values of a table: numbers, texts, words of a closed list.

use std::ops::{Range, RangeInclusive};

use toml::de::DeValue;

use super::{Table, number};
use crate::scenario::bounds::Bound;
use crate::scenario::text::does_not_travel;

impl Table<'_, '_> {
    pub(in crate::scenario) fn optional_number(
        &self,
        key: &'static str,
        bound: Bound,
    ) -> Option<f64> {
        let value = self.get(key)?;
        self.as_number(key, value.get_ref(), bound)
    }

    pub(super) fn as_number(
        &self,
        key: &'static str,
        value: &DeValue<'_>,
        bound: Bound,
    ) -> Option<f64> {
        let wanted = || format!("a number {}", bound.describe());
        let Some(x) = number(value) else {
            self.wrong_type(key, value, &wanted());
            return None;
        };
        if !bound.admits(x) {
            self.report(
                key,
                format!("{x} is out of range"),
                format!("give {}", wanted()),
            );
            return None;
        }
        Some(x)
    }

    pub(in crate::scenario) fn number_or(
        &self,
        key: &'static str,
        bound: Bound,
        default: f64,
    ) -> f64 {
        self.optional_number(key, bound).unwrap_or(default)
    }

    /// A number that must be there. The placeholder after a problem is the upper end of the bound.
    pub(in crate::scenario) fn number(&self, key: &'static str, bound: Bound) -> f64 {
        if !self.has(key) {
            self.missing(key, &format!("a number {}", bound.describe()));
        }
        self.optional_number(key, bound).unwrap_or(match bound {
            Bound::Within(_, high) | Bound::AboveUpTo(_, high) => high,
        })
    }

    pub(in crate::scenario) fn integer(
        &self,
        key: &'static str,
        range: RangeInclusive<i64>,
    ) -> Option<i64> {
        let value = self.get(key)?;
        let wanted = format!("a whole number from {} to {}", range.start(), range.end());
        let Some(n) = value
            .get_ref()
            .as_integer()
            .and_then(|n| i64::from_str_radix(n.as_str(), n.radix()).ok())
        else {
            self.wrong_type(key, value.get_ref(), &wanted);
            return None;
        };
        if !range.contains(&n) {
            self.report(
                key,
                format!("{n} is out of range"),
                format!("give {wanted}"),
            );
            return None;
        }
        Some(n)
    }

    pub(in crate::scenario) fn optional_text(&self, key: &'static str) -> Option<String> {
        let value = self.get(key)?;
        let Some(text) = value.get_ref().as_str() else {
            self.wrong_type(key, value.get_ref(), "text in quotes");
            return None;
        };
        if text.trim().is_empty() {
            self.report(key, "is empty", "write something or leave the line out");
            return None;
        }
        self.travels(key, &value.span(), text)
    }

    /// A text that can go into everything that is printed, or the problem with it.
    pub(super) fn travels(&self, key: &str, span: &Range<usize>, text: &str) -> Option<String> {
        if let Some(what) = does_not_travel(text) {
            self.source
                .report(span, self.field(key), what, "write it in one plain line");
            return None;
        }
        Some(text.to_owned())
    }

    pub(in crate::scenario) fn text(&self, key: &'static str) -> String {
        if !self.has(key) {
            self.missing(key, "text in quotes");
        }
        self.optional_text(key).unwrap_or_default()
    }

    pub(in crate::scenario) fn flag_or(&self, key: &'static str, default: bool) -> bool {
        let Some(value) = self.get(key) else {
            return default;
        };
        value.get_ref().as_bool().unwrap_or_else(|| {
            self.wrong_type(key, value.get_ref(), "true or false");
            default
        })
    }

    /// One of a closed list of words.
    pub(in crate::scenario) fn choice<T: Copy>(
        &self,
        key: &'static str,
        choices: &[(&str, T)],
    ) -> Option<T> {
        let text = self.optional_text(key)?;
        let found = choices.iter().find(|(word, _)| *word == text);
        if found.is_none() {
            let words: Vec<_> = choices
                .iter()
                .map(|(word, _)| format!("\"{word}\""))
                .collect();
            self.report(
                key,
                format!("\"{text}\" is not known here"),
                format!("give {}", words.join(" or ")),
            );
        }
        found.map(|(_, value)| *value)
    }
}
