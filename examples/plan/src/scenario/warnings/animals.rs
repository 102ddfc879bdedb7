//! Animals, where they are listed, and whether any day of the year is left for them.

use jiff::civil::{Date, date};

use super::super::closure::{Closure, ClosureDates, ClosureRule};
use super::super::draft::Marks;
use super::super::place::Place;
use super::super::whole::Scenario;

/// Hardly any wild animal bears a person nearer than this, metres.
const NEAR_M: f64 = 5.0;

pub(super) fn look(scenario: &Scenario, marks: &Marks<'_>) {
    distances(scenario, marks);
    listed(scenario, marks);
    days_left(scenario, marks);
}

fn distances(scenario: &Scenario, marks: &Marks<'_>) {
    for (subject, mark) in scenario.subjects().iter().zip(&marks.subjects) {
        let (on_foot, hide) = (subject.stand_off_on_foot_m, subject.stand_off_from_hide_m);
        for (key, distance) in [
            ("stand_off_on_foot_m", on_foot),
            ("stand_off_from_hide_m", hide),
        ] {
            if distance < NEAR_M {
                mark.warn(
                    key,
                    format!("{distance} m is nearer than a wild animal bears"),
                    "give the distance in metres at which it does not mind you",
                );
            }
        }
        if on_foot < hide {
            mark.warn(
                "stand_off_on_foot_m",
                format!("{on_foot} m on foot, and {hide} m from a hide"),
                "check which is which: a hide is what lets you be nearer",
            );
        }
        if let Some(flight_m) = subject.flight_m
            && flight_m > on_foot.min(hide)
        {
            mark.warn(
                "flight_m",
                format!(
                    "it takes flight at {flight_m} m, and the stand-off distance is {} m",
                    on_foot.min(hide)
                ),
                "make the stand-off distances larger than the distance at which it flees",
            );
        }
        if let Some(alert_m) = subject.alert_m
            && alert_m > on_foot
        {
            mark.warn(
                "alert_m",
                format!(
                    "heads go up at {alert_m} m, and the stand-off distance on foot is \
                {on_foot} m"
                ),
                "make the stand-off distance on foot larger than the distance at which it is \
                 alarmed",
            );
        }
        if let (Some(alert_m), Some(flight_m)) = (subject.alert_m, subject.flight_m)
            && alert_m < flight_m
        {
            mark.warn(
                "alert_m",
                format!("heads go up at {alert_m} m, nearer than it takes flight, at {flight_m} m"),
                "check which is which",
            );
        }
    }
}

fn listed(scenario: &Scenario, marks: &Marks<'_>) {
    for (place, mark) in scenario.places().iter().zip(&marks.places) {
        if place.subjects.is_empty() {
            mark.warn(
                "subjects",
                "no animal is listed, so nothing is proposed here, and none is guarded",
                "list the ids of all the animals that are found there",
            );
        }
    }
    for (at, mark) in marks.subjects.iter().enumerate() {
        if !scenario
            .places()
            .iter()
            .any(|place| place.subjects.contains(&at))
        {
            mark.warn(
                "",
                "no place lists it, so nothing is proposed for it",
                "add its id to the `subjects` of the places where it is found",
            );
        }
    }
    for (closure, mark) in scenario.closures().iter().zip(&marks.closures) {
        let Some(subject) = closure.subject else {
            continue;
        };
        let place = closure
            .place
            .or(closure.seat.map(|at| scenario.seats[at].place));
        if place.is_some_and(|at| !scenario.places[at].subjects.contains(&subject)) {
            mark.warn(
                "subject",
                "is not listed at that place, so the closure guards nothing unless it is asked \
                 for by name",
                "add its id to the `subjects` of the place, or leave the place out",
            );
        }
    }
}

/// Whether a closure shuts a place, or an animal there, on a day of every year.
fn shuts(scenario: &Scenario, closure: &Closure, place: &Place, subject: usize, day: Date) -> bool {
    closure.rule == ClosureRule::Closed
        && closure.seat.is_none()
        && closure.weekdays.is_empty()
        && closure.frozen_days.is_none()
        && matches!(closure.dates, ClosureDates::EveryYear { .. })
        && closure.dates.contains(day)
        && closure
            .place
            .is_none_or(|at| scenario.places[at].id == place.id)
        && closure
            .subject
            .is_none_or(|at| at == subject || place.subjects.contains(&at))
}

/// Whether some day of the year is left for an animal at a place: it is there, nothing breeds,
/// nothing is closed.
fn has_a_day(scenario: &Scenario, place: &Place, subject: usize) -> bool {
    let year = date(2028, 1, 1).series(jiff::Span::new().days(1)).take(366);
    let animal = &scenario.subjects[subject];
    let open = |day: Date| {
        let breeding = scenario
            .subjects_at(place)
            .any(|other| other.breeding.contains(day));
        let mut closures = scenario.closures.iter();
        animal.present.contains(day)
            && !animal.breeding.contains(day)
            && !breeding
            && !closures.any(|closure| shuts(scenario, closure, place, subject, day))
    };
    year.into_iter().any(open)
}

fn days_left(scenario: &Scenario, marks: &Marks<'_>) {
    let remedy = "check `present`, `breeding` and the closures: outings need a day on which it is \
    there, nothing \
                  breeds and nothing is closed";
    for (place, mark) in scenario.places().iter().zip(&marks.places) {
        let mut subjects = place.subjects.iter();
        if !place.subjects.is_empty() && !subjects.any(|&at| has_a_day(scenario, place, at)) {
            mark.warn(
                "subjects",
                "no day of any year is left for any of them here",
                remedy,
            );
        }
    }
    // Those that pictures are wanted of; others may be listed only to be guarded.
    for (at, mark) in marks.subjects.iter().enumerate() {
        let of_it = |wanted: &super::super::wanted::Wanted| wanted.subject == Some(at);
        let wanted = scenario.project_subject == Some(at) || scenario.wanted.iter().any(of_it);
        let mut places = scenario
            .places()
            .iter()
            .filter(|place| place.subjects.contains(&at));
        let listed = places.clone().next().is_some();
        if wanted && listed && !places.any(|place| has_a_day(scenario, place, at)) {
            mark.warn(
                "present",
                "no day of any year is left for it at any place",
                remedy,
            );
        }
    }
}
