//! How text is fitted to whoever reads it: width, colour, order, and the demo that says so.
#![allow(clippy::unwrap_used)]

mod support;

use std::process::{Command, Stdio};

use support::Program;

const SEASON: Program = Program(env!("CARGO_BIN_EXE_season"));
const SWEEP: Program = Program(env!("CARGO_BIN_EXE_sweep"));
const WINTER: [&str; 4] = ["--from", "2026-11-25", "--days", "96"];

fn season(arguments: &[&str]) -> String {
    SEASON.printed(&[&WINTER[..], arguments].concat())
}

/// The rows of the table of windows.
fn rows(text: &str) -> Vec<&str> {
    let table = text
        .lines()
        .skip_while(|line| !line.trim_start().starts_with("day"));
    let rows = table.skip(1);
    rows.take_while(|line| !line.is_empty()).collect()
}

#[test]
fn at_80_columns_every_window_is_one_line_and_nothing_is_wider() {
    for width in [80, 100, 166] {
        let text = season(&["--width", &width.to_string(), "--count", "15"]);
        let wide = text.lines().find(|line| line.chars().count() > width);
        // A table that has room for everything is told by its head.
        assert_eq!(wide, None, "at {width}");
        assert_eq!(rows(&text).len(), 15, "at {width}: {text}");
    }
    let narrow = season(&["--width", "80", "--count", "1"]);
    let row = rows(&narrow)[0];
    for cell in [
        "Tue 29 Dec 2026",
        "B Spit End hide",
        "08:29-10:49",
        "05:40",
        "14:01",
        "over 99 %",
    ] {
        assert!(row.contains(cell), "{cell} in {row}");
    }
    assert!(
        narrow.contains("   1  slate knotling, 140 min, sun 1 to 12°, light front"),
        "{narrow}"
    );
    // Where there is no terminal, as at 100.
    assert_eq!(
        season(&["--count", "3"]),
        season(&["--count", "3", "--width", "100"])
    );
}

#[test]
fn a_pipe_has_no_colour_unless_it_is_asked_for() {
    assert!(!season(&[]).contains('\u{1b}'));
    assert!(!season(&["--color", "never"]).contains('\u{1b}'));
    assert!(season(&["--color", "always"]).contains("\u{1b}[1mSeats\u{1b}[0m"));
}

fn column(csv: &str, name: &str) -> Vec<String> {
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let at = reader
        .headers()
        .unwrap()
        .iter()
        .position(|head| head == name)
        .unwrap();
    reader
        .records()
        .map(|row| row.unwrap()[at].to_owned())
        .collect()
}

#[test]
fn by_date_the_best_keep_their_ranks() {
    let ranked = season(&["--format", "csv", "--count", "10"]);
    let dated = season(&["--format", "csv", "--count", "10", "--order", "date"]);
    assert_ne!(ranked, dated);
    assert!(column(&dated, "start_utc").is_sorted());
    let ranks: Vec<usize> = column(&dated, "rank")
        .iter()
        .map(|rank| rank.parse().unwrap())
        .collect();
    let mut sorted = ranks.clone();
    sorted.sort_unstable();
    assert_eq!(sorted, (1..=10).collect::<Vec<_>>());
    for (rank, start) in ranks.iter().zip(column(&dated, "start_utc")) {
        assert_eq!(column(&ranked, "start_utc")[rank - 1], start);
    }
}

#[test]
fn spread_gives_one_window_a_place_and_week() {
    let csv = season(&[
        "--format",
        "csv",
        "--count",
        "40",
        "--spread",
        "--subject",
        "all",
    ]);
    let weeks: Vec<_> = column(&csv, "date")
        .into_iter()
        .zip(column(&csv, "place"))
        .map(|(day, place)| {
            let week = day.parse::<jiff::civil::Date>().unwrap().iso_week_date();
            (week.year(), week.week(), place)
        })
        .collect();
    let mut once = weeks.clone();
    once.sort();
    once.dedup();
    assert_eq!(once.len(), weeks.len());
    assert!(weeks.len() > 14, "{}", weeks.len());
    // The first is the best of all.
    assert_eq!(column(&csv, "rank")[0], "1");
}

#[test]
fn whoever_gives_no_scenario_is_told_that_it_is_the_demo() {
    for (program, arguments) in [
        (SEASON, &WINTER[..]),
        (SWEEP, &WINTER[..]),
        (SEASON, &["--why", "2027-01-27"][..]),
    ] {
        let output = program.run(arguments);
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(
            said.contains("no scenario given: this is the invented demo"),
            "{said}"
        );
        let text = String::from_utf8(output.stdout).unwrap();
        assert!(
            text.starts_with("No scenario given: this is the invented demo."),
            "{text}"
        );
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("own.toml");
    std::fs::write(&path, wrackline_plan::scenario::DEMO).unwrap();
    let output = SEASON.run(&[&[path.to_str().unwrap()][..], &WINTER].concat());
    assert!(output.stderr.is_empty());
    assert!(output.stdout.starts_with(b"Oskerrow Water: windows in"));
}

#[test]
fn a_season_without_a_window_names_what_stands_against_most() {
    let arguments = ["--from", "2027-05-01", "--days", "30"];
    let text = String::from_utf8(SEASON.run(&arguments).stdout).unwrap();
    assert!(text.contains("No window. "), "{text}");
    assert!(
        text.contains("stands against most") && text.contains("If that is a surprise"),
        "{text}"
    );
    let json = SEASON.run(&[&arguments[..], &["--format", "json"]].concat());
    let json: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    assert!(
        json["stands_against_most"]["condition"].is_string(),
        "{json}"
    );
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    for (Program(program), arguments) in [
        (SEASON, &WINTER[..]),
        (
            Program(env!("CARGO_BIN_EXE_card")),
            &["--date", "2026-12-29"][..],
        ),
        (SWEEP, &["--days", "30"]),
        (Program(env!("CARGO_BIN_EXE_reach")), &[]),
        (Program(env!("CARGO_BIN_EXE_tidetable")), &[]),
        (SEASON, &["--help"]),
        (SEASON, &["--schema"]),
    ] {
        let mut child = Command::new(program)
            .args(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(
            output.status.code(),
            Some(0),
            "{program} {arguments:?}: {said}"
        );
        let said = said.lines().filter(|line| !line.contains("invented demo"));
        assert_eq!(said.collect::<Vec<_>>(), [""; 0], "{program} {arguments:?}");
    }
}
