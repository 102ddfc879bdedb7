//! What is said of a window, in the same words in the page and on the wall. Limits are rounded to
//! the cautious side.

use crate::clock::Clock;
use crate::limits::{Side, level_down, level_up};
use wrackline_plan::season::{Outing, Season};
use wrackline_plan::time::minutes;
use wrackline_plan::windows::Departure;

/// A clock for the times of an outing.
pub(super) fn clock(season: &Season<'_>, outing: &Outing<'_>) -> Clock {
    let times = &outing.window.timetable;
    let date = outing.occasion.date;
    Clock::new(season.scenario, date, times.set_out, times.overdue)
}

/// The pictures' time, inside of what was judged.
pub(super) fn pictures(clock: &Clock, outing: &Outing<'_>) -> String {
    let window = &outing.window.stretch;
    format!(
        "{}\u{2013}{}",
        clock.time(window.start, Side::NotEarlier),
        clock.time(window.end, Side::NotLater)
    )
}

/// Day, seat and pictures: what a bar is called.
pub(super) fn name(season: &Season<'_>, outing: &Outing<'_>) -> String {
    format!(
        "{}, seat {}, {}, pictures {}",
        outing.occasion.date.strftime("%a %-d %b %Y"),
        outing.seat.id,
        outing.subject.name,
        pictures(&clock(season, outing), outing)
    )
}

/// What the water says about leaving.
pub(super) fn departure(clock: &Clock, outing: &Outing<'_>) -> String {
    let (by, from) = (Side::NotLater, Side::NotEarlier);
    match outing.window.timetable.departure() {
        Departure::Latest(latest) => {
            format!("Latest departure {} (estimated)", clock.time(latest, by))
        }
        Departure::NotBefore {
            cross_by,
            cross_from,
        } => format!(
            "Across by {}, not back before {} (estimated)",
            clock.time(cross_by, by),
            clock.time(cross_from, from)
        ),
        Departure::NotSetByWater { freeboard_m } => format!(
            "No latest departure by the water: the seat keeps {} m over the upper water \
             (estimated)",
            level_down(freeboard_m)
        ),
        Departure::Inland => "No tide plays a part".to_owned(),
    }
}

/// The highest upper water that is known of an outing, metres above the datum, rounded up; `None`
/// inland.
pub(super) fn upper_water(season: &Season<'_>, outing: &Outing<'_>) -> Option<String> {
    let times = &outing.window.timetable;
    let top = outing.occasion.high_water.as_ref();
    let top = top.map(|tide| tide.upper_m(season.scenario));
    let over_seat = outing.seat.ground_m.zip(times.freeboard_m);
    let over_seat = over_seat.map(|(ground, freeboard)| ground - freeboard);
    let on_way = times.never_closes.map(|way| way.upper_m);
    [top, over_seat, on_way]
        .into_iter()
        .flatten()
        .reduce(f64::max)
        .map(level_up)
}

/// The stand-off distance that holds and the seat's own, rounded so that the difference never
/// grows.
pub(super) fn stand_off(stand_off_m: f64, outing: &Outing<'_>) -> String {
    format!(
        "stand-off {} m, seat at {} m",
        stand_off_m.ceil(),
        outing.seat.distance_m.floor()
    )
}

/// Dangers that must be seen without a tap.
pub(super) fn warnings(clock: &Clock, outing: &Outing<'_>) -> Vec<String> {
    let window = &outing.window;
    let mut told: Vec<String> = window
        .ask_first
        .iter()
        .map(|who| format!("Ask first: {who}"))
        .collect();
    let near = &window.sun_near_view.near;
    if let (Some(first), Some(last)) = (near.iter().next(), near.iter().next_back()) {
        told.push(format!(
            "Sun near the view {}\u{2013}{}: no optical finder",
            clock.time(first.start, Side::NotLater),
            clock.time(last.end, Side::NotEarlier)
        ));
    }
    let times = &window.timetable;
    match (times.in_by_dark, times.out_by_dark) {
        (true, true) => told.push("In and out by dark".to_owned()),
        (true, false) => told.push("In by dark".to_owned()),
        (false, true) => told.push("Out by dark".to_owned()),
        (false, false) => {}
    }
    told
}

/// Whole minutes of pictures, rounded down.
pub(super) fn whole_minutes(outing: &Outing<'_>) -> String {
    format!("{:.0} min", minutes(&outing.window.stretch).floor())
}
