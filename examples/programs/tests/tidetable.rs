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

/// Lines of the table of station 8727328 (NOAA CO-OPS, public domain), and of invented gauges in
/// the layout of TICON-4.
#[test]
fn published_layouts_are_read_as_they_come() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.display().to_string()
    };
    let levels = ["--mean-level", "0.5", "--datum", "MLLW"];
    let refused =
        |path: &str, more: &[&str]| TIDETABLE.refused(&[&[path], &levels[..], more].concat());
    let printed =
        |path: &str, more: &[&str]| TIDETABLE.printed(&[&[path], &DAY[..], &levels, more].concat());
    let station = write(
        "station.txt",
        "Amplitudes are in feet. Phases are in degrees, referenced to Local.\n\
         Constituent #\tName\tAmplitude\tPhase\tSpeed\tDescription\n\
         1\tM2\t0.59\t103.5\t28.984104\tPrincipal lunar semidiurnal constituent\n\
         2\tS2\t0.18\t149.8\t30.0\tPrincipal solar semidiurnal constituent\n",
    );
    assert!(refused(&station, &[]).contains("--lags utc-8"));
    assert!(refused(&station, &["--lags", "local"]).contains("utc+1"));
    assert!(refused(&station, &["--lags", "utc-5", "--amplitudes", "m"]).contains("leave it out"));
    let table = printed(&station, &["--lags", "utc-5"]);
    assert!(table.contains("Schureman, factors of the year"), "{table}");
    // The same in metres and by Greenwich: 103.5 + 5 * 28.9841042 and 149.8 + 5 * 30.
    let heads = write(
        "heads.csv",
        "constituent,Amplitude_m,G\nM2,0.179832,248.420521\nS2,0.054864,299.8\n",
    );
    let same = printed(&heads, &["--convention", "schureman-annual"]);
    let turns = |text: &str| {
        text.lines()
            .filter(|it| it.contains(" water "))
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    assert!(turns(&table).len() >= 3, "{table}");
    assert_eq!(turns(&table), turns(&same));
    let gauges = write(
        "gauges.csv",
        "lat,lon,con,amp,pha,tide_gauge_name\n61.5,-20.5,M2,174.5,-59.5,haven\n\
         62.5,-21.5,M2,100,20,skerry\n62.5,-21.5,QQ9X,2,20,skerry\n",
    );
    let by = ["--convention", "iho-instant"];
    assert!(refused(&gauges, &by).contains("--station, such as \"haven\", \"skerry\""));
    let skerry = [&by[..], &["--station", "skerry"]].concat();
    let unknown = refused(&gauges, &skerry);
    assert!(
        unknown.contains("QQ9X") && unknown.contains("0.020 m"),
        "{unknown}"
    );
    let without = printed(&gauges, &[&skerry[..], &["--leave-out", "QQ9X"]].concat());
    assert!(
        without.contains("TICON, without QQ9X (0.020 m)"),
        "{without}"
    );
    for (name, text) in [("empty.txt", ""), ("prose.txt", "no table\n")] {
        assert!(refused(&write(name, text), &[]).contains("no layout of constants"));
    }
}
