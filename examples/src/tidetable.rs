//! A table of high and low waters for a port file: text, CSV, JSON or iCalendar.

use std::io::{self, Write};
use std::path::Path;

use icalendar::{Calendar, Component, Event};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Span, Timestamp};
use serde::{Deserialize, Serialize};
use wrackline_tides::{Convention, Port, PortSpec, Turn, TurnKind, constants_from_csv};

use crate::cautions;
use crate::columns::Columns;

/// The demo port, compiled in.
pub const DEMO: &str = include_str!("../demo/oskerrow_port.toml");
/// What the demo port is called where a file would be named.
pub const DEMO_NAME: &str = "demo/oskerrow_port.toml (built in)";

/// A port as it stands in a file: what the constants are of, what heights are above, and the constants.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PortFile {
    /// Name of the port.
    pub name: String,
    /// What heights are above.
    pub datum: String,
    /// Where the constants come from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
    /// The constants.
    pub port: Port,
    /// How the constants were found, if by the program `harmonics`; not needed for a table.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub analysis: Option<serde_json::Value>,
}

/// What a bare CSV of constants does not say.
#[derive(Clone, Debug, Default)]
pub struct CsvExtras {
    /// Mean level above the datum, metres.
    pub mean_level_m: Option<f64>,
    /// What heights are above.
    pub datum: Option<String>,
    /// Convention of the constants.
    pub convention: Option<Convention>,
    /// East longitude, for lags κ.
    pub longitude_deg: Option<f64>,
}

impl PortFile {
    /// Reads a port from a path: TOML, JSON, or CSV with its extras.
    ///
    /// # Errors
    /// A message that names file, line, value and remedy.
    pub fn read(path: &Path, extras: &CsvExtras) -> Result<Self, String> {
        let name = path.display().to_string();
        let text = std::fs::read_to_string(path)
            .map_err(|error| format!("{name}: cannot be read: {error}"))?;
        match path.extension().and_then(|ending| ending.to_str()) {
            Some("json") => serde_json::from_str(&text).map_err(|error| format!("{name}: {error}")),
            Some("csv") => Self::from_csv(&name, &text, extras),
            Some("toml") => Self::parse(&name, &text),
            _ => Err(format!(
                "{name}: the name must end in .toml, .json or .csv, so that the format is known"
            )),
        }
    }

    /// Reads a port from TOML.
    ///
    /// # Errors
    /// A message that names file, line, value and remedy.
    pub fn parse(name: &str, text: &str) -> Result<Self, String> {
        toml::from_str(text).map_err(|error| {
            let line = error
                .span()
                .map(|span| text.get(..span.start).unwrap_or(text).matches('\n').count() + 1);
            let place = line.map_or(String::new(), |line| format!(" line {line}:"));
            format!("{name}:{place} {}", error.message())
        })
    }

    fn from_csv(name: &str, text: &str, extras: &CsvExtras) -> Result<Self, String> {
        let missing = |what: &str, option: &str| {
            format!("{name}: a CSV of constants does not say {what}: give {option}")
        };
        let mean_level_m = extras
            .mean_level_m
            .ok_or_else(|| missing("the mean level above the datum", "--mean-level"))?;
        let datum = extras
            .datum
            .clone()
            .ok_or_else(|| missing("what heights are above", "--datum"))?;
        let convention = extras
            .convention
            .ok_or_else(|| missing("whose convention they belong to", "--convention"))?;
        let harmonics = constants_from_csv(text, extras.longitude_deg)
            .map_err(|error| format!("{name}: {error}"))?;
        let port = Port::new(PortSpec {
            mean_level_m,
            harmonics: &harmonics,
            convention,
        })
        .map_err(|error| format!("{name}: {error}"))?;
        let stem = Path::new(name)
            .file_stem()
            .map_or(name.to_owned(), |stem| stem.to_string_lossy().into_owned());
        Ok(Self {
            name: stem,
            datum,
            source: None,
            port,
            analysis: None,
        })
    }
}

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
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
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
        let mut writer = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .from_writer(out);
        writer.write_record([
            "port", "datum", "at_utc", "at_local", "water", "height_m", "status",
        ])?;
        for row in self.rows() {
            writer.write_record([
                &self.file.name,
                &self.file.datum,
                &row.at_utc.to_string(),
                &row.at_local,
                row.kind,
                &format!("{:.3}", row.height_m),
                "estimated; not for navigation",
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
            "cautions": [cautions::WATER],
        });
        serde_json::to_writer_pretty(&mut *out, &document)?;
        writeln!(out)
    }

    fn calendar(&self, now: Timestamp, out: &mut impl Write) -> io::Result<()> {
        let stamp = |at: Timestamp| to_second(at).strftime("%Y%m%dT%H%M%SZ").to_string();
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
                    "Metres above {}. {}",
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

/// The name of a convention as a reader of tables says it.
#[must_use]
pub fn convention_name(convention: Convention) -> &'static str {
    match convention {
        Convention::SchuremanAnnual => "Schureman, factors of the year (as NOAA)",
        Convention::SchuremanInstant => "Schureman, factors of the instant",
        Convention::IhoInstant => "IHO, factors of the instant",
        Convention::Rijkswaterstaat => "Schureman, middle of the year (as Rijkswaterstaat)",
        _ => "as given in the file",
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
