//! The program as a person uses it.

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use jiff::{SignedDuration, Timestamp};
use wrackline_log::join;

use crate::demo_log::demo;
use crate::helpers::{fieldlog, room, text};
use crate::pictures::{GOOD, Shot, jpeg};

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo/log.csv");

#[track_caller]
fn good(output: Output) -> String {
    assert!(
        output.status.success(),
        "{}{}",
        text(&output.stdout),
        text(&output.stderr)
    );
    text(&output.stdout)
}

/// Refused: exit code 2, nothing on standard output, and the message says what it must.
#[track_caller]
fn refused(output: Output, wanted: &[&str]) {
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(output.stdout.is_empty(), "{}", text(&output.stdout));
    for part in wanted {
        assert!(said.contains(part), "'{said}' does not say '{part}'");
    }
}

fn with_demo() -> tempfile::TempDir {
    let (folder, _) = room("");
    let said = good(fieldlog(folder.path(), &["import", DEMO]));
    assert!(said.starts_with("25 entries added"), "{said}");
    folder
}

#[test]
fn the_demo_comes_in_with_one_command_and_twice_is_once() {
    let folder = with_demo();
    let said = good(fieldlog(folder.path(), &["import", DEMO]));
    assert!(
        said.starts_with("0 entries added to fieldlog.sqlite, 25 were there already"),
        "{said}"
    );
    let list = good(fieldlog(folder.path(), &["show", "--place", "tallow-ness"]));
    assert_eq!(list.lines().count(), 1 + 15);
}

#[test]
fn a_table_from_an_editor_that_saves_utf_16_comes_in_and_one_with_semicolons_is_named() {
    let demo = std::fs::read_to_string(DEMO).unwrap();
    let (folder, path) = room("wide.csv");
    let wide: Vec<u8> = format!("\u{feff}{demo}")
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    std::fs::write(&path, wide).unwrap();
    let said = good(fieldlog(folder.path(), &["import", "wide.csv"]));
    assert!(said.starts_with("25 entries added"), "{said}");
    std::fs::write(&path, demo.replace(',', ";")).unwrap();
    refused(
        fieldlog(folder.path(), &["import", "wide.csv"]),
        &["line 1", "semicolons"],
    );
}

#[test]
fn every_export_that_can_come_back_does() {
    let folder = with_demo();
    let folder = folder.path();
    for (format, name) in [("csv", "all.csv"), ("jsonl", "all.jsonl")] {
        good(fieldlog(
            folder,
            &["export", "--format", format, "--conditions", "--out", name],
        ));
        let other = format!("{format}.sqlite");
        let said = good(fieldlog(folder, &["--log", &other, "import", name]));
        assert!(said.starts_with("25 entries added"), "{said}");
        let export = |log: &str| good(fieldlog(folder, &["--log", log, "export", "--conditions"]));
        assert_eq!(export("fieldlog.sqlite"), export(&other));
    }
}

#[test]
fn darwin_core_keeps_places_and_notes_to_itself() {
    let folder = with_demo();
    let folder = folder.path();
    let names = ["--scientific-name", "reed-owl=Asio inventus"];
    let coarse = fieldlog(
        folder,
        &[&["export", "--format", "darwin-core"][..], &names].concat(),
    );
    let warnings = text(&coarse.stderr);
    assert!(
        warnings.contains("23 occurrences; 2 visits called off left out."),
        "{warnings}"
    );
    let coarse = good(coarse);
    for secret in [
        "Tallow",
        "53.40",
        "1.20",
        "seat A",
        "seat B",
        "ridge",
        "tallow-ness",
    ] {
        let leaks = coarse.lines().skip(1).filter(|line| {
            line.replace("exact place, seat and notes", "")
                .contains(secret)
        });
        assert_eq!(leaks.count(), 0, "{secret}");
    }
    let mut reader = csv::Reader::from_reader(coarse.as_bytes());
    let header = reader.headers().unwrap().clone();
    let column = |name: &str| header.iter().position(|known| known == name).unwrap();
    let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 23);
    let of = |id: &str, name: &str| {
        let row = rows
            .iter()
            .find(|row| &row[column("occurrenceID")] == id)
            .unwrap();
        row[column(name)].to_owned()
    };
    assert_eq!(of("fieldlog:L14", "occurrenceStatus"), "absent");
    assert_eq!(of("fieldlog:L14", "individualCount"), "0");
    assert_eq!(of("fieldlog:L14", "samplingEffort"), "90 observer-minutes");
    assert_eq!(
        (
            of("fieldlog:L14", "sampleSizeValue"),
            of("fieldlog:L14", "sampleSizeUnit")
        ),
        ("90".into(), "minute".into())
    );
    assert_eq!(of("fieldlog:L14", "scientificName"), "Asio inventus");
    assert_eq!(of("fieldlog:L20", "occurrenceStatus"), "present");
    assert_eq!(
        (
            of("fieldlog:L20", "decimalLatitude"),
            of("fieldlog:L20", "decimalLongitude")
        ),
        ("53.45".into(), "1.25".into())
    );
    // A cell of a tenth of a degree at 53.4 degrees north: half of 11.1 km by half of 6.6 km to the
    // corner.
    let uncertainty: f64 = of("fieldlog:L20", "coordinateUncertaintyInMeters")
        .parse()
        .unwrap();
    assert!((6_400.0..6_550.0).contains(&uncertainty), "{uncertainty}");
    assert!(of("fieldlog:L20", "dataGeneralizations").contains("0.1 degree"));
    let exact = good(fieldlog(
        folder,
        &["export", "--format", "darwin-core", "--exact"],
    ));
    assert!(exact.contains("53.40160") && exact.contains("Tallow Ness"));
    refused(
        fieldlog(
            folder,
            &["export", "--format", "darwin-core", "--grid", "0"],
        ),
        &["--grid"],
    );
}

#[test]
fn an_entry_by_options_then_amended() {
    let (folder, _) = room("");
    let folder = folder.path();
    let said = good(fieldlog(
        folder,
        &[
            "add",
            "--when",
            "2026-01-24 08:52",
            "--seat",
            "b",
            "--subject",
            "slate knotling",
            "--outcome",
            "picture",
            "--count",
            "2400",
            "--distance-m",
            "48",
            "--unease",
            "3",
            "--unease-distance-m",
            "48",
            "--flushes",
            "0",
        ],
    ));
    for part in [
        "Added 2026-01-24.",
        "tallow-ness",
        "High water",
        "Mind: 48 m; the slate knotling asks for 60 m from a hide",
    ] {
        assert!(said.contains(part), "'{said}' does not say '{part}'");
    }
    let said = good(fieldlog(
        folder,
        &[
            "amend",
            "2026-01-24",
            "--count",
            "2300",
            "--clear",
            "flushes",
            "--why",
            "recount",
        ],
    ));
    assert!(
        said.contains("(recount)") && said.contains("count: '2400' became '2300'"),
        "{said}"
    );
    assert!(said.contains("flushes: '0' became nothing"), "{said}");
    let learnt = good(fieldlog(folder, &["learn"]));
    assert!(learnt.contains("Alarmed at 48 m (2026-01-24)"), "{learnt}");
    // One and a quarter times 48 m is 60 m, no more than the scenario asks for already: never a
    // smaller distance.
    assert!(
        learnt.contains("the scenario's 85 m on foot and 60 m from a hide hold"),
        "{learnt}"
    );
    good(fieldlog(
        folder,
        &[
            "amend",
            "2026-01-24",
            "--distance-m",
            "75",
            "--unease-distance-m",
            "72.5",
        ],
    ));
    let learnt = good(fieldlog(folder, &["learn", "--distance", "70"]));
    assert!(learnt.contains("keep 91 m"), "{learnt}");
    assert!(
        learnt.contains("Planned 70 m is inside what alarmed them"),
        "{learnt}"
    );
    // Farther than what alarmed them, yet nearer than a quarter beyond it.
    let learnt = good(fieldlog(folder, &["learn", "--distance", "80"]));
    assert!(
        learnt.contains("Planned 80 m is nearer than that: stay farther away."),
        "{learnt}"
    );
    assert!(!good(fieldlog(folder, &["learn", "--distance", "91"])).contains("Planned"));
}

#[test]
fn a_slip_of_the_pen_is_asked_about() {
    let (folder, _) = room("");
    let add = |arguments: &[&str]| {
        good(fieldlog(
            folder.path(),
            &[&["add", "--seat", "A", "--outcome", "select"], arguments].concat(),
        ))
    };
    // Four hours after high water.
    let said = add(&["--when", "2026-11-23T08:30Z", "--subject", "slate-knotling"]);
    assert!(
        said.contains("far under the push level of 6.80 m; check the time"),
        "{said}"
    );
    let said = add(&["--when", "2026-01-24T08:52Z", "--subject", "reed-owl"]);
    assert!(
        said.contains("does not have the reed owl at Tallow Ness")
            && !said.contains("check the time"),
        "{said}"
    );
}

fn answer(folder: &Path, answers: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_fieldlog"))
        .current_dir(folder)
        .arg("add")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(answers.as_bytes())
        .unwrap();
    child.wait_with_output().unwrap()
}

#[test]
fn an_entry_by_answers() {
    let (folder, _) = room("");
    // A wrong date, a wrong seat and a wrong outcome are asked for again.
    let answers = "\n2036-01-24\n2026-01-24 08:52\nZ\nB\nslate-knotling\nlovely\nselect\n2400\n.\n";
    let output = answer(folder.path(), answers);
    let asked = text(&output.stderr);
    let said = good(output);
    assert!(
        said.contains("Added 2026-01-24.") && said.contains("select"),
        "{said}"
    );
    for part in [
        "lies in the future",
        "there is no seat \"Z\" in the scenario",
        "'lovely' is not an outcome",
        "(A, B, C, D, E, F)",
    ] {
        assert!(asked.contains(part), "'{asked}' does not say '{part}'");
    }
    let (folder, path) = room("fieldlog.sqlite");
    refused(
        answer(folder.path(), "\n2026-01-24\n"),
        &["nothing was written"],
    );
    assert!(wrackline_log::Log::open(&path).unwrap().is_empty().unwrap());
}

#[test]
fn answers_that_contradict_each_other_are_asked_for_again_and_kept() {
    let (folder, _) = room("");
    // The wrong seat, and back to it: what was answered is shown.
    let answers = "\n2026-01-24 08:52\nB\n<\nA\nslate-knotling\ncalled off\n.\n";
    let output = answer(folder.path(), answers);
    let asked = text(&output.stderr);
    assert!(asked.contains(" [B]: "), "{asked}");
    good(output);
    let log = wrackline_log::Log::read(&folder.path().join("fieldlog.sqlite")).unwrap();
    let records = log.records().unwrap();
    assert_eq!(records[0].entry.seat.as_deref(), Some("A"));

    // Called off, and yet put to flight: told at the end, and only the fields concerned come again.
    let skipped = "\n".repeat(before("flushes"));
    let answers = format!("\n2026-01-25 08:52\nB\nslate-knotling\ncalled off\n{skipped}1\n.\n");
    let output = answer(folder.path(), &format!("{answers}absent\n\n\n\n"));
    let asked = text(&output.stderr);
    good(output);
    assert!(asked.contains("This does not go together:"), "{asked}");
    assert!(asked.contains("is 'called off', yet"), "{asked}");
    assert!(
        asked.contains(" [called off]: ") && asked.contains(" [1]: "),
        "{asked}"
    );
    let records = log.records().unwrap();
    let entry = &records
        .iter()
        .find(|r| r.entry.id == "2026-01-25")
        .unwrap()
        .entry;
    assert_eq!(entry.flushes, Some(1));
    assert_eq!(entry.outcome, wrackline_log::Outcome::Absent);
}

/// Optional questions between the outcome and a field.
fn before(field: &str) -> usize {
    let at = |name: &str| {
        let mut fields = wrackline_log::FIELDS.iter();
        fields.position(|field| field.name == name).unwrap()
    };
    at(field) - at("outcome") - 1
}

#[test]
fn an_entry_that_was_broken_off_is_gone_on_with() {
    let (folder, _) = room("");
    let kept = folder.path().join("fieldlog.sqlite.draft");
    let begun = "\n2026-01-24 08:52\nB\nslate-knotling\n";
    refused(
        answer(folder.path(), begun),
        &["kept in fieldlog.sqlite.draft"],
    );
    assert!(kept.is_file());
    // Nothing said: nothing lost.
    refused(answer(folder.path(), ""), &["still kept"]);
    let output = answer(folder.path(), "yes\nselect\n.\n");
    assert!(text(&output.stderr).contains("not finished: 2026-01-24 08:52, "));
    assert!(good(output).contains("Added 2026-01-24."));
    assert!(!kept.exists());
    refused(answer(folder.path(), begun), &["kept in"]);
    refused(
        answer(folder.path(), "no\n\n2026-01-25\n"),
        &["the answers ended at 'seat'"],
    );
    assert!(
        std::fs::read_to_string(&kept)
            .unwrap()
            .contains("2026-01-25")
    );
}

#[test]
fn what_is_wrong_is_refused_with_exit_code_2_and_changes_nothing() {
    let folder = with_demo();
    let folder = folder.path();
    let before = std::fs::read(folder.join("fieldlog.sqlite")).unwrap();
    let add = |arguments: &[&str]| fieldlog(folder, &[&["add"][..], arguments].concat());
    let rest = ["--subject", "slate-knotling", "--outcome", "picture"];
    refused(
        add(&[&["--when", "2099-01-01", "--seat", "A"][..], &rest].concat()),
        &["--when", "future", "nothing was written"],
    );
    refused(
        add(&[
            &["--when", "2026-01-01", "--place", "tallow nes"][..],
            &rest,
        ]
        .concat()),
        &["--place", "did you mean"],
    );
    refused(
        add(&["--when", "2026-01-01"]),
        &["--place", "--subject", "--outcome", "missing"],
    );
    refused(
        add(&[
            &["--when", "2026-01-01", "--seat", "A", "--id", "L01"][..],
            &rest,
        ]
        .concat()),
        &["L01", "differs", "amend"],
    );
    refused(
        fieldlog(folder, &["amend", "L99", "--count", "1"]),
        &["L99"],
    );
    refused(
        fieldlog(folder, &["amend", "L01", "--count", "0"]),
        &["count", "they were there", "nothing was taken"],
    );
    refused(
        fieldlog(folder, &["amend", "L01", "--clear", "outcome"]),
        &["outcome", "missing"],
    );
    refused(fieldlog(folder, &["amend", "L01"]), &["fields to change"]);
    refused(fieldlog(folder, &["show", "L00"]), &["L00", "did you mean"]);
    refused(
        fieldlog(folder, &["import", "nowhere.csv"]),
        &["nowhere.csv"],
    );
    refused(
        fieldlog(folder, &["learn", "--place", "tallow"]),
        &["no place \"tallow\""],
    );
    refused(fieldlog(folder, &["learn", "--fade", "2"]), &["--fade"]);
    refused(
        fieldlog(folder, &["learn", "--pressure", "10", "--wind", "W3"]),
        &["--pressure"],
    );
    refused(fieldlog(folder, &["photos", "nowhere"]), &["nowhere"]);
    refused(
        fieldlog(folder, &["--zone", "Mars/Base", "show"]),
        &["--zone"],
    );
    std::fs::write(
        folder.join("half.csv"),
        format!(
            "{}X1,2026-01-24,nowhere,,slate-knotling,picture,,,,,,,,,,,\n",
            std::fs::read_to_string(DEMO).unwrap().replace("L0", "M0")
        ),
    )
    .unwrap();
    refused(
        fieldlog(folder, &["import", "half.csv"]),
        &["line 27", "place", "nothing was taken"],
    );
    std::fs::write(folder.join("not.sqlite"), "hello").unwrap();
    refused(
        fieldlog(folder, &["--log", "not.sqlite", "show"]),
        &["not a field log", "left alone"],
    );
    assert_eq!(
        std::fs::read(folder.join("fieldlog.sqlite")).unwrap(),
        before
    );
}

#[test]
fn pictures_become_a_visit_with_its_tide_and_light() {
    let folder = with_demo();
    let folder = folder.path();
    let (scenario, records) = demo();
    let l20 = records
        .iter()
        .find(|record| record.entry.id == "L20")
        .unwrap();
    let high_water = join::conditions(&scenario, &l20.entry)
        .unwrap()
        .high_water_at
        .unwrap();
    let pictures = folder.join("card");
    std::fs::create_dir(&pictures).unwrap();
    let write = |name: &str, at: Timestamp, rating: i8| {
        // The camera ran three minutes ahead.
        let shown = at + SignedDuration::from_mins(3) + SignedDuration::from_hours(1);
        let shown = shown
            .to_zoned_datetime(jiff::tz::TimeZone::UTC)
            .strftime("%Y:%m:%d %H:%M:%S")
            .to_string();
        let shot = Shot {
            taken: Some(&shown),
            fraction: None,
            rating: Some(rating),
            ..GOOD
        };
        std::fs::write(pictures.join(name), jpeg(shot)).unwrap();
    };
    let before = |minutes: i64| high_water - SignedDuration::from_mins(minutes);
    for (name, minutes, rating) in [
        ("a.jpg", 110, 0),
        ("b.jpg", 95, 4),
        ("c.jpg", 60, 5),
        ("d.jpg", 40, 4),
        ("e.jpg", 5, 2),
    ] {
        write(name, before(minutes), rating);
    }
    let next_day = high_water + SignedDuration::from_hours(24);
    write("f.jpg", next_day, 1);
    std::fs::write(pictures.join("broken.jpg"), &jpeg(GOOD)[..300]).unwrap();
    let arguments = ["photos", "card", "--seat", "B", "--camera-ahead", "3m"];
    let said = good(fieldlog(folder, &arguments));
    assert!(said.contains("broken.jpg is cut off"), "{said}");
    assert!(
        said.contains("In all, your 3 selects lie between 40 and 95 minutes before high water"),
        "{said}"
    );
    // The same from a reference picture.
    let reference = [
        "photos",
        "card",
        "--seat",
        "B",
        "--reference",
        "card/c.jpg",
        "--taken-at",
    ];
    let taken_at = before(60).to_string();
    let said = good(fieldlog(
        folder,
        &[&reference[..], &[taken_at.as_str()]].concat(),
    ));
    assert!(
        said.contains("between 40 and 95 minutes before high water"),
        "{said}"
    );
    // The first visit is L20; the second is new.
    let add = [&arguments[..], &["--add", "--subject", "slate-knotling"]].concat();
    let said = good(fieldlog(folder, &add));
    assert!(said.contains("Added: 2026-01-25."), "{said}");
    let said = good(fieldlog(folder, &add));
    assert!(
        said.contains("No entry added.")
            && said.contains("L20 differs: pictures: nothing would become '5'"),
        "{said}"
    );
    refused(
        fieldlog(folder, &["photos", "card", "--seat", "Q"]),
        &["no seat \"Q\""],
    );
}

#[test]
fn lessons_and_their_charts() {
    let folder = with_demo();
    let folder = folder.path();
    let said = good(fieldlog(
        folder,
        &[
            "learn",
            "--from",
            "2026-11-25",
            "--charts",
            "charts",
            "--pressure",
            "1034",
            "--wind",
            "SE3",
        ],
    ));
    for part in [
        "in range, water 6.80-8.10 m  8 of 9  82 %  61-96 %",
        "in range, other water        0 of 4",
        "Pushed between 6.72 m (L05) and 7.15 m (L15); a high water near 6.9 m",
        "Drowned between 7.73 m (L04) and 8.32 m (L22); a high water near 8.0 m",
        "Set aside, other people were about: L08.",
        "too few visits to tell",
        "At 1034 hPa and SE3",
    ] {
        assert!(said.contains(part), "'{said}' does not say '{part}'");
    }
    let svg =
        std::fs::read_to_string(folder.join("charts/tallow-ness-slate-knotling-push.svg")).unwrap();
    assert!(svg.starts_with("<svg") && svg.contains("20 to 40"), "{svg}");
    let said = good(fieldlog(folder, &["review"]));
    assert!(
        said.contains("5 would not be allowed: L03, L06, L16, L23, L25."),
        "{said}"
    );
}

/// A log from another coast: nothing is lost by asking with the wrong scenario.
#[test]
fn a_scenario_that_does_not_fit_the_log() {
    let folder = with_demo();
    let folder = folder.path();
    let demo = include_str!("../../../demo/oskerrow.toml");
    std::fs::write(
        folder.join("other.toml"),
        demo.replace("\"tallow-ness\"", "\"elsewhere\""),
    )
    .unwrap();
    let other = |task: &str| good(fieldlog(folder, &["--scenario", "other.toml", task]));
    assert!(
        other("learn")
            .contains("15 of them are of places or subjects that the scenario does not have")
    );
    let said = other("rejoin");
    assert!(
        said.starts_with("0 entries have other conditions") && said.contains("15 are at places"),
        "{said}"
    );
    // A push level moved by a decimetre: the conditions follow, and the earlier ones stay in the
    // history.
    std::fs::write(
        folder.join("moved.toml"),
        demo.replace("push_m = 6.8\n", "push_m = 6.9\n"),
    )
    .unwrap();
    let said = good(fieldlog(folder, &["--scenario", "moved.toml", "rejoin"]));
    assert!(
        said.starts_with("14 entries have other conditions"),
        "{said}"
    );
    let said = good(fieldlog(folder, &["show", "L20"]));
    assert!(
        said.contains("Revision 2") && said.contains("conditions worked out anew"),
        "{said}"
    );
}

#[test]
fn what_is_printed() {
    let folder = with_demo();
    let folder = folder.path();
    insta::assert_snapshot!(
        "show",
        good(fieldlog(folder, &["show", "--place", "overmere"]))
    );
    insta::assert_snapshot!("review", good(fieldlog(folder, &["review"])));
    insta::assert_snapshot!(
        "learn",
        good(fieldlog(folder, &["learn", "--subject", "reed-owl"]))
    );
}

#[test]
fn what_is_learnt_as_one_page() {
    let folder = with_demo();
    let folder = folder.path();
    let page = ["learn", "--from", "2026-11-25", "--output", "learned.html"];
    let said = good(fieldlog(folder, &page));
    assert!(said.contains("Written: learned.html"), "{said}");
    let html = std::fs::read_to_string(folder.join("learned.html")).unwrap();
    for part in [
        "<h2>What to do next</h2>",
        "would tell most about the level that pushes",
        "Pushed between 6.72 m (L05) and 7.15 m (L15)",
        "<svg",
        "id=\"t-1\"",
        "id=\"t-2\"",
    ] {
        assert!(html.contains(part), "no '{part}'");
    }
    // Whole in itself, small, and without the places' coordinates.
    for foreign in ["<script", "src=", "href=", "url(", "53.4", "1.21"] {
        assert!(!html.contains(foreign), "{foreign}");
    }
    assert!(html.len() < 100_000, "{}", html.len());
    assert_eq!(html.matches("id=\"t-1\"").count(), 1);
}

#[test]
fn numbers_that_cannot_be_are_refused_briefly() {
    let folder = with_demo();
    let folder = folder.path();
    refused(
        fieldlog(folder, &["learn", "--distance", "-3"]),
        &["--distance: -3 is not a distance from 0.1 to 20000 m"],
    );
    for huge in [["--fade", "1e300"], ["--distance", "1e300"]] {
        let output = fieldlog(folder, &[&["learn"][..], &huge].concat());
        assert!(text(&output.stderr).len() < 200, "{}", text(&output.stderr));
        refused(output, &["1e300"]);
    }
    let digits = "9".repeat(300);
    let output = fieldlog(
        folder,
        &[
            "add",
            "--when",
            "2026-01-01",
            "--seat",
            "A",
            "--subject",
            "slate-knotling",
            "--outcome",
            "picture",
            "--count",
            &digits,
        ],
    );
    assert!(text(&output.stderr).len() < 300, "{}", text(&output.stderr));
    refused(output, &["--count: '999", "whole number from 0"]);
}

#[test]
fn a_log_that_keeps_nothing_or_cannot_be_written() {
    let (folder, _) = room("");
    let folder = folder.path();
    let visit = [
        "add",
        "--when",
        "2026-01-01",
        "--seat",
        "A",
        "--subject",
        "slate-knotling",
        "--outcome",
        "picture",
    ];
    let add = |log: &str| fieldlog(folder, &[&["--log", log][..], &visit].concat());
    refused(add(":memory:"), &[":memory:", "not the name of a file"]);
    let output = add("nowhere/log.sqlite");
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(
        output.stdout.is_empty() && said.contains("check that its folder is there"),
        "{said}"
    );
}

#[test]
fn pictures_of_a_logged_visit_are_shown_and_amend_it_only_when_asked() {
    let (folder, _) = room("");
    let folder = folder.path();
    let write = |name: &str, rating: i8| {
        let shot = Shot {
            rating: Some(rating),
            ..GOOD
        };
        std::fs::write(folder.join("card").join(name), jpeg(shot)).unwrap();
    };
    std::fs::create_dir(folder.join("card")).unwrap();
    std::fs::write(folder.join("card/sound.wav"), "").unwrap();
    write("a.jpg", 1);
    let add = [
        "photos",
        "card",
        "--seat",
        "B",
        "--add",
        "--subject",
        "slate-knotling",
    ];
    let said = good(fieldlog(folder, &add));
    assert!(said.contains("Skipped, not read here: 1 .wav"), "{said}");
    assert!(said.contains("Added: 2026-01-24."), "{said}");
    // The second camera's card, and a rating that came later.
    write("b.jpg", 5);
    let said = good(fieldlog(folder, &add));
    let wanted = "2026-01-24 differs: outcome: 'picture' would become 'select', \
                  pictures: '1' would become '2', selects: '0' would become '1'.";
    assert!(
        said.contains(wanted) && said.contains("Give --amend as well"),
        "{said}"
    );
    let history = || good(fieldlog(folder, &["show", "2026-01-24"]));
    assert!(!history().contains("Revision 2"));
    let said = good(fieldlog(folder, &[&add[..], &["--amend"]].concat()));
    assert!(said.contains("Amended 2026-01-24."), "{said}");
    assert!(history().contains("Revision 2"), "{}", history());
    // Another subject of the same hour is a visit of its own.
    let other = [
        "photos",
        "card",
        "--seat",
        "B",
        "--add",
        "--subject",
        "shore plovel",
    ];
    let said = good(fieldlog(folder, &other));
    assert!(said.contains("Added: 2026-01-24-2."), "{said}");
    let behind = ["photos", "card", "--seat", "B", "--camera-ahead=-45s"];
    let said = good(fieldlog(folder, &behind));
    assert!(
        said.contains("Camera behind the true time by 45s"),
        "{said}"
    );
}
