//! The way that never closes, and the tide that is stayed.

use jiff::civil::date;
use wrackline_show::report::Format;

use crate::helpers::{Wanted, card_words, cell, demo, demo_with, leaving, one_day, words, written};

const B: Wanted<'_> = Wanted {
    day: date(2026, 12, 29),
    seat: "B",
    place: "tallow-ness",
    subject: "slate-knotling",
    light: "low front light",
};

#[test]
fn a_way_above_the_water_is_told_with_its_figures() {
    let scenario = demo_with(&[("low_point_m = 5.6", "low_point_m = 8.9")]);
    for (name, text) in words(&scenario, B) {
        let told = "Hurdle Hard never closes on this tide: low point 8.90 m, upper water 7.97 m";
        assert!(text.contains(told), "{name}: {text}");
    }
    let csv = written(&one_day(&scenario, B), Format::Csv);
    assert_eq!(cell(&csv, "never_closes_lost_at_m"), "8.9");
    assert!(cell(&csv, "never_closes_upper_water_m").starts_with("7.96"));
    assert_eq!(cell(&csv, "way_cut_utc"), "");
}

#[test]
fn who_is_cut_off_is_told_to_keep_still() {
    let scenario = demo();
    for (name, text) in words(&scenario, B) {
        let told = "keep still, close the hide, no more pictures, log it";
        assert!(text.contains(told), "{name}: {text}");
    }
    let card = card_words(&scenario, B);
    let signs = &card[card.find("Signs of unease").unwrap()..];
    let cut_off = signs.find("Cut off, 06:35 to 12:52").expect(signs);
    let open = signs.find("While the way is open").expect(signs);
    assert!(!signs[cut_off..open].contains("go back"), "{signs}");
    assert!(signs[open..].contains("go back slowly"));
}

#[test]
fn who_can_go_is_told_to_go() {
    for (scenario, wanted) in [
        (demo(), Wanted { seat: "A", ..B }),
        (
            leaving(),
            Wanted {
                seat: "C",
                place: "brindle",
                light: "soft overcast",
                ..B
            },
        ),
    ] {
        let card = card_words(&scenario, wanted);
        assert!(
            card.contains("go back slowly") && !card.contains("close the hide"),
            "{card}"
        );
    }
}
