//! A table of high and low waters for a port: text, CSV, JSON or iCalendar.

use std::io::{self, Write};

#[cfg(feature = "calendar")]
use icalendar::{Calendar, Component, Event};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Span, Timestamp};
use serde::Serialize;
use wrackline_plan::port::{PortFile, TideCurve, convention_name, short_record};
use wrackline_plan::rfc4180;
use wrackline_plan::scenario::Tide;
use wrackline_plan::time::Stretch;
use wrackline_tides::{Convention, Turn, TurnKind};

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
pub struct Table {
    port: Told,
    request: Request,
    turns: Vec<Turn>,
}

/// What is told of the port.
#[derive(Clone, Debug)]
struct Told {
    name: String,
    datum: String,
    source: Option<String>,
    /// That of its constants, where there are such.
    convention: Option<Convention>,
    record_days: Option<f64>,
    /// What to beware of in all its figures.
    warning: Option<String>,
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
    #[cfg(feature = "calendar")]
    Ics,
}

/// Computes the turns of a port file.
///
/// # Errors
/// A message that says which option to change.
pub fn table(file: &PortFile, request: Request) -> Result<Table, String> {
    let curve = TideCurve::new(&file.port, None, span(&request)?);
    let curve = curve.map_err(|error| format!("--from and --days: {error}"))?;
    let port = Told {
        name: file.name.clone(),
        datum: file.datum.clone(),
        source: file.source.clone(),
        convention: Some(file.port.convention()),
        record_days: file.record_days,
        warning: short_record(file.record_days),
    };
    Ok(Table::of(port, request, &curve))
}

/// The turns of a scenario's port: computed, or as they are printed.
///
/// # Errors
/// A message that says which option to change, also where a printed table has none of the days.
pub fn table_of(tide: &Tide, request: Request) -> Result<Table, String> {
    let curve = tide.curve(span(&request)?);
    let curve = curve.map_err(|error| format!("--from and --days: {error}"))?;
    let printed = tide.printed();
    if let (Some(printed), true) = (printed, curve.span().is_empty()) {
        let Stretch { start, end } = printed.span();
        return Err(format!(
            "--from and --days: the printed table goes from {start} to {end}; ask for days in it"
        ));
    }
    let secondary = tide
        .constants()
        .filter(|constants| constants.secondary.is_some())
        .map(|_| "differences of a secondary port".to_owned());
    let port = Told {
        name: tide.name.clone(),
        datum: tide.datum.clone(),
        source: printed.map(|printed| printed.in_short()).or(secondary),
        convention: tide.constants().map(|known| known.port.convention()),
        record_days: tide.constants().and_then(|known| known.record_days),
        warning: tide.to_be_told(),
    };
    Ok(Table::of(port, request, &curve))
}

fn span(request: &Request) -> Result<Stretch, String> {
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
    Ok(midnight(request.from)?..midnight(after)?)
}

/// One line of the table as a machine reads it.
#[derive(Serialize)]
struct Row {
    at_utc: Timestamp,
    at_local: String,
    kind: &'static str,
    height_m: f64,
}

impl Table {
    fn of(port: Told, request: Request, curve: &TideCurve) -> Self {
        let turns = curve.turns().iter().copied();
        let asked = curve.asked();
        Self {
            port,
            request,
            turns: turns.filter(|turn| asked.contains(&turn.at)).collect(),
        }
    }

    /// The turns in order of time.
    #[must_use]
    pub fn turns(&self) -> &[Turn] {
        &self.turns
    }

    /// Writes the table. `now` stamps a calendar.
    ///
    /// # Errors
    /// What the writer refuses.
    #[cfg_attr(
        not(feature = "calendar"),
        expect(unused_variables, reason = "nothing but a calendar is stamped")
    )]
    pub fn write(&self, format: Format, now: Timestamp, out: &mut impl Write) -> io::Result<()> {
        match format {
            Format::Text => self.text(out),
            Format::Csv => self.csv(out),
            Format::Json => self.json(out),
            #[cfg(feature = "calendar")]
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
        writeln!(out, "{}", self.port.name)?;
        writeln!(
            out,
            "Heights in metres above {}. Times in {zone}.",
            self.port.datum
        )?;
        match (&self.port.source, self.port.convention.map(convention_name)) {
            (Some(source), Some(name)) => {
                writeln!(out, "Constants: {source}. Convention: {name}.")?;
            }
            (Some(source), None) => writeln!(out, "Water: {source}.")?,
            (None, Some(name)) => writeln!(out, "Convention of the constants: {name}.")?,
            (None, None) => {}
        }
        if let Some(warning) = &self.port.warning {
            writeln!(out, "Beware: {warning}.")?;
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
        if let Some(warning) = &self.port.warning {
            status = format!("{status}; {warning}");
        }
        for row in self.rows() {
            writer.write_record([
                &self.port.name,
                &self.port.datum,
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
            "port": self.port.name,
            "datum": self.port.datum,
            "source": self.port.source,
            "convention": self.port.convention,
            "zone": self.request.zone_name,
            "from": self.request.from.to_string(),
            "days": self.request.days,
            "turns": self.rows().collect::<Vec<_>>(),
            "record_days": self.port.record_days,
            "warnings": self.port.warning.as_slice(),
            "cautions": [cautions::WATER],
        });
        serde_json::to_writer_pretty(&mut *out, &document)?;
        writeln!(out)
    }

    #[cfg(feature = "calendar")]
    fn calendar(&self, now: Timestamp, out: &mut impl Write) -> io::Result<()> {
        let stamp = |at: Timestamp| to_second(at).strftime("%Y%m%dT%H%M%SZ").to_string();
        let beware = self.port.warning.as_ref();
        let beware = beware.map_or(String::new(), |warning| format!("Beware: {warning}. "));
        let mut calendar = Calendar::new();
        calendar.name(&format!("High and low water: {}", self.port.name));
        for turn in &self.turns {
            let water = kind(turn.kind);
            let mut event = Event::new();
            event
                .uid(
                    &format!(
                        "{}-{water}-{}@tide-table",
                        stamp(turn.at),
                        slug(&self.port.name)
                    )
                    .replace(' ', "-"),
                )
                .add_property("DTSTAMP", stamp(now))
                .add_property("DTSTART", stamp(turn.at))
                .add_property("DTEND", stamp(turn.at))
                .add_property("TRANSP", "TRANSPARENT")
                .summary(&format!(
                    "{water} {:.2} m, {}",
                    turn.height_m, self.port.name
                ))
                .description(&format!(
                    "Metres above {}. {beware}{}",
                    self.port.datum,
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

#[cfg(feature = "calendar")]
fn slug(name: &str) -> String {
    name.chars()
        .filter(|letter| letter.is_alphanumeric())
        .collect::<String>()
        .to_lowercase()
}
