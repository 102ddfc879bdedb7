//! Lists of a table: texts, pairs of numbers, profiles.

use toml::Spanned;

use super::{Table, number, spell};
use crate::scenario::bounds::Bound;
use crate::scenario::source::Located;

impl<'s> Table<'s, '_> {
    pub(in crate::scenario) fn texts(&self, key: &'static str) -> Vec<Located<'s>> {
        let Some(value) = self.get(key) else {
            return Vec::new();
        };
        let Some(array) = value.get_ref().as_array() else {
            self.wrong_type(key, value.get_ref(), "a list of texts");
            return Vec::new();
        };
        array
            .iter()
            .filter_map(|item| {
                let Some(text) = item.get_ref().as_str() else {
                    self.source.report(
                        &item.span(),
                        self.field(key),
                        format!("found {}", spell(item.get_ref())),
                        "give text in quotes",
                    );
                    return None;
                };
                Some(Located {
                    value: self.travels(key, &item.span(), text)?,
                    source: self.source,
                    span: item.span(),
                    field: self.field(key),
                })
            })
            .collect()
    }

    /// A table whose keys are names of the user's, each with a text.
    pub(in crate::scenario) fn named_texts(&self, key: &'static str) -> Vec<(String, String)> {
        let Some(table) = self.table(key) else {
            return Vec::new();
        };
        let named = table.table.iter().filter_map(|(name, value)| {
            let name = name.get_ref().to_string();
            let Some(text) = value.get_ref().as_str() else {
                self.source.report(
                    &value.span(),
                    table.field(&name),
                    format!("found {}", spell(value.get_ref())),
                    "give text in quotes",
                );
                return None;
            };
            Some((name, text.to_owned()))
        });
        named.collect()
    }

    /// A list of exactly two numbers.
    pub(in crate::scenario) fn pair(&self, key: &'static str, bound: Bound) -> Option<[f64; 2]> {
        let value = self.get(key)?;
        let pair = value
            .get_ref()
            .as_array()
            .filter(|array| array.len() == 2)
            .map(|array| array.iter().map(Spanned::get_ref).collect::<Vec<_>>());
        let Some(pair) = pair else {
            self.wrong_type(key, value.get_ref(), "a list of two numbers");
            return None;
        };
        Some([
            self.as_number(key, pair[0], bound)?,
            self.as_number(key, pair[1], bound)?,
        ])
    }

    /// A list of pairs of numbers, such as a profile of azimuth and altitude.
    pub(in crate::scenario) fn pairs(
        &self,
        key: &'static str,
        first: Bound,
        second: Bound,
    ) -> Vec<[f64; 2]> {
        let Some(value) = self.get(key) else {
            return Vec::new();
        };
        let wanted = "a list of pairs of numbers, such as [[90, 1.0], [110, 1.8]]";
        let Some(array) = value.get_ref().as_array() else {
            self.wrong_type(key, value.get_ref(), wanted);
            return Vec::new();
        };
        let mut out = Vec::new();
        for item in array.iter() {
            let pair = item
                .get_ref()
                .as_array()
                .filter(|pair| pair.len() == 2)
                .and_then(|pair| {
                    Some([
                        number(pair.first()?.get_ref())?,
                        number(pair.last()?.get_ref())?,
                    ])
                });
            match pair {
                Some([a, b]) if first.admits(a) && second.admits(b) => out.push([a, b]),
                Some([a, b]) => self.source.report(
                    &item.span(),
                    self.field(key),
                    format!("[{a}, {b}] is out of range"),
                    format!(
                        "give a first number {} and a second {}",
                        first.describe(),
                        second.describe()
                    ),
                ),
                None => self.source.report(
                    &item.span(),
                    self.field(key),
                    format!("found {}", spell(item.get_ref())),
                    format!("give {wanted}"),
                ),
            }
        }
        out
    }

    /// A pair whose first must be below its second.
    pub(in crate::scenario) fn ordered(&self, key: &'static str, bound: Bound) -> Option<[f64; 2]> {
        let [low, high] = self.pair(key, bound)?;
        if low >= high {
            self.report(
                key,
                format!("ends at {high}, before it starts at {low}"),
                "give the smaller number first",
            );
            return None;
        }
        Some([low, high])
    }

    /// A number, or the larger of a pair in order.
    pub(in crate::scenario) fn longest(&self, key: &'static str, bound: Bound) -> f64 {
        if self.is_list(key) {
            self.ordered(key, bound).map_or(1.0, |[_, long]| long)
        } else {
            self.number(key, bound)
        }
    }
}
