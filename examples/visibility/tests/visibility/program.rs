//! The program from outside: what it says, and how it ends.

use std::fs;
use std::io::Read;
use std::process::{Command, Output, Stdio};

use wrackline_log::{Draft, Log, join};
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_visibility"))
        .args(arguments)
        .output()
        .unwrap()
}

fn said(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn the_columns_are_documented() {
    let output = run(&["schema"]);
    assert!(output.status.success());
    insta::assert_snapshot!("schema", String::from_utf8(output.stdout).unwrap());
    let csv = run(&["schema", "--format", "csv"]);
    let mut csv = csv::Reader::from_reader(csv.stdout.as_slice());
    assert_eq!(csv.records().map(Result::unwrap).count(), 19);
    let json = run(&["schema", "--format", "json"]);
    let json: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    assert_eq!(json.as_array().unwrap().len(), 19);
}

#[test]
fn a_day_of_the_demo() {
    let arguments = [
        "--from",
        "2026-12-29T08:00:00Z",
        "--to",
        "2026-12-29T11:00:00Z",
        "--step",
        "30m",
    ];
    let output = run(&arguments);
    assert!(output.status.success());
    assert_eq!(
        said(&output),
        "visibility: no scenario given: this is the invented demo\n",
        "no caution and no bar in a pipe"
    );
    insta::assert_snapshot!(
        "demo",
        String::from_utf8(output.stdout).unwrap().replace('\r', "")
    );
}

#[test]
fn a_log_keeps_its_distances_and_a_subject_its_seats() {
    let folder = tempfile::tempdir().unwrap();
    let log = folder.path().join("log.sqlite");
    let mut draft = Draft::default();
    for (field, text) in [
        ("when", "2026-01-24T09:00Z"),
        ("seat", "A"),
        ("subject", "slate-knotling"),
        ("outcome", "picture"),
        ("unease", "2"),
        ("unease_distance_m", "84"),
    ] {
        draft.set(field, text).unwrap();
    }
    let scenario = Scenario::parse(DEMO_NAME, DEMO).unwrap();
    let entry = join::gate(&scenario, "2026-11-25T12:00:00Z".parse().unwrap());
    let entry = entry.accept(&draft).unwrap();
    let conditions = join::conditions(&scenario, &entry);
    let mut kept = Log::open_or_create(&log).unwrap();
    kept.add(&[(entry, conditions)], scenario.zone()).unwrap();
    drop(kept);
    let log = log.to_str().unwrap();
    let day = [
        "--from",
        "2026-12-29",
        "--subject",
        "slate-knotling",
        "--place",
        "tallow-ness",
    ];
    let usable = |more: &[&str]| {
        let output = run(&[&day[..], more].concat());
        assert!(output.status.success(), "{}", said(&output));
        let mut csv = csv::Reader::from_reader(output.stdout.as_slice());
        let head = csv.headers().unwrap().clone();
        let at = |name: &str| head.iter().position(|head| head == name).unwrap();
        let (seat, usable) = (at("seat"), at("usable"));
        let rows: Vec<_> = csv.records().map(Result::unwrap).collect();
        rows.iter()
            .filter(|row| &row[seat] == "A" && &row[usable] == "true")
            .count()
    };
    assert!(usable(&[]) > 0);
    assert_eq!(
        usable(&["--log", log]),
        0,
        "alarmed at 84 m, the seat is at 85 m"
    );
    let nowhere = run(&["--subject", "reed-owl", "--place", "withy"]);
    assert_eq!(nowhere.status.code(), Some(2));
    assert!(
        said(&nowhere).contains("found at no seat"),
        "{}",
        said(&nowhere)
    );
}

#[test]
fn places_from_csv_and_geojson_are_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let (csv, json, ports) = (
        folder.path().join("p.csv"),
        folder.path().join("p.geojson"),
        folder.path().join("ports.csv"),
    );
    fs::write(
        &csv,
        "place,latitude_deg,longitude_deg,elevation_m,bearing_deg,push_m,port,zone\n\
         \"spit, end\",53.4,1.2,3,292,2.5,haven,Europe/London\nmoor,54.1,-2.2,310,,,,\n",
    )
    .unwrap();
    fs::write(
        &json,
        r#"{"type": "FeatureCollection", "features": [
            {"type": "Feature", "geometry": {"type": "Point", "coordinates": [1.2, 53.4, 3]},
             "properties": {"place": "spit, end", "bearing_deg": 292, "push_m": 2.5,
              "port": "haven", "zone": "Europe/London"}},
            {"type": "Feature", "id": "moor",
             "geometry": {"type": "Point", "coordinates": [-2.2, 54.1, 310]},
             "properties": null}
        ]}"#,
    )
    .unwrap();
    fs::write(
        &ports,
        "port,convention,constituent,amplitude_m,phase_lag_deg\nhaven,iho-instant,Z0,2.9,\n\
         haven,iho-instant,M2,1.9,171\nhaven,iho-instant,S2,0.7,219\n",
    )
    .unwrap();
    let table = |places: &std::path::Path| {
        let output = Command::new(env!("CARGO_BIN_EXE_visibility"))
            .arg("--places")
            .arg(places)
            .arg("--ports")
            .arg(&ports)
            .args([
                "--from",
                "2026-07-01",
                "--step",
                "3h",
                "--sun-altitude",
                "0..12",
            ])
            .output()
            .unwrap();
        assert!(output.status.success(), "{}", said(&output));
        String::from_utf8(output.stdout).unwrap().replace('\r', "")
    };
    let from_csv = table(&csv);
    assert_eq!(from_csv, table(&json));
    insta::assert_snapshot!("places", from_csv);
}

#[test]
fn wrong_input_is_told_with_file_line_and_field() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let places = write(
        "p.csv",
        "place,latitude_deg,longitud_deg,push_m,overtop_m,port,zone\n\
         a,99,3,5,4,haven,UTC\na,10,3,x,,,Nowhere\nb,1\n",
    );
    let json = write(
        "p.geojson",
        "{\"type\": \"FeatureCollection\", \"features\": [\n\
         {\"type\": \"Feature\", \"geometry\": {\"type\": \"Point\", \"coordinates\": [1, 91]}, \
         \"properties\": {\"place\": \"n\"}},\n\
         {\"type\": \"Feature\", \"geometry\": {\"type\": \"LineString\", \
         \"coordinates\": [[1, 9], [2, 8]]}, \
         \"properties\": {}},\n\
         {\"type\": \"Feature\", \"geometry\": {\"type\": \"Point\", \"coordinates\": [1, 9]}, \
         \"properties\": {\"plaice\": \"n\"}}]}",
    );
    let good = write("good.csv", "place,latitude_deg,longitude_deg\na,50,3\n");
    let ports = write(
        "ports.csv",
        "port,convention,constituent,amplitude_m,phase_lag_deg\nh,iho,M2,1,0\n\
         h,iho-instant,MX,1,0\nk,iho-instant,M2,1,500\n",
    );
    let instants = write("i.txt", "2026-01-01T00:00:00Z\nnoon\n2025-01-01\n");
    let mut all = String::new();
    for arguments in [
        vec!["--places", &places],
        vec!["--places", &json],
        vec!["--places", &good, "--ports", &ports],
        vec!["--instants", &instants],
        vec!["--light", "moonshine"],
        vec!["--step", "0s"],
        vec!["--from", "yesterday"],
        vec!["--from", "2026-01-02", "--to", "2026-01-01"],
        vec!["--from", "1500-01-01"],
        vec!["--zone", "Nowhere"],
        vec!["--places", "none.csv"],
    ] {
        let output = run(&arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(output.stdout.is_empty());
        all.push_str(&said(&output).replace(folder.path().to_str().unwrap(), ""));
    }
    insta::assert_snapshot!("wrong_input", all);
}

#[test]
fn a_closed_pipe_ends_the_run_quietly() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_visibility"))
        .args([
            "--from",
            "2026-01-01",
            "--to",
            "2026-06-01",
            "--group-rows",
            "1000",
        ])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut some = [0; 1000];
    let mut stdout = child.stdout.take().unwrap();
    stdout.read_exact(&mut some).unwrap();
    drop(stdout);
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(
        said(&output),
        "visibility: no scenario given: this is the invented demo\n"
    );
}

/// The program itself, killed without warning as soon as some groups are there.
#[test]
fn a_killed_program_goes_on_where_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let command = |name: &str| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_visibility"));
        command
            .args(["--from", "2026-11-01", "--to", "2026-12-20", "--step", "5m"])
            .args([
                "--group-rows",
                "500",
                "--threads",
                "2",
                "--timings",
                "--output",
            ])
            .arg(folder.path().join(name))
            .stderr(Stdio::piped());
        command
    };
    assert!(command("whole.parquet").status().unwrap().success());

    let record = folder.path().join("t.parquet.groups");
    let mut child = command("t.parquet").spawn().unwrap();
    let lines = || fs::read_to_string(&record).map_or(0, |text| text.lines().count());
    while lines() < 8 {
        assert!(
            child.try_wait().unwrap().is_none(),
            "it ended before it could be killed"
        );
        std::thread::yield_now();
    }
    child.kill().unwrap();
    child.wait().unwrap();
    assert!(!folder.path().join("t.parquet").exists());

    let second = command("t.parquet").output().unwrap();
    assert!(second.status.success());
    let timings: serde_json::Value = serde_json::from_slice(&second.stderr).unwrap();
    let whole = fs::read(folder.path().join("whole.parquet")).unwrap();
    assert!(fs::read(folder.path().join("t.parquet")).unwrap() == whole);
    let rows = 6 * 49 * 288;
    let computed = timings["rows"].as_u64().unwrap();
    assert!(
        computed < rows && computed > 0,
        "{computed} of {rows} rows were computed by the second run"
    );
}

#[test]
fn parts_joined_are_the_table() {
    let lines = |extra: &[&str]| -> Vec<String> {
        let request = [
            "--from",
            "2026-12-29",
            "--to",
            "2026-12-31",
            "--group-rows",
            "50",
        ];
        let output = run(&[&request, extra].concat());
        assert!(output.status.success(), "{}", said(&output));
        let text = String::from_utf8(output.stdout).unwrap();
        text.lines().skip(1).map(str::to_owned).collect()
    };
    let mut whole = lines(&[]);
    let mut joined: Vec<String> = (1..=6)
        .flat_map(|part| lines(&["--part", &format!("{part}/6")]))
        .collect();
    assert!(whole.len() > 1000 && joined.len() == whole.len());
    whole.sort();
    joined.sort();
    assert_eq!(joined, whole);
}

#[test]
fn a_part_that_is_none_is_refused() {
    for (part, said_of_it) in [
        ("0/6", "K from 1 to N"),
        ("7/6", "K from 1 to N"),
        ("x", "K/N"),
        ("1/99999999", "--part: "),
    ] {
        let output = run(&["--from", "2026-12-29", "--part", part]);
        assert_eq!(output.status.code(), Some(2), "{part}");
        assert!(output.stdout.is_empty());
        assert!(said(&output).contains(said_of_it), "{}", said(&output));
    }
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    for arguments in [&["--step", "1m"][..], &["schema"]] {
        let mut child = Command::new(env!("CARGO_BIN_EXE_visibility"))
            .args(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{arguments:?}: {output:?}");
        let said = said(&output);
        let said = said.lines().filter(|line| !line.contains("invented demo"));
        assert_eq!(said.collect::<Vec<_>>(), [""; 0], "{arguments:?}");
    }
}
