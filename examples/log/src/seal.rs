//! What every revision was when it was written, so that a change or a loss that the disk brings
//! about does not pass in silence.
//!
//! Each revision has a sum (SHA-256, FIPS 180-4) over what was noted and worked out, and a place in
//! a chain of sums: the link of a revision is the sum of the link before it and its own. A changed
//! row disagrees with its sum, a lost one leaves its seal behind, a lost seal a gap in the numbers,
//! and lost last seals disagree with the count that stands apart.

use std::fmt;
use std::sync::LazyLock;

use rusqlite::types::ValueRef;
use rusqlite::{Connection, OptionalExtension, Row, params};
use sha2::{Digest, Sha256};

use super::conditions::CONDITIONS;
use super::entry::FIELDS;

pub(super) type Sum = [u8; 32];

/// What is wrong with one revision, or with its seal.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Flaw {
    /// The revision reads otherwise than it was written.
    Changed {
        /// The entry.
        id: String,
        /// The revision.
        revision: u32,
    },
    /// The revision was written and is not there.
    Lost {
        /// The entry.
        id: String,
        /// The revision.
        revision: u32,
    },
    /// The revision is there and no seal tells whether it is as it was written.
    Unsealed {
        /// The entry.
        id: String,
        /// The revision.
        revision: u32,
    },
    /// The revision is as it was written; its seal is not.
    Seal {
        /// The entry.
        id: String,
        /// The revision.
        revision: u32,
    },
    /// The end of the log is not what was written last.
    End,
    /// Seals are missing, and with them perhaps what they stood for.
    Gap {
        /// The first number that is missing, counted from 1 in the order of writing.
        first: i64,
        /// The last.
        last: i64,
    },
}

impl fmt::Display for Flaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (id, revision, what) = match self {
            Flaw::Changed { id, revision } => (id, revision, "reads otherwise than it was written"),
            Flaw::Lost { id, revision } => (id, revision, "was written and is not there"),
            Flaw::Unsealed { id, revision } => (id, revision, "is there without its seal"),
            Flaw::Seal { id, revision } => (id, revision, "is as it was written, its seal is not"),
            Flaw::End => return f.write_str("the log does not end with what was written last"),
            Flaw::Gap { first, last } if first == last => {
                return write!(f, "the seal of writing {first} is missing");
            }
            Flaw::Gap { first, last } => {
                return write!(f, "the seals of writings {first} to {last} are missing");
            }
        };
        write!(f, "entry '{id}', revision {revision}: {what}")
    }
}

/// The columns that a sum covers, by name, so that their order in the tables does not matter.
static COLUMNS: LazyLock<(Vec<&str>, Vec<&str>)> = LazyLock::new(|| {
    let own = ["revision", "recorded", "why"];
    let mut noted: Vec<_> = FIELDS.iter().map(|field| field.name).chain(own).collect();
    let mut worked_out = CONDITIONS.to_vec();
    noted.sort_unstable();
    worked_out.sort_unstable();
    (noted, worked_out)
});

/// The columns of a sum as SQL, of `entry` as `e` and `conditions` as `c`.
fn selected() -> String {
    let (noted, worked_out) = &*COLUMNS;
    let noted = noted.iter().map(|name| format!("e.\"{name}\""));
    let worked_out = worked_out.iter().map(|name| format!("c.\"{name}\""));
    noted.chain(worked_out).collect::<Vec<_>>().join(", ")
}

/// The sum of a row of [`selected`] columns that begin at `first`. What is missing is left out, so
/// that a later layout may have more columns.
fn sum_of(row: &Row<'_>, first: usize) -> rusqlite::Result<Sum> {
    let (noted, worked_out) = &*COLUMNS;
    let mut sum = Sha256::new();
    let mut add = |name: &str, kind: u8, bytes: &[u8]| {
        sum.update((name.len() as u64).to_be_bytes());
        sum.update(name);
        sum.update([kind]);
        sum.update((bytes.len() as u64).to_be_bytes());
        sum.update(bytes);
    };
    for (index, name) in noted.iter().chain(worked_out).enumerate() {
        match row.get_ref(first + index)? {
            ValueRef::Null => {}
            ValueRef::Integer(whole) => add(name, 1, &whole.to_be_bytes()),
            ValueRef::Real(real) => add(name, 2, &real.to_bits().to_be_bytes()),
            ValueRef::Text(text) => add(name, 3, text),
            ValueRef::Blob(bytes) => add(name, 4, bytes),
        }
    }
    Ok(sum.finalize().into())
}

fn link(before: &Sum, sum: &Sum) -> Sum {
    Sha256::new()
        .chain_update(before)
        .chain_update(sum)
        .finalize()
        .into()
}

const JOINED: &str = "LEFT JOIN conditions c ON c.id = e.id AND c.revision = e.revision";

/// The sum of a revision as it stands in the log; `None` where there is none.
pub(super) fn sum_in(
    connection: &Connection,
    id: &str,
    revision: u32,
) -> rusqlite::Result<Option<Sum>> {
    // Spelled out once: every revision that is written is read back for its sum.
    static SQL: LazyLock<String> = LazyLock::new(|| {
        let selected = selected();
        format!("SELECT {selected} FROM entry e {JOINED} WHERE e.id = ?1 AND e.revision = ?2")
    });
    let mut statement = connection.prepare_cached(&SQL)?;
    let row = statement.query_row(params![id, revision], |row| sum_of(row, 0));
    row.optional()
}

/// The number and the link of the last seal.
fn last(connection: &Connection) -> rusqlite::Result<(i64, Sum)> {
    let mut statement = connection.prepare_cached("SELECT number, link FROM last_seal")?;
    let found = statement.query_row([], |row| Ok((row.get(0)?, row.get(1)?)));
    Ok(found.optional()?.unwrap_or((0, Sum::default())))
}

/// Seals a revision that was just written, in the same transaction.
pub(super) fn seal(connection: &Connection, id: &str, revision: u32) -> rusqlite::Result<()> {
    let Some(sum) = sum_in(connection, id, revision)? else {
        return Err(rusqlite::Error::QueryReturnedNoRows);
    };
    let (number, before) = last(connection)?;
    let (number, link) = (number + 1, link(&before, &sum));
    connection
        .prepare_cached(
            "INSERT INTO seal (number, id, revision, sum, link) VALUES (?, ?, ?, ?, ?)",
        )?
        .execute(params![number, id, revision, sum, link])?;
    connection
        .prepare_cached("INSERT OR REPLACE INTO last_seal (one, number, link) VALUES (1, ?, ?)")?
        .execute(params![number, link])?;
    Ok(())
}

/// Seals all that a log of an older layout holds, in the order in which it was written.
pub(super) fn seal_all(connection: &Connection) -> rusqlite::Result<()> {
    let mut statement =
        connection.prepare("SELECT id, revision FROM entry ORDER BY recorded, id, revision")?;
    let all = statement.query_map([], |row| Ok((row.get::<_, String>(0)?, row.get(1)?)))?;
    for one in all.collect::<Result<Vec<_>, _>>()? {
        seal(connection, &one.0, one.1)?;
    }
    Ok(())
}

/// Holds every revision against its seal.
pub(super) fn flaws(connection: &Connection) -> rusqlite::Result<Vec<Flaw>> {
    let selected = selected();
    let mut statement = connection.prepare(&format!(
        "SELECT s.number, s.id, s.revision, s.sum, s.link, e.id IS NOT NULL, {selected}
         FROM seal s LEFT JOIN entry e ON e.id = s.id AND e.revision = s.revision {JOINED}
         ORDER BY s.number"
    ))?;
    let mut rows = statement.query([])?;
    let mut flaws = Vec::new();
    let (mut number, mut before) = (0, Sum::default());
    while let Some(row) = rows.next()? {
        let (at, id, revision): (i64, String, u32) = (row.get(0)?, row.get(1)?, row.get(2)?);
        let (sum, linked): (Sum, Sum) = (row.get(3)?, row.get(4)?);
        let here = if row.get(5)? {
            Some(sum_of(row, 6)?)
        } else {
            None
        };
        let follows = at == number + 1;
        if !follows {
            let (first, last) = (number + 1, at - 1);
            flaws.push(Flaw::Gap { first, last });
        }
        // After a gap nothing tells the link before; the row itself still has its sum.
        let fits = |sum: &Sum| !follows || link(&before, sum) == linked;
        match here {
            None => flaws.push(Flaw::Lost { id, revision }),
            Some(here) if here == sum && fits(&sum) => {}
            Some(here) if here == sum || fits(&here) && follows => {
                flaws.push(Flaw::Seal { id, revision });
            }
            Some(_) => flaws.push(Flaw::Changed { id, revision }),
        }
        before = match (follows, here) {
            (false, _) => linked,
            // One seal that is damaged must not make the next one look so.
            (true, Some(here)) if fits(&here) => linked,
            (true, _) => link(&before, &sum),
        };
        number = at;
    }
    drop(rows);
    let (count, end) = last(connection)?;
    if count > number {
        let (first, last) = (number + 1, count);
        flaws.push(Flaw::Gap { first, last });
    } else if (count, end) != (number, before) {
        flaws.push(Flaw::End);
    }
    let mut statement = connection
        .prepare("SELECT id, revision FROM entry EXCEPT SELECT id, revision FROM seal")?;
    let loose = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
    for one in loose {
        let (id, revision) = one?;
        flaws.push(Flaw::Unsealed { id, revision });
    }
    Ok(flaws)
}
