//! The animals' peace: distances only ever grow, and a place that was disturbed is left alone.

use proptest::prelude::*;
use wrackline_log::Record;
use wrackline_log::learning::ageing::newest_day;
use wrackline_log::learning::lessons::{Chances, learn};
use wrackline_log::learning::{Fading, Question};
use wrackline_log::review::{RemarkKind, review};
use wrackline_log::welfare::{farthest_alarm, rests};
use wrackline_plan::experience::{Alarm, Interval, larger_stand_off};
use wrackline_plan::scenario::{DEMO, Scenario};

use crate::demo_log::demo;
use crate::helpers::entry;

fn record(texts: &[(&str, &str)]) -> Record {
    let now = "2026-11-25T12:00:00Z".parse().unwrap();
    Record {
        entry: entry(texts),
        revision: 1,
        recorded: now,
        why: None,
        conditions: None,
    }
}

fn flush(id: &str, day: &str, place: &str) -> Record {
    record(&[
        ("id", id),
        ("when", day),
        ("place", place),
        ("flushes", "1"),
        ("unease", "4"),
        ("distance_m", "50"),
    ])
}

#[test]
fn two_flushes_in_a_winter_rest_the_place_for_a_month() {
    let (scenario, _) = demo();
    let one_each = [
        flush("a", "2025-11-20", "tallow-ness"),
        flush("b", "2025-11-22", "brindle"),
    ];
    assert!(
        rests(&scenario, &one_each).is_empty(),
        "one at each of two places is not two at one"
    );
    let two_winters = [
        flush("a", "2025-06-30", "tallow-ness"),
        flush("b", "2025-07-01", "tallow-ness"),
    ];
    assert!(
        rests(&scenario, &two_winters).is_empty(),
        "a winter begins in July"
    );
    let two = [
        flush("a", "2025-11-20", "tallow-ness"),
        flush("b", "2026-01-31", "tallow-ness"),
    ];
    let rest = rests(&scenario, &two).pop().unwrap();
    // A month after the last of January is the last of February.
    assert_eq!(
        (rest.since.to_string(), rest.until.to_string()),
        ("2026-01-31".into(), "2026-02-28".into())
    );
    assert!(
        rest.covers("2026-02-28".parse().unwrap()) && !rest.covers("2026-03-01".parse().unwrap())
    );
    assert!(
        !rest.covers(rest.since),
        "the visit of the flush itself was under way"
    );
    // One visit that put them up twice is enough.
    let twice = record(&[
        ("id", "c"),
        ("when", "2025-12-01"),
        ("flushes", "2"),
        ("unease", "4"),
    ]);
    assert_eq!(rests(&scenario, &[twice]).len(), 1);
}

#[test]
fn in_the_south_a_winter_is_not_cut_in_two() {
    let south = |present: &str| {
        let text = DEMO
            .replace("latitude_deg = 53.", "latitude_deg = -53.")
            .replacen(
                "present = \"Sep-Apr\"",
                &format!("present = \"{present}\""),
                1,
            );
        Scenario::parse("south.toml", &text).unwrap()
    };
    let around_midwinter = [
        flush("a", "2026-06-20", "tallow-ness"),
        flush("b", "2026-07-10", "tallow-ness"),
    ];
    // A winter guest of the south, one that never leaves, and one of the southern summer.
    for present in ["Apr-Sep", "all year"] {
        let rests = rests(&south(present), &around_midwinter);
        assert_eq!(rests.len(), 1, "{present}: {rests:?}");
    }
    assert!(rests(&south("Sep-Apr"), &around_midwinter).is_empty());
    let around_midsummer = [
        flush("a", "2024-12-20", "tallow-ness"),
        flush("b", "2025-01-10", "tallow-ness"),
    ];
    assert_eq!(rests(&south("Sep-Apr"), &around_midsummer).len(), 1);
}

#[test]
fn two_animals_of_one_place_share_its_peace() {
    let (scenario, _) = demo();
    // The plovel's year begins in the middle of October to March, the knotling's in July.
    let of = |id: &str, day: &str, subject: &str| {
        let mut record = flush(id, day, "tallow-ness");
        record.entry.subject = subject.to_owned();
        record
    };
    let one_year_of_the_knotling = [
        of("a", "2025-11-20", "slate-knotling"),
        of("b", "2026-04-02", "shore-plovel"),
    ];
    assert_eq!(rests(&scenario, &one_year_of_the_knotling).len(), 1);
}

#[test]
fn a_visit_into_a_rest_is_flagged() {
    let (scenario, _) = demo();
    let records = vec![
        flush("a", "2025-11-20", "tallow-ness"),
        flush("b", "2025-12-10", "tallow-ness"),
        record(&[("id", "c"), ("when", "2026-01-05"), ("outcome", "absent")]),
        record(&[("id", "d"), ("when", "2026-01-20"), ("outcome", "absent")]),
    ];
    let closed: Vec<String> = review(&scenario, &records)
        .into_iter()
        .filter(|remark| remark.kind == RemarkKind::Closed)
        .map(|remark| remark.id)
        .collect();
    assert_eq!(closed, ["c"]);
}

#[test]
fn an_alarm_beyond_the_stand_off_asks_for_more() {
    // 90 m alarmed them where the scenario asks for 85 m: a quarter more than 90 m, in whole
    // metres.
    let alarm = Alarm {
        distance_m: 90.0,
        id: "L20".to_owned(),
        of_seat: false,
    };
    let larger = larger_stand_off(alarm, 85.0).unwrap();
    assert_eq!(larger.stand_off_m, 113.0);
    assert!(larger.asks_for_more_than(112.9) && !larger.asks_for_more_than(113.0));
}

#[test]
fn heads_up_is_no_alarm_and_the_farthest_counts() {
    let at = |id, unease, metres| {
        record(&[
            ("id", id),
            ("unease", unease),
            ("unease_distance_m", metres),
        ])
    };
    let records = [
        at("a", "1", "120"),
        at("b", "2", "60"),
        at("c", "3", "80"),
        at("d", "2", "70"),
    ];
    let (scenario, _) = demo();
    let alarm = farthest_alarm(&scenario, &records, "tallow-ness", "slate-knotling").unwrap();
    assert_eq!((alarm.id.as_str(), alarm.distance_m), ("c", 80.0));
    assert_eq!(
        farthest_alarm(&scenario, &records, "brindle", "slate-knotling"),
        None
    );
}

#[test]
fn a_flight_without_a_distance_counts_at_its_seat() {
    let (scenario, _) = demo();
    let flown = |id, seat| record(&[("id", id), ("seat", seat), ("flushes", "1")]);
    // Seat A looks at them from 85 m, seat B from 60 m.
    let records = [flown("a", "B"), flown("b", "A"), flown("c", "")];
    let alarm = farthest_alarm(&scenario, &records, "tallow-ness", "slate-knotling").unwrap();
    assert_eq!((alarm.distance_m, alarm.of_seat), (85.0, true));
    assert_eq!(alarm.source(), "b, no distance noted: that of its seat");
    // One that was noted is not replaced, and one that nothing tells is named.
    let noted = record(&[
        ("id", "d"),
        ("seat", "A"),
        ("flushes", "1"),
        ("distance_m", "30"),
    ]);
    let alarm = farthest_alarm(&scenario, [&noted], "tallow-ness", "slate-knotling").unwrap();
    assert_eq!((alarm.distance_m, alarm.of_seat), (30.0, false));
    let question = Question {
        place: None,
        subject: None,
        fading: Fading::default(),
        from: jiff::civil::date(2026, 12, 1),
        days: 1,
    };
    let learnt = learn(&scenario, &records, question);
    assert_eq!(learnt.places[0].alarms_from_nowhere, ["c"]);
}

/// Older winters count less, whatever they say.
#[test]
fn older_winters_fade() {
    let (scenario, mut records) = demo();
    let knotling = scenario.subject("slate-knotling").unwrap();
    let place = scenario.place("tallow-ness").unwrap();
    // Two misses two winters before the demo's.
    for (id, day) in [("x", "2023-12-01T09:00Z"), ("y", "2024-01-05T09:00Z")] {
        records.push(record(&[
            ("id", id),
            ("when", day),
            ("outcome", "absent"),
            ("observed_level_m", "7.4"),
        ]));
    }
    let newest = newest_day(&records, scenario.zone()).unwrap();
    let shapes = |per_season| {
        let fading = Fading { per_season };
        let chances = Chances::of(&scenario, &records, knotling, fading, newest);
        let posterior = chances.alone(&records, place).posterior;
        (posterior.a(), posterior.b())
    };
    assert_eq!(shapes(1.0), (9.0, 4.0));
    assert_eq!(shapes(0.0), (9.0, 2.0));
    let (a, b) = shapes(0.5);
    assert!(
        (a - 9.0).abs() < 1e-12 && (b - 2.5).abs() < 1e-12,
        "{a} {b}"
    );
}

proptest! {
    /// Whatever the log says, no distance comes out smaller than the scenario's, nor than what
    /// alarmed them.
    #[test]
    fn a_distance_never_shrinks(distance_m in 0.1..500.0_f64, stand_off_m in 1.0..500.0_f64) {
        let alarm = Alarm { distance_m, id: String::new(), of_seat: false };
        match larger_stand_off(alarm, stand_off_m) {
            Some(larger) => prop_assert!(
                larger.stand_off_m > stand_off_m && larger.stand_off_m > distance_m
            ),
            None => prop_assert!(distance_m * 1.25 <= stand_off_m),
        }
    }

    /// An interval lies within 0-1, the right way round, and holds more than half of what it was
    /// made from.
    #[test]
    fn intervals_are_intervals(hits in 0.0..200.0_f64, misses in 0.0..200.0_f64) {
        let beta = wrackline_log::learning::Beta::UNIFORM.after(hits, misses);
        let Interval { low, high } = beta.interval(0.9);
        prop_assert!(0.0 <= low && low < high && high <= 1.0);
        prop_assert!((beta.cdf(high) - beta.cdf(low) - 0.9).abs() < 1e-9);
    }
}
