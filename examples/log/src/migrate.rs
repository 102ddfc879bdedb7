//! The layouts that a log has had, and the way from each to the next.
//!
//! A new file goes through all the steps, so a new log and a migrated one cannot differ. A step
//! never changes once a log has been written with it: the next idea is the next step.

use rusqlite::{Connection, Transaction};

use super::seal::seal_all;

/// Marks the file as a field log in SQLite's header ("WRFL").
pub(super) const APPLICATION_ID: i64 = 0x5752_464c;

/// Layout 1: one table, one row a visit, changed in place; the day alone.
const FIRST: &str = "
CREATE TABLE visit (
    id TEXT PRIMARY KEY NOT NULL,
    day TEXT NOT NULL,
    place TEXT NOT NULL,
    seat TEXT,
    subject TEXT NOT NULL,
    outcome INTEGER NOT NULL CHECK (outcome BETWEEN 0 AND 5),
    count INTEGER,
    level_cm INTEGER,
    notes TEXT
) STRICT;
";

/// Layout 2: rows are only ever added. A change is a further revision of the entry, and the earlier
/// ones stay. Instants, weather and effort come in; levels become metres; outcomes become words.
const KEEP_HISTORY: &str = "
CREATE TABLE entry (
    id TEXT NOT NULL,
    revision INTEGER NOT NULL CHECK (revision >= 1),
    recorded TEXT NOT NULL,
    why TEXT,
    \"when\" TEXT NOT NULL,
    place TEXT NOT NULL,
    seat TEXT,
    subject TEXT NOT NULL,
    outcome TEXT NOT NULL,
    count INTEGER,
    minutes INTEGER,
    distance_m REAL,
    observed_level_m REAL,
    pressure_hpa REAL,
    wind TEXT,
    air_c REAL,
    frozen_days INTEGER,
    people INTEGER,
    pictures INTEGER,
    selects INTEGER,
    notes TEXT,
    PRIMARY KEY (id, revision)
) STRICT, WITHOUT ROWID;
INSERT INTO entry (id, revision, recorded, why, \"when\", place, seat, subject, outcome, count, \
    observed_level_m, notes)
    SELECT id, 1, strftime('%Y-%m-%dT%H:%M:%SZ', 'now'), 'brought over from layout 1', \
    day, place, seat, subject,
        CASE outcome WHEN 0 THEN 'called_off' WHEN 1 THEN 'absent' WHEN 2 THEN \
        'out_of_range' WHEN 3 THEN 'in_range'
            WHEN 4 THEN 'picture' ELSE 'select' END,
        count, level_cm / 100.0, notes
    FROM visit;
DROP TABLE visit;
CREATE TRIGGER entry_stays BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, \
    'entries are never deleted'); END;
CREATE TRIGGER entry_holds BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, \
    'entries are never changed in place'); END;
";

/// Layout 3: how the animals took it, and the conditions that were worked out for the entry.
const EASE_AND_CONDITIONS: &str = "
ALTER TABLE entry ADD COLUMN sky TEXT;
ALTER TABLE entry ADD COLUMN unease INTEGER;
ALTER TABLE entry ADD COLUMN unease_distance_m REAL;
ALTER TABLE entry ADD COLUMN flushes INTEGER;
CREATE TABLE conditions (
    id TEXT NOT NULL,
    revision INTEGER NOT NULL,
    level_m REAL,
    high_water_at TEXT,
    high_water_m REAL,
    range_m REAL,
    minutes_from_high_water REAL,
    minutes_from_push REAL,
    sun_altitude_deg REAL,
    sun_azimuth_deg REAL,
    shadow_angle_deg REAL,
    moon_altitude_deg REAL,
    moon_lit_fraction REAL,
    PRIMARY KEY (id, revision),
    FOREIGN KEY (id, revision) REFERENCES entry (id, revision)
) STRICT, WITHOUT ROWID;
";

/// Layout 4: what each revision was when it was written. What an older log holds is sealed as it
/// stands. An escaped end of a line is none in the log, which remembers this text to the letter.
const SEALS: &str = "
CREATE TABLE seal (
    number INTEGER PRIMARY KEY CHECK (number >= 1),
    id TEXT NOT NULL,
    revision INTEGER NOT NULL,
    sum BLOB NOT NULL CHECK (length(sum) = 32),
    link BLOB NOT NULL CHECK (length(link) = 32),
    UNIQUE (id, revision)
) STRICT;
CREATE TRIGGER seal_stays BEFORE DELETE ON seal \
    BEGIN SELECT RAISE(ABORT, 'seals are never deleted'); END;
CREATE TRIGGER seal_holds BEFORE UPDATE ON seal \
    BEGIN SELECT RAISE(ABORT, 'seals are never changed in place'); END;
CREATE TRIGGER conditions_stay BEFORE DELETE ON conditions \
    BEGIN SELECT RAISE(ABORT, 'conditions are never deleted'); END;
CREATE TRIGGER conditions_hold BEFORE UPDATE ON conditions \
    BEGIN SELECT RAISE(ABORT, 'conditions are never changed in place'); END;
CREATE TABLE last_seal (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    number INTEGER NOT NULL,
    link BLOB NOT NULL CHECK (length(link) = 32)
) STRICT;
";

/// The layout from which on there are seals.
pub(super) const SEALED: i64 = 4;

/// The steps: the n-th leads from layout n to layout n + 1.
const STEPS: [&str; 4] = [FIRST, KEEP_HISTORY, EASE_AND_CONDITIONS, SEALS];

/// The layout that this program writes.
pub const LAYOUT: i64 = STEPS.len() as i64;

/// The layout of the file; 0 for an empty one.
pub(super) fn layout(connection: &Connection) -> rusqlite::Result<i64> {
    connection.query_row("PRAGMA user_version", [], |row| row.get(0))
}

/// Takes the remaining steps inside a transaction that the caller commits.
pub(super) fn migrate(transaction: &Transaction<'_>) -> rusqlite::Result<()> {
    let from = usize::try_from(layout(transaction)?).unwrap_or(0);
    for (layout, step) in (1..).zip(STEPS).skip(from) {
        transaction.execute_batch(step)?;
        if layout == SEALED {
            seal_all(transaction)?;
        }
        transaction.pragma_update(None, "user_version", layout)?;
    }
    transaction.pragma_update(None, "application_id", APPLICATION_ID)
}

/// What the tables of a log of the newest layout say of themselves, in any order that is always the
/// same.
pub(super) fn tables(connection: &Connection) -> rusqlite::Result<Vec<(String, Option<String>)>> {
    let mut statement =
        connection.prepare("SELECT name, sql FROM sqlite_schema ORDER BY type, name")?;
    let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
    rows.collect()
}

/// The tables of a log that was just made.
pub(super) fn tables_of_a_new_log() -> rusqlite::Result<Vec<(String, Option<String>)>> {
    let mut memory = Connection::open_in_memory()?;
    let transaction = memory.transaction()?;
    migrate(&transaction)?;
    tables(&transaction)
}
