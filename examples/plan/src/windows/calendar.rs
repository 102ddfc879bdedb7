//! What the calendar allows: closures, breeding, presence.

use std::ops::RangeInclusive;

use jiff::Timestamp;
use jiff::civil::Date;

use super::Wish;
use super::refusal::{Condition, Refusal};
use crate::scenario::{ClosureRule, Scenario};
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

/// Closures, breeding and presence, over every day that an outing touches.
pub fn refusals(scenario: &Scenario, wish: Wish<'_>, days: RangeInclusive<Date>) -> Vec<Refusal> {
    let place = scenario.place_of(wish.seat);
    let mut refusals = Vec::new();
    let mut refuse = |condition, reason| refusals.push(Refusal::new(condition, 0.0, reason));
    let mut day = *days.start();
    while day <= *days.end() {
        for closure in scenario.closures_of(place) {
            if closure.rule == ClosureRule::Closed
                && closure.applies_on(day, scenario.habits().frozen_days)
            {
                refuse(Condition::Closure, format!("{day} {}", closure.reason));
            }
        }
        if wish.subject.breeding.contains(day) {
            refuse(
                Condition::Breeding,
                format!("the {} breeds on {day}", wish.subject.name),
            );
        }
        if !wish.subject.present.contains(day) {
            refuse(
                Condition::Presence,
                format!("the {} is not expected on {day}", wish.subject.name),
            );
        }
        let Ok(next) = day.tomorrow() else { break };
        day = next;
    }
    refusals
}

/// Who must be asked before an outing on a day, and why.
pub(super) fn ask_first(scenario: &Scenario, wish: Wish<'_>, date: Date) -> Vec<String> {
    let closures = scenario
        .closures_of(scenario.place_of(wish.seat))
        .filter(|closure| closure.rule == ClosureRule::AskFirst)
        .filter(|closure| closure.applies_on(date, scenario.habits().frozen_days))
        .map(|closure| closure.reason.clone());
    let permission = wish.seat.permission.iter();
    closures
        .chain(permission.map(|permission| format!("permission: {permission}")))
        .collect()
}
