//! Outings as a calendar (iCalendar, RFC 5545), with an alarm to get ready and one at the instant
//! that the water sets.

use chrono::{DateTime, Utc};
use icalendar::{Alarm, Calendar, CalendarDateTime, Class, Component, Event, EventLike, Trigger};
use jiff::Timestamp;

use crate::card::CUT_OFF;
use crate::clock::Clock;
use crate::light::{moon, moon_line, side};
use crate::limits::{Limit, Limits, cut_off, level_down, level_up, never_closes};
use crate::told::length;
use crate::weather;
use wrackline_plan::cautions;
use wrackline_plan::season::{Outing, Season};
use wrackline_plan::time::shifted;

/// Minutes from the first alarm to leaving home, or to setting out where home is not known; our
/// default.
pub const ALARM_MINUTES: f64 = 30.0;

/// The windows of a season, one event each, from setting out to being back.
///
/// Instants are UTC. An event has an alarm `alarm_minutes` before one leaves home (before setting
/// out, where it is not known how far home is), and where the water asks for it a second one: at
/// the latest departure, or at the instant by which the way must have been crossed. The same season
/// gives the same bytes: identifiers are made from the outing, and the time stamp is the start of
/// the season.
pub fn calendar(season: &Season<'_>, alarm_minutes: f64) -> String {
    let mut calendar = Calendar::empty();
    calendar.append_property(("VERSION", "2.0"));
    calendar.append_property(("PRODID", "-//wrackline//season//EN"));
    calendar.append_property(("CALSCALE", "GREGORIAN"));
    calendar.append_property(("METHOD", "PUBLISH"));
    calendar.name(season.scenario.title());
    for outing in &season.outings {
        calendar.push(event(season, outing, alarm_minutes));
    }
    // The library stamps alarms as well, but RFC 5545 knows no time stamp of an alarm (3.6.6).
    let stamp = first_instant(season).strftime("DTSTAMP:%Y%m%dT%H%M%SZ");
    let text = calendar
        .to_string()
        .replace(&format!("\r\n{stamp}\r\nTRIGGER"), "\r\nTRIGGER");
    folded(&text)
}

/// Lines folded anew: the library does not count the space that a line goes on with among its 75
/// octets (RFC 5545, 3.1).
fn folded(text: &str) -> String {
    const OCTETS: usize = 75;
    let mut out = String::with_capacity(text.len() + text.len() / OCTETS);
    for line in text.replace("\r\n ", "").split_inclusive("\r\n") {
        let mut length = 0;
        for c in line.trim_end_matches("\r\n").chars() {
            if length + c.len_utf8() > OCTETS {
                out.push_str("\r\n ");
                length = 1;
            }
            out.push(c);
            length += c.len_utf8();
        }
        out.push_str("\r\n");
    }
    out
}

fn event(season: &Season<'_>, outing: &Outing<'_>, alarm_minutes: f64) -> Event {
    let scenario = season.scenario;
    let times = &outing.window.timetable;
    let summary = format!(
        "{}, seat {}: {}, {}",
        scenario.place_of(outing.seat).name,
        outing.seat.id,
        outing.subject.name,
        season.light.name
    );
    let mut event = Event::new();
    event
        .uid(&uid(season, outing))
        .timestamp(utc(first_instant(season)))
        .starts(utc(times.set_out))
        .ends(utc(times.back_by))
        .summary(&summary)
        .location(&format!(
            "{}, {}",
            scenario.place_of(outing.seat).name,
            outing.seat.name
        ))
        .description(&description(season, outing))
        // Where animals gather is nobody else's business.
        .class(Class::Private);
    let alarms = [
        Some(first_alarm(season, outing, alarm_minutes)),
        water_alarm(season, outing),
    ];
    for (number, (at, text)) in alarms.into_iter().flatten().enumerate() {
        let trigger = Trigger::DateTime(CalendarDateTime::Utc(utc(at)));
        let mut alarm = Alarm::display(&text, trigger);
        // An identifier of an alarm is RFC 9074; without one the library would make a new one in
        // every run.
        alarm
            .uid(&format!("alarm-{}-{}", number + 1, uid(season, outing)))
            .timestamp(utc(first_instant(season)));
        event.alarm(alarm);
    }
    event.done()
}

/// When to get ready, and what to say then.
fn first_alarm(season: &Season<'_>, outing: &Outing<'_>, minutes: f64) -> (Timestamp, String) {
    let clock = Clock::of(season.scenario, outing);
    let set_out = Limits::of(outing).set_out;
    let home = season.scenario.place_of(outing.seat).from_home_minutes;
    let first = Limit {
        at: shifted(set_out.at, -home.unwrap_or(0.0)),
        ..set_out
    };
    let set_out = clock.limit(set_out);
    let text = match home {
        Some(_) => format!("Leave home {}, set out {set_out}", clock.limit(first)),
        None => format!("Set out {set_out}"),
    };
    (shifted(first.at, -minutes), text)
}

/// The instant at which the water must not be waited for, and what to say then.
fn water_alarm(season: &Season<'_>, outing: &Outing<'_>) -> Option<(Timestamp, String)> {
    let clock = Clock::of(season.scenario, outing);
    let limits = Limits::of(outing);
    match (limits.latest_departure, limits.way) {
        (Some(latest), _) => Some((
            latest.at,
            format!(
                "LATEST DEPARTURE {} (estimated): stand up and go",
                clock.limit(latest)
            ),
        )),
        (None, Some(way)) => Some((
            way.cross_by.at,
            format!(
                "Across by {} (estimated), or not at all",
                clock.limit(way.cross_by)
            ),
        )),
        (None, None) => None,
    }
}

fn description(season: &Season<'_>, outing: &Outing<'_>) -> String {
    let scenario = season.scenario;
    let clock = Clock::of(scenario, outing);
    let limits = Limits::of(outing);
    let at = |limit| clock.limit(limit);
    let window = &outing.window;
    let times = &window.timetable;
    let mut lines = vec![
        format!("Times in {}.", scenario.zone_name()),
        format!(
            "Set out {}, seated by {}.",
            at(limits.set_out),
            at(limits.seated_by)
        ),
        format!(
            "Pictures {} to {}, light {}.",
            at(limits.pictures_from),
            at(limits.pictures_until),
            side(window)
        ),
    ];
    if let Some(moon) = moon(outing) {
        lines.push(format!("By the {}.", moon_line(moon)));
    }
    if let Some([from, until]) = limits.sun_near_view {
        lines.push(format!(
            "SUN NEAR THE VIEW from {} to {}: do not look through an optical finder.",
            at(from),
            at(until)
        ));
    }
    if let Some(hw) = &outing.occasion.high_water {
        lines.push(format!(
            "High water {} at {} m, upper water {} m.",
            clock.near(hw.at),
            level_down(hw.height_m),
            level_up(hw.upper_m(scenario))
        ));
    }
    if let Some(latest) = limits.latest_departure {
        lines.push(format!(
            "LATEST DEPARTURE {} (estimated, upper water).",
            at(latest)
        ));
    } else if let Some(way) = limits.way {
        lines.push(format!(
            "Across by {}, not back before {} (estimated, upper water).",
            at(way.cross_by),
            at(way.cross_from)
        ));
    }
    if let (Some(way), Some(name)) = (times.never_closes, scenario.way_in_of(outing.seat)) {
        lines.push(format!("{} {}.", name.name, never_closes(way)));
    }
    if cut_off(times).is_some() {
        lines.push(format!("At unease while the way is closed: {CUT_OFF}."));
    }
    if let Some(parking) = &scenario.place_of(outing.seat).parking {
        lines.push(format!("Parking: {parking}."));
    }
    lines.push(format!(
        "Back at the road {}, {}; overdue {}{}.",
        at(limits.back_by),
        length(scenario, outing),
        at(limits.overdue),
        scenario.contact().map_or(String::new(), |contact| format!(
            ": {} acts",
            contact.line()
        ))
    ));
    lines.extend(
        window
            .ask_first
            .iter()
            .map(|who| format!("Ask first: {who}.")),
    );
    lines.extend(
        window
            .frost
            .iter()
            .map(|rule| format!("Frost rule: {rule}.")),
    );
    let to_be_told = scenario.tide().and_then(|tide| tide.to_be_told());
    lines.extend(to_be_told.map(|told| format!("Beware: {told}.")));
    if let Some(at) = &window.weather {
        lines.push(format!(
            "Weather: {}.",
            weather::in_a_line(scenario, at, &clock)
        ));
    }
    lines.push(String::new());
    lines.extend(cautions::ALL.map(str::to_owned));
    lines.join("\n")
}

/// The same for the same outing in every export, so that a calendar that reads it again replaces
/// the event.
fn uid(season: &Season<'_>, outing: &Outing<'_>) -> String {
    let tide = outing.occasion.high_water.as_ref();
    let at = tide.map_or(outing.window.stretch.start, |hw| hw.at);
    let name = format!(
        "{}-{}-{}-{}",
        at.strftime("%Y%m%dT%H%MZ"),
        outing.seat.id,
        outing.subject.id,
        season.light.name
    );
    let plain = name.chars().map(|c| match c {
        c if c.is_ascii_alphanumeric() || c == '-' => c.to_ascii_lowercase(),
        _ => '-',
    });
    format!("{}@wrackline.invalid", plain.collect::<String>())
}

fn first_instant(season: &Season<'_>) -> Timestamp {
    let midnight = season
        .from
        .to_zoned_datetime(season.scenario.zone().clone());
    midnight.map_or(Timestamp::UNIX_EPOCH, |at| at.timestamp())
}

/// To the second before; every instant that can be planned for can be represented.
fn utc(at: Timestamp) -> DateTime<Utc> {
    DateTime::from_timestamp(at.as_second(), 0).unwrap_or_default()
}
