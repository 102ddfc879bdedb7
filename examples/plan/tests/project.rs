//! The plan of a project keeps the limits of a place: visits a month, those already made, and
//! rests.
#![allow(clippy::unwrap_used)]

use std::collections::BTreeMap;

use jiff::civil::{Date, date};
use wrackline_plan::experience::{Experience, Rest, Visited};
use wrackline_plan::project::{Outlook, Project, Request, project};
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
use wrackline_plan::season::Error;

const FROM: Date = date(2026, 12, 1);
const PLACE: &str = "tallow-ness";

/// The demo with a limit of visits a month for its first roost.
fn with_limit(most: u32) -> Scenario {
    let name = "name = \"Tallow Ness\"";
    let limited = format!("{name}\nmost_visits_a_month = {most}");
    assert!(DEMO.contains(name));
    Scenario::parse(DEMO_NAME, &DEMO.replacen(name, &limited, 1)).unwrap()
}

fn planned<'s>(
    scenario: &'s Scenario,
    experience: Option<&Experience>,
    visits: Option<u32>,
) -> Project<'s> {
    let request = Request {
        from: FROM,
        days: 62,
        visits,
        experience,
        taken: &BTreeMap::new(),
    };
    project(scenario, request).unwrap()
}

/// Days of the plan at the roost.
fn days(project: &Project<'_>) -> Vec<Date> {
    let at_roost = project.plan.iter().filter(|visit| {
        let place = project.scenario.place_of(visit.seat);
        place.id == PLACE
    });
    at_roost.map(|visit| visit.date).collect()
}

fn in_month(days: &[Date], month: i8) -> usize {
    days.iter().filter(|day| day.month() == month).count()
}

fn visited(date: Date) -> Visited {
    Visited {
        place: PLACE.to_owned(),
        subject: "slate-knotling".to_owned(),
        date,
    }
}

#[test]
fn a_place_is_visited_no_more_often_in_a_month_than_it_bears() {
    let scenario = with_limit(3);
    let project = planned(&scenario, None, None);
    let days = days(&project);
    // There are far more windows than that, and nobody else is worth the visits more.
    assert_eq!((in_month(&days, 12), in_month(&days, 1)), (3, 3));
    assert!(project.at_limit.iter().any(|place| place.id == PLACE));
    assert!(project.proven);
    let free = Scenario::parse(DEMO_NAME, DEMO).unwrap();
    let free = planned(&free, None, None);
    assert!(free.at_limit.is_empty() && self::days(&free).len() > 6);
}

#[test]
fn visits_made_in_a_month_count_and_two_subjects_on_a_day_are_one() {
    let scenario = with_limit(3);
    let made = [date(2026, 12, 1), date(2026, 12, 1), date(2026, 11, 30)];
    let mut experience = Experience {
        visits: made.map(visited).to_vec(),
        ..Experience::default()
    };
    let project = planned(&scenario, Some(&experience), Some(24));
    let found = days(&project);
    assert_eq!((in_month(&found, 12), in_month(&found, 1)), (2, 3));
    // A month that is full has no visit left.
    experience
        .visits
        .extend([2, 3].map(|day| visited(date(2026, 12, day))));
    let project = planned(&scenario, Some(&experience), Some(24));
    let found = days(&project);
    assert_eq!((in_month(&found, 12), in_month(&found, 1)), (0, 3));
}

#[test]
fn what_the_scenario_plans_is_less_by_the_visits_of_this_season() {
    let scenario = Scenario::parse(DEMO_NAME, DEMO).unwrap();
    let all = scenario.project_visits().unwrap();
    // The year of an animal that comes in autumn began before; the last spring was another one.
    let made = [date(2026, 10, 5), date(2026, 11, 2), date(2026, 2, 2)];
    let experience = Experience {
        visits: made.map(visited).to_vec(),
        ..Experience::default()
    };
    let project = planned(&scenario, Some(&experience), None);
    assert_eq!((project.visits_made, project.visits_left), (2, all - 2));
}

#[test]
fn a_place_at_rest_is_left_in_peace() {
    let scenario = Scenario::parse(DEMO_NAME, DEMO).unwrap();
    let rest = Rest {
        place: PLACE.to_owned(),
        since: date(2026, 11, 30),
        until: date(2026, 12, 31),
        flushes: vec![("2026-11-30".to_owned(), 2)],
    };
    let experience = Experience {
        rests: vec![rest],
        ..Experience::default()
    };
    let found = days(&planned(&scenario, Some(&experience), None));
    assert_eq!(in_month(&found, 12), 0);
    assert!(in_month(&found, 1) > 0);
}

#[test]
fn with_no_visit_left_everything_is_given_up_and_nothing_is_planned() {
    let scenario = Scenario::parse(DEMO_NAME, DEMO).unwrap();
    let project = planned(&scenario, None, Some(0));
    assert!(project.plan.is_empty());
    let given_up = |picture: &wrackline_plan::project::Picture<'_>| {
        picture.outlook == Outlook::GivenUp && picture.chance == 0.0
    };
    assert!(project.pictures.iter().all(given_up));
}

#[test]
fn more_visits_than_days_of_a_year_are_refused() {
    let scenario = Scenario::parse(DEMO_NAME, DEMO).unwrap();
    let request = Request {
        from: FROM,
        days: 1,
        visits: Some(367),
        experience: None,
        taken: &BTreeMap::new(),
    };
    let refused = project(&scenario, request).unwrap_err();
    assert!(
        matches!(refused, Error::Visits { visits: 367 }),
        "{refused}"
    );
}
