//! The program `harmonics`: constants come back, and wrong input gets its line and remedy.
#![allow(clippy::unwrap_used)]

mod support;

use support::Program;
use wrackline_plan::port::{DEMO, PortFile};
use wrackline_plan::scenario::{Scenario, Warning};

const HARMONICS: Program = Program(env!("CARGO_BIN_EXE_harmonics"));
const TIDETABLE: Program = Program(env!("CARGO_BIN_EXE_tidetable"));

/// The demo readings hold made weather of some 10 cm: what the port was made of must be found
/// within four errors.
#[test]
fn the_demo_finds_what_it_was_made_of() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("found.json").display().to_string();
    let picture = folder.path().join("found.svg").display().to_string();
    let printed_to_file = HARMONICS.printed(&[
        "--convention",
        "schureman-instant",
        "--format",
        "json",
        "--output",
        &file,
        "--picture",
        &picture,
    ]);
    assert!(printed_to_file.is_empty());
    let found: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(&file).unwrap()).unwrap();
    let made = PortFile::parse("demo", DEMO).unwrap();
    let fitted = found["analysis"]["constituents"].as_array().unwrap();
    for name in ["M2", "S2", "N2", "K2", "K1", "O1", "M4", "MS4", "M6"] {
        let truth = made
            .port
            .harmonics()
            .find(|(known, _)| known.name() == name)
            .unwrap()
            .1;
        let line = fitted.iter().find(|line| line["name"] == name).unwrap();
        let (amplitude, error) = (
            line["amplitude_m"].as_f64().unwrap(),
            line["amplitude_error_m"].as_f64().unwrap(),
        );
        // Neighbours that 220 days do not resolve (T2 on S2) come on top.
        let near = 4.0 * error
            + if name == "S2" || name == "K2" {
                0.05
            } else {
                0.0
            };
        assert!(
            (amplitude - truth.amplitude_m).abs() < near,
            "{name}: {amplitude} ± {error}"
        );
    }
    // The picture is one document with three lines of data.
    let svg = std::fs::read_to_string(&picture).unwrap();
    assert!(svg.starts_with("<svg") && svg.trim_end().ends_with("</svg>"));
    assert_eq!(svg.matches("<polyline").count(), 3);
    assert!(!svg.contains("NaN") && !svg.contains("inf"));
    // The other program reads the file.
    assert!(
        TIDETABLE
            .printed(&[&file, "--from", "2026-12-29", "--days", "1"])
            .contains("high water")
    );
}

#[test]
fn a_table_says_errors_residual_and_caution() {
    let text = HARMONICS.printed(&["--constituents", "M2,S2,N2,K1,O1", "--robust", "--trend"]);
    for part in [
        "constituent",
        "error",
        "Trend",
        "Residual",
        "not for navigation",
        "M2",
    ] {
        assert!(text.contains(part), "{text}");
    }
    let csv = HARMONICS.printed(&["--constituents", "M2,S2", "--format", "csv"]);
    let rows: Vec<&str> = csv.lines().filter(|line| !line.starts_with('#')).collect();
    assert!(rows[0].starts_with("name,speed_deg_per_h,amplitude_m"));
    assert_eq!(rows.len(), 3);
}

/// Forty readings an hour apart of a tide of 2 m, with what a gauge writes where it has none.
fn short_record(folder: &tempfile::TempDir) -> String {
    let mut text = String::from("at,height_cm\n");
    for hour in 0..40 {
        let angle = (28.984_104 * f64::from(hour)).to_radians();
        let level = if hour == 7 {
            -9999.0
        } else {
            300.0 + 200.0 * angle.cos()
        };
        let (day, hour) = (1 + hour / 24, hour % 24);
        text.push_str(&format!("2026-03-{day:02}T{hour:02}:00Z,{level:.1}\n"));
    }
    let path = folder.path().join("short.csv");
    std::fs::write(&path, text).unwrap();
    path.display().to_string()
}

#[test]
fn what_stands_for_a_missing_reading_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let path = short_record(&folder);
    let silent = HARMONICS.refused(&[&path, "--constituents", "M2"]);
    assert!(
        silent.contains("-99.99") && silent.contains("--missing"),
        "{silent}"
    );
    let told = [&path, "--constituents", "M2", "--missing", "-9999"];
    let text = HARMONICS.printed(&told);
    assert!(
        text.contains("39 readings") && text.contains("1 missing"),
        "{text}"
    );
    assert!(text.contains("explains 100.00 %"), "{text}");
}

/// Forty hours hardly part M2 from O1's double and M4 from M6, let alone thirteen lines: each way
/// of writing says so.
#[test]
fn every_format_says_what_to_beware_of() {
    let folder = tempfile::tempdir().unwrap();
    let path = short_record(&folder);
    let told = [
        &path,
        "--missing",
        "-9999",
        "--constituents",
        "K1,M2,M3,M4,M5,M6,M8,S6,M10,M12",
        "--accept-short",
    ];
    let text = HARMONICS.printed(&told);
    assert!(
        text.contains("Beware: 39 readings for 21 unknowns"),
        "{text}"
    );
    let csv = HARMONICS.printed(&[&told[..], &["--format", "csv"]].concat());
    let rows = || csv.lines().filter(|line| !line.starts_with('#'));
    assert!(rows().next().unwrap().ends_with(",warnings"));
    assert!(
        rows()
            .skip(1)
            .all(|line| line.contains("39 readings for 21 unknowns")),
        "{csv}"
    );
    let json = HARMONICS.printed(&[&told[..], &["--format", "json"]].concat());
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let few = &json["analysis"]["warnings"][0]["few_readings"];
    assert_eq!(
        (few["readings"].as_u64(), few["unknowns"].as_u64()),
        (Some(39), Some(21))
    );
}

#[test]
fn satellites_take_their_latitude_along() {
    let arguments = [
        "--constituents",
        "M2,S2",
        "--convention",
        "foreman-instant@58.25",
    ];
    assert!(
        HARMONICS
            .printed(&arguments)
            .contains("Convention: Foreman")
    );
    let json = HARMONICS.printed(&[&arguments[..], &["--format", "json"]].concat());
    assert!(json.contains("58.25"), "{json}");
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("found.json");
    std::fs::write(&file, json).unwrap();
    let file = file.display().to_string();
    let table = TIDETABLE.printed(&[&file, "--from", "2026-12-29", "--days", "1"]);
    assert!(table.contains("high water"));
    let wrong = HARMONICS.refused(&["--convention", "foreman-instant@95"]);
    assert!(wrong.contains("foreman-instant@LATITUDE"), "{wrong}");
}

#[test]
fn wrong_readings_are_named_with_their_lines() {
    let folder = tempfile::tempdir().unwrap();
    let write = |text: &str| {
        let path = folder.path().join("readings.csv");
        std::fs::write(&path, text).unwrap();
        path.display().to_string()
    };
    let both = HARMONICS.refused(&[&write(
        "at,height_m\n2026-01-01T00:00Z,1\nyesterday,2\n2026-01-01T02:00Z,high\n",
    )]);
    assert!(
        both.contains("line 3") && both.contains("yesterday"),
        "{both}"
    );
    assert!(
        both.contains("line 4") && both.contains("\"high\""),
        "{both}"
    );
    assert!(
        HARMONICS
            .refused(&[&write("at,height_m\n2026-01-01T00:00,1\n")])
            .contains("--zone")
    );
    assert!(
        HARMONICS
            .refused(&[&write("at,level\n2026-01-01T00:00Z,1\n")])
            .contains("height_m")
    );
    assert!(
        HARMONICS
            .refused(&[&write("at,height_m,height_ft\n2026-01-01T00:00Z,1,3\n")])
            .contains("two units")
    );
    assert!(
        HARMONICS
            .refused(&[&write("at,height_m\n2026-01-01T00:00Z,1\n")])
            .contains("fewer than 25")
    );
    assert!(
        HARMONICS
            .refused(&["--infer", "P1=K1"])
            .contains("P1:K1:0.331:-1.2")
    );
    assert!(
        HARMONICS
            .refused(&["--constituents", "M2,XQ9"])
            .contains("XQ9")
    );
    assert!(HARMONICS.refused(&["nowhere.csv"]).contains("nowhere.csv"));
    assert!(
        HARMONICS
            .refused(&["--constituents", "M2,KO2"])
            .contains("cannot be told apart")
    );
}

/// Hours of a made-up tide of M2 and S2.
fn hours(count: u32) -> String {
    let mut text = "at,height_m\n".to_owned();
    let start: jiff::Timestamp = "2026-01-01T00:00:00Z".parse().unwrap();
    for hour in 0..count {
        let at = start + jiff::SignedDuration::from_hours(i64::from(hour));
        let turn = |speed: f64| (speed * f64::from(hour)).to_radians().cos();
        let height = 4.0 + 2.0 * turn(28.984_104) + 0.7 * turn(30.0);
        text += &format!("{at},{height:.3}\n");
    }
    text
}

#[test]
fn a_record_too_short_to_plan_by_says_so_in_every_answer() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    std::fs::write(path("short.csv"), hours(3 * 24)).unwrap();
    for format in ["toml", "json", "csv"] {
        let told = HARMONICS.refused(&[&path("short.csv"), "--format", format]);
        assert!(told.contains("3.0 days of readings"), "{told}");
        assert!(told.contains("--accept-short"), "{told}");
    }
    // To look at, the table is there, and says it too.
    let table = HARMONICS.printed(&[&path("short.csv")]);
    assert!(
        table.contains("Beware: the constants come from 3.0 days"),
        "{table}"
    );
    for format in ["toml", "json", "csv"] {
        let file = path(&format!("port.{format}"));
        HARMONICS.printed(&[
            &path("short.csv"),
            "--format",
            format,
            "--accept-short",
            "--output",
            &file,
        ]);
        for written in ["text", "csv", "json", "ics"] {
            let days = ["--from", "2026-03-01", "--days", "1", "--format", written];
            let mut arguments = vec![file.as_str()];
            arguments.extend(days);
            let table = TIDETABLE.printed(&arguments).replace("\r\n ", "");
            assert!(
                table.contains("3.0 days of readings"),
                "{format}, {written}: {table}"
            );
        }
    }
    let port = std::fs::read_to_string(path("port.toml")).unwrap();
    let scenario = Scenario::parse("short.toml", &of_scenario(&port)).unwrap();
    let warned = |warning: &Warning| warning.to_string().contains("3.0 days of readings");
    assert!(scenario.warnings().iter().any(warned));
}

/// A scenario around a port.
/// What the length of a record cannot part stands in the JSON as it does in the table, until it is
/// inferred.
#[test]
fn the_port_carries_what_its_record_cannot_part() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("hours.csv").display().to_string();
    std::fs::write(&path, hours(60 * 24)).unwrap();
    let lengths = |more: &[&str]| {
        let json = HARMONICS.printed(&[&[path.as_str(), "--format", "json"], more].concat());
        let json: serde_json::Value = serde_json::from_str(&json).unwrap();
        let warnings = json["analysis"]["warnings"].as_array().unwrap().clone();
        let lengths = warnings.iter().map(|it| it["record_length"].clone());
        lengths.filter(|it| !it.is_null()).collect::<Vec<_>>()
    };
    let both = &lengths(&[])[0];
    assert!(
        both["what"]
            .as_str()
            .unwrap()
            .contains("do not part K2 from S2")
    );
    assert_eq!(
        both["infer"],
        serde_json::json!(["K2:S2:0.272:0", "P1:K1:0.331:0"])
    );
    let k2 = [
        "--constituents",
        "M2,S2,N2,K1,O1",
        "--infer",
        "K2:S2:0.272:0",
    ];
    assert_eq!(
        lengths(&k2)[0]["infer"],
        serde_json::json!(["P1:K1:0.331:0"])
    );
    let p1 = ["--infer", "P1:K1:0.331:0"];
    let neither = &lengths(&[&k2[..], &p1].concat())[0];
    assert!(neither["what"].as_str().unwrap().contains("SA: 365 do"));
    assert_eq!(neither["infer"], serde_json::json!([]));
}

fn of_scenario(port: &str) -> String {
    format!(
        r#"
title = "short"
zone = "UTC"
{port}
[[light]]
name = "day"
altitude_deg = [0, 90]
overcast = true
[[place]]
id = "p"
name = "place"
latitude_deg = 54
longitude_deg = 8
subjects = ["s"]
[[seat]]
id = "a"
name = "seat"
place = "p"
latitude_deg = 54
longitude_deg = 8
bearing_deg = 10
distance_m = 100
in_minutes = 20
out_minutes = 20
[[subject]]
id = "s"
name = "subject"
length_m = 0.5
stand_off_on_foot_m = 90
stand_off_from_hide_m = 50
present = "all year"
"#
    )
}

/// The port that is found is included as it is, and `tidetable` prints the scenario's own.
#[test]
fn a_port_found_is_the_port_of_a_scenario() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    let toml = path("port.toml");
    let format = ["--format", "toml", "--convention", "schureman-instant"];
    let mut arguments = format.to_vec();
    arguments.extend(["--output", &toml]);
    HARMONICS.printed(&arguments);
    let port = std::fs::read_to_string(&toml).unwrap();
    std::fs::write(
        path("coast.toml"),
        format!("include = [\"port.toml\"]\n{}", of_scenario("")),
    )
    .unwrap();
    let scenario = Scenario::open(folder.path().join("coast.toml").as_path()).unwrap();
    let tide = scenario.tide().unwrap();
    assert!(port.contains("schureman-instant"));
    let constants = tide.constants().unwrap();
    assert!(constants.record_days.unwrap() > 200.0);
    assert!(constants.port.harmonics().count() > 20);

    let days = |file: &str| TIDETABLE.printed(&[&path(file), "--from", "2027-01-01"]);
    assert_eq!(days("coast.toml"), days("port.toml"));
    assert!(days("port.toml").contains("high water"));
}

/// What one program writes the other reads, in every form and with no more flags.
#[test]
fn every_form_of_a_port_is_read_as_it_was_written() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    let mut tables = Vec::new();
    for format in ["toml", "json", "csv"] {
        let file = path(&format!("port.{format}"));
        HARMONICS.printed(&["--format", format, "--output", &file, "--name", "here"]);
        let day = ["--from", "2027-01-01", "--days", "2", "--format", "csv"];
        tables.push(TIDETABLE.printed(&[&[file.as_str()][..], &day].concat()));
    }
    assert!(tables[0].lines().count() > 7);
    // Constants are written to a hundredth of a millimetre, and so are the heights that they give.
    let fields = |table: &str| -> Vec<(String, f64)> {
        let rows = table
            .lines()
            .skip(1)
            .map(|row| row.split(',').collect::<Vec<_>>());
        rows.map(|row| (row[4].to_owned(), row[5].parse().unwrap()))
            .collect()
    };
    for other in &tables[1..] {
        for (a, b) in fields(&tables[0]).iter().zip(fields(other)) {
            assert!(a.0 == b.0 && (a.1 - b.1).abs() < 0.0011, "{a:?} {b:?}");
        }
    }
}

/// A year of high and low waters as `tidetable` prints them gives the constants back.
#[test]
fn a_table_of_turns_is_told_by_its_heads() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    let table = path("year.csv");
    let year = ["--from", "2026-01-01", "--days", "365", "--format", "csv"];
    TIDETABLE.printed(&[&year[..], &["--output", &table]].concat());
    let found = HARMONICS.printed(&[&table, "--convention", "schureman-instant"]);
    assert!(found.contains("1410 high and low waters from"), "{found}");
    assert!(found.contains("above local chart datum"), "{found}");
    let m2 = found
        .lines()
        .find(|line| line.trim_start().starts_with("M2 "))
        .unwrap();
    let amplitude: f64 = m2.split_whitespace().nth(1).unwrap().parse().unwrap();
    assert!((amplitude - 2.52).abs() < 0.02, "{m2}");
    // Twenty days of it are too short for a port, and say so.
    let short: Vec<String> = std::fs::read_to_string(&table)
        .unwrap()
        .lines()
        .take(78)
        .map(str::to_owned)
        .collect();
    std::fs::write(path("short.csv"), short.join("\n")).unwrap();
    let refused = HARMONICS.refused(&[&path("short.csv"), "--format", "json"]);
    assert!(refused.contains("--accept-short"), "{refused}");
    // A zone must be known.
    let local = "day,time,height_m\n2026-05-01,04:12,5.1\n,10:20,1.9\n,16:31,5.0\n";
    std::fs::write(path("local.csv"), local).unwrap();
    let refused = HARMONICS.refused(&[&path("local.csv")]);
    assert!(refused.contains("give it with --zone"), "{refused}");
}
