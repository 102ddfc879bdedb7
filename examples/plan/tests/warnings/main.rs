//! What is implausible in a scenario is told, each with its place and a remedy, and a good scenario
//! is quiet.
#![allow(clippy::unwrap_used, clippy::panic)]

mod animals;
mod ground;
mod water;

use wrackline_plan::scenario::{DEMO, Scenario, Warning};

/// The demo with pieces of text replaced; each piece must be there.
fn demo_with(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(DEMO.to_owned(), |text, (old, new)| {
        assert!(text.contains(old), "the demo no longer has: {old}");
        text.replacen(old, new, 1)
    })
}

fn warnings(text: &str) -> Vec<Warning> {
    Scenario::parse("test.toml", text)
        .unwrap_or_else(|problems| panic!("{problems}"))
        .warnings()
        .to_vec()
}

/// The one warning of a text: its field, a part of what it says, and the line on which `marker`
/// stands.
fn only(text: &str, marker: &str, field: &str, what: &str) -> Warning {
    let found = warnings(text);
    assert_eq!(found.len(), 1, "{marker}: {found:#?}");
    let at = text.find(marker).unwrap();
    let line = text[..at].matches('\n').count() + 1;
    let warning = found.into_iter().next().unwrap();
    assert_eq!(warning.line, line, "{warning}");
    assert!(warning.field.ends_with(field), "{warning}");
    assert!(warning.what.contains(what), "{warning}");
    assert!(!warning.remedy.is_empty());
    warning
}

fn once(old: &str, new: &str, field: &str, what: &str) -> Warning {
    only(&demo_with(&[(old, new)]), new, field, what)
}

#[test]
fn the_demo_is_quiet() {
    assert_eq!(warnings(DEMO), []);
}

#[test]
fn the_visits_that_are_planned_are_kept() {
    assert_eq!(
        Scenario::parse("d", DEMO).unwrap().project_visits(),
        Some(24)
    );
}
