//! A scenario whose water is in a printed table: every program says so, and no program goes beyond
//! it.
#![allow(clippy::unwrap_used)]

mod support;

use support::Program;
use wrackline_plan::scenario::DEMO;

const SEASON: Program = Program(env!("CARGO_BIN_EXE_season"));
const CARD: Program = Program(env!("CARGO_BIN_EXE_card"));
const TIDETABLE: Program = Program(env!("CARGO_BIN_EXE_tidetable"));

/// The demo with the table that lies beside it, in a folder of its own.
fn coast(folder: &tempfile::TempDir) -> String {
    let start = DEMO.find("[port]").unwrap();
    let end = DEMO.find("# How far the water may differ").unwrap();
    let port = "[port]\nname = \"Oskerrow Water\"\ndatum = \"local chart datum\"\n\
                turns = \"turns.csv\"\n";
    let text = format!("{}{port}\n{}", &DEMO[..start], &DEMO[end..]);
    let path = folder.path().join("coast.toml");
    std::fs::write(&path, text).unwrap();
    let table = include_str!("../../demo/oskerrow_turns.csv");
    std::fs::write(folder.path().join("turns.csv"), table).unwrap();
    path.display().to_string()
}

#[test]
fn every_answer_says_that_it_is_from_a_table() {
    let folder = tempfile::tempdir().unwrap();
    let coast = coast(&folder);
    let unfolded = |text: String| text.replace("\r\n ", "").replace('\n', " ");
    for format in ["text", "json", "icalendar", "html"] {
        let days = ["--from", "2026-12-26", "--days", "5", "--format", format];
        let told = unfolded(SEASON.printed(&[&[coast.as_str()][..], &days].concat()));
        assert!(told.contains("from a printed table"), "{format}: {told}");
    }
    let day = ["--date", "2026-12-29", "--seat", "B"];
    let card = CARD.printed(&[&[coast.as_str()][..], &day].concat());
    assert!(card.contains("from a printed table"));
    for format in ["text", "csv", "json", "ics"] {
        let days = ["--from", "2026-12-29", "--days", "1", "--format", format];
        let told = unfolded(TIDETABLE.printed(&[&[coast.as_str()][..], &days].concat()));
        assert!(told.contains("from a printed table"), "{format}: {told}");
    }
}

#[test]
fn beyond_the_table_nothing_is_proposed() {
    let folder = tempfile::tempdir().unwrap();
    let coast = coast(&folder);
    let season = SEASON.printed(&[&coast, "--from", "2028-12-20", "--days", "20"]);
    assert!(
        season.contains("The table goes from 1 Nov 2026 to 30 Mar 2027"),
        "{season}"
    );
    assert!(season.contains("No window."), "{season}");
    assert!(!season.contains("stands against most"), "{season}");
    let refused = TIDETABLE.refused(&[&coast, "--from", "2028-12-20"]);
    assert!(refused.contains("ask for days in it"), "{refused}");
}
