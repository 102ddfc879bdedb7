//! Scenarios that were once judged wrongly, each with what the rules say of it.

use jiff::Timestamp;
use jiff::civil::{Date, date};

use super::ask::{Found, ask};
use super::plan::{Access, Bears, Closure, Phase, Plan, Port, Seat, Subject, Visits, Way};
use super::{alike, judge, table, tell, tide};

const TWO_HIGH_WATERS: &str = include_str!("../data/plain_reading/two_high_waters.toml");
const DAY_EDGE: &str = include_str!("../data/plain_reading/day_edge.toml");
const DIURNAL: &str = include_str!("../data/plain_reading/diurnal.toml");

fn windows(text: &str, from: Date, days: u32) -> Vec<Found> {
    ask(text, from, days, Phase::Both).unwrap().windows
}

fn on_day(found: &[Found], day: Date) -> Vec<String> {
    found
        .iter()
        .filter(|found| found.day == day)
        .map(tell)
        .collect()
}

fn seconds(at: &str) -> f64 {
    at.parse::<Timestamp>().unwrap().as_second() as f64
}

/// Minutes from one instant to another in which the water of a port stands over a level, from the
/// first to the last.
fn over(port: &Port, level_m: f64, from: &str, until: &str) -> Vec<[f64; 2]> {
    let start = (seconds(from) / 60.0) as i64;
    let count = ((seconds(until) - seconds(from)) / 60.0) as usize;
    let heights = tide::heights(port, start, count);
    super::search::runs(count, |at| heights[at] > level_m)
        .into_iter()
        .map(|run| [run.start, run.end].map(|at| (start + at as i64) as f64 * 60.0))
        .collect()
}

/// The second of two high waters in one stretch over the push level closes the way as the first
/// does.
#[test]
fn two_high_waters() {
    let port = Port {
        mean_level_m: 2.9,
        constituents: vec![
            ("M2", 1.35, 0.0),
            ("S2", 0.4, 40.0),
            ("M4", 0.55, 170.0),
            ("MS4", 0.25, 210.0),
            ("M6", 0.18, 30.0),
        ],
        secondary: None,
        printed: None,
    };
    // The ford at 3.9 m under the upper water, 0.2 m over the prediction: the case says about
    // 12:10 to 14:05.
    let lost = over(&port, 3.7, "2027-05-10T06:00:00Z", "2027-05-10T18:00:00Z");
    assert!(!lost.is_empty());
    let [first, last] = [lost[0][0], lost[lost.len() - 1][1]];
    assert!(
        (first - seconds("2027-05-10T12:10:00Z")).abs() <= 180.0,
        "{lost:?}"
    );
    println!("{lost:?} {last}");

    let day = date(2027, 5, 10);
    for (from, days) in [(day, 1), (date(2027, 5, 1), 20), (date(2027, 4, 1), 60)] {
        let found = on_day(&windows(TWO_HIGH_WATERS, from, days), day);
        assert!(found.is_empty(), "{days} days from {from}: {found:?}");
    }
}

/// The edge of a day does not take the higher of two high waters away.
#[test]
fn day_edge() {
    let day = date(2026, 7, 13);
    for (from, days) in [(day, 1), (date(2026, 7, 1), 60), (date(2026, 7, 1), 13)] {
        let found = on_day(&windows(DAY_EDGE, from, days), day);
        assert!(found.is_empty(), "{days} days from {from}: {found:?}");
    }
    let whole = windows(DAY_EDGE, date(2026, 7, 1), 60);
    let by_day: Vec<Found> = date(2026, 7, 1)
        .series(jiff::Span::new().days(1))
        .take(60)
        .flat_map(|day| windows(DAY_EDGE, day, 1))
        .collect();
    assert!(!whole.is_empty());
    assert_eq!(whole.len(), by_day.len());
    let same = whole.iter().zip(&by_day).all(|(a, b)| alike(a, b));
    assert!(same, "{whole:?}\n{by_day:?}");
}

/// One tide a day closes a causeway for sixteen hours and opens it for nearly nine: one can come
/// before and go after.
#[test]
fn diurnal() {
    let port = Port {
        mean_level_m: 3.0,
        constituents: vec![("K1", 1.2, 80.0), ("O1", 1.0, 60.0)],
        secondary: None,
        printed: None,
    };
    // The causeway at 2.3 m less its margin of 0.1 m, under the upper water, 0.3 m over the
    // prediction by our default.
    let closed = over(&port, 1.9, "2026-05-05T08:00:00Z", "2026-05-06T18:00:00Z");
    let lost = over(&port, 2.0, "2026-05-05T08:00:00Z", "2026-05-06T18:00:00Z");
    let said = [
        ["2026-05-05T11:58:00Z", "2026-05-06T03:57:00Z"].map(seconds),
        ["2026-05-06T12:45:00Z", "2026-05-06T18:00:00Z"].map(seconds),
    ];
    assert_eq!(closed.len(), 2, "{closed:?}");
    for (here, said) in closed.iter().zip(said) {
        let near = (here[0] - said[0]).abs() <= 120.0 && (here[1] - said[1]).abs() <= 120.0;
        assert!(near, "{here:?}, said {said:?}");
    }

    let found = windows(DIURNAL, date(2026, 5, 1), 10);
    let stays = found.iter().find(|found| found.day == date(2026, 5, 5));
    let stays = stays.unwrap_or_else(|| panic!("nobody stays the tide of 5 May: {found:?}"));
    // The margin in height, and a quarter of an hour on either side of the loss of the causeway
    // itself, to the minute.
    let by = |at: usize| closed[at][0].min(lost[at][0] - 900.0) + 60.0;
    let from = closed[0][1].max(lost[0][1] + 900.0) - 60.0;
    assert!(stays.seated_by <= by(0), "{}", tell(stays));
    assert!(stays.stand_up >= from, "{}", tell(stays));
    assert!(stays.back_by <= by(1), "{}", tell(stays));
}

/// A coast planned in a zone whose midnight lies in the middle of its light: two outings of one
/// stretch of light, or a walk out before a high water, lie on different days.
fn midnight_in_the_light(push_m: Option<f64>) -> Plan {
    let port = Port {
        mean_level_m: 3.0,
        constituents: vec![("M2", 1.5, 40.0), ("S2", 0.3, 80.0)],
        secondary: None,
        printed: None,
    };
    let seat = Seat {
        id: "a",
        bearing_deg: 0.0,
        distance_m: 100.0,
        ins: 10.0,
        out: 10.0,
        hide: true,
        access: Access::Leave,
        ground_m: Some(6.0),
        freeboard_m: 0.2,
        way: Some(0),
        horizon: Vec::new(),
    };
    let way = Way {
        low_point_m: 4.0,
        creeks: Vec::new(),
        loaded_dark: 5.0,
        margin_m: 0.1,
        margin_minutes: 5.0,
    };
    let subject = Subject {
        id: "s",
        on_foot_m: 50.0,
        from_hide_m: 50.0,
        present: None,
        breeding: None,
    };
    Plan {
        week: None,
        visits: Visits::default(),
        zone: "UTC",
        from: date(2027, 1, 1),
        days: 16,
        phase: Phase::Both,
        port: Some(port),
        expected_m: 0.0,
        upper_allowance_m: 0.2,
        settle: 5.0,
        factor: 1.0,
        shortest: 20.0,
        longest_hours: None,
        altitude_deg: [-6.0, 90.0],
        angle_deg: None,
        free: Vec::new(),
        latitude_deg: -37.0,
        longitude_deg: 175.0,
        push_m,
        overtop_m: None,
        from_home: None,
        seats: vec![seat],
        ways: vec![way],
        subjects: vec![subject],
        closures: Vec::new(),
        frost: None,
    }
}

/// A closed day takes the outings that touch it and no others, whatever they share a tide or a
/// stretch of light with.
#[test]
fn a_closed_day_takes_what_touches_it() {
    let mut wrong = Vec::new();
    for push_m in [None, Some(2.0), Some(2.6)] {
        let mut plan = midnight_in_the_light(push_m);
        for more in 2..14 {
            let day = table::date_of(table::day_number(plan.from) + more);
            plan.closures = vec![Closure {
                bears: Bears::Here,
                from: (day.month(), day.day()),
                to: (day.month(), day.day()),
                weekdays: Vec::new(),
                closed: true,
                frozen_days: None,
            }];
            let verdict = judge(&plan);
            assert!(verdict.asked > 0);
            let told = |(rule, what)| format!("push {push_m:?}, closed on {day}: {rule}: {what}");
            wrong.extend(verdict.breaks.into_iter().map(told));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
