//! Closures that hold from a number of frozen days on are told whatever the count.

use jiff::civil::date;
use wrackline_show::report::Format;

use crate::helpers::{Wanted, cell, demo, demo_with, one_day, words, written};

const A: Wanted<'_> = Wanted {
    day: date(2026, 12, 29),
    seat: "A",
    place: "tallow-ness",
    subject: "slate-knotling",
    light: "low front light",
};

#[test]
fn the_count_is_told_on_table_calendar_and_card() {
    let counted = demo_with(&[(
        "[project]",
        "[habits]\nfrozen_days = 5\nfrozen_days_on = \"2026-12-27\"\n\n[project]",
    )]);
    let told = "closed from 7 frozen days in a row; 5 counted on 27 December";
    for (name, text) in words(&counted, A) {
        assert!(text.contains(told), "{name}: {text}");
    }
    let season = one_day(&counted, A);
    assert!(written(&season, Format::Text).contains("frost rule"));
    assert!(cell(&written(&season, Format::Csv), "frost").starts_with(told));
}

#[test]
fn without_a_count_it_is_asked_for() {
    let told = "closed from 7 frozen days in a row; none counted: count them";
    for (name, text) in words(&demo(), A) {
        assert!(text.contains(told), "{name}: {text}");
    }
}

#[test]
fn nothing_is_told_out_of_its_dates() {
    let scenario = demo();
    // The closure of the demo ends on 20 February.
    let late = Wanted {
        day: date(2027, 3, 10),
        seat: "E",
        place: "overmere",
        subject: "reed-owl",
        light: "soft overcast",
    };
    let season = one_day(&scenario, late);
    assert!(season.outings[0].window.frost.is_empty());
    assert!(!written(&season, Format::Text).contains("frost"));
}

#[test]
fn a_closure_of_one_place_is_told_only_there() {
    let scenario = demo_with(&[("place = \"*\"", "place = \"brindle\"")]);
    assert!(one_day(&scenario, A).outings[0].window.frost.is_empty());
}
