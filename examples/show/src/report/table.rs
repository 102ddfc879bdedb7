//! The windows of a season as a table that fits the line: one row a window, and below it what found
//! no room.

use std::io::{self, Write};

use super::style::Style;
use crate::clock::Clock;
use crate::columns::Columns;
use crate::light::{moon, moon_line, side, whole};
use crate::limits::{Limits, level_down};
use crate::told::percent;
use wrackline_plan::season::{Outing, Season};
use wrackline_plan::time::minutes;

/// Writes the windows, as wide as the line allows.
pub(super) fn write(season: &Season<'_>, style: Style, out: &mut dyn Write) -> io::Result<()> {
    let rows: Vec<Row> = season
        .outings
        .iter()
        .map(|outing| Row::of(season, outing))
        .collect();
    let fits = |table: &str| {
        let widest = table.lines().map(|line| line.chars().count()).max();
        widest.is_none_or(|widest| widest <= style.columns())
    };
    let full = full(&rows);
    if fits(&full) {
        return writeln!(out, "{full}");
    }
    // A name gives way before a row breaks.
    let longest = rows.iter().map(|row| row.seat_name.chars().count()).max();
    let mut short = (0..=longest.unwrap_or(0))
        .rev()
        .map(|name| brief(&rows, name));
    let table = short.by_ref().find(|table| fits(table));
    writeln!(out, "{}", table.unwrap_or_else(|| brief(&rows, 0)))?;
    for row in &rows {
        let first = format!("{:>4}  ", row.rank);
        out.write_all(style.wrapped(&first, &row.rest()).as_bytes())?;
    }
    writeln!(out)
}

/// The cells of one window.
struct Row {
    rank: String,
    day: String,
    seat: String,
    seat_name: String,
    subject: String,
    pictures: String,
    minutes: String,
    sun: String,
    light: String,
    high_water: Option<String>,
    chance: String,
    set_out: String,
    back_by: String,
    notes: Vec<String>,
}

impl Row {
    fn of(season: &Season<'_>, outing: &Outing<'_>) -> Self {
        let window = &outing.window;
        let clock = Clock::of(season.scenario, outing);
        let limits = Limits::of(outing);
        let high_water = outing.occasion.high_water.as_ref();
        Self {
            rank: outing.rank.to_string(),
            day: outing.occasion.date.strftime("%a %-d %b %Y").to_string(),
            seat: outing.seat.id.clone(),
            seat_name: outing.seat.name.clone(),
            subject: outing.subject.name.clone(),
            pictures: clock.usable(&window.stretch).join("-"),
            // No longer than it is.
            minutes: minutes(&window.stretch).floor().to_string(),
            sun: format!(
                "{} to {}°",
                whole(window.sun[0].altitude_deg),
                whole(window.sun[2].altitude_deg)
            ),
            light: side(window),
            high_water: high_water
                .map(|hw| format!("{} {} m", clock.near(hw.at), level_down(hw.height_m))),
            chance: high_water.map_or("-".to_owned(), |_| percent(window.chance_of_water)),
            set_out: clock.limit(limits.set_out),
            back_by: clock.limit(limits.back_by),
            notes: notes(outing, &clock),
        }
    }

    /// What has no room on a short line.
    fn rest(&self) -> String {
        let mut told = vec![
            self.subject.clone(),
            format!("{} min", self.minutes),
            format!("sun {}", self.sun),
            format!("light {}", self.light),
        ];
        told.extend(
            self.high_water
                .iter()
                .map(|tide| format!("high water {tide}")),
        );
        let mut line = told.join(", ");
        if !self.notes.is_empty() {
            line.push_str("; ");
            line.push_str(&self.notes.join(", "));
        }
        line
    }
}

/// Everything in one row.
fn full(rows: &[Row]) -> String {
    let mut table = Columns::headed([
        "",
        "day",
        "seat",
        "subject",
        "pictures",
        "min",
        "sun",
        "light",
        "high water",
        "chance",
        "set out",
        "back by",
        "note",
    ])
    .right(0)
    .right(5)
    .right(9);
    for row in rows {
        table.push([
            row.rank.clone(),
            row.day.clone(),
            format!("{} {}", row.seat, row.seat_name),
            row.subject.clone(),
            row.pictures.clone(),
            row.minutes.clone(),
            row.sun.clone(),
            row.light.clone(),
            row.high_water.clone().unwrap_or_else(|| "-".to_owned()),
            row.chance.clone(),
            row.set_out.clone(),
            row.back_by.clone(),
            row.notes.join(", "),
        ]);
    }
    table.to_string()
}

/// What decides between one day and another, with so many letters of the seat's name.
fn brief(rows: &[Row], letters: usize) -> String {
    let mut table = Columns::headed([
        "", "day", "seat", "pictures", "set out", "back by", "chance",
    ])
    .right(0)
    .right(6);
    for row in rows {
        let name: String = row.seat_name.chars().take(letters).collect();
        table.push([
            row.rank.clone(),
            row.day.clone(),
            format!("{} {name}", row.seat).trim_end().to_owned(),
            row.pictures.clone(),
            row.set_out.clone(),
            row.back_by.clone(),
            row.chance.clone(),
        ]);
    }
    table.to_string()
}

/// What a row must not be without, in few words.
fn notes(outing: &Outing<'_>, clock: &Clock) -> Vec<String> {
    let window = &outing.window;
    let times = &window.timetable;
    let limits = Limits::of(outing);
    let latest = limits.latest_departure;
    let notes = [
        latest.map(|latest| format!("LATEST DEPARTURE {}", clock.limit(latest))),
        times.in_by_dark.then(|| "in by dark".to_owned()),
        times.out_by_dark.then(|| "out by dark".to_owned()),
        limits.sun_near_view.map(|near| {
            let [from, until] = near.map(|limit| clock.limit(limit));
            format!("SUN NEAR THE VIEW {from}-{until}")
        }),
        moon(outing).map(moon_line),
        outing.to_find_out.then(|| "to find out".to_owned()),
        (!window.ask_first.is_empty()).then(|| "ask first".to_owned()),
        (!window.frost.is_empty()).then(|| "frost rule".to_owned()),
    ];
    notes.into_iter().flatten().collect()
}
