//! A table of high and low waters for a port file: text, CSV, JSON or iCalendar.

use std::io::{self, Write};

use icalendar::{Calendar, Component, Event};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Span, Timestamp};
use serde::Serialize;
use wrackline_plan::port::{PortFile, convention_name, short_record};
use wrackline_plan::rfc4180;
use wrackline_tides::{Turn, TurnKind};

use crate::columns::Columns;
use wrackline_plan::cautions;

/// Which days, in which zone.
#[derive(Clone, Debug)]
pub struct Request {
    /// First day.
    pub from: Date,
    /// Number of days, 1 to 3660.
    pub days: u32,
    /// Zone of days and times.
    pub zone: TimeZone,
    /// Name of that zone.
    pub zone_name: String,
}

/// The turns of some days at a port.
#[derive(Clone, Debug)]
pub struct Table<'a> {
    file: &'a PortFile,
    request: Request,
    turns: Vec<Turn>,
}

/// What to write.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Format {
    /// Aligned text.
    #[default]
    Text,
    /// CSV (RFC 4180).
    Csv,
    /// JSON.
    Json,
    /// iCalendar (RFC 5545).
    Ics,
}

/// Computes the turns.
///
/// # Errors
/// A message that says which option to change.
pub fn table<'a>(file: &'a PortFile, request: Request) -> Result<Table<'a>, String> {
    if !(1..=3660).contains(&request.days) {
        return Err(format!(
            "--days: {} is out of range; give 1 to 3660",
            request.days
        ));
    }
    let midnight = |date: Date| {
        date.to_zoned_datetime(request.zone.clone())
            .map(|at| at.timestamp())
            .map_err(|error| format!("--from: {error}"))
    };
    let after = request
        .from
        .checked_add(Span::new().days(i64::from(request.days)))
        .map_err(|error| format!("--from and --days: {error}"))?;
    let span = midnight(request.from)?..midnight(after)?;
    let predictor = file
        .port
        .predictor(span)
        .map_err(|error| format!("--from and --days: {error}"))?;
    Ok(Table {
        file,
        request,
        turns: predictor.turns(),
    })
}

/// One line of the table as a machine reads it.
#[derive(Serialize)]
struct Row {
    at_utc: Timestamp,
    at_local: String,
    kind: &'static str,
    height_m: f64,
}

impl Table<'_> {
    /// The turns in order of time.
    #[must_use]
    pub fn turns(&self) -> &[Turn] {
        &self.turns
    }

    /// Writes the table. `now` stamps a calendar.
    ///
    /// # Errors
    /// What the writer refuses.
    pub fn write(&self, format: Format, now: Timestamp, out: &mut impl Write) -> io::Result<()> {
        match format {
            Format::Text => self.text(out),
            Format::Csv => self.csv(out),
            Format::Json => self.json(out),
            Format::Ics => self.calendar(now, out),
        }
    }

    fn rows(&self) -> impl Iterator<Item = Row> + '_ {
        self.turns.iter().map(|turn| Row {
            at_utc: to_second(turn.at),
            at_local: to_second(turn.at)
                .to_zoned_datetime(self.request.zone.clone())
                .strftime("%Y-%m-%dT%H:%M:%S%:z")
                .to_string(),
            kind: kind(turn.kind),
            height_m: (turn.height_m * 1000.0).round() / 1000.0,
        })
    }

    fn text(&self, out: &mut impl Write) -> io::Result<()> {
        let zone = &self.request.zone_name;
        writeln!(out, "{}", self.file.name)?;
        writeln!(
            out,
            "Heights in metres above {}. Times in {zone}.",
            self.file.datum
        )?;
        if let Some(source) = &self.file.source {
            writeln!(
                out,
                "Constants: {source}. Convention: {}.",
                convention_name(self.file.port.convention())
            )?;
        } else {
            writeln!(
                out,
                "Convention of the constants: {}.",
                convention_name(self.file.port.convention())
            )?;
        }
        if let Some(short) = short_record(self.file.record_days) {
            writeln!(out, "Beware: {short}.")?;
        }
        writeln!(out)?;
        let mut columns = Columns::headed(["day", "time", "water", "height"]).right(3);
        let mut last = None;
        for turn in &self.turns {
            // To the nearest minute, as tables are printed.
            let local = to_minute(turn.at).to_zoned_datetime(self.request.zone.clone());
            let day = local.date();
            let shown = if last == Some(day) {
                String::new()
            } else {
                local.strftime("%a %Y-%m-%d").to_string()
            };
            last = Some(day);
            columns.push([
                shown,
                local.strftime("%H:%M").to_string(),
                kind(turn.kind).to_owned(),
                format!("{:.2}", turn.height_m + 0.0),
            ]);
        }
        write!(out, "{columns}")?;
        if self.turns.is_empty() {
            writeln!(out, "The water does not turn in these days.")?;
        }
        writeln!(out)?;
        writeln!(out, "{}", cautions::WATER)
    }

    fn csv(&self, out: &mut impl Write) -> io::Result<()> {
        let mut writer = rfc4180::writer(out);
        writer.write_record([
            "port", "datum", "at_utc", "at_local", "water", "height_m", "status",
        ])?;
        let mut status = "estimated; not for navigation".to_owned();
        if let Some(short) = short_record(self.file.record_days) {
            status = format!("{status}; {short}");
        }
        for row in self.rows() {
            writer.write_record([
                &self.file.name,
                &self.file.datum,
                &row.at_utc.to_string(),
                &row.at_local,
                row.kind,
                &format!("{:.3}", row.height_m),
                &status,
            ])?;
        }
        writer.flush()
    }

    fn json(&self, out: &mut impl Write) -> io::Result<()> {
        let document = serde_json::json!({
            "port": self.file.name,
            "datum": self.file.datum,
            "source": self.file.source,
            "convention": self.file.port.convention(),
            "zone": self.request.zone_name,
            "from": self.request.from.to_string(),
            "days": self.request.days,
            "turns": self.rows().collect::<Vec<_>>(),
            "record_days": self.file.record_days,
            "warnings": short_record(self.file.record_days).as_slice(),
            "cautions": [cautions::WATER],
        });
        serde_json::to_writer_pretty(&mut *out, &document)?;
        writeln!(out)
    }

    fn calendar(&self, now: Timestamp, out: &mut impl Write) -> io::Result<()> {
        let stamp = |at: Timestamp| to_second(at).strftime("%Y%m%dT%H%M%SZ").to_string();
        let short = short_record(self.file.record_days)
            .map_or(String::new(), |short| format!("Beware: {short}. "));
        let mut calendar = Calendar::new();
        calendar.name(&format!("High and low water: {}", self.file.name));
        for turn in &self.turns {
            let water = kind(turn.kind);
            let mut event = Event::new();
            event
                .uid(
                    &format!(
                        "{}-{water}-{}@tide-table",
                        stamp(turn.at),
                        slug(&self.file.name)
                    )
                    .replace(' ', "-"),
                )
                .add_property("DTSTAMP", stamp(now))
                .add_property("DTSTART", stamp(turn.at))
                .add_property("DTEND", stamp(turn.at))
                .add_property("TRANSP", "TRANSPARENT")
                .summary(&format!(
                    "{water} {:.2} m, {}",
                    turn.height_m, self.file.name
                ))
                .description(&format!(
                    "Metres above {}. {short}{}",
                    self.file.datum,
                    cautions::WATER
                ));
            calendar.push(event.done());
        }
        write!(out, "{calendar}")
    }
}

fn kind(kind: TurnKind) -> &'static str {
    match kind {
        TurnKind::HighWater => "high water",
        TurnKind::LowWater => "low water",
    }
}

fn to_minute(at: Timestamp) -> Timestamp {
    Timestamp::from_second((at.as_second() + 30).div_euclid(60) * 60).unwrap_or(at)
}

fn to_second(at: Timestamp) -> Timestamp {
    Timestamp::from_second((at.as_millisecond() + 500).div_euclid(1000)).unwrap_or(at)
}

fn slug(name: &str) -> String {
    name.chars()
        .filter(|letter| letter.is_alphanumeric())
        .collect::<String>()
        .to_lowercase()
}
