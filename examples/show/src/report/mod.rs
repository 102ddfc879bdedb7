//! A season for people and for programs.

mod arrange;
mod style;
mod table;
mod text;
mod told;
mod why;

use crate::weather;
use std::io::{self, Write};

pub use arrange::{Order, arrange};
pub use style::{DEMO, Style, WIDTH_ELSEWHERE};

pub use crate::nothing::{Against, against};
pub use crate::rows::{OutingRow, SeatRow};

#[cfg(feature = "maps")]
use crate::maps::{self, Positions};
use crate::rows;
use wrackline_plan::cautions;
use wrackline_plan::rfc4180;
use wrackline_plan::season::Season;

#[cfg(feature = "calendar")]
use crate::calendar;

/// How a season is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Format {
    /// Aligned text for people.
    #[default]
    Text,
    /// One row for each window (RFC 4180), column names with units.
    Csv,
    /// One object with windows, seats and cautions.
    Json,
    /// A calendar with an event for each window (RFC 5545), its alarms before setting out and at
    /// the latest departure.
    #[cfg(feature = "calendar")]
    ICalendar,
    /// Places, seats and ways for a map (RFC 7946); sensitive places coarsened.
    #[cfg(feature = "maps")]
    GeoJson,
    /// The same for a hand-held receiver (GPX 1.1); sensitive places coarsened.
    #[cfg(feature = "maps")]
    Gpx,
}

/// What else a writer is told.
#[derive(Clone, Copy, Debug)]
pub struct Options {
    /// In maps, how exact the positions of sensitive places are given.
    #[cfg(feature = "maps")]
    pub positions: Positions,
    /// In calendars, minutes from the first alarm to the first step of an outing.
    #[cfg(feature = "calendar")]
    pub alarm_minutes: f64,
    /// In text, how it is fitted to the reader.
    pub style: Style,
}

#[allow(
    clippy::derivable_impls,
    reason = "a calendar has minutes that are not zero"
)]
impl Default for Options {
    fn default() -> Self {
        Self {
            #[cfg(feature = "maps")]
            positions: Positions::Coarse,
            #[cfg(feature = "calendar")]
            alarm_minutes: calendar::ALARM_MINUTES,
            style: Style::default(),
        }
    }
}

/// Tells, of a season of one day that kept its refused tides, what removed which part of the day at
/// each seat.
///
/// # Errors
/// What the writer refuses.
pub fn why(season: &Season<'_>, style: Style, out: &mut dyn Write) -> io::Result<()> {
    why::write(season, style, out)
}

/// Writes the windows of a season that [`arrange`] has left.
///
/// # Errors
/// What the writer refuses.
pub fn write(
    season: &Season<'_>,
    format: Format,
    options: Options,
    out: &mut dyn Write,
) -> io::Result<()> {
    match format {
        Format::Text => text::write(season, options.style, out),
        Format::Csv => {
            let mut csv = rfc4180::writer(out);
            for row in rows::outings(season) {
                csv.serialize(row).map_err(io::Error::other)?;
            }
            csv.flush()
        }
        Format::Json => {
            let report = rows::Report {
                scenario: season.scenario.title(),
                demo: options.style.demo,
                from: season.from,
                last: season.last,
                zone: season.scenario.zone_name(),
                light: &season.light.name,
                warnings: season.scenario.warnings(),
                forecast: weather::remarks(season.scenario),
                windows_in_all: season.windows_in_all,
                stands_against_most: against(season),
                windows: rows::outings(season),
                seats: rows::seats(season),
                cautions: cautions::ALL,
            };
            serde_json::to_writer_pretty(&mut *out, &report).map_err(io::Error::other)?;
            writeln!(out)
        }
        #[cfg(feature = "calendar")]
        Format::ICalendar => {
            out.write_all(calendar::calendar(season, options.alarm_minutes).as_bytes())
        }
        #[cfg(feature = "maps")]
        Format::GeoJson => {
            let map = maps::geojson(season, options.positions).map_err(io::Error::other)?;
            writeln!(out, "{map}")
        }
        #[cfg(feature = "maps")]
        Format::Gpx => {
            let map = maps::gpx(season, options.positions).map_err(io::Error::other)?;
            writeln!(out, "{map}")
        }
    }
}
