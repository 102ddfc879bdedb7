//! What the calendar allows: closures, breeding, presence.

use std::ops::RangeInclusive;

use jiff::Timestamp;
use jiff::civil::Date;

use super::Wish;
use crate::experience::{Experience, Rest, larger_stand_off};
use crate::outing::{Condition, Refusal};
use crate::scenario::{ClosureRule, Place, Scenario, Seat, Subject};
use crate::time::Stretch;

/// The civil day of an instant in the scenario's zone.
pub(super) fn civil(scenario: &Scenario, at: Timestamp) -> Date {
    at.to_zoned_datetime(scenario.zone().clone()).date()
}

/// A stretch cut at the midnights of the scenario's zone.
pub(super) fn by_civil_day(scenario: &Scenario, stretch: &Stretch) -> Vec<Stretch> {
    let mut out = Vec::new();
    let mut from = stretch.start;
    while from < stretch.end {
        let midnight = civil(scenario, from)
            .tomorrow()
            .and_then(|day| day.to_zoned_datetime(scenario.zone().clone()))
            .map_or(stretch.end, |day| day.timestamp());
        // Where the calendar ends there is no next midnight, and the rest is one piece.
        let until = if midnight > from {
            midnight.min(stretch.end)
        } else {
            stretch.end
        };
        out.push(from..until);
        from = until;
    }
    out
}

/// What a seat nearer to an animal than its stand-off distance is refused with. Where past visits
/// alarmed it from farther away, the distance that they ask for holds: it can be larger than the
/// scenario's, never smaller.
pub(super) fn too_near(
    seat: &Seat,
    subject: &Subject,
    place: &Place,
    experience: Option<&Experience>,
) -> Option<Refusal> {
    let stand_off = subject.stand_off_m(seat);
    let alarm = experience.and_then(|told| told.alarm(&place.id, &subject.id));
    let larger = alarm.and_then(|alarm| larger_stand_off(alarm.clone(), stand_off));
    if let Some(larger) = larger.filter(|larger| larger.asks_for_more_than(seat.distance_m)) {
        return Some(Refusal::new(
            Condition::StandOff,
            larger.stand_off_m - seat.distance_m,
            format!(
                "{} m from the {}, which was alarmed here at {} m ({}): keep {} m",
                seat.distance_m,
                subject.name,
                larger.alarm.distance_m,
                larger.alarm.source(),
                larger.stand_off_m,
            ),
        ));
    }
    let how = if seat.hide { "from a hide" } else { "on foot" };
    (seat.distance_m < stand_off).then(|| {
        Refusal::new(
            Condition::StandOff,
            stand_off - seat.distance_m,
            format!(
                "{} m from the {}, inside its stand-off distance of {stand_off} m {how}",
                seat.distance_m, subject.name,
            ),
        )
    })
}

/// Closures, rests, breeding and presence, over every day that an outing touches, for every animal
/// of the place.
pub fn refusals(scenario: &Scenario, wish: Wish<'_>, days: RangeInclusive<Date>) -> Vec<Refusal> {
    let place = scenario.place_of(wish.seat);
    let mut refusals = Vec::new();
    let mut day = *days.start();
    while day <= *days.end() {
        for closure in scenario.closures_for(wish.seat, wish.subject) {
            if closure.rule == ClosureRule::Closed && scenario.closure_applies_on(closure, day) {
                let reason = format!("{day} {}", closure.reason);
                refusals.push(Refusal::new(Condition::Closure, 0.0, reason));
            }
        }
        let rests = wish.experience.map_or(&[][..], |told| &told.rests);
        let resting = |rest: &&Rest| rest.place == place.id && rest.covers(day);
        if let Some(rest) = rests.iter().find(resting) {
            let reason = format!(
                "two flushes in a winter: left in peace until {}",
                rest.until
            );
            refusals.push(Refusal::new(Condition::Rest, 0.0, reason));
        }
        if !wish.subject.present.contains(day) {
            let reason = format!("the {} is not expected on {day}", wish.subject.name);
            refusals.push(Refusal::new(Condition::Presence, 0.0, reason));
        }
        let others = scenario.subjects_at(place);
        let others = others.filter(|other| other.id != wish.subject.id);
        for animal in std::iter::once(wish.subject).chain(others) {
            if animal.breeding.contains(day) {
                let reason = format!("the {} breeds on {day}", animal.name);
                refusals.push(Refusal::new(Condition::Breeding, 0.0, reason));
            }
            let there = animal.present.contains(day) || animal.breeding.contains(day);
            // Its own stand-off holds for the wanted animal on every day: no date can mend that.
            if there
                && animal.id != wish.subject.id
                && let Some(mut near) = too_near(wish.seat, animal, place, wish.experience)
            {
                near.reason = format!("{}, which is there on {day}", near.reason);
                refusals.push(near);
            }
        }
        let Ok(next) = day.tomorrow() else { break };
        day = next;
    }
    refusals
}

/// Who must be asked before an outing, for any day that it touches, and why.
pub(super) fn ask_first(
    scenario: &Scenario,
    wish: Wish<'_>,
    days: RangeInclusive<Date>,
) -> Vec<String> {
    let mut asked: Vec<String> = Vec::new();
    let mut day = *days.start();
    while day <= *days.end() {
        let closures = scenario
            .closures_for(wish.seat, wish.subject)
            .filter(|closure| closure.rule == ClosureRule::AskFirst)
            .filter(|closure| scenario.closure_applies_on(closure, day));
        for closure in closures {
            if !asked.contains(&closure.reason) {
                asked.push(closure.reason.clone());
            }
        }
        let Ok(next) = day.tomorrow() else { break };
        day = next;
    }
    let permission = wish.seat.permission.iter();
    asked.extend(permission.map(|permission| format!("permission: {permission}")));
    asked
}

/// What frost would change about an outing: for each closure that holds only from a number of
/// frozen days on, and whose dates it touches, that number and what has been counted, whatever the
/// count. A count that closes a day has refused the outing.
pub(super) fn frost(
    scenario: &Scenario,
    wish: Wish<'_>,
    days: RangeInclusive<Date>,
) -> Vec<String> {
    let counted = match scenario.habits().frozen_days {
        Some(frost) => format!("{} counted on {}", frost.days, frost.on.strftime("%-d %B")),
        None => "none counted: count them".to_owned(),
    };
    let forecast = forecast_frost(scenario, &days);
    let mut told: Vec<String> = Vec::new();
    for closure in scenario.closures_for(wish.seat, wish.subject) {
        let Some(limit) = closure.frozen_days else {
            continue;
        };
        let in_season = |day: Date| {
            let weekdays = &closure.weekdays;
            closure.dates.contains(day)
                && (weekdays.is_empty() || weekdays.contains(&day.weekday()))
        };
        let mut each = std::iter::successors(Some(*days.start()), |day| day.tomorrow().ok())
            .take_while(|day| day <= days.end());
        let rule = match closure.rule {
            ClosureRule::Closed => "closed",
            ClosureRule::AskFirst => "ask first",
        };
        let remark = format!(
            "{rule} from {limit} frozen days in a row; {counted}{forecast} ({})",
            closure.reason
        );
        if each.any(in_season) && !told.contains(&remark) {
            told.push(remark);
        }
    }
    told
}

/// The longest count of frozen days that a forecast makes likely for the days of an outing, in
/// words; empty where it makes none.
fn forecast_frost(scenario: &Scenario, days: &RangeInclusive<Date>) -> String {
    let weather = scenario.weather().into_iter();
    let counts = weather.flat_map(|weather| {
        let ends = [*days.start(), *days.end()].into_iter();
        ends.flat_map(|day| weather.frozen_days_near(day))
    });
    counts
        .max_by_key(|count| count.days)
        .map_or_else(String::new, |count| {
            let on = count.on.strftime("%-d %B");
            format!("; {} by {on} going by the forecast, a hint", count.days)
        })
}
