//! The layouts that a log has had, and the way from each to the next.
//!
//! A new file goes through all the steps, so a new log and a migrated one cannot differ. A step
//! never changes once a log has been written with it: the next idea is the next step.

use rusqlite::{Connection, Transaction};

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

/// The steps: the n-th leads from layout n to layout n + 1.
const STEPS: [&str; 3] = [FIRST, KEEP_HISTORY, EASE_AND_CONDITIONS];

/// The layout that this program writes.
pub const LAYOUT: i64 = STEPS.len() as i64;

/// The layout of the file; 0 for an empty one.
pub(super) fn layout(connection: &Connection) -> rusqlite::Result<i64> {
    connection.query_row("PRAGMA user_version", [], |row| row.get(0))
}

/// Takes the remaining steps inside a transaction that the caller commits.
pub(super) fn migrate(transaction: &Transaction<'_>) -> rusqlite::Result<()> {
    let from = usize::try_from(layout(transaction)?).unwrap_or(0);
    for (index, step) in STEPS.iter().enumerate().skip(from) {
        transaction.execute_batch(step)?;
        transaction.pragma_update(None, "user_version", index as i64 + 1)?;
    }
    transaction.pragma_update(None, "application_id", APPLICATION_ID)
}
