//! Before the first and after the last turn of a table nothing is known, and nothing that needs the
//! water is proposed.

use jiff::SignedDuration;
use jiff::civil::date;
use wrackline_plan::port::{PrintedSpec, PrintedTable, TideCurve};
use wrackline_plan::scenario::Scenario;
use wrackline_plan::season::{EVERY_SUBJECT, Request, Season, season};
use wrackline_plan::windows::{Condition, Departure};

use crate::made::{at, demo_by_table, demo_port, printed, turns_of};

const FROM: &str = "2026-12-20T00:00:00Z";

fn days(scenario: &Scenario, light: &'static str) -> Season<'static> {
    // Leaked: a test's few scenarios.
    let scenario: &'static Scenario = Box::leak(Box::new(scenario.clone()));
    let request = Request {
        subject: Some(EVERY_SUBJECT),
        light: Some(light),
        ..Request::new(date(2026, 12, 15), 30)
    };
    season(scenario, request).unwrap()
}

/// Seats that the water touches.
const BY_THE_WATER: [&str; 4] = ["A", "B", "C", "D"];

/// A table that ends at any hour of a day: every outing by the water lies in it, whole, with the
/// margin of its way; and each is one that the longer table plans in the same way.
#[test]
fn wherever_a_table_ends_every_outing_lies_in_it() {
    let longer = demo_by_table("2026-12-01T00:00:00Z", "2027-02-01T00:00:00Z", "");
    for light in ["low front light", "side light", "moonlight"] {
        let all = days(&longer, light);
        for hour in 0..26 {
            let to = at("2027-01-02T00:00:00Z") + SignedDuration::from_hours(hour);
            let scenario = demo_by_table(FROM, &to.to_string(), "");
            let span = scenario.tide().unwrap().printed().unwrap().span();
            let found = days(&scenario, light);
            for outing in &found.outings {
                if !BY_THE_WATER.contains(&outing.seat.id.as_str()) {
                    continue;
                }
                let times = &outing.window.timetable;
                assert!(times.set_out >= span.start && times.overdue <= span.end);
                if let Some(way) = times.way {
                    assert!(
                        way.clear < span.end && way.cross_from <= span.end,
                        "{way:?}"
                    );
                    assert!(way.cut > span.start);
                }
                let same = all.outings.iter().find(|other| {
                    other.seat.id == outing.seat.id
                        && other.subject.id == outing.subject.id
                        && other.window.stretch.start == outing.window.stretch.start
                });
                // What a shorter table proposes the longer one does not refuse, and its departure
                // is never later.
                let same = same.unwrap_or_else(|| panic!("{light} {hour}: {outing:?}"));
                let other = same.window.timetable.departure();
                match (times.departure(), other) {
                    (Departure::Latest(a), Departure::Latest(b)) => assert!(a <= b),
                    // The end of the table bounds what the water does not.
                    (Departure::Latest(_), _) => {}
                    (a, b) => assert_eq!(a, b, "{light} {hour}"),
                }
            }
        }
    }
}

/// A day before and a day after the table: refused as not known, with its ends.
#[test]
fn beyond_the_table_the_reason_is_told() {
    // The longer table has a window on the morning of the 29th, whose outing ends at 14:01.
    let scenario = demo_by_table(FROM, "2026-12-29T12:00:00Z", "");
    let found = days(&scenario, "low front light");
    let report = |seat: &str| {
        let mut reports = found.seats.iter();
        reports.find(|report| report.seat.id == seat).unwrap()
    };
    let refused = &report("B").refused;
    let near = refused
        .iter()
        .filter(|occasion| occasion.date == date(2026, 12, 29))
        .flat_map(|occasion| &occasion.refusals)
        .find(|refusal| refusal.condition == Condition::Unknown)
        .unwrap();
    assert!(
        near.reason.contains("ends with this high water"),
        "{}",
        near.reason
    );
    let before = refused
        .iter()
        .filter(|occasion| occasion.date == date(2026, 12, 28))
        .flat_map(|occasion| &occasion.refusals)
        .find(|refusal| refusal.condition == Condition::Unknown)
        .unwrap();
    let ends = "known from 2026-12-20T02:05Z to 2026-12-29T09:34Z only";
    assert!(before.reason.contains(ends), "{}", before.reason);
    // No tide is made up where none is printed.
    for report in &found.seats {
        if BY_THE_WATER.contains(&report.seat.id.as_str()) {
            let dates = report.refused.iter().map(|occasion| occasion.date);
            assert!(dates.clone().all(|day| day >= date(2026, 12, 20)));
            assert!(dates.clone().all(|day| day <= date(2026, 12, 29)));
        }
    }
}

#[test]
fn a_table_of_another_year_plans_nothing_by_the_water() {
    let scenario = demo_by_table("2025-01-01T00:00:00Z", "2025-12-31T00:00:00Z", "");
    let found = days(&scenario, "low front light");
    let mut outings = found.outings.iter();
    assert!(outings.all(|outing| !BY_THE_WATER.contains(&outing.seat.id.as_str())));
    assert!(
        !found.outings.is_empty(),
        "inland seats are planned all the same"
    );
}

#[test]
fn a_curve_knows_only_what_the_table_holds() {
    let turns = turns_of(&demo_port(), FROM, "2026-12-31T00:00:00Z");
    let text = printed(&turns, &jiff::tz::TimeZone::UTC);
    let spec = PrintedSpec::new(jiff::tz::TimeZone::UTC, "UTC");
    let table = PrintedTable::of_csv("t", &text, &spec).unwrap();
    let span = table.span();
    let wide = at("2026-12-01T00:00:00Z")..at("2027-01-30T00:00:00Z");
    let curve = TideCurve::printed(&table, wide.clone());
    assert_eq!(*curve.span(), span);
    assert_eq!(*curve.asked(), wide);
    let second = SignedDuration::from_secs(1);
    assert!(curve.height_m(span.start).is_ok() && curve.height_m(span.end).is_ok());
    assert!(curve.height_m(span.start - second).is_err());
    assert!(curve.height_m(span.end + second).is_err());
    assert!(curve.highest_m(&(span.start - second..span.end)).is_none());
    let before = TideCurve::printed(&table, wide.start..at(FROM));
    assert!(before.span().is_empty() && before.height_m(at(FROM)).is_err());
    assert!(
        before
            .above(0.0)
            .iter()
            .all(|over| over.start >= span.start)
    );
    // Within the table the span is what was asked for, and the curve the same.
    let day = at("2026-12-24T01:00:00Z")..at("2026-12-24T13:00:00Z");
    let within = TideCurve::printed(&table, day.clone());
    assert_eq!(*within.span(), day);
    let noon = at("2026-12-24T12:00:00Z");
    assert_eq!(
        within.height_m(noon).unwrap(),
        curve.height_m(noon).unwrap()
    );
}
