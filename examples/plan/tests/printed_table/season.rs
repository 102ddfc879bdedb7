//! The demo's season by a table printed from its own constants, beside that by the constants.

use jiff::civil::date;
use wrackline_plan::scenario::{DEMO, Scenario};
use wrackline_plan::season::{EVERY_SUBJECT, Outing, Request, Season, season};
use wrackline_plan::time::{minutes, minutes_between};
use wrackline_plan::windows::Departure;

use crate::made::demo_by_table;

fn winter(scenario: &Scenario) -> Season<'_> {
    let request = Request {
        subject: Some(EVERY_SUBJECT),
        ..Request::new(date(2026, 11, 25), 96)
    };
    season(scenario, request).unwrap()
}

/// The same window by the other water.
fn same<'a, 's>(season: &'a Season<'s>, outing: &Outing<'_>) -> Option<&'a Outing<'s>> {
    season.outings.iter().find(|other| {
        other.seat.id == outing.seat.id
            && other.subject.id == outing.subject.id
            && other.window.stretch.start < outing.window.stretch.end
            && outing.window.stretch.start < other.window.stretch.end
    })
}

/// Rounding to a minute and a centimetre and the half cosine move a picture's ends by minutes; what
/// keeps people from the water errs on one side only.
#[test]
fn a_table_plans_what_constants_plan_and_nothing_bolder() {
    let by_constants = Scenario::parse("demo.toml", DEMO).unwrap();
    let by_table = demo_by_table("2026-11-01T00:00:00Z", "2027-03-20T00:00:00Z", "");
    let (known, printed) = (winter(&by_constants), winter(&by_table));
    let (mut matched, mut unmatched) = (0, 0);
    let (mut moved, mut bolder) = (0.0_f64, f64::MIN);
    for outing in &printed.outings {
        let Some(other) = same(&known, outing) else {
            // A high water at a level of the place, or light of the shortest length, but for what
            // is printed round: of the picture alone.
            let top_m = outing.occasion.high_water.as_ref().unwrap().expected_m;
            let place = by_table.place_of(outing.seat);
            let mut levels = [place.push_m, place.overtop_m].into_iter().flatten();
            let light = minutes(&outing.window.stretch) - by_table.habits().shortest_minutes;
            assert!(levels.any(|level_m| (top_m - level_m).abs() < 0.011) || light < 4.0);
            unmatched += 1;
            continue;
        };
        matched += 1;
        let (a, b) = (&other.window, &outing.window);
        moved = moved.max(minutes_between(a.stretch.start, b.stretch.start).abs());
        if let (Some(a), Some(b)) = (a.timetable.latest_departure, b.timetable.latest_departure) {
            bolder = bolder.max(minutes_between(a, b));
        }
        match (a.timetable.departure(), b.timetable.departure()) {
            (
                Departure::NotBefore {
                    cross_by: a,
                    cross_from: c,
                },
                Departure::NotBefore {
                    cross_by: b,
                    cross_from: d,
                },
            ) => {
                bolder = bolder.max(minutes_between(a, b)).max(minutes_between(d, c));
            }
            (Departure::Latest(a), Departure::Latest(b)) => {
                bolder = bolder.max(minutes_between(a, b));
            }
            (a, b) => assert_eq!(std::mem::discriminant(&a), std::mem::discriminant(&b)),
        }
    }
    // Nothing is lost but what the wider upper water takes.
    assert!(
        unmatched <= 3 && matched * 10 >= known.outings.len() * 9,
        "{matched} of {}",
        known.outings.len()
    );
    assert!(moved < 4.0, "{moved} min");
    // No departure is later, and no return over the way earlier, than by the constants: what the
    // curve does not know costs half an hour at least, here where the way lies near the mean level.
    assert!(bolder <= -30.0, "{bolder} min");
}

/// The answer says where its water comes from.
#[test]
fn the_table_is_told_in_every_answer() {
    let scenario = demo_by_table("2026-11-01T00:00:00Z", "2027-03-20T00:00:00Z", "");
    let told = scenario.tide().unwrap().to_be_told().unwrap();
    assert!(told.contains("from a printed table"), "{told}");
    assert!(told.contains("2026-11-01T"), "{told}");
    assert!(told.contains("0.005 m of rounding"), "{told}");
    let warnings = scenario.warnings();
    assert!(
        warnings.iter().any(|warning| warning.what == told),
        "{warnings:?}"
    );
}
