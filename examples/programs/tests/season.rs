//! The program `season` from outside: wrong input and the schema.
#![allow(clippy::unwrap_used)]

use std::process::{Command, Output};

use wrackline_plan::scenario::{DEMO, SCHEMA};

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_season"))
        .args(arguments)
        .output()
        .unwrap()
}

/// The demo with one piece of text replaced; the piece must be there.
fn demo_with(old: &str, new: &str) -> String {
    assert!(DEMO.contains(old), "the demo no longer has: {old}");
    DEMO.replacen(old, new, 1)
}

/// Exit code 2, nothing on the standard output, and a message with all of `words`.
fn refused(arguments: &[&str], words: &[&str]) {
    let output = run(arguments);
    let message = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{message}");
    assert!(output.stdout.is_empty());
    for word in words {
        assert!(message.contains(word), "{word} is missing from: {message}");
    }
}

#[test]
fn the_program_ends_with_2_and_no_partial_output() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("wrong.toml");
    std::fs::write(
        &path,
        demo_with("latitude_deg = 53.4016", "latitude_deg = 95"),
    )
    .unwrap();
    let path = path.to_str().unwrap();
    for format in ["text", "csv", "json"] {
        refused(
            &[path, "--format", format],
            &[
                "wrong.toml:",
                "latitude_deg",
                "95",
                "-90 to 90",
                "nothing was computed",
            ],
        );
    }
    refused(
        &["/nowhere/scenario.toml"],
        &["/nowhere/scenario.toml", "cannot be read"],
    );
    refused(&["--days", "0"], &["0 days", "1 to 3660"]);
    refused(
        &["--place", "tallow-nes"],
        &["tallow-nes", "known: tallow-ness"],
    );
    refused(&["--subject", "dodo"], &["dodo", "slate-knotling"]);
    refused(&["--light", "moonbeam"], &["moonbeam", "low front light"]);
    refused(
        &["--zone", "Mars/Olympus"],
        &["Mars/Olympus", "Europe/London"],
    );
    refused(&["--from", "2026-02-30"], &["2026-02-30"]);
    refused(&["--from", "9999-12-31", "--days", "90"], &["9999-12-31"]);
    refused(&["--format", "papyrus"], &["papyrus"]);
}

#[test]
fn the_season_prints_it() {
    let output = Command::new(env!("CARGO_BIN_EXE_season"))
        .arg("--schema")
        .output()
        .unwrap();
    assert!(output.status.success());
    assert_eq!(String::from_utf8(output.stdout).unwrap(), SCHEMA);
}
