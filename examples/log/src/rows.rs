//! Entries as rows of the log's tables.

use std::path::Path;
use std::sync::LazyLock;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use rusqlite::types::{Value, ValueRef};
use rusqlite::{Connection, Row, Transaction, params_from_iter};

use super::conditions::{CONDITIONS, Conditions};
use super::draft::Draft;
use super::entry::{Cell, Entry, FIELDS};
use super::error::Error;
use super::file::explain;
use super::seal::seal;

/// An entry as it stands in the log.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// The entry.
    pub entry: Entry,
    /// 1 for the entry as first written, then counting up with each amendment.
    pub revision: u32,
    /// When this revision was written.
    pub recorded: Timestamp,
    /// Why it was amended.
    pub why: Option<String>,
    /// What the conditions were, where they could be worked out.
    pub conditions: Option<Conditions>,
}

/// Statements over all columns, spelled out once: an import asks for them with every row.
struct Spelled {
    insert_entry: String,
    insert_conditions: String,
    select: String,
}

static SPELLED: LazyLock<Spelled> = LazyLock::new(|| {
    let list = |names: &[&str], of: &str| -> String {
        let quoted = names.iter().map(|name| format!("{of}\"{name}\""));
        quoted.collect::<Vec<_>>().join(", ")
    };
    let insert = |table: &str, names: &[&str], more: &[&str]| {
        let marks = vec!["?"; names.len() + more.len()].join(", ");
        let (names, more) = (list(names, ""), list(more, ""));
        format!("INSERT INTO {table} ({names}, {more}) VALUES ({marks})")
    };
    let fields: Vec<&str> = FIELDS.iter().map(|field| field.name).collect();
    Spelled {
        insert_entry: insert("entry", &fields, &["revision", "recorded", "why"]),
        insert_conditions: insert("conditions", &CONDITIONS, &["id", "revision"]),
        select: format!(
            "SELECT {}, e.revision, e.recorded, e.why, c.id IS NOT NULL, {}
             FROM entry e LEFT JOIN conditions c ON c.id = e.id AND c.revision = e.revision",
            list(&fields, "e."),
            list(&CONDITIONS, "c.")
        ),
    }
});

fn value(cell: &Cell) -> Value {
    match cell {
        Cell::Missing => Value::Null,
        Cell::Text(text) => Value::Text(text.clone()),
        Cell::Whole(whole) => Value::Integer(*whole),
        Cell::Real(real) => Value::Real(*real),
    }
}

/// Writes a revision that is made now.
pub(super) fn insert(
    transaction: &Transaction<'_>,
    entry: &Entry,
    revision: u32,
    why: Option<&str>,
    conditions: Option<&Conditions>,
) -> rusqlite::Result<()> {
    let recorded = Timestamp::now()
        .round(jiff::Unit::Second)
        .unwrap_or_else(|_| Timestamp::now());
    let record = Record {
        entry: entry.clone(),
        revision,
        recorded,
        why: why.map(str::to_owned),
        conditions: conditions.copied(),
    };
    insert_as_it_was(transaction, &record)
}

/// Writes a revision that was made before, and seals it.
pub(super) fn insert_as_it_was(
    transaction: &Transaction<'_>,
    record: &Record,
) -> rusqlite::Result<()> {
    let (entry, revision) = (&record.entry, record.revision);
    let mut values: Vec<Value> = entry.cells().iter().map(value).collect();
    values.push(Value::Integer(i64::from(revision)));
    values.push(Value::Text(record.recorded.to_string()));
    values.push(record.why.clone().map_or(Value::Null, Value::Text));
    transaction
        .prepare_cached(&SPELLED.insert_entry)?
        .execute(params_from_iter(values))?;
    if let Some(conditions) = &record.conditions {
        let mut values: Vec<Value> = conditions.cells().iter().map(value).collect();
        values.push(Value::Text(entry.id.clone()));
        values.push(Value::Integer(i64::from(revision)));
        transaction
            .prepare_cached(&SPELLED.insert_conditions)?
            .execute(params_from_iter(values))?;
    }
    seal(transaction, &entry.id, revision)
}

#[derive(Clone, Copy)]
pub(super) enum Which<'a> {
    All,
    Newest(&'a str),
    History(&'a str),
    One(&'a str, u32),
}

/// The statement that finds revisions, and the entry that it asks for.
fn selection(which: Which<'_>) -> (String, Option<&str>) {
    let newest = "e.revision = (SELECT max(revision) FROM entry WHERE id = e.id)";
    let (rule, id) = match which {
        Which::All => (newest.to_owned(), None),
        Which::Newest(id) => (format!("e.id = ?1 AND {newest}"), Some(id)),
        Which::History(id) => ("e.id = ?1".to_owned(), Some(id)),
        Which::One(id, revision) => (format!("e.id = ?1 AND e.revision = {revision}"), Some(id)),
    };
    let sql = format!(
        "{} WHERE {rule} ORDER BY e.\"when\", e.id, e.revision",
        SPELLED.select
    );
    (sql, id)
}

pub(super) fn records(
    connection: &Connection,
    path: &Path,
    which: Which<'_>,
) -> Result<Vec<Record>, Error> {
    let (sql, id) = selection(which);
    let say = |source| explain(path, source);
    let mut statement = connection.prepare_cached(&sql).map_err(say)?;
    let mut rows = statement.query(params_from_iter(id)).map_err(say)?;
    let mut found = Vec::new();
    while let Some(row) = rows.next().map_err(say)? {
        found.push(record(row).map_err(|what| match what {
            Unreadable::Database(source) => explain(path, source),
            Unreadable::Nonsense(report) => Error::Damaged {
                path: path.to_owned(),
                report,
            },
        })?);
    }
    Ok(found)
}

enum Unreadable {
    Database(rusqlite::Error),
    Nonsense(String),
}

impl From<rusqlite::Error> for Unreadable {
    fn from(error: rusqlite::Error) -> Self {
        Unreadable::Database(error)
    }
}

/// Reads a row through the same door as every other input, so that whatever is in a log obeys the
/// same rules.
fn record(row: &Row<'_>) -> Result<Record, Unreadable> {
    let mut draft = Draft::default();
    for (index, field) in FIELDS.iter().enumerate() {
        let text = match row.get_ref(index)? {
            ValueRef::Null | ValueRef::Blob(_) => continue,
            ValueRef::Integer(whole) => whole.to_string(),
            ValueRef::Real(real) => real.to_string(),
            ValueRef::Text(bytes) => String::from_utf8_lossy(bytes).into_owned(),
        };
        // The names come from the same list.
        let _ = draft.set(field.name, &text);
    }
    let name = draft.get("id").unwrap_or("?").to_owned();
    let nonsense = |what: String| Unreadable::Nonsense(format!("entry '{name}': {what}"));
    let entry = draft.entry_as_noted(&TimeZone::UTC).map_err(|problems| {
        nonsense(
            problems
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join("; "),
        )
    })?;
    let at = FIELDS.len();
    let recorded: String = row.get(at + 1)?;
    let recorded = recorded
        .parse()
        .map_err(|_| nonsense(format!("recorded at '{recorded}'")))?;
    let conditions = if row.get::<_, bool>(at + 3)? {
        let real = |name: &str| -> rusqlite::Result<Option<f64>> {
            let index = CONDITIONS
                .iter()
                .position(|known| *known == name)
                .unwrap_or(0);
            row.get(at + 4 + index)
        };
        let high_water: Option<String> = row.get(at + 5)?;
        Some(Conditions {
            level_m: real("level_m")?,
            high_water_at: high_water.and_then(|text| text.parse().ok()),
            high_water_m: real("high_water_m")?,
            range_m: real("range_m")?,
            minutes_from_high_water: real("minutes_from_high_water")?,
            minutes_from_push: real("minutes_from_push")?,
            sun_altitude_deg: real("sun_altitude_deg")?,
            sun_azimuth_deg: real("sun_azimuth_deg")?,
            shadow_angle_deg: real("shadow_angle_deg")?,
            moon_altitude_deg: real("moon_altitude_deg")?,
            moon_lit_fraction: real("moon_lit_fraction")?,
        })
    } else {
        None
    };
    Ok(Record {
        entry,
        revision: row.get(at)?,
        recorded,
        why: row.get(at + 2)?,
        conditions,
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)] // A test that cannot go on fails.
mod tests {
    use std::path::Path;

    use rusqlite::{Connection, StatementStatus};

    use super::{Which, records, selection};
    use crate::{file::keep_plans, migrate};

    /// How often a statement was planned anew while entries were looked for by name.
    fn planned_anew(keep: bool) -> i32 {
        let mut connection = Connection::open_in_memory().unwrap();
        if keep {
            keep_plans(&connection).unwrap();
        }
        let transaction = connection.transaction().unwrap();
        migrate::migrate(&transaction).unwrap();
        transaction.commit().unwrap();
        for name in ["A1", "A2", "A3"] {
            let found = records(&connection, Path::new("log"), Which::Newest(name)).unwrap();
            assert!(found.is_empty());
        }
        let (sql, _) = selection(Which::Newest("A1"));
        let statement = connection.prepare_cached(&sql).unwrap();
        statement.get_status(StatementStatus::RePrepare)
    }

    #[test]
    fn a_statement_is_planned_once() {
        assert_eq!(planned_anew(true), 0);
        // Otherwise there would be nothing to keep.
        assert!(planned_anew(false) > 0);
    }
}
