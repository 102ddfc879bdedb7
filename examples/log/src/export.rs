//! The log in files that other programs read, and that an import takes back.

use std::io::Write;

use serde_json::{Map, Value};

use super::conditions::CONDITIONS;
use super::entry::{Cell, FIELDS};
use super::rows::Record;
use wrackline_plan::rfc4180;

/// Whether the conditions that were worked out go along.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Columns {
    /// What was noted, and nothing else.
    Noted,
    /// Also what the tide and the sun were.
    WithConditions,
}

impl Columns {
    fn of(self, record: &Record) -> Vec<(&'static str, Cell)> {
        let noted = FIELDS
            .iter()
            .map(|field| field.name)
            .zip(record.entry.cells());
        let mut cells: Vec<_> = noted.collect();
        if self == Columns::WithConditions {
            cells.extend(
                CONDITIONS
                    .into_iter()
                    .zip(record.conditions.unwrap_or_default().cells()),
            );
        }
        cells
    }
}

/// Writes CSV (RFC 4180: CRLF, quotes where needed). Texts that a table calculator would take for
/// formulas are disarmed; an import takes that back.
///
/// # Errors
/// What the writer says.
pub fn to_csv(records: &[Record], columns: Columns, out: impl Write) -> std::io::Result<()> {
    let mut writer = rfc4180::writer(out);
    let mut names: Vec<&str> = FIELDS.iter().map(|field| field.name).collect();
    if columns == Columns::WithConditions {
        names.extend(CONDITIONS);
    }
    writer.write_record(&names)?;
    for record in records {
        writer.write_record(columns.of(record).iter().map(|(_, cell)| match cell {
            Cell::Text(text) => rfc4180::disarm(text).into_owned(),
            number => number.to_string(),
        }))?;
    }
    writer.flush()
}

/// Writes JSON Lines; what was not noted is left out.
///
/// # Errors
/// What the writer says.
pub fn to_json_lines(
    records: &[Record],
    columns: Columns,
    mut out: impl Write,
) -> std::io::Result<()> {
    for record in records {
        let mut object = Map::new();
        for (name, cell) in columns.of(record) {
            let value = match cell {
                Cell::Missing => continue,
                Cell::Text(text) => Value::from(text),
                Cell::Whole(whole) => Value::from(whole),
                Cell::Real(real) => Value::from(real),
            };
            object.insert(name.to_owned(), value);
        }
        writeln!(out, "{}", Value::Object(object))?;
    }
    Ok(())
}
