//! The program `presence`: what it prints, and what wrong input gets.
#![allow(clippy::unwrap_used)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

const SCENARIO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo/oskerrow.toml");
const SIGHTINGS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo/sightings.csv");

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_presence"))
        .args(arguments)
        .output()
        .unwrap()
}

#[track_caller]
fn printed(arguments: &[&str]) -> String {
    let output = run(arguments);
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{arguments:?}: {said}");
    String::from_utf8(output.stdout).unwrap()
}

/// What it says when it refuses: exit code 2, and nothing printed before.
#[track_caller]
fn refused(arguments: &[&str]) -> String {
    let output = run(arguments);
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{arguments:?}: {said}");
    assert!(output.stdout.is_empty());
    said
}

const OF_DEMO: [&str; 7] = [
    SIGHTINGS,
    "--scenario",
    SCENARIO,
    "--place",
    "tallow-ness",
    "--subject",
    "slate-knotling",
];

#[test]
fn the_lines_are_those_of_a_scenario() {
    let lines = printed(&[&OF_DEMO[..], &["--format", "toml"]].concat());
    let present = lines
        .lines()
        .find(|line| line.starts_with("present = "))
        .unwrap();
    // Into the demo in the place of its own.
    let text = std::fs::read_to_string(SCENARIO).unwrap();
    let (before, from) = text
        .split_once("[[subject]]\nid = \"slate-knotling\"")
        .unwrap();
    let own = from
        .lines()
        .find(|line| line.starts_with("present = "))
        .unwrap();
    let from = from.replacen(own, &lines, 1);
    let text = format!("{before}[[subject]]\nid = \"slate-knotling\"{from}");
    let name = "pasted.toml";
    let scenario = wrackline_plan::scenario::Scenario::parse(name, &text).unwrap();
    let subject = scenario.subject("slate-knotling").unwrap();
    assert_eq!(format!("present = \"{}\"", subject.present), present);
    assert!(lines.contains("Oskerrow shore walks (invented)") && lines.contains("CC0 1.0"));
}

#[test]
fn without_arguments_it_shows_the_invented_records() {
    let output = run(&[]);
    assert!(output.status.success());
    assert!(
        String::from_utf8(output.stderr)
            .unwrap()
            .contains("invented")
    );
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(
        text.contains("half-month") && text.contains("present = \""),
        "{text}"
    );
    assert!(text.contains("captive, bred or released"));
    assert!(
        text.lines().all(|line| line.chars().count() <= 100),
        "{text}"
    );
}

#[test]
fn formats_agree() {
    let json = printed(&[&OF_DEMO[..], &["--format", "json"]].concat());
    let report: serde_json::Value = serde_json::from_str(&json).unwrap();
    let halves = report["half_months"].as_array().unwrap();
    assert_eq!(halves.len(), 24);
    assert_eq!(report["place"]["id"], "tallow-ness");
    let csv = printed(&[&OF_DEMO[..], &["--format", "csv"]].concat());
    assert_eq!(csv.lines().count(), 25);
    for (line, half) in csv.lines().skip(1).zip(halves) {
        let fields: Vec<&str> = line.split(',').collect();
        assert_eq!(fields[2], half["half_month"]);
        assert_eq!(fields[3], half["visits"].to_string());
        assert_eq!(fields[8], half["state"]);
    }
    let year = wrackline_plan::experience::sightings::YearRound::from_json(&json).unwrap();
    assert_eq!(
        (year.place.as_str(), year.subject.as_str()),
        ("tallow-ness", "slate-knotling")
    );
    let svg = printed(&[&OF_DEMO[..], &["--format", "svg"]].concat());
    assert!(svg.starts_with("<svg") && svg.trim_end().ends_with("</svg>"));
}

/// Tallow Ness is marked as sensitive: no answer says where it lies any finer than the exports do.
#[test]
fn a_place_is_not_given_away() {
    for format in ["text", "csv", "json", "toml", "svg"] {
        let answer = printed(&[&OF_DEMO[..], &["--format", format]].concat());
        assert!(
            !answer.contains("53.40") && !answer.contains("1.202"),
            "{format}"
        );
    }
    let exact = printed(&[&OF_DEMO[..], &["--format", "json", "--exact"]].concat());
    assert!(exact.contains("53.4016"));
}

fn file(folder: &Path, name: &str, text: &str) -> PathBuf {
    let path = folder.join(name);
    std::fs::write(&path, text).unwrap();
    path
}

#[test]
fn wrong_input_is_told_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(SIGHTINGS).unwrap();
    let wrong = file(
        folder.path(),
        "wrong.csv",
        &text.replacen("2020-01-", "01.2020-", 1),
    );
    let (wrong, out) = (wrong.to_str().unwrap(), folder.path().join("out.csv"));
    let at = ["--at", "53.4,1.2", "--name", "Slate Knotling"];
    let to_file = ["--output", out.to_str().unwrap()];
    let said = refused(&[&[wrong][..], &at, &to_file].concat());
    assert!(
        said.contains("wrong.csv:") && said.contains("eventDate:"),
        "{said}"
    );
    assert!(!out.exists());
    let empty = file(folder.path(), "empty.csv", "");
    let said = refused(&[&[empty.to_str().unwrap()][..], &at].concat());
    assert!(said.contains("is empty"), "{said}");
    let said = refused(&[&[folder.path().to_str().unwrap()][..], &at].concat());
    assert!(said.contains("it is a folder"), "{said}");
    let said = refused(&[SIGHTINGS, "--at", "53.4,1.2", "--name", "Slate Notling"]);
    assert!(said.contains("did you mean Slate Knotling?"), "{said}");
    let said = refused(&[SIGHTINGS, "--name", "Slate Knotling"]);
    assert!(said.contains("no place is named"), "{said}");
    assert!(refused(&[SIGHTINGS, "--at", "53.4", "--name", "x"]).contains("as 53.4,-1.2"));
    let said = refused(&[&OF_DEMO[..], &["--threshold", "0"]].concat());
    assert!(said.contains("the threshold is 0"), "{said}");
}

#[test]
fn records_come_through_a_pipe() {
    let input = std::fs::File::open(SIGHTINGS).unwrap();
    let mut cat = Command::new("cat")
        .stdin(input)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_presence"))
        .args([
            "/dev/stdin",
            "--at",
            "53.4,1.2",
            "--name",
            "Slate Knotling",
            "--format",
            "csv",
        ])
        .stdin(cat.stdout.take().unwrap())
        .output()
        .unwrap();
    cat.wait().unwrap();
    assert!(output.status.success());
    assert_eq!(
        String::from_utf8(output.stdout).unwrap().lines().count(),
        25
    );
}
