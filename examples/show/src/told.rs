//! What more than one output says of an outing, in the same words.

use std::fmt::Write;

use crate::clock::Clock;
use crate::limits::{Limits, level_down, never_closes};
use wrackline_plan::scenario::Scenario;
use wrackline_plan::season::Outing;
use wrackline_plan::time::minutes_between;

/// An outing with its limits in one line; what frost would change is left to whoever prints it.
pub(crate) fn in_a_line(scenario: &Scenario, outing: &Outing<'_>) -> String {
    let window = &outing.window;
    let clock = Clock::of(scenario, outing);
    let limits = Limits::of(outing);
    let mut line = format!(
        "{}, seat {} {}, {}: set out {}, pictures {}",
        outing.occasion.date.strftime("%a %-d %b"),
        outing.seat.id,
        outing.seat.name,
        scenario.place_of(outing.seat).name,
        clock.limit(limits.set_out),
        clock.usable(&window.stretch).join("\u{2013}"),
    );
    if let Some(hw) = &outing.occasion.high_water {
        let _ = write!(
            line,
            ", high water {} {} m, chance {}",
            clock.near(hw.at),
            level_down(hw.height_m),
            percent(window.chance_of_water)
        );
    }
    if let Some(latest) = limits.latest_departure {
        let _ = write!(line, ", latest departure {}", clock.limit(latest));
    } else if let Some(way) = limits.way {
        let _ = write!(
            line,
            ", across by {}, not back before {}",
            clock.limit(way.cross_by),
            clock.limit(way.cross_from)
        );
    }
    if let (Some(way), Some(name)) = (
        window.timetable.never_closes,
        scenario.way_in_of(outing.seat),
    ) {
        let _ = write!(line, ", {} {}", name.name, never_closes(way));
    }
    let _ = write!(line, ", back by {}", clock.limit(limits.back_by));
    if let Some(near) = limits.sun_near_view {
        let near = near.map(|limit| clock.limit(limit)).join("\u{2013}");
        let _ = write!(line, ", sun near the view {near}");
    }
    if !outing.window.ask_first.is_empty() {
        let _ = write!(line, "; ask first: {}", outing.window.ask_first.join("; "));
    }
    line
}

/// How long one is out, from the road to the road, and the most that the scenario allows; short, so
/// that a card keeps to one sheet.
pub(crate) fn length(scenario: &Scenario, outing: &Outing<'_>) -> String {
    let limits = Limits::of(outing);
    let hours = |minutes: f64| format!("{}:{:02} h", minutes as i64 / 60, minutes as i64 % 60);
    format!(
        "out {} of {}",
        hours(minutes_between(limits.set_out.at, limits.back_by.at).ceil()),
        hours(scenario.habits().longest_minutes)
    )
}

/// A chance in whole per cent, never certain either way.
pub(crate) fn percent(chance: f64) -> String {
    match chance * 100.0 {
        p if p > 99.0 => "over 99 %".to_owned(),
        p if p < 1.0 => "under 1 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}
