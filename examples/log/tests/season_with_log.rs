//! The field log's say in the season: learned chances, places at rest, alarmed animals, visits to
//! find out.
#![allow(clippy::unwrap_used)]

use jiff::Timestamp;
use jiff::civil::date;
use wrackline_log::learning::{Fading, experience, experience_with};
use wrackline_log::{Log, Record, from_csv, join};
use wrackline_plan::experience::sightings::{Sightings, YearRound};
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

/// A year in which others found the demo's animal on a share of visits, in one half-month often.
fn others_saw(shares: [Option<f64>; 24], weight: f64) -> Sightings {
    let year = YearRound::new("tallow-ness".into(), "slate-knotling".into(), shares).unwrap();
    Sightings::new(vec![year], weight).unwrap()
}

/// What others saw weighs the chances by the time of the year, and nothing else: whatever is
/// refused, and for what, stays to the letter.
#[test]
fn the_sightings_of_others_weigh_windows_and_loosen_nothing() {
    let scenario = demo();
    // Flushes and an alarm, so that there is something to loosen.
    let log = records(&scenario, &with_flushes("L20", "2"));
    let told = |sightings: &Sightings| {
        experience_with(&scenario, &log, Fading::default(), sightings).unwrap()
    };
    let shares =
        std::array::from_fn(|half| (half != 2).then_some(if half == 23 { 1.0 } else { 0.0 }));
    let [without, with] = [others_saw(shares, 0.0), others_saw(shares, 20.0)].map(|s| told(&s));
    assert_eq!(
        without,
        experience(&scenario, &log, Fading::default()).unwrap()
    );
    assert_eq!(
        (&without.alarms, &without.rests),
        (&with.alarms, &with.rests)
    );
    let season_of = |told| {
        let request = Request {
            experience: Some(told),
            keep: usize::MAX,
            keep_refused: true,
            ..Request::new(date(2026, 12, 1), 90)
        };
        season(&scenario, request).unwrap()
    };
    let [before, after] = [season_of(&without), season_of(&with)];
    for (before, after) in before.seats.iter().zip(&after.seats) {
        assert_eq!(before.never, after.never);
        assert_eq!(before.refused, after.refused);
    }
    assert_eq!(before.windows_in_all, after.windows_in_all);
    let mut weighed = 0;
    for outing in &after.outings {
        let same = |other: &&wrackline_plan::season::Outing<'_>| {
            other.seat.id == outing.seat.id
                && other.subject.id == outing.subject.id
                && other.window.stretch == outing.window.stretch
        };
        let before = before.outings.iter().find(same).unwrap();
        let (before, after) = (before.learned.unwrap(), outing.learned.unwrap());
        let place = scenario.place_of(outing.seat);
        let told = outing.subject.id == "slate-knotling" && place.id == "tallow-ness";
        let half = wrackline_plan::scenario::half_month_of(outing.occasion.date);
        match half {
            _ if !told => assert_eq!(before, after),
            // Nobody can say: visits alone tell.
            2 => assert_eq!(before, after),
            23 => assert!(after.mean > before.mean && after.sightings == 20.0),
            _ => assert!(after.mean < before.mean),
        }
        weighed += usize::from(told);
    }
    assert!(weighed > 0);
}

/// At a place of its own, where no visit was made: a uniform prior and ten visits of others, of
/// which eight found it, are a Beta distribution of 9 and 3, whose mean is three quarters.
#[test]
fn without_a_log_they_are_all_that_is_known() {
    let scenario = demo();
    let sightings = others_saw([Some(0.8); 24], 10.0);
    let told = experience_with(&scenario, &[], Fading::default(), &sightings).unwrap();
    let chance = told.chance_on("tallow-ness", "slate-knotling", date(2026, 12, 1));
    assert!((chance.mean - 0.75).abs() < 1e-12, "{chance:?}");
    assert_eq!(chance.visits, 0);
    let reason = chance.reason("in range", "in this band");
    assert!(reason.starts_with("no visit in this band yet, others' sightings taken for 10 visits"));
    let none = others_saw([Some(0.8); 24], 0.0);
    assert_eq!(
        experience_with(&scenario, &[], Fading::default(), &none),
        None
    );
}
