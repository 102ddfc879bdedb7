//! A figure set in the text of a scenario, everything else left as it was written.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::figure::{Figure, Table};
use crate::texts::Texts;

/// Sets a figure. False where no text could be found that says it.
pub(super) fn set(texts: &mut Texts, figure: &Figure, value: f64) -> bool {
    let written = texts.files().iter().enumerate().find_map(|(at, file)| {
        let text = in_its_place(&file.text, figure, value)?;
        Some((at, text))
    });
    // A table that nobody has written yet is the last of the scenario.
    let written = written.or_else(|| {
        let text = in_a_table_of_its_own(&texts.files().first()?.text, figure, value)?;
        Some((0, text))
    });
    let Some((at, text)) = written else {
        return false;
    };
    match texts.text_mut(at) {
        Some(place) => {
            *place = text;
            true
        }
        None => false,
    }
}

/// The text with the figure replaced, or set before another field of its table.
fn in_its_place(text: &str, figure: &Figure, value: f64) -> Option<String> {
    let document = DeTable::parse(text).ok()?;
    let table = table_of(document.get_ref(), figure)?;
    if let Some(old) = table.get(figure.field) {
        let span = old.span();
        let mut new = text.to_owned();
        new.get(span.clone())?;
        new.replace_range(span, &value.to_string());
        return says(&new, figure, value).then_some(new);
    }
    let mut fields: Vec<usize> = table.iter().map(|(key, _)| key.span().start).collect();
    fields.sort_unstable();
    // Whether the table is written over lines or in one is told by trying.
    fields.into_iter().find_map(|at| {
        ["\n", ", "].into_iter().find_map(|between| {
            let mut new = text.to_owned();
            new.get(at..)?;
            new.insert_str(at, &format!("{} = {value}{between}", figure.field));
            says(&new, figure, value).then_some(new)
        })
    })
}

fn in_a_table_of_its_own(text: &str, figure: &Figure, value: f64) -> Option<String> {
    let alone = matches!(figure.table, Table::Water | Table::Habits);
    let (key, field) = (figure.table.key(), figure.field);
    let new = format!("{}\n\n[{key}]\n{field} = {value}\n", text.trim_end());
    (alone && says(&new, figure, value)).then_some(new)
}

/// Whether a text says that a figure is this.
fn says(text: &str, figure: &Figure, value: f64) -> bool {
    let Ok(document) = DeTable::parse(text) else {
        return false;
    };
    let table = table_of(document.get_ref(), figure);
    let said = table.and_then(|table| table.get(figure.field));
    said.and_then(|said| number(said.get_ref())) == Some(value)
}

fn number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(whole) => whole.as_str().parse().ok(),
        DeValue::Float(real) => real.as_str().parse().ok(),
        _ => None,
    }
}

fn table_of<'t, 'i>(document: &'t DeTable<'i>, figure: &Figure) -> Option<&'t DeTable<'i>> {
    let found = document.get(figure.table.key()).map(Spanned::get_ref)?;
    match (found, &figure.of) {
        (DeValue::Table(table), None) => Some(table),
        (DeValue::Array(list), Some(of)) => list.iter().find_map(|one| {
            let DeValue::Table(table) = one.get_ref() else {
                return None;
            };
            let id = table.get("id").map(Spanned::get_ref)?;
            matches!(id, DeValue::String(id) if id.as_ref() == of.as_str()).then_some(table)
        }),
        _ => None,
    }
}
