//! The hours that the photographer is free, as stretches of time in the scenario's zone.

use crate::scenario::{FreeHours, Scenario};
use crate::time::{Stretch, Stretches};

/// All free time of a span; `None` when the scenario does not limit it.
pub(super) fn stretches(scenario: &Scenario, span: &Stretch) -> Option<Stretches> {
    let free = scenario.free_hours();
    if free.is_empty() {
        return None;
    }
    let zone = scenario.zone();
    let first = span.start.to_zoned_datetime(zone.clone()).date();
    let last = span.end.to_zoned_datetime(zone.clone()).date();
    let days = first
        .series(jiff::Span::new().days(1))
        .take_while(|day| *day <= last);
    let stretches = days.flat_map(|day| {
        free.iter()
            .filter(move |hours| hours.on(day))
            .filter_map(move |hours| stretch(hours, day, zone))
    });
    Some(stretches.collect())
}

/// One day's free hours. They may run past midnight; a clock change moves their ends as it moves
/// the clock.
fn stretch(
    hours: &FreeHours,
    day: jiff::civil::Date,
    zone: &jiff::tz::TimeZone,
) -> Option<Stretch> {
    let until_day = if hours.until <= hours.from {
        day.tomorrow().ok()?
    } else {
        day
    };
    let instant = |day: jiff::civil::Date, time: jiff::civil::Time| {
        let at = day.to_datetime(time).to_zoned_datetime(zone.clone()).ok()?;
        Some(at.timestamp())
    };
    Some(instant(day, hours.from)?..instant(until_day, hours.until)?)
}
