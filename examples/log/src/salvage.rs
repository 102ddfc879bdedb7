//! What can be saved of a damaged log: every revision that is as it was written, read one by one
//! around what is broken.

use std::collections::BTreeMap;
use std::path::Path;

use rusqlite::{Connection, Row};

use super::error::Error;
use super::file::{explain, look_at_header, must_exist, open_to_read};
use super::migrate::{self, SEALED};
use super::rows::{Record, Which, insert_as_it_was, records};
use super::seal::{Sum, sum_in};
use super::store::Log;

/// What was found in a damaged log.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Salvaged {
    /// Revisions that are as they were written, in the order of writing.
    pub whole: Vec<Record>,
    /// Revisions of which no seal is left to tell; they can be read and obey the rules.
    pub unsealed: Vec<Record>,
    /// Revisions that read otherwise than they were written: not to be built on.
    pub changed: Vec<Record>,
    /// Revisions that are known to have been written and cannot be read, by entry and number.
    pub lost: Vec<(String, u32)>,
}

type Key = (String, u32);

/// Reads what can be read of a log, damaged or not. The file is not touched.
///
/// # Errors
/// No log there, one of a layout before the seals (restore a copy), or one whose tables cannot even
/// be found.
pub fn salvage(path: &Path) -> Result<Salvaged, Error> {
    must_exist(path)?;
    look_at_header(path)?;
    let say = |source| explain(path, source);
    let connection = open_to_read(path).map_err(say)?;
    let layout = migrate::layout(&connection).map_err(say)?;
    if layout < SEALED {
        return Err(Error::Unsealed {
            path: path.to_owned(),
            layout,
        });
    }
    // Pages that are broken end a walk: another comes from the other end.
    let seals = walked(
        &connection,
        "seal",
        "number",
        "number, id, revision, sum",
        |row| {
            Ok((
                row.get::<_, i64>(0)?,
                (row.get(1)?, row.get(2)?),
                row.get::<_, Sum>(3)?,
            ))
        },
    );
    let seals: BTreeMap<Key, (i64, Sum)> = seals
        .into_iter()
        .map(|(number, key, sum)| (key, (number, sum)))
        .collect();
    let mut keys = walked(
        &connection,
        "entry",
        "id, revision",
        "id, revision",
        |row| Ok::<Key, _>((row.get(0)?, row.get(1)?)),
    );
    keys.extend(seals.keys().cloned());
    keys.sort_unstable();
    keys.dedup();
    let mut found = Salvaged::default();
    for key in keys {
        let (id, revision) = &key;
        let read = records(&connection, path, Which::One(id, *revision));
        let sum = sum_in(&connection, id, *revision);
        let (Some(record), Ok(Some(sum))) = (read.ok().and_then(|mut one| one.pop()), sum) else {
            found.lost.push(key);
            continue;
        };
        match seals.get(&key) {
            None => found.unsealed.push(record),
            Some((_, sealed)) if *sealed == sum => found.whole.push(record),
            Some(_) => found.changed.push(record),
        }
    }
    let number = |record: &Record| {
        let key = (record.entry.id.clone(), record.revision);
        let number = seals.get(&key).map_or(i64::MAX, |(number, _)| *number);
        (number, record.recorded, key)
    };
    found.whole.sort_by_cached_key(number);
    found.unsealed.sort_by_cached_key(number);
    Ok(found)
}

/// The rows of a table from both of its ends, each as far as it can be read.
fn walked<T>(
    connection: &Connection,
    table: &str,
    key: &str,
    columns: &str,
    read: impl Fn(&Row<'_>) -> rusqlite::Result<T>,
) -> Vec<T> {
    let mut found = Vec::new();
    let down = key.replace(',', " DESC,");
    for order in [key, &format!("{down} DESC")] {
        let sql = format!("SELECT {columns} FROM {table} ORDER BY {order}");
        let Ok(mut statement) = connection.prepare(&sql) else {
            continue;
        };
        let Ok(mut rows) = statement.query([]) else {
            continue;
        };
        let whole = loop {
            match rows.next() {
                // A row that is no row of ours is passed over; the next one may be.
                Ok(Some(row)) => found.extend(read(row)),
                Ok(None) => break true,
                Err(_) => break false,
            }
        };
        if whole {
            break;
        }
    }
    found
}

/// Makes a new log of revisions that were saved, with their history.
///
/// # Errors
/// A file of that name that is there already; what the system refuses.
pub fn rebuild(path: &Path, revisions: &[Record]) -> Result<Log, Error> {
    if path.exists() {
        return Err(Error::Taken {
            path: path.to_owned(),
        });
    }
    let mut log = Log::open_or_create(path)?;
    log.write(|transaction| {
        for record in revisions {
            insert_as_it_was(transaction, record).map_err(|source| explain(path, source))?;
        }
        Ok(())
    })?;
    Ok(log)
}
