//! The store: what goes in stays in, comes out the same, and survives every older layout and every
//! foreign file.

use jiff::tz::TimeZone;
use rusqlite::Connection;
use wrackline_log::{Conditions, Error, LAYOUT, Log, Outcome, When};

use crate::helpers::{entry, room};

const UTC: TimeZone = TimeZone::UTC;

#[test]
fn what_goes_in_comes_out() {
    let (_folder, path) = room("log.sqlite");
    let full = entry(&[
        ("id", "one"),
        ("seat", "a"),
        ("count", "2400"),
        ("minutes", "95"),
        ("distance_m", "60.5"),
        ("observed_level_m", "7.7"),
        ("pressure_hpa", "1017.25"),
        ("wind", "sw 2"),
        ("air_c", "-1.5"),
        ("frozen_days", "2"),
        ("sky", "Overcast"),
        ("people", "0"),
        ("unease", "4"),
        ("unease_distance_m", "48"),
        ("flushes", "1"),
        ("pictures", "311"),
        ("notes", "quotes \" and, commas\nand lines; åäö"),
    ]);
    let bare = entry(&[("id", "two"), ("when", "2026-01-25")]);
    let conditions = Conditions {
        level_m: Some(7.1),
        high_water_at: Some("2026-01-24T09:22:00Z".parse().unwrap()),
        high_water_m: Some(7.66),
        range_m: Some(6.2),
        minutes_from_high_water: Some(-30.0),
        minutes_from_push: Some(56.25),
        sun_altitude_deg: Some(6.3),
        sun_azimuth_deg: Some(134.0),
        shadow_angle_deg: Some(4.0),
        moon_altitude_deg: Some(-12.0),
        moon_lit_fraction: None,
    };
    let mut log = Log::open_or_create(&path).unwrap();
    log.add(
        &[(full.clone(), Some(conditions)), (bare.clone(), None)],
        &UTC,
    )
    .unwrap();
    drop(log);
    let records = Log::open(&path).unwrap().records().unwrap();
    assert_eq!(records.len(), 2);
    assert_eq!(
        (
            &records[0].entry,
            records[0].conditions,
            records[0].revision
        ),
        (&full, Some(conditions), 1)
    );
    assert_eq!((&records[1].entry, records[1].conditions), (&bare, None));
    assert_eq!(
        records[0].entry.seat.as_deref(),
        Some("A"),
        "names resolve to ids"
    );
}

#[test]
fn an_amendment_keeps_what_was_there() {
    let (_folder, path) = room("log.sqlite");
    let mut log = Log::open_or_create(&path).unwrap();
    log.add(&[(entry(&[("id", "one"), ("count", "10")]), None)], &UTC)
        .unwrap();
    let amend = |log: &mut Log, count| {
        log.amend("one", Some("counted again"), |before| {
            let mut after = before.clone();
            after.count = Some(count);
            Ok((after, None))
        })
        .unwrap()
    };
    assert_eq!(amend(&mut log, 12).revision, 2);
    assert_eq!(
        amend(&mut log, 12).revision,
        2,
        "the same again is no further revision"
    );
    assert_eq!(amend(&mut log, 14).revision, 3);
    let counts: Vec<_> = log
        .history("one")
        .unwrap()
        .iter()
        .map(|record| record.entry.count)
        .collect();
    assert_eq!(counts, [Some(10), Some(12), Some(14)]);
    assert_eq!(
        log.history("one").unwrap()[2].why.as_deref(),
        Some("counted again")
    );
    assert_eq!(log.records().unwrap().len(), 1);
    assert_eq!(log.records().unwrap()[0].entry.count, Some(14));
    let unknown = log.history("onne").unwrap_err();
    assert!(
        unknown.to_string().contains("did you mean one"),
        "{unknown}"
    );
}

#[test]
fn entries_without_a_name_are_named_by_their_date() {
    let (_folder, path) = room("log.sqlite");
    let mut log = Log::open_or_create(&path).unwrap();
    // 23:30 UTC is the next day in Paris.
    let late = entry(&[("when", "2026-01-24T23:30Z")]);
    let added = log.add(
        &[(late.clone(), None), (late.clone(), None), (late, None)],
        &TimeZone::get("Europe/Paris").unwrap(),
    );
    assert_eq!(
        added.unwrap().new,
        ["2026-01-25", "2026-01-25-2", "2026-01-25-3"]
    );
}

#[test]
fn adding_is_all_or_nothing_and_can_be_repeated() {
    let (_folder, path) = room("log.sqlite");
    let mut log = Log::open_or_create(&path).unwrap();
    let (one, two) = (entry(&[("id", "one")]), entry(&[("id", "two")]));
    log.add(&[(one.clone(), None)], &UTC).unwrap();
    let other = entry(&[("id", "one"), ("count", "5"), ("wind", "W3")]);
    let refused = log
        .add(&[(two.clone(), None), (other, None)], &UTC)
        .unwrap_err()
        .to_string();
    assert!(
        refused.contains("differs in count, wind") && refused.contains("nothing was taken"),
        "{refused}"
    );
    assert_eq!(log.len().unwrap(), 1);
    let added = log.add(&[(one, None), (two, None)], &UTC).unwrap();
    assert_eq!(
        (added.new, added.known),
        (vec!["two".to_owned()], vec!["one".to_owned()])
    );
}

fn old(sql: &str) -> (tempfile::TempDir, std::path::PathBuf) {
    let (folder, path) = room("log.sqlite");
    Connection::open(&path).unwrap().execute_batch(sql).unwrap();
    (folder, path)
}

#[test]
fn layout_1_is_brought_up() {
    let (_folder, path) = old(include_str!("../data/fieldlog_layout_1.sql"));
    let mut log = Log::open(&path).unwrap();
    let records = log.records().unwrap();
    let outcomes: Vec<_> = records.iter().map(|record| record.entry.outcome).collect();
    use Outcome::*;
    assert_eq!(
        outcomes,
        [
            Select, CalledOff, Absent, OutOfRange, InRange, Picture, Absent
        ]
    );
    assert_eq!(records[0].entry.observed_level_m, Some(7.52));
    assert_eq!(
        records[0].entry.when,
        When::Day("2019-11-14".parse().unwrap())
    );
    assert_eq!(
        records[2].entry.notes.as_deref(),
        Some("it's \"quiet\"; åäö")
    );
    assert_eq!(
        records[6].entry.count,
        Some(3),
        "what was taken under easier rules stays"
    );
    // The migrated log is a full one.
    log.add(
        &[(
            entry(&[("id", "new"), ("unease", "1")]),
            Some(Conditions::default()),
        )],
        &UTC,
    )
    .unwrap();
    drop(log);
    assert_eq!(Log::open(&path).unwrap().len().unwrap(), 8);
}

#[test]
fn layout_2_is_brought_up_with_its_history() {
    let (_folder, path) = old(include_str!("../data/fieldlog_layout_2.sql"));
    let log = Log::open(&path).unwrap();
    let history = log.history("mid-1").unwrap();
    assert_eq!(history.len(), 2);
    assert_eq!(
        (history[0].entry.outcome, history[1].entry.outcome),
        (Outcome::InRange, Outcome::Picture)
    );
    assert_eq!(history[1].why.as_deref(), Some("found one on the card"));
    assert_eq!(history[1].entry.pictures, Some(14));
    assert_eq!(log.len().unwrap(), 2);
}

/// The layout of a migrated file and of a new one must be the same thing.
#[test]
fn every_way_up_ends_in_the_same_layout() {
    let layout = |path: &std::path::Path| {
        Log::open_or_create(path).unwrap();
        let connection = Connection::open(path).unwrap();
        let mut statement = connection
            .prepare("SELECT type, name, sql FROM sqlite_schema ORDER BY type, name")
            .unwrap();
        let rows = statement.query_map([], |row| {
            Ok((
                row.get::<_, String>(0)?,
                row.get::<_, String>(1)?,
                row.get::<_, Option<String>>(2)?,
            ))
        });
        let version: i64 = connection
            .query_row("PRAGMA user_version", [], |row| row.get(0))
            .unwrap();
        (
            version,
            rows.unwrap().map(Result::unwrap).collect::<Vec<_>>(),
        )
    };
    let (_fresh_folder, fresh) = room("log.sqlite");
    let fresh = layout(&fresh);
    assert_eq!(fresh.0, LAYOUT);
    for sql in [
        include_str!("../data/fieldlog_layout_1.sql"),
        include_str!("../data/fieldlog_layout_2.sql"),
        include_str!("../data/fieldlog_layout_3.sql"),
    ] {
        let (_folder, path) = old(sql);
        assert_eq!(layout(&path), fresh);
    }
}

#[test]
fn the_layout_itself_forbids_losing_entries() {
    let (_folder, path) = room("log.sqlite");
    Log::open_or_create(&path)
        .unwrap()
        .add(&[(entry(&[]), None)], &UTC)
        .unwrap();
    let connection = Connection::open(&path).unwrap();
    for sql in ["DELETE FROM entry", "UPDATE entry SET outcome = 'absent'"] {
        assert!(connection.execute(sql, []).is_err(), "{sql}");
    }
}

#[test]
fn a_missing_log_is_not_made_by_looking_for_it() {
    let (_folder, path) = room("log.sqlite");
    assert!(matches!(Log::open(&path), Err(Error::Missing { .. })));
    assert!(!path.exists());
}

#[test]
fn foreign_and_damaged_files_are_left_alone() {
    let untouched = |name: &str, path: &std::path::Path, wanted: fn(&Error) -> bool| {
        let before = std::fs::read(path).unwrap();
        let error = Log::open_or_create(path).unwrap_err();
        assert!(wanted(&error), "{name}: {error:?}");
        assert_eq!(std::fs::read(path).unwrap(), before, "{name}");
        let beside = std::fs::read_dir(path.parent().unwrap()).unwrap().count();
        assert_eq!(beside, 1, "{name}: nothing is left beside it");
    };
    let not_a_log: fn(&Error) -> bool = |error| matches!(error, Error::NotALog { .. });

    let (_folder, path) = room("notes.txt");
    std::fs::write(&path, "when,place\n2026-01-24,tallow-ness\n").unwrap();
    untouched("a text", &path, not_a_log);

    let (_folder, path) = room("other.sqlite");
    Connection::open(&path)
        .unwrap()
        .execute_batch("CREATE TABLE song (title TEXT)")
        .unwrap();
    untouched("another program's database", &path, not_a_log);

    let (_folder, path) = room("newer.sqlite");
    Log::open_or_create(&path).unwrap();
    Connection::open(&path)
        .unwrap()
        .pragma_update(None, "user_version", LAYOUT + 1)
        .unwrap();
    untouched("a newer log", &path, |error| {
        matches!(error, Error::Newer { .. })
    });

    // A log that is large enough to have inner pages, with rubbish over the middle third.
    let (_folder, path) = room("damaged.sqlite");
    let many: Vec<_> = (0..500)
        .map(|i| {
            (
                entry(&[("id", &format!("e{i}")), ("notes", &"n".repeat(200))]),
                None,
            )
        })
        .collect();
    Log::open_or_create(&path)
        .unwrap()
        .add(&many, &UTC)
        .unwrap();
    let mut bytes = std::fs::read(&path).unwrap();
    let third = bytes.len() / 3;
    bytes[third..2 * third].fill(0x5a);
    std::fs::write(&path, &bytes).unwrap();
    untouched("rubbish in the middle", &path, |error| {
        matches!(error, Error::Damaged { .. })
    });

    // The end cut off.
    let (_folder, path) = room("cut.sqlite");
    Log::open_or_create(&path)
        .unwrap()
        .add(&many, &UTC)
        .unwrap();
    let bytes = std::fs::read(&path).unwrap();
    std::fs::write(&path, &bytes[..bytes.len() / 2]).unwrap();
    untouched("the end cut off", &path, |error| {
        matches!(error, Error::Damaged { .. })
    });
}

#[test]
fn reading_an_old_log_leaves_it_as_it_was() {
    let (folder, path) = old(include_str!("../data/fieldlog_layout_1.sql"));
    let before = std::fs::read(&path).unwrap();
    let log = Log::read(&path).unwrap();
    assert_eq!(log.records().unwrap().len(), 7);
    assert_eq!(log.kept(), None);
    drop(log);
    assert_eq!(std::fs::read(&path).unwrap(), before);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    let missing = Log::read(&folder.path().join("none.sqlite")).unwrap_err();
    assert!(matches!(missing, Error::Missing { .. }), "{missing}");
}

#[test]
fn migrating_keeps_the_log_as_it_was() {
    let (folder, path) = old(include_str!("../data/fieldlog_layout_1.sql"));
    // A file of the copy's name that is there already is somebody's, and stays.
    let taken = folder.path().join("log.sqlite.layout-1");
    std::fs::write(&taken, "mine").unwrap();
    let log = Log::open(&path).unwrap();
    let kept = log.kept().unwrap().to_owned();
    assert_eq!(kept, folder.path().join("log.sqlite.layout-1-2"));
    drop(log);
    assert_eq!(std::fs::read(&taken).unwrap(), b"mine");
    let version = |path: &std::path::Path| -> i64 {
        let connection = Connection::open(path).unwrap();
        connection
            .query_row("PRAGMA user_version", [], |row| row.get(0))
            .unwrap()
    };
    assert_eq!((version(&kept), version(&path)), (1, LAYOUT));
    assert_eq!(Log::read(&kept).unwrap().len().unwrap(), 7);
    assert_eq!(Log::open(&path).unwrap().kept(), None);
}

#[test]
fn what_sqlite_takes_for_no_file_is_refused() {
    for name in [":memory:", "", "file:log.sqlite?mode=memory"] {
        for opened in [Log::open_or_create(name.as_ref()), Log::read(name.as_ref())] {
            let error = opened.unwrap_err();
            assert!(matches!(error, Error::NoFile { .. }), "{name}: {error}");
        }
    }
}

#[test]
fn troubles_of_the_file_are_told_in_words_and_without_sql() {
    let (folder, path) = room("log.sqlite");
    drop(Log::open_or_create(&path).unwrap());
    Connection::open(&path)
        .unwrap()
        .execute_batch("DROP TABLE conditions; DROP TABLE entry;")
        .unwrap();
    let other_tables = Log::read(&path).unwrap_err();
    let is_tables = matches!(other_tables, Error::Tables { .. });
    assert!(is_tables && other_tables.is_of_the_file(), "{other_tables}");
    let nowhere = folder.path().join("nowhere").join("log.sqlite");
    let error = Log::open_or_create(&nowhere).unwrap_err();
    assert!(matches!(error, Error::Unwritable { .. }), "{error}");
    assert!(error.is_of_the_file());
    for error in [error.to_string(), other_tables.to_string()] {
        for word in ["SELECT", "INSERT", "sqlite3", "no such table"] {
            assert!(!error.contains(word), "{error}");
        }
    }
}
