//! What the log teaches about seasons, the water and places together.

use jiff::civil::{Date, date};
use wrackline_log::learning::ageing::newest_day;
use wrackline_log::learning::lessons::{Chances, learn};
use wrackline_log::learning::{Fading, Question, diary, experience};
use wrackline_log::{Conditions, Draft, Entry, Record, join};
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
use wrackline_plan::season::{Request, season};

use crate::demo_log::demo;

fn question(from: Date) -> Question<'static> {
    Question {
        place: Some("tallow-ness"),
        subject: Some("slate-knotling"),
        fading: Fading::default(),
        from,
        days: 60,
    }
}

/// An entry at the demo's places, from `field=text` pairs on top of the least that one needs.
fn entry_at(texts: &[(&str, &str)]) -> Entry {
    let scenario = Scenario::parse(DEMO_NAME, DEMO).unwrap();
    let mut draft = Draft::default();
    let least = [
        ("when", "2026-01-24T08:52Z"),
        ("place", "tallow-ness"),
        ("subject", "slate-knotling"),
        ("outcome", "picture"),
    ];
    for (name, text) in least.iter().chain(texts) {
        draft.set(name, text).unwrap();
    }
    let now = "2027-11-25T12:00:00Z".parse().unwrap();
    join::gate(&scenario, now).accept(&draft).unwrap()
}

/// A visit, joined with its conditions as the log would.
fn visit(scenario: &Scenario, texts: &[(&str, &str)]) -> Record {
    let entry = entry_at(texts);
    Record {
        conditions: join::conditions(scenario, &entry),
        entry,
        revision: 1,
        recorded: "2026-11-25T12:00:00Z".parse().unwrap(),
        why: None,
    }
}

#[test]
fn old_visits_fade_at_a_place_that_nobody_went_back_to() {
    let (scenario, mut records) = demo();
    let knotling = scenario.subject("slate-knotling").unwrap();
    let gorsey = scenario.place("gorsey").unwrap();
    records.retain(|record| record.entry.place != "gorsey");
    // Found there every time, 20 seasons ago, and never visited since.
    for day in ["2005-11-01", "2005-12-01", "2006-01-05"] {
        records.push(visit(
            &scenario,
            &[
                ("id", day),
                ("when", day),
                ("place", "gorsey"),
                ("observed_level_m", "8.3"),
            ],
        ));
    }
    let newest = newest_day(&records, scenario.zone()).unwrap();
    let chances = |reference| {
        let fading = Fading::default();
        Chances::of(&scenario, &records, knotling, fading, reference).alone(&records, gorsey)
    };
    // 0.8^20 is 0.0115 of a visit each: next to nothing is known.
    let faded = chances(newest);
    assert_eq!((faded.hits, faded.visits), (3, 3));
    assert!((faded.posterior.a() - (1.0 + 3.0 * 0.8_f64.powi(20))).abs() < 1e-12);
    // Five seasons on they count less again; of their own season they count in full.
    let later = chances(newest.saturating_add(jiff::Span::new().years(5)));
    assert!((later.posterior.a() - (1.0 + 3.0 * 0.8_f64.powi(25))).abs() < 1e-12);
    assert_eq!(chances(date(2006, 1, 1)).posterior.a(), 4.0);
    // What `learn` counts from is the newest of the whole log, whatever was visited then.
    let told = Question {
        place: Some("gorsey"),
        ..question(newest)
    };
    let learnt = learn(&scenario, &records, told);
    assert_eq!(learnt.places[0].inside, faded);
}

/// The demo log with every level read higher by `by_m`.
fn raised(by_m: f64) -> (Scenario, Vec<Record>) {
    let (scenario, mut records) = demo();
    for record in &mut records {
        if let Some(level_m) = &mut record.entry.observed_level_m {
            *level_m += by_m;
        }
    }
    (scenario, records)
}

#[test]
fn tides_to_try_stand_where_the_water_will_be_and_not_where_it_is_predicted() {
    let (scenario, records) = raised(0.39);
    let lessons = learn(&scenario, &records, question(date(2026, 11, 25)));
    let spread = lessons.water.spread.unwrap();
    assert!((0.3..0.5).contains(&spread.mean_m), "{}", spread.mean_m);
    assert!((lessons.water.expected(&scenario, 7.0).level_m - 7.0 - spread.mean_m).abs() < 1e-12);
    // The tide that would tell most is one whose water, not whose prediction, is in the bracket.
    let lesson = &lessons.places[0];
    for (bracket, tides) in [&lesson.levels.push, &lesson.levels.overtop]
        .iter()
        .zip(&lesson.tides)
    {
        let ends = bracket.above.as_ref().unwrap().level_m..bracket.below.as_ref().unwrap().level_m;
        let best = tides[0].expected_m;
        assert!(ends.contains(&best), "{ends:?} {best}");
        let ends_apart = (best - bracket.middle_m().unwrap()).abs();
        assert!(
            ends_apart < 0.25 * bracket.width_m().unwrap() + 0.1,
            "{best}"
        );
    }
    assert!(
        lessons
            .water
            .mean_beside_the_scenario_m(&scenario)
            .is_some()
    );
}

#[test]
fn a_bias_of_the_scenario_is_not_counted_twice() {
    let (scenario, records) = raised(0.39);
    let biased = DEMO.replacen("[water]\n", "[water]\nbias_m = 0.30\n", 1);
    let biased = Scenario::parse(DEMO_NAME, &biased).unwrap();
    assert_eq!(biased.water().expected_m, 0.30);
    let expected = |scenario| {
        let lessons = learn(scenario, &records, question(date(2026, 11, 25)));
        lessons.water.expected(scenario, 7.0).level_m
    };
    assert!((expected(&scenario) - expected(&biased)).abs() < 1e-12);
    // Without a level the scenario is all there is.
    let none = learn(&biased, &[], question(date(2026, 11, 25)));
    assert!((none.water.expected(&biased, 7.0).level_m - 7.30).abs() < 1e-12);
}

/// Visits in the windows that a season itself proposes are visits in the right water.
#[test]
fn a_season_and_the_lessons_mean_the_same_water() {
    let biased = DEMO.replacen("[water]\n", "[water]\nbias_m = 0.40\n", 1);
    let scenario = Scenario::parse(DEMO_NAME, &biased).unwrap();
    let planned = season(
        &scenario,
        Request {
            keep: 40,
            ..Request::new(date(2026, 9, 1), 80)
        },
    );
    let planned = planned.unwrap();
    let visits: Vec<Record> = planned
        .outings
        .iter()
        .filter(|outing| outing.seat.id == "A" || outing.seat.id == "B")
        .map(|outing| {
            let when = outing.window.stretch.start.to_string();
            let seat = outing.seat.id.as_str();
            visit(
                &scenario,
                &[
                    ("id", &when),
                    ("when", &when),
                    ("seat", seat),
                    ("place", ""),
                ],
            )
        })
        .collect();
    assert!(visits.len() > 5, "{}", visits.len());
    let lessons = learn(&scenario, &visits, question(date(2026, 11, 25)));
    let lesson = &lessons.places[0];
    assert_eq!(
        (lesson.inside.visits as usize, lesson.outside.visits),
        (visits.len(), 0)
    );
}

#[test]
fn levels_count_without_weather_and_a_tide_counts_once() {
    let (scenario, _) = demo();
    let read = |id: &str, when: &str, subject: &str, level: &str| {
        visit(
            &scenario,
            &[
                ("id", id),
                ("when", when),
                ("subject", subject),
                ("observed_level_m", level),
            ],
        )
    };
    let knotling = "slate-knotling";
    let records = [
        read("a", "2026-01-24T08:52Z", knotling, "7.60"),
        read("b", "2026-01-24T09:40Z", knotling, "7.70"),
        read("c", "2026-01-25T09:40Z", knotling, "7.50"),
    ];
    let readings = diary::readings(&records);
    assert_eq!(readings.len(), 2, "two entries of one tide are one level");
    let predicted = |record: &Record| record.conditions.and_then(|c: Conditions| c.high_water_m);
    let wanted = 7.65 - predicted(&records[0]).unwrap();
    assert!((readings[0].residual_m - wanted).abs() < 1e-6);
    let spread = diary::Spread::of(&readings).unwrap();
    assert!(spread.standard_deviation_m > 0.0);
    assert!(readings.iter().all(|reading| reading.line().is_none()));
}

/// The ranking goes by the chance that the lessons print.
#[test]
fn a_plan_is_told_the_chance_that_is_shown() {
    let (scenario, records) = demo();
    let told = experience(&scenario, &records, Fading::default()).unwrap();
    let lessons = learn(&scenario, &records, question(date(2026, 11, 25)));
    let (mean, interval) = lessons.places[0].pooled.unwrap();
    let chance = told.chance("tallow-ness", "slate-knotling");
    assert_eq!((chance.hits, chance.visits), (8, 9));
    assert_eq!((chance.mean, chance.interval), (mean, interval));
}

/// Against `tests/data/learning.py`: visits of eight seasons to two places, faded, then pooled.
#[test]
fn fading_over_seasons_and_the_pooled_ranking_agree_with_scipy() {
    let reference: serde_json::Value =
        serde_json::from_str(include_str!("../data/learning.json")).unwrap();
    let faded = &reference["faded"];
    let scenario = Scenario::parse(DEMO_NAME, DEMO).unwrap();
    let knotling = scenario.subject("slate-knotling").unwrap();
    let places = ["tallow-ness", "gorsey"];
    let mut records = Vec::new();
    for (id, place) in places.iter().zip(faded["places"].as_array().unwrap()) {
        for visit_made in place["visits"].as_array().unwrap() {
            let day = visit_made[0].as_str().unwrap();
            let hit = visit_made[1].as_bool().unwrap();
            // A level that lies in the band of either place.
            let mut texts = vec![("when", day), ("place", id), ("observed_level_m", "8.05")];
            texts.push(("outcome", if hit { "in range" } else { "out of range" }));
            records.push(visit_without_names(&texts));
        }
    }
    let newest = faded["reference"].as_str().unwrap().parse().unwrap();
    let fading = Fading {
        per_season: faded["per_season"].as_f64().unwrap(),
    };
    let chances = Chances::of(&scenario, &records, knotling, fading, newest);
    for (id, wanted) in places.iter().zip(faded["places"].as_array().unwrap()) {
        let place = scenario.place(id).unwrap();
        let alone = chances.alone(&records, place).posterior;
        let number = |key: &str| wanted[key].as_f64().unwrap();
        // Sums of some tens of powers.
        assert!((alone.a() - 1.0 - number("hits")).abs() < 1e-12);
        assert!((alone.b() - 1.0 - number("misses")).abs() < 1e-12);
        let told = chances.for_a_plan(&records, place);
        for (got, key) in [
            (told.mean, "mean"),
            (told.interval.low, "low"),
            (told.interval.high, "high"),
        ] {
            // The grid of the pooling, as argued in `statistics.rs`.
            assert!((got - number(key)).abs() < 0.0005, "{id} {key}: {got}");
        }
    }
}

fn visit_without_names(texts: &[(&str, &str)]) -> Record {
    Record {
        entry: entry_at(texts),
        conditions: None,
        revision: 1,
        recorded: "2026-11-25T12:00:00Z".parse().unwrap(),
        why: None,
    }
}
