//! Entries in words and columns.

use std::fmt::Write as _;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use wrackline_solar::SideLimits;

use crate::columns::Columns;
use crate::limits::{near, signed};
use wrackline_log::{Cell, Conditions, FIELDS, Record, When, differences};

/// A time in the zone of the place, to the minute.
pub fn local(at: Timestamp, zone: &TimeZone) -> String {
    at.to_zoned_datetime(zone.clone())
        .strftime("%Y-%m-%d %H:%M")
        .to_string()
}

/// One line an entry.
pub fn list(records: &[Record], zone: &TimeZone) -> String {
    let heading = [
        "entry",
        "when",
        "place",
        "seat",
        "subject",
        "outcome",
        "seen",
        "water",
        "from HW",
        "from push",
        "sun",
    ];
    let mut columns = Columns::headed(heading)
        .right(6)
        .right(7)
        .right(8)
        .right(9)
        .right(10);
    for Record {
        entry, conditions, ..
    } in records
    {
        let when = match entry.when {
            When::Day(day) => day.to_string(),
            When::At(at) => local(at, zone),
        };
        let conditions = conditions.unwrap_or_default();
        let or_blank = |value: Option<String>| value.unwrap_or_default();
        columns.push([
            entry.id.clone(),
            when,
            entry.place.clone(),
            or_blank(entry.seat.clone()),
            entry.subject.clone(),
            entry.outcome.to_string(),
            or_blank(entry.count.map(|count| count.to_string())),
            or_blank(
                entry
                    .observed_level_m
                    .or(conditions.high_water_m)
                    .map(|level| {
                        format!(
                            "{level:.2} m{}",
                            if entry.observed_level_m.is_some() {
                                ""
                            } else {
                                "?"
                            }
                        )
                    }),
            ),
            or_blank(
                conditions
                    .minutes_from_high_water
                    .map(|minutes| format!("{minutes:+.0} min")),
            ),
            or_blank(
                conditions
                    .minutes_from_push
                    .map(|minutes| format!("{minutes:+.0} min")),
            ),
            or_blank(
                conditions
                    .sun_altitude_deg
                    .map(|altitude| format!("{altitude:.1}°")),
            ),
        ]);
    }
    let mut text = columns.to_string();
    let predicted = records.iter().any(|record| {
        record.entry.observed_level_m.is_none()
            && record.conditions.is_some_and(|c| c.high_water_m.is_some())
    });
    if predicted {
        text.push_str("? predicted, nobody read a level\n");
    }
    text
}

/// Everything about one entry: its newest revision, its conditions, and how it came to be what it
/// is.
pub fn whole(history: &[Record], zone: &TimeZone) -> String {
    let mut text = String::new();
    let Some(newest) = history.last() else {
        return text;
    };
    let mut columns = Columns::default();
    for (field, cell) in FIELDS.iter().zip(newest.entry.cells()) {
        if cell != Cell::Missing {
            columns.push([field.name.to_owned(), cell.to_string()]);
        }
    }
    if let Some(at) = newest.entry.when.instant() {
        columns.push(["local time".to_owned(), local(at, zone)]);
    }
    let _ = write!(text, "{columns}");
    match &newest.conditions {
        Some(conditions) => text.push_str(&conditions_in_words(
            conditions,
            newest.entry.observed_level_m,
            zone,
        )),
        None => text.push_str("Only the day is known: no conditions.\n"),
    }
    for (before, after) in history.iter().zip(history.iter().skip(1)) {
        let recorded = local(after.recorded, zone);
        let why = after
            .why
            .as_ref()
            .map(|why| format!(" ({why})"))
            .unwrap_or_default();
        let _ = writeln!(text, "Revision {} of {recorded}{why}:", after.revision);
        let changed = differences(&before.entry, &after.entry);
        for name in &changed {
            let cell = |record: &Record| {
                let index = FIELDS
                    .iter()
                    .position(|field| field.name == *name)
                    .unwrap_or(0);
                match &record.entry.cells()[index] {
                    Cell::Missing => "nothing".to_owned(),
                    cell => format!("'{cell}'"),
                }
            };
            let _ = writeln!(text, "  {name}: {} became {}", cell(before), cell(after));
        }
        if changed.is_empty() {
            text.push_str("  conditions worked out anew\n");
        }
    }
    text
}

fn conditions_in_words(
    conditions: &Conditions,
    observed_level_m: Option<f64>,
    zone: &TimeZone,
) -> String {
    let mut text = String::new();
    if let (Some(at), Some(height_m)) = (conditions.high_water_at, conditions.high_water_m) {
        let range = conditions
            .range_m
            .map(|range| format!(", range {range:.2} m"))
            .unwrap_or_default();
        let _ = writeln!(
            text,
            "High water {} of {height_m:.2} m as predicted{range}.",
            local(at, zone)
        );
    }
    if let (Some(level), Some(minutes)) = (conditions.level_m, conditions.minutes_from_high_water) {
        let push = match conditions.minutes_from_push {
            Some(minutes) => format!(", {} the push crossing", about(minutes)),
            None => ", a tide that was not predicted to push them".to_owned(),
        };
        let _ = writeln!(
            text,
            "Water at {level:.2} m, {} high water{push}.",
            about(minutes)
        );
    }
    if let Some(residual_m) = conditions.residual_m(observed_level_m) {
        let _ = writeln!(
            text,
            "Observed minus predicted: {} cm.",
            signed(residual_m * 100.0)
        );
    }
    if let (Some(altitude), Some(azimuth)) =
        (conditions.sun_altitude_deg, conditions.sun_azimuth_deg)
    {
        let light = conditions
            .shadow_angle_deg
            .filter(|_| altitude > -4.0)
            .map(|angle| {
                format!(
                    "; {}, {angle:.0}° from the shadow line",
                    wrackline_plan::windows::side_name(SideLimits::default().side(angle))
                )
            });
        let _ = writeln!(
            text,
            "Sun at {:.1}°, bearing {azimuth:.0}°{}.",
            near(altitude, 1),
            light.unwrap_or_default()
        );
    }
    if let Some(altitude) = conditions.moon_altitude_deg {
        let lit = conditions
            .moon_lit_fraction
            .map(|lit| format!(", {:.0} % lit", lit * 100.0))
            .unwrap_or_default();
        let _ = writeln!(text, "Moon at {:.1}°{lit}.", near(altitude, 1));
    }
    text
}

fn about(minutes: f64) -> String {
    let rounded = minutes.abs().round();
    if minutes < 0.0 {
        format!("{rounded:.0} min before")
    } else {
        format!("{rounded:.0} min after")
    }
}
