//! Outings as a calendar (iCalendar, RFC 5545), with an alarm at the instant that matters most.

use chrono::{DateTime, Utc};
use icalendar::{Alarm, Calendar, CalendarDateTime, Class, Component, Event, EventLike, Trigger};
use jiff::Timestamp;

use crate::card::{Clock, Side};
use wrackline_plan::cautions;
use wrackline_plan::season::{Outing, Season};
use wrackline_plan::windows::Departure;

/// The `count` best windows of a season, one event each, from setting out to being back.
///
/// Instants are UTC. An event has an alarm at the latest departure, or where the tide is stayed at the instant by which the
/// way must have been crossed; where a level is missing there is no such instant, and the event says so. The same season
/// gives the same bytes: identifiers are made from the outing, and the time stamp is the start of the season.
pub fn calendar(season: &Season<'_>, count: usize) -> String {
    let mut calendar = Calendar::empty();
    calendar.append_property(("VERSION", "2.0"));
    calendar.append_property(("PRODID", "-//wrackline//season//EN"));
    calendar.append_property(("CALSCALE", "GREGORIAN"));
    calendar.append_property(("METHOD", "PUBLISH"));
    calendar.name(season.scenario.title());
    for outing in season.outings.iter().take(count) {
        calendar.push(event(season, outing));
    }
    // The library stamps alarms as well, but RFC 5545 knows no time stamp of an alarm (3.6.6).
    let stamp = first_instant(season).strftime("DTSTAMP:%Y%m%dT%H%M%SZ");
    calendar
        .to_string()
        .replace(&format!("\r\n{stamp}\r\nTRIGGER"), "\r\nTRIGGER")
}

fn event(season: &Season<'_>, outing: &Outing<'_>) -> Event {
    let scenario = season.scenario;
    let times = &outing.window.timetable;
    let departure = times.departure();
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
        .description(&description(season, outing, &departure))
        // Where animals gather is nobody else's business.
        .class(Class::Private);
    if let Some((at, text)) = alarm(season, outing, &departure) {
        let trigger = Trigger::DateTime(CalendarDateTime::Utc(utc(at)));
        let mut alarm = Alarm::display(&text, trigger);
        // An identifier of an alarm is RFC 9074; without one the library would make a new one in every run.
        alarm
            .uid(&format!("alarm-{}", uid(season, outing)))
            .timestamp(utc(first_instant(season)));
        event.alarm(alarm);
    }
    event.done()
}

/// The instant at which the outing must not be missed, and what to say then.
fn alarm(
    season: &Season<'_>,
    outing: &Outing<'_>,
    departure: &Departure,
) -> Option<(Timestamp, String)> {
    let clock = clock(season, outing);
    match *departure {
        Departure::Latest(at) => Some((
            at,
            format!(
                "LATEST DEPARTURE {} (estimated): stand up and go",
                clock.time(at, Side::NotLater)
            ),
        )),
        Departure::NotBefore { cross_by, .. } => Some((
            cross_by,
            format!(
                "Across by {} (estimated), or not at all",
                clock.time(cross_by, Side::NotLater)
            ),
        )),
        Departure::NotSetByWater { .. } | Departure::Inland => None,
    }
}

fn description(season: &Season<'_>, outing: &Outing<'_>, departure: &Departure) -> String {
    let clock = clock(season, outing);
    let (by, from) = (Side::NotLater, Side::NotEarlier);
    let window = &outing.window;
    let times = &window.timetable;
    let mut lines = vec![
        format!("Times in {}.", season.scenario.zone_name()),
        format!(
            "Set out {}, seated by {}.",
            clock.time(times.set_out, by),
            clock.time(times.seated_by, by)
        ),
        format!(
            "Pictures {} to {}.",
            clock.time(window.stretch.start, from),
            clock.time(window.stretch.end, by)
        ),
    ];
    if let Some(hw) = &outing.occasion.high_water {
        lines.push(format!(
            "High water {} at {:.2} m, upper water {:.2} m.",
            clock.near(hw.at),
            hw.height_m,
            hw.height_m + season.scenario.water().upper_m()
        ));
    }
    match departure {
        Departure::Latest(at) => lines.push(format!(
            "LATEST DEPARTURE {} (estimated, upper water).",
            clock.time(*at, by)
        )),
        Departure::NotBefore {
            cross_by,
            cross_from,
        } => lines.push(format!(
            "Across by {}, not back before {} (estimated, upper water).",
            clock.time(*cross_by, by),
            clock.time(*cross_from, from)
        )),
        Departure::NotSetByWater { .. } | Departure::Inland => {}
    }
    lines.push(format!(
        "Back at the road {}; overdue {}{}.",
        clock.time(times.back_by, from),
        clock.time(times.overdue, from),
        season
            .scenario
            .contact()
            .map_or(String::new(), |contact| format!(
                ": {} acts",
                contact.line()
            ))
    ));
    let ask_first = outing.window.ask_first.iter();
    lines.extend(ask_first.map(|who| format!("Ask first: {who}.")));
    lines.push(String::new());
    lines.extend(cautions::ALL.map(str::to_owned));
    lines.join("\n")
}

fn clock(season: &Season<'_>, outing: &Outing<'_>) -> Clock {
    let times = &outing.window.timetable;
    Clock::new(
        season.scenario,
        outing.occasion.date,
        times.set_out,
        times.overdue,
    )
}

/// The same for the same outing in every export, so that a calendar that reads it again replaces the event.
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
