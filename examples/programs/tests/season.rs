//! The program `season` from outside: wrong input and the schema.
#![allow(clippy::unwrap_used)]

mod support;

use support::Program;
use wrackline_plan::scenario::{DEMO, SCHEMA};

const SEASON: Program = Program(env!("CARGO_BIN_EXE_season"));

/// The demo with one piece of text replaced; the piece must be there.
fn demo_with(old: &str, new: &str) -> String {
    assert!(DEMO.contains(old), "the demo no longer has: {old}");
    DEMO.replacen(old, new, 1)
}

/// Exit code 2, nothing on the standard output, and a message with all of `words`.
fn refused(arguments: &[&str], words: &[&str]) {
    let message = SEASON.refused(arguments);
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
        &["tallow-nes", "did you mean tallow-ness"],
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
    assert_eq!(SEASON.printed(&["--schema"]), SCHEMA);
}

/// The demo with a seat's distance that its coordinates contradict, in a file.
fn implausible(folder: &tempfile::TempDir) -> String {
    let path = folder.path().join("odd.toml");
    std::fs::write(&path, demo_with("distance_m = 16", "distance_m = 216")).unwrap();
    path.to_str().unwrap().to_owned()
}

const IMPLAUSIBLE: &str = "seat \"F\" > distance_m: 216 m to the animals";

#[test]
fn check_tells_what_is_implausible_and_strict_refuses_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = implausible(&folder);
    let output = SEASON.run(&[&path, "--check"]);
    assert!(output.status.success());
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(text.contains(IMPLAUSIBLE), "{text}");
    assert!(text.contains("no problem found, 1 warning;"), "{text}");
    for arguments in [
        vec![path.as_str(), "--check", "--strict"],
        vec![path.as_str(), "--strict"],
    ] {
        refused(
            &arguments,
            &[IMPLAUSIBLE, "1 problem: nothing was computed"],
        );
    }
    let output = SEASON.run(&["--check", "--strict"]);
    assert!(output.status.success());
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(text.contains("no problem found, no warning;"), "{text}");
}

#[test]
fn every_answer_carries_the_warnings() {
    let folder = tempfile::tempdir().unwrap();
    let path = implausible(&folder);
    let season = |more: &[&str]| {
        let few = [path.as_str(), "--from", "2026-12-29", "--days", "2"];
        let output = SEASON.run(&[&few, more].concat());
        assert!(output.status.success());
        let text = |bytes| String::from_utf8(bytes).unwrap();
        (text(output.stdout), text(output.stderr))
    };
    // Above the answer, and not a second time beside it.
    for more in [&[][..], &["--why", "2026-12-29"]] {
        let (text, aside) = season(more);
        let warned = text.find(IMPLAUSIBLE).unwrap();
        assert!(warned < text.find("B Spit End hide").unwrap(), "{text}");
        assert!(aside.is_empty(), "{aside}");
    }
    let (json, aside) = season(&["--format", "json"]);
    assert!(aside.is_empty(), "{aside}");
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let warning = &json["warnings"][0];
    assert_eq!(warning["field"], "seat \"F\" > distance_m");
    for field in ["file", "line", "column", "what", "remedy"] {
        assert!(!warning[field].is_null(), "{field}");
    }
    // A format that others read has no room for them.
    let (csv, aside) = season(&["--format", "csv"]);
    assert!(!csv.contains(IMPLAUSIBLE));
    assert!(aside.contains("season: warning: "), "{aside}");
    assert!(aside.contains(IMPLAUSIBLE), "{aside}");
}

#[test]
fn one_slip_in_many_seats_is_told_once_on_the_standard_error() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("odd.toml");
    std::fs::write(&path, DEMO.replace("[[89, 0], [90,", "[[90,")).unwrap();
    let output = SEASON.run(&[path.to_str().unwrap(), "--days", "1", "--format", "csv"]);
    let aside = String::from_utf8(output.stderr).unwrap();
    assert_eq!(aside.lines().count(), 1, "{aside}");
    assert!(aside.contains("(and 2 more like it)"), "{aside}");
}

/// The year of an animal as `presence` writes it, with one share for every half-month.
fn year(place: &str, share: f64) -> String {
    let halves: Vec<String> = (0..24)
        .map(|half| {
            let name = wrackline_plan::scenario::half_month_name(half);
            format!("{{\"half_month\":\"{name}\",\"share\":{share}}}")
        })
        .collect();
    format!(
        "{{\"place\":{{\"id\":\"{place}\"}},\"animal\":{{\"id\":\"slate-knotling\"}},\
         \"half_months\":[{}]}}",
        halves.join(",")
    )
}

#[test]
fn others_sightings_weigh_only_with_a_weight() {
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let rare = file("rare.json", &year("tallow-ness", 0.0));
    let days = ["--from", "2026-12-01", "--days", "14", "--format", "csv"];
    let plain = SEASON.printed(&days);
    let asked = |more: &[&str]| SEASON.printed(&[&days[..], more].concat());
    assert_eq!(asked(&["--presence", &rare]), plain);
    let weighed = asked(&["--presence", &rare, "--presence-weight", "8"]);
    assert_ne!(weighed, plain);
    assert_eq!(weighed.lines().count(), plain.lines().count());
    let refused = |more: &[&str]| SEASON.refused(&[&days[..], more].concat());
    let elsewhere = file("elsewhere.json", &year("tallow-nes", 0.5));
    let said = refused(&["--presence", &elsewhere]);
    assert!(
        said.contains("elsewhere.json") && said.contains("tallow-ness"),
        "{said}"
    );
    assert!(refused(&["--presence", &rare, "--presence", &rare]).contains("second year"));
    let said = refused(&["--presence", &rare, "--presence-weight=-1"]);
    assert!(said.contains("--presence-weight"), "{said}");
    let broken = file("broken.json", "{");
    assert!(refused(&["--presence", &broken]).contains("presence --format json"));
}

/// A forecast as a file: what it says, and what is wrong in it.
#[test]
fn a_forecast_is_told_and_a_wrong_one_refused() {
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let days = ["--from", "2026-12-27", "--days", "7", "--weather"];
    let week = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo/oskerrow_week.csv");
    let told = SEASON.printed(&[&days[..], &[week]].concat());
    for part in [
        "weather    forecast",
        "broken at",
        "upper water up to",
        "a hint",
    ] {
        assert!(told.contains(part), "{part} is missing from: {told}");
    }
    let gone = file("gone.csv", "at,pressure_hpa\n2026-11-01T00:00Z,990\n");
    let told = SEASON.printed(&[&days[..], &[gone.as_str()]].concat());
    assert!(told.contains("no forecast for this time"), "{told}");
    let wrong = file("wrong.csv", "at,presure_hpa\n2026-12-29T00:00Z,990\n");
    refused(
        &[&days[..], &[wrong.as_str()]].concat(),
        &["wrong.csv:1:1", "did you mean pressure_hpa?"],
    );
    let wrong = file("high.csv", "at,pressure_hpa\n2026-12-29T00:00Z,2990\n");
    refused(
        &[&days[..], &[wrong.as_str()]].concat(),
        &["high.csv:2:1: pressure_hpa: 2990", "870 to 1090 hPa"],
    );
    refused(
        &[&days[..], &[file("empty.csv", "").as_str()]].concat(),
        &["empty.csv:1:1", "holds no forecast"],
    );
    refused(
        &[&days[..], &[folder.path().to_str().unwrap()]].concat(),
        &["cannot be read"],
    );
}
