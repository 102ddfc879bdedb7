//! Damage that comes with time: whatever bit turns, no entry changes or goes missing in silence,
//! and what is whole is saved.

use std::collections::BTreeSet;
use std::path::Path;

use jiff::tz::TimeZone;
use rusqlite::Connection;
use wrackline_log::{Conditions, Error, Flaw, Log, Record, rebuild, salvage};

use crate::helpers::{entry, room};

/// A log of some entries, every third of them amended.
fn filled(path: &Path, entries: usize) -> Vec<Vec<Record>> {
    let mut log = Log::open_or_create(path).unwrap();
    let conditions = Conditions {
        level_m: Some(7.1),
        sun_altitude_deg: Some(6.3),
        ..Conditions::default()
    };
    let all: Vec<_> = (0..entries)
        .map(|number| {
            let id = format!("e{number}");
            let notes = format!("the {number}th visit, {}", "n".repeat(200 + number % 90));
            let count = (number + 1).to_string();
            let entry = entry(&[("id", &id), ("count", &count), ("notes", &notes)]);
            (entry, (number % 2 == 0).then_some(conditions))
        })
        .collect();
    log.add(&all, &TimeZone::UTC).unwrap();
    for number in (0..entries).step_by(3) {
        log.amend(&format!("e{number}"), Some("counted again"), |before| {
            let mut after = before.clone();
            after.minutes = Some(45);
            Ok((after, Some(conditions)))
        })
        .unwrap();
    }
    histories(&log)
}

fn histories(log: &Log) -> Vec<Vec<Record>> {
    let records = log.records().unwrap();
    let of = |record: &Record| log.history(&record.entry.id).unwrap();
    records.iter().map(of).collect()
}

/// Changes a log as no program of ours would, its own guards taken away for the moment.
fn meddle(path: &Path, sql: &str) {
    let connection = Connection::open(path).unwrap();
    let mut statement = connection
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger' ORDER BY rowid")
        .unwrap();
    let guards: Vec<(String, String)> = statement
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    drop(statement);
    connection
        .pragma_update(None, "foreign_keys", false)
        .unwrap();
    for (name, _) in &guards {
        connection
            .execute_batch(&format!("DROP TRIGGER {name}"))
            .unwrap();
    }
    connection.execute_batch(sql).unwrap();
    for (_, sql) in &guards {
        connection.execute_batch(sql).unwrap();
    }
}

fn flaws(path: &Path) -> Vec<Flaw> {
    match Log::read(path).unwrap_err() {
        Error::Flawed { flaws, .. } => flaws,
        other => panic!("{other}"),
    }
}

/// Numbers that are the same in every run (SplitMix64; Steele, Lea and Flood, OOPSLA 2014).
struct Random(u64);

impl Random {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        usize::try_from(z % end as u64).unwrap()
    }
}

#[test]
fn a_turned_bit_in_any_page_is_told_or_changes_nothing() {
    const PAGE: usize = 4096;
    const BITS_A_PAGE: usize = 8;
    let (_folder, path) = room("log.sqlite");
    let before = filled(&path, 90);
    let bytes = std::fs::read(&path).unwrap();
    assert!(bytes.len() / PAGE > 12);
    let mut random = Random(1);
    let mut told = 0;
    for page in 0..bytes.len() / PAGE {
        for turn in 0..BITS_A_PAGE {
            let mut rotten = bytes.clone();
            let (at, bit) = (page * PAGE + random.below(PAGE), random.below(8));
            rotten[at] ^= 1 << bit;
            std::fs::write(&path, &rotten).unwrap();
            match Log::read(&path) {
                Ok(log) => assert_eq!(histories(&log), before, "bit {bit} of byte {at}"),
                Err(error) => {
                    told += 1;
                    assert!(!error.to_string().contains("SELECT"), "{error}");
                }
            }
            // Saving what can be saved goes on to an end, and never saves what is not so.
            if turn == 0
                && let Ok(saved) = salvage(&path)
            {
                let known: Vec<&Record> = before.iter().flatten().collect();
                for record in &saved.whole {
                    assert!(
                        known.contains(&record),
                        "bit {bit} of byte {at}: {record:?}"
                    );
                }
            }
        }
    }
    // Pages are nearly full of what was noted: most turned bits lie in it.
    assert!(told > BITS_A_PAGE * 8, "{told}");
}

#[test]
fn changed_and_lost_revisions_are_named() {
    let one = |id: &str, revision| (id.to_owned(), revision);
    let cases: [(&str, Vec<Flaw>); 9] = [
        (
            "UPDATE entry SET count = 77 WHERE id = 'e3' AND revision = 1",
            {
                let (id, revision) = one("e3", 1);
                vec![Flaw::Changed { id, revision }]
            },
        ),
        ("UPDATE conditions SET level_m = 7.2 WHERE id = 'e4'", {
            let (id, revision) = one("e4", 1);
            vec![Flaw::Changed { id, revision }]
        }),
        ("DELETE FROM conditions WHERE id = 'e4'", {
            let (id, revision) = one("e4", 1);
            vec![Flaw::Changed { id, revision }]
        }),
        ("DELETE FROM entry WHERE id = 'e5'", {
            let (id, revision) = one("e5", 1);
            vec![Flaw::Lost { id, revision }]
        }),
        ("UPDATE seal SET sum = zeroblob(32) WHERE id = 'e5'", {
            let (id, revision) = one("e5", 1);
            vec![Flaw::Seal { id, revision }]
        }),
        ("UPDATE seal SET link = zeroblob(32) WHERE id = 'e5'", {
            let (id, revision) = one("e5", 1);
            vec![Flaw::Seal { id, revision }]
        }),
        ("DELETE FROM seal WHERE id = 'e5'", {
            let (id, revision) = one("e5", 1);
            let (first, last) = (6, 6);
            vec![Flaw::Gap { first, last }, Flaw::Unsealed { id, revision }]
        }),
        // The last writing lost with its seal: only the count that stands apart can tell.
        (
            "DELETE FROM seal WHERE number = (SELECT max(number) FROM seal);
             DELETE FROM conditions WHERE id = 'e9' AND revision = 2;
             DELETE FROM entry WHERE id = 'e9' AND revision = 2",
            vec![Flaw::Gap {
                first: 14,
                last: 14,
            }],
        ),
        ("DELETE FROM last_seal", vec![Flaw::End]),
    ];
    for (sql, wanted) in cases {
        let (_folder, path) = room("log.sqlite");
        filled(&path, 10);
        assert!(Log::read(&path).is_ok());
        meddle(&path, sql);
        assert_eq!(flaws(&path), wanted, "{sql}");
        let before = std::fs::read(&path).unwrap();
        let error = Log::open(&path).unwrap_err();
        assert!(error.is_of_the_file());
        assert!(error.to_string().contains("fieldlog salvage"), "{error}");
        assert_eq!(std::fs::read(&path).unwrap(), before, "left as it was");
    }
}

#[test]
fn what_is_whole_is_saved_with_its_history() {
    let (folder, path) = room("log.sqlite");
    let before = filled(&path, 10);
    meddle(
        &path,
        "UPDATE entry SET count = 77 WHERE id = 'e3' AND revision = 2;
         DELETE FROM entry WHERE id = 'e5';
         DELETE FROM seal WHERE id = 'e7'",
    );
    let found = salvage(&path).unwrap();
    assert_eq!(found.whole.len(), 14 - 3);
    assert_eq!(found.changed.len(), 1);
    assert_eq!(found.changed[0].entry.count, Some(77));
    assert_eq!(found.unsealed[0].entry.id, "e7");
    assert_eq!(found.lost, [("e5".to_owned(), 1)]);
    let into = folder.path().join("saved.sqlite");
    let saved = rebuild(&into, &found.whole).unwrap();
    let mut wanted = before;
    wanted.retain(|history| !["e5", "e7"].contains(&history[0].entry.id.as_str()));
    let third = wanted
        .iter_mut()
        .find(|history| history[0].entry.id == "e3");
    third.unwrap().truncate(1);
    assert_eq!(histories(&saved), wanted);
    drop(saved);
    assert!(Log::open(&into).is_ok(), "what is saved is sealed anew");
    let again = rebuild(&into, &found.whole).unwrap_err();
    assert!(matches!(again, Error::Taken { .. }), "{again}");
}

#[test]
fn around_a_page_of_rubbish_the_rest_is_saved() {
    let (_folder, path) = room("log.sqlite");
    let before = filled(&path, 90);
    let bytes = std::fs::read(&path).unwrap();
    let mut saved = Vec::new();
    // The first page tells where everything is: without it nothing can be found.
    for page in 1..bytes.len() / 4096 {
        let mut rotten = bytes.clone();
        rotten[page * 4096..(page + 1) * 4096].fill(0x5a);
        std::fs::write(&path, &rotten).unwrap();
        assert!(Log::read(&path).is_err(), "page {page}");
        let found = salvage(&path).unwrap();
        let whole: BTreeSet<_> = found
            .whole
            .iter()
            .chain(&found.unsealed)
            .map(|record| (record.entry.id.clone(), record.revision))
            .collect();
        saved.push(whole.len());
        for record in found.whole.iter().chain(&found.unsealed) {
            assert!(before.iter().flatten().any(|known| known == record));
        }
    }
    // A page of rows takes some ten revisions with it; the page above all rows takes them all.
    saved.sort_unstable();
    println!("of 120 revisions are saved: {saved:?}");
    assert!(saved[saved.len() / 4] > 90, "{saved:?}");
}

#[test]
fn layout_3_is_sealed_as_it_stands() {
    let (_folder, path) = room("log.sqlite");
    let sql = include_str!("../data/fieldlog_layout_3.sql");
    Connection::open(&path).unwrap().execute_batch(sql).unwrap();
    let read = histories(&Log::read(&path).unwrap());
    assert_eq!(Log::read(&path).unwrap().older_layout(), Some(3));
    let log = Log::open(&path).unwrap();
    let kept = log.kept().unwrap().to_owned();
    assert_eq!(histories(&log), read);
    assert_eq!(log.history("late-1").unwrap()[1].entry.pictures, Some(3));
    drop(log);
    assert_eq!(histories(&Log::read(&kept).unwrap()), read);
    meddle(&path, "UPDATE entry SET count = 77 WHERE id = 'late-2'");
    let (id, revision) = ("late-2".to_owned(), 1);
    assert_eq!(flaws(&path), [Flaw::Changed { id, revision }]);
    // Before the seals nothing tells what is whole.
    assert!(matches!(
        salvage(&kept),
        Err(Error::Unsealed { layout: 3, .. })
    ));
}
