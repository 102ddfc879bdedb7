//! The log as one SQLite file: entries are added and never changed, so that nothing once written
//! can be lost by writing.

use std::path::{Path, PathBuf};

use jiff::tz::TimeZone;
use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};

use super::conditions::Conditions;
use super::entry::{Entry, FIELDS};
use super::error::Error;
use super::file::{
    PATIENCE, copy, explain, keep, keep_plans, look_at_header, must_exist, open_to_read,
};
use super::migrate::{self, LAYOUT};
use super::problem::Problem;
use super::rows::{Record, Which, insert, records};
use super::seal::flaws;
use wrackline_plan::words::Unknown;

/// What adding entries did.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Added {
    /// Names of the entries that are new.
    pub new: Vec<String>,
    /// Names of the entries that were in the log already, word for word.
    pub known: Vec<String>,
}

/// An open log.
#[derive(Debug)]
pub struct Log {
    connection: Connection,
    path: PathBuf,
    kept: Option<PathBuf>,
    older: Option<i64>,
}

impl Log {
    /// Opens a log that must exist, to be read and nothing else: the file is not touched, and may
    /// lie where nothing can be written. A log of an older layout is brought up to date in memory.
    ///
    /// # Errors
    /// As [`Log::open`].
    pub fn read(path: &Path) -> Result<Log, Error> {
        must_exist(path)?;
        look_at_header(path)?;
        let say = |source| explain(path, source);
        let connection = open_to_read(path).map_err(say)?;
        let mut log = Log {
            connection,
            path: path.to_owned(),
            kept: None,
            older: None,
        };
        let layout = log.check()?;
        if layout < LAYOUT {
            log.older = Some(layout);
            let mut memory = Connection::open_in_memory().map_err(say)?;
            keep_plans(&memory).map_err(say)?;
            copy(&log.connection, &mut memory).map_err(say)?;
            log.connection = memory;
            log.write(|transaction| migrate::migrate(transaction).map_err(say))?;
        }
        Ok(log)
    }

    /// Opens a log that must exist, bringing an older layout up to date; the file as it was is
    /// kept beside it ([`Log::kept`]).
    ///
    /// # Errors
    /// No such file, a file that is something else, damaged anywhere, newer than this program, or
    /// locked for too long. The file is left as it was.
    pub fn open(path: &Path) -> Result<Log, Error> {
        must_exist(path)?;
        Log::open_or_create(path)
    }

    /// Opens a log, making an empty one where there is no file.
    ///
    /// # Errors
    /// As [`Log::open`], but for the missing file.
    pub fn open_or_create(path: &Path) -> Result<Log, Error> {
        look_at_header(path)?;
        let say = |source| explain(path, source);
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
            | OpenFlags::SQLITE_OPEN_CREATE
            | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(path, flags).map_err(say)?;
        connection.busy_timeout(PATIENCE).map_err(say)?;
        keep_plans(&connection).map_err(say)?;
        // EXTRA is FULL, and also makes the end of a transaction outlive a power cut in the folder
        // that holds the file.
        connection
            .pragma_update(None, "synchronous", "EXTRA")
            .map_err(say)?;
        connection
            .pragma_update(None, "foreign_keys", true)
            .map_err(say)?;
        let mut log = Log {
            connection,
            path: path.to_owned(),
            kept: None,
            older: None,
        };
        let layout = log.check()?;
        if layout < LAYOUT {
            if layout > 0 {
                log.kept = Some(keep(&log.connection, path, layout)?);
            }
            // The layout is read again inside: another program may have migrated the file in
            // between.
            log.write(|transaction| migrate::migrate(transaction).map_err(say))?;
        }
        Ok(log)
    }

    /// Checks what was opened before anything is written to it, and says which layout it has.
    fn check(&self) -> Result<i64, Error> {
        let path = self.path.clone();
        let say = |source| explain(&path, source);
        let layout = migrate::layout(&self.connection).map_err(say)?;
        let application: i64 = self
            .connection
            .query_row("PRAGMA application_id", [], |row| row.get(0))
            .map_err(say)?;
        let tables: i64 = self
            .connection
            .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
            .map_err(say)?;
        if application != migrate::APPLICATION_ID && (application != 0 || tables > 0) {
            let found = "a database of another program".to_owned();
            return Err(Error::NotALog { path, found });
        }
        if layout > LAYOUT {
            return Err(Error::Newer {
                path,
                version: layout,
                known: LAYOUT,
            });
        }
        self.check_pages(layout)?;
        Ok(layout)
    }

    /// Whether the pages agree with one another, and what they hold with what was written.
    fn check_pages(&self, layout: i64) -> Result<(), Error> {
        let path = self.path.clone();
        let say = |source| explain(&path, source);
        // Both see one state, also while another program writes.
        let state = self.connection.unchecked_transaction().map_err(say)?;
        let report: String = state
            .query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))
            .map_err(say)?;
        if report != "ok" {
            return Err(Error::Damaged { path, report });
        }
        if layout < LAYOUT {
            return Ok(());
        }
        let new = migrate::tables_of_a_new_log().map_err(say)?;
        if migrate::tables(&state).map_err(say)? != new {
            return Err(Error::Tables { path, layout });
        }
        let flaws = flaws(&state).map_err(say)?;
        if flaws.is_empty() {
            return Ok(());
        }
        Err(Error::Flawed { path, flaws })
    }

    /// How many revisions there are, of all entries.
    ///
    /// # Errors
    /// The database's own troubles.
    pub fn revisions(&self) -> Result<u64, Error> {
        self.connection
            .query_row("SELECT count(*) FROM entry", [], |row| row.get::<_, i64>(0))
            .map(i64::unsigned_abs)
            .map_err(|source| self.say(source))
    }

    /// Where the file is kept as it was, if opening brought it up to date.
    pub fn kept(&self) -> Option<&Path> {
        self.kept.as_deref()
    }

    /// The layout of the file, if it is an older one that was brought up to date in memory alone.
    pub fn older_layout(&self) -> Option<i64> {
        self.older
    }

    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    fn say(&self, source: rusqlite::Error) -> Error {
        explain(&self.path, source)
    }

    /// Does all of `work` or nothing of it, alone.
    pub(super) fn write<T>(
        &mut self,
        work: impl FnOnce(&Transaction<'_>) -> Result<T, Error>,
    ) -> Result<T, Error> {
        let path = self.path.clone();
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(|source| explain(&path, source))?;
        let done = work(&transaction)?;
        transaction
            .commit()
            .map_err(|source| explain(&path, source))?;
        Ok(done)
    }

    /// Adds entries, all or none. An entry without a name is given one from its date. An entry that
    /// is already there word for word is passed over, so an import can be repeated after an
    /// interruption.
    ///
    /// # Errors
    /// A name that the log already uses for something else; the database's own troubles.
    pub fn add(
        &mut self,
        entries: &[(Entry, Option<Conditions>)],
        zone: &TimeZone,
    ) -> Result<Added, Error> {
        let path = self.path.clone();
        let say = |source| explain(&path, source);
        self.write(|transaction| {
            let mut added = Added::default();
            let mut problems = Vec::new();
            for (entry, conditions) in entries {
                let mut entry = entry.clone();
                if entry.id.is_empty() {
                    entry.id = free_name(transaction, &entry, zone).map_err(say)?;
                }
                let newest = records(transaction, &path, Which::Newest(&entry.id))?.pop();
                match newest {
                    None => {
                        insert(transaction, &entry, 1, None, conditions.as_ref()).map_err(say)?;
                        added.new.push(entry.id);
                    }
                    Some(newest) if newest.entry == entry => added.known.push(entry.id),
                    Some(newest) => problems.push(Problem::new(
                        entry.id.clone(),
                        format!(
                            "the log already has an entry of this name that differs in {}; give \
                             it another name, or change it with `fieldlog amend {}`",
                            differences(&newest.entry, &entry).join(", "),
                            entry.id
                        ),
                    )),
                }
            }
            if problems.is_empty() {
                Ok(added)
            } else {
                Err(Error::Input {
                    source_name: "entry".to_owned(),
                    problems,
                })
            }
        })
    }

    /// Writes a further revision of an entry; the earlier ones stay. `change` is given the newest
    /// revision, inside the transaction, so that of two amendments at once the second sees the
    /// first.
    ///
    /// # Errors
    /// An unknown entry, or what `change` refuses.
    pub fn amend(
        &mut self,
        id: &str,
        why: Option<&str>,
        change: impl FnOnce(&Entry) -> Result<(Entry, Option<Conditions>), Error>,
    ) -> Result<Record, Error> {
        let path = self.path.clone();
        self.write(|transaction| {
            let Some(newest) = records(transaction, &path, Which::Newest(id))?.pop() else {
                return Err(unknown(transaction, &path, id));
            };
            let (mut entry, conditions) = change(&newest.entry)?;
            entry.id.clone_from(&newest.entry.id);
            if entry == newest.entry && conditions == newest.conditions {
                return Ok(newest);
            }
            let revision = newest.revision + 1;
            insert(transaction, &entry, revision, why, conditions.as_ref())
                .map_err(|e| explain(&path, e))?;
            records(transaction, &path, Which::Newest(id))?
                .pop()
                .ok_or_else(|| unknown(transaction, &path, id))
        })
    }

    /// The newest revision of every entry, by date and then by name.
    ///
    /// # Errors
    /// The database's own troubles, or a row that another program has put there and that makes no
    /// sense.
    pub fn records(&self) -> Result<Vec<Record>, Error> {
        records(&self.connection, &self.path, Which::All)
    }

    /// All revisions of one entry, oldest first.
    ///
    /// # Errors
    /// An unknown entry.
    pub fn history(&self, id: &str) -> Result<Vec<Record>, Error> {
        let found = records(&self.connection, &self.path, Which::History(id))?;
        if found.is_empty() {
            Err(unknown(&self.connection, &self.path, id))
        } else {
            Ok(found)
        }
    }

    /// How many entries there are, amendments not counted.
    ///
    /// # Errors
    /// The database's own troubles.
    pub fn len(&self) -> Result<u64, Error> {
        self.connection
            .query_row("SELECT count(DISTINCT id) FROM entry", [], |row| {
                row.get::<_, i64>(0)
            })
            .map(i64::unsigned_abs)
            .map_err(|source| self.say(source))
    }

    /// Whether the log has no entry.
    ///
    /// # Errors
    /// The database's own troubles.
    pub fn is_empty(&self) -> Result<bool, Error> {
        Ok(self.len()? == 0)
    }
}

/// The names of the fields in which two entries differ.
pub fn differences(before: &Entry, after: &Entry) -> Vec<&'static str> {
    FIELDS
        .iter()
        .zip(before.cells().iter().zip(after.cells().iter()))
        .filter(|(_, (a, b))| a != b)
        .map(|(field, _)| field.name)
        .collect()
}

fn unknown(connection: &Connection, path: &Path, id: &str) -> Error {
    // Where the log cannot be read, nothing is known that could be meant.
    let records = records(connection, path, Which::All).unwrap_or_default();
    let ids = records.iter().map(|record| record.entry.id.as_str());
    Error::UnknownEntry(Unknown::new("entry", id, "in the log", ids))
}

/// The date, and a number when the date is taken.
fn free_name(
    transaction: &Transaction<'_>,
    entry: &Entry,
    zone: &TimeZone,
) -> rusqlite::Result<String> {
    let date = entry.when.date(zone).to_string();
    let mut taken = transaction.prepare_cached("SELECT 1 FROM entry WHERE id = ?1 LIMIT 1")?;
    let mut name = date.clone();
    let mut number = 1;
    while taken.exists([&name])? {
        number += 1;
        name = format!("{date}-{number}");
    }
    Ok(name)
}
