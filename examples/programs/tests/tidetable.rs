//! The program `tidetable`: what it prints, and what wrong input gets.
#![allow(clippy::unwrap_used)]

mod support;

use support::Program;

const TIDETABLE: Program = Program(env!("CARGO_BIN_EXE_tidetable"));
const DAY: [&str; 4] = ["--from", "2026-12-29", "--days", "1"];

fn day_in(format: &str) -> String {
    TIDETABLE.printed(&[&DAY[..], &["--format", format]].concat())
}

#[test]
fn text_names_datum_zone_and_caution() {
    let text = TIDETABLE.printed(&DAY);
    insta::assert_snapshot!(text, @r"
    Oskerrow Water (invented)
    Heights in metres above local chart datum. Times in UTC.
    Constants: invented for the demo. Convention: Schureman, factors of the instant.

    day             time   water       height
    Tue 2026-12-29  03:44  low water     1.76
                    09:34  high water    7.67
                    16:16  low water     1.12
                    22:13  high water    6.96

    Water: estimated from a prediction, not for navigation. It leaves out surge, wind, rain, waves and shifting channels; creeks fill behind you and fog takes away bearings. Check the official tables and local advice.
    ");
}

#[test]
fn all_formats_hold_the_same_turns() {
    let csv = day_in("csv");
    assert!(csv.starts_with("port,datum,at_utc,at_local,water,height_m,status\r\n"));
    assert_eq!(csv.lines().count(), 5);
    assert!(csv.contains("2026-12-29T09:33:39Z") && csv.contains("not for navigation"));

    let json: serde_json::Value = serde_json::from_str(&day_in("json")).unwrap();
    assert_eq!(json["turns"].as_array().unwrap().len(), 4);
    assert!(json["cautions"][0].as_str().unwrap().contains("estimated"));

    let ics = day_in("ics");
    assert!(ics.lines().all(|line| line.len() <= 75));
    assert!(ics.split_terminator('\n').all(|line| line.ends_with('\r')));
    let calendars: Vec<_> = ical::IcalParser::new(ics.as_bytes())
        .collect::<Result<_, _>>()
        .unwrap();
    assert_eq!(calendars[0].events.len(), 4);
}

#[test]
fn times_follow_the_zone_through_a_change_of_clocks() {
    let csv = TIDETABLE.printed(&[
        "--from",
        "2026-10-25",
        "--days",
        "1",
        "--zone",
        "Europe/London",
        "--format",
        "csv",
    ]);
    let local: Vec<&str> = csv
        .lines()
        .skip(1)
        .map(|line| line.split(',').nth(3).unwrap())
        .collect();
    assert!(
        local.iter().all(|at| at.starts_with("2026-10-25")),
        "{local:?}"
    );
    assert!(local.iter().any(|at| at.ends_with("+00:00")));
}

#[test]
fn a_table_of_constants_in_other_units_gives_the_same_tide() {
    let folder = tempfile::tempdir().unwrap();
    let metres = folder.path().join("metres.csv");
    let feet = folder.path().join("feet.csv");
    std::fs::write(&metres, "name,amplitude_m,lag_g_deg\nM2,1.524,60\n").unwrap();
    std::fs::write(&feet, "name,amplitude_ft,lag_utc+1_deg\nM2,5,88.9841042\n").unwrap();
    let rows = |path: &std::path::Path| {
        let path = path.display().to_string();
        let csv = TIDETABLE.printed(
            &[
                &[
                    path.as_str(),
                    "--mean-level",
                    "2",
                    "--datum",
                    "LAT",
                    "--convention",
                    "iho-instant",
                    "--format",
                    "csv",
                ],
                &DAY[..],
            ]
            .concat(),
        );
        csv.lines()
            .skip(1)
            .map(|line| line.split_once(',').unwrap().1.to_owned())
            .collect::<Vec<_>>()
    };
    assert_eq!(rows(&metres), rows(&feet));
}

#[test]
fn a_file_is_replaced_whole_or_left() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("table.txt");
    std::fs::write(&path, "old").unwrap();
    let shown = path.display().to_string();
    TIDETABLE.refused(&["--output", &shown, "--days", "0"]);
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "old");
    assert!(
        TIDETABLE
            .printed(&[&DAY[..], &["--output", &shown]].concat())
            .is_empty()
    );
    assert!(
        std::fs::read_to_string(&path)
            .unwrap()
            .contains("high water")
    );
}

#[test]
fn wrong_input_is_named_with_its_remedy() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.display().to_string()
    };
    let demo = wrackline_plan::port::DEMO;
    let nan = write("nan.toml", &demo.replacen("2.52", "nan", 1));
    let message = TIDETABLE.refused(&[&nan]);
    assert!(
        message.contains("nan.toml") && message.contains("amplitude of M2"),
        "{message}"
    );
    let unknown = write("unknown.toml", &demo.replacen("\"NU2\"", "\"NUU2\"", 1));
    assert!(TIDETABLE.refused(&[&unknown]).contains("did you mean"));
    let bare = write("bare.csv", "name,amplitude_m,lag_g_deg\nM2,1,0\n");
    assert!(TIDETABLE.refused(&[&bare]).contains("--mean-level"));
    let mixed = write(
        "mixed.csv",
        "name,amplitude_m,amplitude_ft,lag_g_deg\nM2,1,3,0\n",
    );
    let extras = [
        "--mean-level",
        "0",
        "--datum",
        "LAT",
        "--convention",
        "iho-instant",
    ];
    assert!(
        TIDETABLE
            .refused(&[&[mixed.as_str()], &extras[..]].concat())
            .contains("line 1")
    );
    let cell = write("cell.csv", "name,amplitude_m,lag_g_deg\nM2,one,0\n");
    assert!(
        TIDETABLE
            .refused(&[&[cell.as_str()], &extras[..]].concat())
            .contains("line 2: the amplitude is `one`")
    );
    assert!(
        TIDETABLE
            .refused(&["--zone", "Atlantis/City"])
            .contains("Atlantis/City")
    );
    assert!(
        TIDETABLE
            .refused(&["nowhere.toml"])
            .contains("nowhere.toml")
    );
    assert!(TIDETABLE.refused(&["--days", "0"]).contains("1 to 3660"));
}
