//! Kills at random moments, one in every fiftieth of the run of a program.

use std::fs;
use std::hash::{BuildHasher, RandomState};
use std::path::Path;
use std::process::Stdio;
use std::time::{Duration, Instant};

use crate::{names, program, run};

const KILLS: u32 = 50;

/// Starts a program and kills it at a random moment of that part of its run which the round stands
/// for; a whole run takes about `whole`.
fn kill(name: &str, folder: &Path, arguments: &[&str], whole: Duration, round: u32) {
    let mut child = program(name, folder)
        .args(arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let within = RandomState::new().hash_one(round) as f64 / u64::MAX as f64;
    let moment = whole.mul_f64(1.1 * (f64::from(round) + within) / f64::from(KILLS));
    println!("{name}: killed after {moment:?}");
    std::thread::sleep(moment);
    // Killing what has ended already does nothing.
    child.kill().unwrap();
    child.wait().unwrap();
}

#[test]
fn a_card_is_there_whole_or_as_it_was_and_nothing_beside_it() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let arguments = [
        "--date",
        "2026-12-29",
        "--seat",
        "B",
        "--output",
        "card.html",
    ];
    let began = Instant::now();
    assert!(run("card", folder, &arguments).status.success());
    let whole = began.elapsed();
    let card = fs::read(folder.join("card.html")).unwrap();
    for round in 0..KILLS {
        fs::write(folder.join("card.html"), "the old card").unwrap();
        kill("card", folder, &arguments, whole, round);
        let now = fs::read(folder.join("card.html")).unwrap();
        assert!(now == b"the old card" || now == card, "round {round}");
        // What the last one left, and no more: each run clears away what those before it left.
        assert!(names(folder).len() <= 2, "{:?}", names(folder));
    }
    assert!(run("card", folder, &arguments).status.success());
    assert_eq!(names(folder), ["card.html"]);
}

#[test]
fn a_table_goes_on_from_every_kill_to_the_same_bytes() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let request = ["--from", "2026-11-01", "--to", "2026-11-20", "--step", "5m"];
    let more = ["--group-rows", "200", "--threads", "2", "--output"];
    let to = |name: &'static str| [&request[..], &more, &[name]].concat();
    let began = Instant::now();
    assert!(
        run("visibility", folder, &to("whole.parquet"))
            .status
            .success()
    );
    let whole = began.elapsed();
    let bytes = fs::read(folder.join("whole.parquet")).unwrap();
    let mut finished = 0;
    for round in 0..KILLS {
        kill("visibility", folder, &to("t.parquet"), whole, round % 10);
        if let Ok(table) = fs::read(folder.join("t.parquet")) {
            assert!(table == bytes, "round {round}");
            finished += 1;
            fs::remove_file(folder.join("t.parquet")).unwrap();
        }
    }
    assert!(run("visibility", folder, &to("t.parquet")).status.success());
    assert!(fs::read(folder.join("t.parquet")).unwrap() == bytes);
    assert_eq!(names(folder), ["t.parquet", "whole.parquet"]);
    println!("{KILLS} kills; {finished} times the table was whole before");
}
