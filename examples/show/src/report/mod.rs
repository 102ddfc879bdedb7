//! A season for people and for programs.

mod rows;
mod text;
mod why;

use std::io::{self, Write};

pub use rows::{OutingRow, SeatRow};

use crate::maps::{self, Positions};
use wrackline_plan::cautions;
use wrackline_plan::rfc4180;
use wrackline_plan::season::Season;

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
    /// A calendar with an event for each window (RFC 5545), its alarm at the latest departure.
    ICalendar,
    /// Places, seats and ways for a map (RFC 7946); sensitive places coarsened.
    GeoJson,
    /// The same for a hand-held receiver (GPX 1.1); sensitive places coarsened.
    Gpx,
}

/// Tells, of a season of one day that kept its refused tides, what removed which part of the day at each seat.
///
/// # Errors
/// What the writer refuses.
pub fn why(season: &Season<'_>, out: &mut dyn Write) -> io::Result<()> {
    why::write(season, out)
}

/// Writes the `count` best windows of a season. `positions` matters where there are any: in the maps.
///
/// # Errors
/// What the writer refuses.
pub fn write(
    season: &Season<'_>,
    format: Format,
    count: usize,
    positions: Positions,
    out: &mut dyn Write,
) -> io::Result<()> {
    match format {
        Format::Text => text::write(season, count, out),
        Format::Csv => {
            let mut csv = rfc4180::writer(out);
            for row in rows::outings(season, count) {
                csv.serialize(row).map_err(io::Error::other)?;
            }
            csv.flush()
        }
        Format::Json => {
            let report = rows::Report {
                scenario: season.scenario.title(),
                from: season.from,
                last: season.last,
                zone: season.scenario.zone_name(),
                light: &season.light.name,
                warnings: season.scenario.warnings(),
                windows_in_all: season.windows_in_all,
                windows: rows::outings(season, count),
                seats: rows::seats(season),
                cautions: cautions::ALL,
            };
            serde_json::to_writer_pretty(&mut *out, &report).map_err(io::Error::other)?;
            writeln!(out)
        }
        Format::ICalendar => out.write_all(calendar::calendar(season, count).as_bytes()),
        Format::GeoJson => {
            let map = maps::geojson(season, positions).map_err(io::Error::other)?;
            writeln!(out, "{map}")
        }
        Format::Gpx => {
            let map = maps::gpx(season, positions).map_err(io::Error::other)?;
            writeln!(out, "{map}")
        }
    }
}
