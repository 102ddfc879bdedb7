//! Killed in the middle, and two at once: nothing that was written is lost, and nothing is there by
//! halves.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::hash::{BuildHasher, RandomState};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use wrackline_log::Log;

use crate::helpers::room;

fn start(folder: &Path, arguments: &[&str]) -> Child {
    Command::new(env!("CARGO_BIN_EXE_fieldlog"))
        .current_dir(folder)
        .args(arguments)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Waits for success.
fn finish(child: Child) {
    let output = child.wait_with_output().unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
}

fn names(path: &Path) -> BTreeSet<String> {
    let records = Log::open_or_create(path).unwrap().records().unwrap();
    records.into_iter().map(|record| record.entry.id).collect()
}

/// A random moment of that part of a span which a round stands for.
fn moment(span: Duration, round: u32, rounds: u32) -> Duration {
    let within = RandomState::new().hash_one(round) as f64 / u64::MAX as f64;
    let moment = span.mul_f64((f64::from(round) + within) / f64::from(rounds));
    println!("killed after {moment:?}");
    moment
}

/// A file of entries whose names begin alike. Days alone, so that the time goes into writing.
fn write_csv(folder: &Path, prefix: &str, rows: usize) -> String {
    let mut text = "id,when,place,subject,outcome,notes\n".to_owned();
    for row in 0..rows {
        writeln!(
            text,
            "{prefix}-{row},2026-01-24,tallow-ness,slate-knotling,picture,{}",
            "n".repeat(300)
        )
        .unwrap();
    }
    let name = format!("{prefix}.csv");
    std::fs::write(folder.join(&name), text).unwrap();
    name
}

#[test]
fn an_import_killed_at_any_point_leaves_all_of_it_or_nothing() {
    const ROWS: usize = 400;
    const ROUNDS: u32 = 50;
    let (folder, path) = room("fieldlog.sqlite");
    let folder = folder.path();
    let began = Instant::now();
    finish(start(
        folder,
        &["import", &write_csv(folder, "whole", ROWS)],
    ));
    let whole = began.elapsed();
    let mut known = names(&path);
    assert_eq!(known.len(), ROWS);
    let mut interrupted = 0;
    for round in 0..ROUNDS {
        let prefix = format!("round{round}");
        let file = write_csv(folder, &prefix, ROWS);
        let mut child = start(folder, &["import", &file]);
        // From before the first write to after the last.
        std::thread::sleep(moment(whole.mul_f64(1.2), round, ROUNDS));
        child.kill().unwrap();
        child.wait().unwrap();
        let now = names(&path);
        assert!(
            now.is_superset(&known),
            "round {round}: an older entry is gone"
        );
        let new = now.len() - known.len();
        assert!(
            new == 0 || new == ROWS,
            "round {round}: {new} of {ROWS} entries"
        );
        interrupted += u32::from(new == 0);
        known = now;
    }
    // The first kills come before anything can have been committed.
    assert!(interrupted > 0);
    // What was interrupted can be done again, and ends whole.
    for round in 0..ROUNDS {
        finish(start(folder, &["import", &format!("round{round}.csv")]));
    }
    assert_eq!(names(&path).len(), ROWS * (1 + ROUNDS as usize));
}

#[test]
fn single_entries_that_were_acknowledged_survive_kills() {
    let (folder, path) = room("fieldlog.sqlite");
    let folder = folder.path();
    let mut acknowledged = BTreeSet::new();
    let least = [
        "--when",
        "2026-01-24",
        "--place",
        "tallow-ness",
        "--subject",
        "slate-knotling",
        "--outcome",
        "picture",
    ];
    for round in 0..50_u32 {
        let id = format!("e{round}");
        let mut arguments = vec!["add", "--id", &id];
        arguments.extend(least);
        let mut child = start(folder, &arguments);
        std::thread::sleep(moment(Duration::from_millis(100), round, 50));
        // Killing a program that has ended already does nothing.
        child.kill().unwrap();
        if child.wait().unwrap().success() {
            acknowledged.insert(id);
        }
        if path.exists() {
            assert!(names(&path).is_superset(&acknowledged), "round {round}");
        }
    }
    finish(start(
        folder,
        &[&["add", "--id", "last"][..], &least].concat(),
    ));
    assert!(names(&path).contains("last"), "the log still works");
}

#[test]
fn two_writers_at_once_lose_nothing() {
    const ROWS: usize = 40;
    const FILES: usize = 6;
    let (folder, path) = room("fieldlog.sqlite");
    let folder = folder.path();
    // The file does not exist yet: they even race to make it.
    let mut children = Vec::new();
    for writer in ["left", "right"] {
        for file in 0..FILES {
            let name = write_csv(folder, &format!("{writer}{file}"), ROWS);
            children.push(start(folder, &["import", &name]));
        }
        // Entries without a name: each must be given its own.
        children.push(start(
            folder,
            &[
                "add",
                "--when",
                "2026-03-01",
                "--place",
                "tallow-ness",
                "--subject",
                "slate-knotling",
                "--outcome",
                "absent",
            ],
        ));
    }
    children.into_iter().for_each(finish);
    let names = names(&path);
    assert_eq!(names.len(), 2 * FILES * ROWS + 2);
    assert!(names.contains("2026-03-01") && names.contains("2026-03-01-2"));
}

#[test]
fn two_amendments_at_once_are_both_kept() {
    let (folder, path) = room("fieldlog.sqlite");
    let folder = folder.path();
    finish(start(folder, &["import", &write_csv(folder, "e", 1)]));
    let amend = |field: &str, text: &str| start(folder, &["amend", "e-0", field, text]);
    let both = [amend("--count", "40"), amend("--pictures", "12")];
    both.into_iter().for_each(finish);
    let log = Log::open(&path).unwrap();
    let history = log.history("e-0").unwrap();
    assert_eq!(history.len(), 3);
    assert_eq!(
        (history[2].entry.count, history[2].entry.pictures),
        (Some(40), Some(12))
    );
}

#[test]
fn an_old_log_opened_by_many_at_once_is_brought_up_once() {
    let (folder, path) = room("fieldlog.sqlite");
    let old = rusqlite::Connection::open(&path).unwrap();
    old.execute_batch(include_str!(
        "../../../log/tests/data/fieldlog_layout_1.sql"
    ))
    .unwrap();
    drop(old);
    let children: Vec<Child> = (0..6).map(|_| start(folder.path(), &["show"])).collect();
    children.into_iter().for_each(finish);
    assert_eq!(names(&path).len(), 7);
}
