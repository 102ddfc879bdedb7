//! What guards animals or people can be made stricter, and never looser.
#![allow(clippy::unwrap_used, clippy::panic)] // A test that cannot go on fails.

use std::collections::BTreeMap;

use proptest::prelude::*;
use serde_json::{Value, json};
use wrackline_plan::scenario::{DEMO, Scenario};
use wrackline_plan::season::{EVERY_SUBJECT, Request, Season, season};
use wrackline_plan::time::Stretch;
use wrackline_web::{Figure, Rule, answer, figures, loosened};

fn demo() -> Scenario {
    Scenario::parse("my.toml", DEMO).unwrap()
}

fn with(text: &str, changes: &Value) -> Value {
    let question = json!({ "files": { "from": { "files": [{ "name": "my.toml", "text": text }], "changes": changes },
    } });
    serde_json::from_str(&answer(&question.to_string())).unwrap()
}

fn change(figure: &Figure, value: f64) -> Value {
    json!([{ "table": figure.table, "of": figure.of, "field": figure.field, "value": value }])
}

/// A text with one figure changed.
fn changed(figure: &Figure, value: f64) -> String {
    let told = with(DEMO, &change(figure, value));
    let text = told["good"][0]["text"].as_str();
    text.unwrap_or_else(|| panic!("{figure:?}: {told}"))
        .to_owned()
}

/// Some steps to the stricter side, within what a scenario may say.
fn stricter(figure: &Figure, steps: f64) -> f64 {
    match figure.rule {
        Rule::Less => figure.own - steps,
        _ => figure.own + steps * figure.step,
    }
}

fn winter(scenario: &Scenario) -> Season<'_> {
    let request = Request {
        subject: Some(EVERY_SUBJECT),
        ..Request::new("2026-11-25".parse().unwrap(), 60)
    };
    season(scenario, request).unwrap()
}

/// The pictures of each seat and subject.
fn pictures(season: &Season<'_>) -> BTreeMap<(String, String), Vec<Stretch>> {
    let mut all: BTreeMap<_, Vec<Stretch>> = BTreeMap::new();
    for outing in &season.outings {
        let key = (outing.seat.id.clone(), outing.subject.id.clone());
        all.entry(key)
            .or_default()
            .push(outing.window.stretch.clone());
    }
    all
}

#[test]
fn every_figure_of_the_demo_can_be_made_stricter_and_nothing_else_moves() {
    let own = figures(&demo());
    assert!(own.len() > 20, "{}", own.len());
    assert_eq!(
        own.iter().filter(|figure| figure.guards.is_none()).count(),
        2
    );
    for figure in &own {
        let value = stricter(figure, 1.0);
        let text = changed(figure, value);
        let now = figures(&Scenario::parse("my.toml", &text).unwrap());
        for (before, after) in own.iter().zip(&now) {
            let is_it = (before.table, &before.of, before.field)
                == (figure.table, &figure.of, figure.field);
            let expected = if is_it { value } else { before.own };
            assert!((after.own - expected).abs() < 1e-12, "{figure:?} {after:?}");
        }
        // A line more, or one that is written anew.
        let kept = DEMO
            .lines()
            .filter(|line| text.lines().any(|other| other == *line));
        assert!(DEMO.lines().count() - kept.count() <= 1);
    }
}

#[test]
fn no_guard_can_be_made_looser() {
    for figure in figures(&demo()) {
        let looser = match figure.rule {
            Rule::More => figure.own - figure.step / 100.0,
            Rule::Less => figure.own + 0.001,
            Rule::Either => continue,
        };
        let told = with(DEMO, &change(&figure, looser));
        let trouble = told["trouble"].as_str().unwrap();
        assert!(trouble.contains("stricter, never looser"), "{trouble}");
    }
}

#[test]
fn a_looser_text_is_known_by_its_figures() {
    let own = demo();
    for (old, new) in [
        ("stand_off_on_foot_m = 85", "stand_off_on_foot_m = 84.9"),
        ("upper_allowance_m = 0.30", "upper_allowance_m = 0.29"),
        ("margin_minutes = 40", "margin_minutes = 39"),
        ("freeboard_m = 0.5", "freeboard_m = 0.4"),
        ("loaded_dark_minutes = 32", "loaded_dark_minutes = 31"),
        // A guard that is gone, too.
        ("way_in = \"hurdle-hard\"\naccess = \"stay the tide\"\n", ""),
    ] {
        let text = DEMO.replacen(old, new, 1);
        assert_ne!(text, DEMO);
        let other = Scenario::parse("my.toml", &text).unwrap();
        assert!(loosened(&own, &other).is_some(), "{new}");
        assert!(
            old.contains("way_in") || loosened(&other, &own).is_none(),
            "{new}"
        );
    }
    assert!(loosened(&own, &own).is_none());
}

#[test]
fn no_picture_is_possible_under_a_stricter_guard_that_was_not_before() {
    let own = demo();
    let before = pictures(&winter(&own));
    let mut closed = 0;
    for figure in figures(&own)
        .iter()
        .filter(|figure| figure.guards.is_some())
    {
        let text = changed(figure, stricter(figure, 8.0));
        let scenario = Scenario::parse("my.toml", &text).unwrap();
        let after = pictures(&winter(&scenario));
        for (key, stretches) in &after {
            for now in stretches {
                let within = before[key].iter().any(|one| {
                    // Ends are roots, found to the second.
                    let slack = jiff::SignedDuration::from_secs(1);
                    one.start <= now.start + slack && now.end <= one.end + slack
                });
                assert!(within, "{figure:?}: {key:?} {now:?}");
            }
        }
        let count = |all: &BTreeMap<_, Vec<Stretch>>| all.values().map(Vec::len).sum::<usize>();
        closed += usize::from(count(&after) < count(&before));
    }
    assert!(closed > 5, "{closed}");
}

#[test]
fn a_figure_that_nobody_wrote_is_set_where_it_belongs() {
    let inline = DEMO.replacen(
        "[water]\nstandard_deviation_m = 0.15\nupper_allowance_m = 0.30\nlower_allowance_m = 0.30\n\
         reference_pressure_hpa = 1013.0\ninverse_barometer_m_per_hpa = -0.01\nnote = \"north to \
         north-east wind raises the water here, south-east to south lowers it\"\n",
        "",
        1,
    );
    assert_ne!(inline, DEMO);
    let inline = format!("water = {{ standard_deviation_m = 0.1 }} # as seen\n{inline}");
    let weights = format!("{DEMO}\n[habits.light_weights]\nglow = 0.5\n");
    for (text, table, field, value) in [
        (DEMO, "habits", "settle_minutes", 60.0),
        (inline.as_str(), "water", "upper_allowance_m", 0.45),
        (weights.as_str(), "habits", "withdrawal_factor", 1.5),
    ] {
        let told = with(
            text,
            &json!([{ "table": table, "field": field, "value": value }]),
        );
        let now = told["good"][0]["text"]
            .as_str()
            .unwrap_or_else(|| panic!("{told}"));
        let scenario = Scenario::parse("my.toml", now).unwrap();
        let figure = figures(&scenario)
            .into_iter()
            .find(|figure| figure.field == field);
        assert_eq!(figure.unwrap().own, value);
    }
}

#[test]
fn what_is_not_there_cannot_be_changed() {
    for changes in [
        json!([{ "table": "water", "field": "bias_m", "value": 1.0 }]),
        json!([{ "table": "subject", "of": "nobody", "field": "stand_off_on_foot_m", "value": 900.0 }]),
        json!([{ "table": "seat", "of": "A", "field": "distance_m", "value": 900.0 }]),
        json!([{ "table": "place", "of": "tallow-ness", "field": "push_m", "value": 1.0 }]),
        json!([{ "table": "habits", "field": "settle_minutes", "value": null }]),
    ] {
        let told = with(DEMO, &changes);
        assert!(told["trouble"].is_string(), "{told}");
    }
    // Stricter than a scenario may say is a problem of the scenario, with its line.
    let told = with(
        DEMO,
        &json!([{ "table": "water", "field": "upper_allowance_m", "value": 9.0 }]),
    );
    assert!(told["problems"][0]["line"].as_u64().unwrap() > 1, "{told}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// Any changes at all, to any values: what comes back is stricter in every guard, or nothing.
    #[test]
    fn whatever_is_changed_no_guard_is_looser(
        picks in prop::collection::vec((0usize..100, -2.0f64..3.0), 1..5),
    ) {
        let own = demo();
        let known = figures(&own);
        let changes: Vec<Value> = picks
            .iter()
            .map(|(at, factor)| {
                let figure = &known[at % known.len()];
                change(figure, figure.own * factor)[0].clone()
            })
            .collect();
        let told = with(DEMO, &json!(changes));
        if let Some(text) = told["good"][0]["text"].as_str() {
            let now = Scenario::parse("my.toml", text).unwrap();
            prop_assert!(loosened(&own, &now).is_none());
        } else {
            prop_assert!(told["trouble"].is_string() || told["problems"].is_array());
        }
    }
}
