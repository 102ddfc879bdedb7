//! The field log's say in the season: learned chances, places at rest, alarmed animals, visits to
//! find out.
#![allow(clippy::unwrap_used)]

use jiff::Timestamp;
use jiff::civil::date;
use wrackline_log::learning::{Fading, experience};
use wrackline_log::{Log, Record, from_csv, join};
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
use wrackline_plan::season::{Request, Season, season};
use wrackline_plan::windows::Condition;

const DEMO_LOG: &str = include_str!("../../demo/log.csv");

fn demo() -> Scenario {
    Scenario::parse(DEMO_NAME, DEMO).unwrap()
}

fn records(scenario: &Scenario, csv: &str) -> Vec<Record> {
    let folder = tempfile::tempdir().unwrap();
    let mut log = Log::open_or_create(&folder.path().join("log.sqlite")).unwrap();
    let now: Timestamp = "2026-11-25T12:00:00Z".parse().unwrap();
    let entries = from_csv("log.csv", csv.as_bytes(), &join::gate(scenario, now)).unwrap();
    let joined: Vec<_> = entries
        .into_iter()
        .map(|entry| {
            let conditions = join::conditions(scenario, &entry);
            (entry, conditions)
        })
        .collect();
    log.add(&joined, scenario.zone()).unwrap();
    log.records().unwrap()
}

fn winter<'s>(scenario: &'s Scenario, log: &[Record], keep: usize) -> Season<'s> {
    let told = experience(scenario, log, Fading::default());
    let request = Request {
        experience: told.as_ref(),
        keep,
        ..Request::new(date(2026, 11, 25), 96)
    };
    season(scenario, request).unwrap()
}

#[test]
fn eight_of_nine_visits_weigh_the_windows() {
    let scenario = demo();
    let log = records(&scenario, DEMO_LOG);
    assert_eq!(log.len(), 25);
    let with = winter(&scenario, &log, usize::MAX);
    let mut weighed = 0;
    for outing in &with.outings {
        let chance = outing.learned.unwrap();
        assert!((outing.score - outing.window.score * chance.mean).abs() < 1e-9);
        if !["A", "B"].contains(&outing.seat.id.as_str()) {
            continue;
        }
        // 8 of 9 here and 2 of 2 at the other place that was visited, pooled: 0.8532 with 0.6572 to
        // 0.9794 by `tests/data/learning.py`, within the grid's 0.0005.
        assert!((chance.mean - 0.8532).abs() < 0.0005, "{}", chance.mean);
        let reason = chance.reason("in range", "in this band");
        assert_eq!(reason, "in range on 8 of 9 visits in this band, 66-98 %");
        weighed += 1;
    }
    assert!(weighed > 0);
    let without = winter(&scenario, &[], usize::MAX);
    assert!(
        without
            .outings
            .iter()
            .all(|outing| outing.learned.is_none())
    );
}

#[test]
fn without_a_difference_in_knowledge_nothing_is_kept_to_find_out() {
    let scenario = demo();
    let log = records(&scenario, DEMO_LOG);
    let season = winter(&scenario, &log, 10);
    assert_eq!(season.outings.len(), 10);
    assert!(season.outings.iter().all(|outing| !outing.to_find_out));
}

/// The demo's log with a column of flushes, filled for one entry.
fn with_flushes(id: &str, flushes: &str) -> String {
    let rows = DEMO_LOG.lines().enumerate().map(|(at, row)| {
        let cell = match at {
            0 => "flushes",
            _ if row.starts_with(&format!("{id},")) => flushes,
            _ => "",
        };
        format!("{row},{cell}\n")
    });
    rows.collect()
}

#[test]
fn two_flushes_in_a_winter_rest_the_place() {
    let scenario = demo();
    // L20 was at Tallow Ness on the 24th of January 2026: a month of rest follows.
    let log = records(&scenario, &with_flushes("L20", "2"));
    let told = experience(&scenario, &log, Fading::default());
    let request = Request {
        experience: told.as_ref(),
        ..Request::new(date(2026, 1, 25), 28)
    };
    let resting = season(&scenario, request).unwrap();
    let at_tallow_ness = |season: &Season<'_>| {
        let there = season
            .outings
            .iter()
            .filter(|o| ["A", "B"].contains(&o.seat.id.as_str()));
        there.count()
    };
    assert_eq!(at_tallow_ness(&resting), 0);
    let rested = resting.seats[0].refused.iter().any(|occasion| {
        occasion
            .refusals
            .iter()
            .any(|refusal| refusal.condition == Condition::Rest)
    });
    assert!(rested);
    let log = records(&scenario, DEMO_LOG);
    let told = experience(&scenario, &log, Fading::default());
    let request = Request {
        experience: told.as_ref(),
        ..Request::new(date(2026, 1, 25), 28)
    };
    assert!(at_tallow_ness(&season(&scenario, request).unwrap()) > 0);
}

/// Seat A looks at them from 85 m, its stand-off distance. A visit that alarmed them at 80 m asks
/// for a quarter more, 100 m.
#[test]
fn a_seat_inside_what_alarmed_them_is_refused() {
    let scenario = demo();
    // A distance needs its sign of unease: flight is sign 4.
    let signed = DEMO_LOG.replace(",clear,,,\"low sun", ",clear,,4,\"low sun");
    let rows = signed.lines().enumerate().map(|(at, row)| match at {
        0 => format!("{row},flushes,unease_distance_m\n"),
        _ if row.starts_with("L04,") => format!("{row},1,80\n"),
        _ => format!("{row},,\n"),
    });
    let log = records(&scenario, &rows.collect::<String>());
    let season = winter(&scenario, &log, usize::MAX);
    let at = |id: &str| {
        season
            .seats
            .iter()
            .find(|report| report.seat.id == id)
            .unwrap()
    };
    for seat in ["A", "B"] {
        assert_eq!(at(seat).never[0].condition, Condition::StandOff);
        let reason = &at(seat).never[0].reason;
        assert!(
            reason.contains("alarmed here at 80 m (L04): keep 100 m"),
            "{reason}"
        );
        assert!(season.outings.iter().all(|outing| outing.seat.id != seat));
    }
    // The log is of one place: elsewhere nothing changes.
    assert!(
        at("D")
            .never
            .iter()
            .all(|refusal| !refusal.reason.contains("L04"))
    );
}
