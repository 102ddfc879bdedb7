//! The program `horizon`, run as a stranger would.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking, in its helpers too"
)]

use std::path::Path;
use std::process::{Command, Output};

use wrackline_plan::scenario::{DEMO, Scenario};

/// A tile of 3 seconds of arc for the corner that the demo lies in: sea in the west, a ridge of
/// 200 m that runs north to south 11 km east of the demo's seats.
fn tile(folder: &Path, void: bool) {
    let mut bytes = Vec::with_capacity(2 * 1201 * 1201);
    for row in 0..1201_i32 {
        for column in 0..1201_i32 {
            let inside_void = void && (700..720).contains(&row) && (400..420).contains(&column);
            let height: i16 = match column {
                _ if inside_void => i16::MIN,
                440.. => 200,
                ..=200 => 0,
                _ => 3,
            };
            bytes.extend(height.to_be_bytes());
        }
    }
    std::fs::write(folder.join("N53E001.hgt"), bytes).unwrap();
}

fn horizon(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_horizon"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .unwrap()
}

fn good(output: &Output) -> String {
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// What a run that must fail says; it must print nothing.
fn refused(output: &Output) -> String {
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
    String::from_utf8(output.stderr.clone()).unwrap()
}

const SEEN: [&str; 6] = ["--seat", "B", "--elevation", ".", "--range", "12.5"];

fn with<'a>(more: &[&'a str]) -> Vec<&'a str> {
    SEEN.iter().copied().chain(more.iter().copied()).collect()
}

#[test]
fn the_lines_for_the_scenario_are_a_seat_s_skyline() {
    let folder = tempfile::tempdir().unwrap();
    tile(folder.path(), false);
    let output = horizon(folder.path(), &with(&["--output", "b.toml"]));
    assert_eq!(good(&output), "");
    assert!(String::from_utf8_lossy(&output.stderr).contains("the invented demo"));
    let lines = std::fs::read_to_string(folder.path().join("b.toml")).unwrap();
    let start = lines.find("horizon_deg").unwrap();
    assert!(lines[..start].lines().all(|line| line.starts_with("# ")));
    // Pasted into the seat's table it is read without a word of warning.
    let seat = DEMO.find("id = \"B\"\n").unwrap();
    let old = seat + DEMO[seat..].find("horizon_deg").unwrap();
    let end = old + DEMO[old..].find('\n').unwrap();
    let folder_of_demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo");
    let pasted = format!("{}{lines}{}", &DEMO[..old], &DEMO[end + 1..]);
    // The port that the demo includes.
    let port = "oskerrow_port.toml";
    std::fs::copy(folder_of_demo.join(port), folder.path().join(port)).unwrap();
    let path = folder.path().join("pasted.toml");
    std::fs::write(&path, pasted).unwrap();
    let scenario = Scenario::open(&path).unwrap_or_else(|problems| panic!("{problems}"));
    let before = Scenario::parse("demo", DEMO).unwrap();
    assert_eq!(scenario.warnings().len(), before.warnings().len());
    let skyline = scenario.seat("B").unwrap().skyline.clone().unwrap();
    // The ridge begins at the post of column 440, 1.3667 degrees east: 10.9 km away, 197 m over the
    // ground of the seat and 1.2 m less over the eye; the Earth takes 8.1 m of that.
    let east = skyline.altitude_deg(90.0).unwrap();
    let known = ((200.0 - 3.0 - 1.2 - 8.1_f64) / 10_930.0)
        .atan()
        .to_degrees();
    assert!(
        (known - 0.01..known + 0.12).contains(&east),
        "{east} {known}"
    );
    let west = skyline.altitude_deg(270.0).unwrap();
    assert!((-0.2..0.1).contains(&west), "{west}");
}

#[test]
fn every_format_tells_the_same() {
    let folder = tempfile::tempdir().unwrap();
    tile(folder.path(), false);
    let text = good(&horizon(folder.path(), &with(&["--step", "90"])));
    let east = text
        .lines()
        .find(|line| line.trim_start().starts_with("90\u{b0}"))
        .unwrap();
    assert!(east.contains("200 m") && east.contains("1.366"), "{east}");
    assert!(text.contains("horizon_deg = ["));
    let json = good(&horizon(folder.path(), &with(&["--format", "json"])));
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["bearings"].as_array().unwrap().len(), 360);
    assert_eq!(json["gaps"], serde_json::json!([]));
    assert_eq!(json["not_written"], serde_json::Value::Null);
    let altitude = json["bearings"][90]["obstacle"]["altitude_deg"]
        .as_f64()
        .unwrap();
    let csv = good(&horizon(folder.path(), &with(&["--format", "csv"])));
    assert!(csv.contains("\r\n"));
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let row = reader.records().nth(90).unwrap().unwrap();
    assert_eq!((&row[0], row[2].parse()), ("90", Ok(altitude)));
    assert_eq!((&row[7], &row[9]), ("./N53E001.hgt", "range"));
    let svg = good(&horizon(
        folder.path(),
        &with(&["--format", "svg", "--date", "2026-12-29"]),
    ));
    for name in [
        "June solstice",
        "equinox",
        "December solstice",
        "29 Dec 2026",
        "view on",
    ] {
        assert!(svg.contains(name), "{name}");
    }
    // A position needs no scenario; south of the equator north is the middle.
    let position = [
        "--latitude",
        "53.4",
        "--longitude",
        "1.2",
        "--elevation",
        "N53E001.hgt",
    ];
    let all: Vec<&str> = position.into_iter().chain(["--range", "5"]).collect();
    assert!(good(&horizon(folder.path(), &all)).starts_with("Skyline of the position"));
}

#[test]
fn what_is_not_known_is_told_and_not_written_as_known() {
    let folder = tempfile::tempdir().unwrap();
    tile(folder.path(), true);
    let text = good(&horizon(folder.path(), &with(&[])));
    assert!(text.contains("No lines for the scenario") && !text.contains("horizon_deg = "));
    assert!(
        text.contains("(void)") && text.contains("would stand above"),
        "{text}"
    );
    let said = refused(&horizon(folder.path(), &with(&["--output", "b.toml"])));
    assert!(
        said.contains("known only to") && said.contains("--partial"),
        "{said}"
    );
    assert!(!folder.path().join("b.toml").exists());
    let lines = good(&horizon(
        folder.path(),
        &with(&["--format", "toml", "--partial"]),
    ));
    assert!(
        lines
            .lines()
            .any(|line| line.starts_with("# ") && line.contains("known only to"))
    );
    let lines = good(&horizon(
        folder.path(),
        &with(&["--format", "toml", "--voids", "0"]),
    ));
    assert!(!lines.contains("known only to") && lines.contains("stand for 0 m"));
    // Beyond the tile, too.
    let far = [
        "--seat",
        "B",
        "--elevation",
        ".",
        "--range",
        "30",
        "--voids",
        "0",
    ];
    let said = refused(&horizon(
        folder.path(),
        &[&far[..], &["--format", "toml"]].concat(),
    ));
    assert!(said.contains("edge of the data"), "{said}");
}

#[test]
fn wrong_input_is_answered_and_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    tile(at, false);
    std::fs::write(at.join("empty.tif"), b"").unwrap();
    std::fs::write(at.join("N54E001.hgt"), b"short").unwrap();
    std::fs::create_dir(at.join("nothing")).unwrap();
    for (arguments, words) in [
        (
            &["--seat", "B", "--elevation", "not.tif"][..],
            "not.tif: cannot be read",
        ),
        (
            &["--seat", "B", "--elevation", "empty.tif"],
            "empty.tif: at byte 0",
        ),
        (&["--seat", "B", "--elevation", "N54E001.hgt"], "at byte 5"),
        (
            &["--seat", "B", "--elevation", "nothing"],
            "holds no elevation data",
        ),
        (
            &["--seat", "Q", "--elevation", "N53E001.hgt"],
            "there is no seat",
        ),
        (
            &["--seat", "B", "--elevation", "N53E001.hgt", "--range", "0"],
            "range",
        ),
        (
            &[
                "--seat",
                "B",
                "--elevation",
                "N53E001.hgt",
                "--eye-height",
                "-3",
            ],
            "height of the eye",
        ),
        (
            &["--seat", "B", "--elevation", "N53E001.hgt", "--step", "7"],
            "divides 360",
        ),
        (&["--seat", "B"], "--elevation"),
        (&["--elevation", "N53E001.hgt"], "--seat"),
        (
            &["--latitude", "53.4", "--elevation", "N53E001.hgt"],
            "--longitude",
        ),
        (
            &[
                "--latitude",
                "10",
                "--longitude",
                "1.2",
                "--elevation",
                "N53E001.hgt",
            ],
            "none of the 1 elevation files covers",
        ),
    ] {
        let output = horizon(at, &[arguments, &["--output", "b.toml"]].concat());
        let said = refused(&output);
        assert!(said.contains(words), "{arguments:?}: {said}");
        assert!(!at.join("b.toml").exists());
    }
    // A folder instead of an output, and a pipe.
    let output = horizon(
        at,
        &[
            "--seat",
            "B",
            "--elevation",
            "N53E001.hgt",
            "--range",
            "5",
            "--output",
            "nothing",
        ],
    );
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stderr).contains("it is a folder"));
    #[cfg(unix)]
    {
        let said = refused(&horizon(at, &["--seat", "B", "--elevation", "/dev/stdin"]));
        assert!(said.contains("/dev/stdin"), "{said}");
    }
}
