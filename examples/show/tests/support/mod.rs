//! Scenarios to print, and the words of what was printed.
#![allow(dead_code)] // Each test binary takes its own part of this.

use jiff::civil::Date;
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
use wrackline_plan::windows::Phase;
use wrackline_show::card::Ask;

pub(crate) fn demo() -> Scenario {
    Scenario::parse(DEMO_NAME, DEMO).unwrap()
}

/// The demo with pieces of text replaced; every piece must be there.
pub(crate) fn demo_with(changes: &[(&str, &str)]) -> Scenario {
    let mut text = DEMO.to_owned();
    for (old, new) in changes {
        assert!(text.contains(old), "the demo no longer has: {old}");
        text = text.replacen(old, new, 1);
    }
    Scenario::parse("test.toml", &text).unwrap()
}

/// Seat C with animals that come up early and a way that is lost late, so that there is time
/// between the two.
pub(crate) fn leaving() -> Scenario {
    demo_with(&[
        ("low_point_m = 7.45", "low_point_m = 8.0"),
        ("level_m = 6.95", "level_m = 7.6"),
        ("loaded_dark_minutes = 25", "loaded_dark_minutes = 5"),
        ("margin_minutes = 40", "margin_minutes = 10"),
        ("push_m = 7.2", "push_m = 3.5"),
        (
            "[\"longbill-marshpiper\", \"slate-knotling\"]",
            "[\"slate-knotling\"]",
        ),
        ("altitude_deg = [6, 60]", "altitude_deg = [-12, 60]"),
    ])
}

/// Asks for the card of a day at a seat.
pub(crate) fn ask(day: Date, seat: &str) -> Ask<'_> {
    Ask {
        date: Some(day),
        today: day,
        seat: Some(seat),
        subject: None,
        light: None,
        phase: Phase::Both,
        experience: None,
    }
}

/// The text of a page, tags and style left out.
pub(crate) fn words(page: &str) -> String {
    let body = &page[page.find("<body>").unwrap()..];
    let mut out = String::new();
    let mut inside = false;
    for c in body.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                out.push(' ');
            }
            c if !inside => out.push(c),
            _ => {}
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}
