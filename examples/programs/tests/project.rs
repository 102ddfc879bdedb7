//! The program `project` from outside: what it prints for the demo and its log, and what it refuses.
#![allow(clippy::unwrap_used)]

#[path = "../../log/tests/fieldlog/pictures.rs"]
#[allow(dead_code)]
mod pictures;
mod support;

use std::path::Path;

use support::Program;
use wrackline_plan::scenario::DEMO;

const PROJECT: Program = Program(env!("CARGO_BIN_EXE_project"));
const DEMO_LOG: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo/log.csv");
const WINTER: [&str; 4] = ["--from", "2026-12-01", "--days", "90"];

/// The demo's log in a folder.
fn log_in(folder: &Path) -> String {
    let log = folder.join("log.sqlite").display().to_string();
    let fieldlog = Program(env!("CARGO_BIN_EXE_fieldlog"));
    fieldlog.printed(&["--log", &log, "import", DEMO_LOG]);
    log
}

#[test]
fn text_of_the_demo_and_its_log() {
    let folder = tempfile::tempdir().unwrap();
    let log = log_in(folder.path());
    let text = PROJECT.printed(&[&WINTER[..], &["--log", &log]].concat());
    insta::assert_snapshot!(text);
    for width in ["80", "60"] {
        let text = PROJECT.printed(&[&WINTER[..], &["--log", &log, "--width", width]].concat());
        let widest = text.lines().map(|line| line.chars().count()).max();
        let fits: usize = width.parse().unwrap();
        // At 60 columns the figures alone are wider; a row is still one line.
        assert!(widest <= Some(fits.max(80)), "{text}");
    }
}

#[test]
fn json_has_every_picture_and_visit_with_chances_in_order() {
    let folder = tempfile::tempdir().unwrap();
    let log = log_in(folder.path());
    let asked = [&WINTER[..], &["--log", &log, "--format", "json"]].concat();
    let report: serde_json::Value = serde_json::from_str(&PROJECT.printed(&asked)).unwrap();
    assert_eq!(report["demo"], true);
    assert_eq!(report["learned"], true);
    let pictures = report["pictures"].as_array().unwrap();
    let names: Vec<_> = pictures.iter().map(|one| &one["picture"]).collect();
    assert_eq!(names.len(), DEMO.matches("[[wanted]]").count());
    let plan = report["plan"].as_array().unwrap();
    assert!(plan.len() as u64 <= report["visits_left"].as_u64().unwrap());
    assert!(!plan.is_empty());
    for picture in pictures {
        let chance = |key: &str| picture[key].as_f64().unwrap();
        assert!(0.0 <= chance("chance_low") && chance("chance_high") <= 1.0);
        assert!(chance("chance_low") <= chance("chance"), "{picture}");
        assert!(chance("chance") <= chance("chance_high"), "{picture}");
        let name = picture["picture"].as_str().unwrap();
        let brings = |visit: &&serde_json::Value| {
            let pictures = visit["pictures"].as_str().unwrap();
            pictures.split("; ").any(|one| one == name)
        };
        let planned = plan.iter().filter(brings).count();
        assert_eq!(picture["planned"], planned);
    }
    let days: Vec<_> = plan
        .iter()
        .map(|one| one["date"].as_str().unwrap())
        .collect();
    assert!(days.is_sorted() && days.windows(2).all(|pair| pair[0] != pair[1]));
    let csv = PROJECT.printed(&[&WINTER[..], &["--log", &log, "--format", "csv"]].concat());
    let mut rows = csv::Reader::from_reader(csv.as_bytes());
    let rows: Vec<_> = rows.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), plan.len());
    assert!(rows.iter().zip(&days).all(|(row, day)| row[0] == **day));
}

#[test]
fn wrong_input_ends_with_code_2_and_no_output() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("wrong.toml");
    let refused = |arguments: &[&str], words: &[&str]| {
        let message = PROJECT.refused(arguments);
        for word in words {
            assert!(message.contains(word), "{word} is missing from: {message}");
        }
    };
    refused(&["--visits", "400"], &["400 visits", "366"]);
    refused(&["--days", "0"], &["0 days"]);
    refused(&["--from", "2026-2-3"], &["2026-2-3", "YYYY-MM-DD"]);
    refused(&["--from", "2026-02-30"], &["2026-02-30", "no such day"]);
    refused(&["--select-from", "6"], &["6", "1..=5"]);
    refused(&["--selects", "/nowhere"], &["/nowhere"]);
    let file = path.to_str().unwrap();
    let of_place = "name = \"Tallow Ness\"";
    let none_a_month = format!("{of_place}\nmost_visits_a_month = 0");
    std::fs::write(&path, DEMO.replacen(of_place, &none_a_month, 1)).unwrap();
    refused(&[file], &["wrong.toml:", "most_visits_a_month", "1 to 31"]);
    let wanted = DEMO.find("[[wanted]]").unwrap();
    let places = DEMO.find("[[place]]").unwrap();
    std::fs::write(&path, [&DEMO[..wanted], &DEMO[places..]].concat()).unwrap();
    refused(&[file], &["[[wanted]]"]);
}

/// How many there are of a picture, as the answer says.
fn taken(report: &str, name: &str) -> u64 {
    let report: serde_json::Value = serde_json::from_str(report).unwrap();
    let mut pictures = report["pictures"].as_array().unwrap().iter();
    let picture = pictures.find(|picture| picture["picture"] == name).unwrap();
    picture["taken"].as_u64().unwrap()
}

#[test]
fn rated_pictures_count_by_keyword_and_by_folder() {
    let folder = tempfile::tempdir().unwrap();
    let shots = folder.path().join("Lift-Off");
    std::fs::create_dir(&shots).unwrap();
    let shot = |path: std::path::PathBuf, rating: i8, keyword: &str| {
        std::fs::write(&path, pictures::jpeg(pictures::GOOD)).unwrap();
        let packet = format!(
            "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'><rdf:Description \
             xmlns:xmp='http://ns.adobe.com/xap/1.0/' xmlns:dc='http://purl.org/dc/elements/1.1/' \
             xmp:Rating='{rating}'><dc:subject><rdf:Bag><rdf:li>{keyword}</rdf:li></rdf:Bag>\
             </dc:subject></rdf:Description></rdf:RDF>"
        );
        std::fs::write(path.with_extension("xmp"), packet).unwrap();
    };
    shot(shots.join("1.jpg"), 4, "dusk");
    shot(shots.join("2.jpg"), 2, "dusk");
    shot(shots.join("3.jpg"), 5, "Walking off on the ebb");
    shot(folder.path().join("4.jpg"), 3, "lift-off");
    shot(folder.path().join("5.jpg"), 3, "dusk");
    let of = folder.path().to_str().unwrap();
    let few = [
        "--from",
        "2026-12-29",
        "--days",
        "1",
        "--format",
        "json",
        "--selects",
        of,
    ];
    let report = PROJECT.printed(&few);
    assert_eq!(taken(&report, "lift-off"), 2);
    assert_eq!(taken(&report, "walking off on the ebb"), 1);
    assert_eq!(
        taken(&report, "packed at the top of the tide"),
        3,
        "those of the scenario"
    );
    let report = PROJECT.printed(&[&few[..], &["--select-from", "2"]].concat());
    assert_eq!(taken(&report, "lift-off"), 3);
}
