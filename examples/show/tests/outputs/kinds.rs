//! Hints go by the kind of the animal and of the place.

use jiff::civil::date;
use wrackline_show::card::light_hint;
use wrackline_solar::LightSide;

use crate::helpers::{Wanted, card_words, demo, demo_with};

const E: Wanted<'_> = Wanted {
    day: date(2026, 12, 21),
    seat: "E",
    place: "overmere",
    subject: "reed-owl",
    light: "side light",
};

#[test]
fn the_card_of_an_inland_animal_without_wings_speaks_of_none_and_of_no_water() {
    // An animal without a span does not fly.
    let scenario = demo_with(&[
        ("title = \"Oskerrow Water\"", "title = \"Oskerrow\""),
        (
            "name = \"reed owl\"\nlength_m = 0.38\nspan_m = 1.02\n",
            "name = \"fen hare\"\nlength_m = 0.55\n",
        ),
        (
            "light = [\"side light\", \"back light\"]",
            "light = [\"back light\"]",
        ),
    ]);
    let card = card_words(&scenario, E);
    let lower = card.to_lowercase();
    for never in ["flight", "plumage", "wing", "water", "bird", "flush"] {
        assert!(!lower.contains(never), "\"{never}\" in {card}");
    }
    assert!(lower.contains("running off"), "{card}");
    let hare = &scenario
        .subjects()
        .iter()
        .find(|s| s.id == "reed-owl")
        .unwrap();
    for side in [
        LightSide::Front,
        LightSide::Shoulder,
        LightSide::Side,
        LightSide::Rim,
        LightSide::IntoTheSun,
    ] {
        assert!(!light_hint(side, hare).contains("plumage"));
    }
}

#[test]
fn what_flies_keeps_its_hints() {
    let card = card_words(&demo(), E);
    assert!(
        card.contains("in flight") && card.contains("wings up"),
        "{card}"
    );
    assert!(!card.contains("Water:"), "inland: {card}");
}
