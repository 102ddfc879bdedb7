//! The columns of a table of visibility, and single rows of it.

use std::io::{self, Write};

use crate::schema::COLUMNS;
use crate::{Row, Table, TideState, Verdict};
use wrackline_plan::rfc4180;

/// How the columns are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Format {
    /// Aligned text for people.
    #[default]
    Text,
    /// One column a row (RFC 4180).
    Csv,
    /// An array of objects.
    Json,
}

/// Tells of each column its name, type, unit, whether a row can be without it, and its meaning.
///
/// # Errors
/// What the writer refuses.
pub fn schema(format: Format, out: &mut dyn Write) -> io::Result<()> {
    let rows = COLUMNS.map(|column| {
        let missing = if column.nullable { "yes" } else { "no" };
        let kind = column.kind.describe();
        (column.name, kind, column.unit, missing, column.meaning)
    });
    match format {
        Format::Text => {
            for (name, kind, unit, missing, meaning) in rows {
                let unit = if unit.is_empty() { "" } else { ", in " }.to_owned() + unit;
                let missing = if missing == "yes" {
                    ", may be missing"
                } else {
                    ""
                };
                writeln!(out, "{name}\n    {kind}{unit}{missing}\n    {meaning}")?;
            }
        }
        Format::Csv => {
            let mut csv = rfc4180::writer(out);
            csv.write_record(["name", "type", "unit", "may_be_missing", "meaning"])?;
            for (name, kind, unit, missing, meaning) in rows {
                csv.write_record([name, kind.as_ref(), unit, missing, meaning])?;
            }
            csv.flush()?;
        }
        Format::Json => {
            let objects = rows.map(|(name, kind, unit, missing, meaning)| {
                serde_json::json!({
                    "name": name, "type": kind, "unit": unit,
                    "may_be_missing": missing == "yes", "meaning": meaning,
                })
            });
            serde_json::to_writer_pretty(&mut *out, &objects).map_err(std::io::Error::other)?;
            writeln!(out)?;
        }
    }
    Ok(())
}

/// One row as JSON, not rounded.
pub fn row(table: &Table, place: usize, row: &Row) -> serde_json::Value {
    let spot = &table.spec().places.spots[place];
    let (usable, limit) = match row.verdict {
        Verdict::Unjudged => (None, None),
        Verdict::Usable => (Some(true), None),
        Verdict::Limited(condition) => (Some(false), Some(condition.name())),
    };
    serde_json::json!({
        "place": spot.place,
        "seat": spot.seat,
        "instant_utc": row.at,
        "utc_offset_s": row.utc_offset_s,
        "sun_altitude_deg": row.sun_altitude_deg,
        "sun_azimuth_deg": row.sun_azimuth_deg,
        "light_angle_deg": row.light_angle_deg,
        "light_side": row.light_side.map(wrackline_plan::windows::side_name),
        "illuminance_lx": row.illuminance_lx,
        "moon_altitude_deg": row.moon_altitude_deg,
        "moon_lit_fraction": row.moon_lit_fraction,
        "tide_height_m": row.tide_height_m,
        "tide_rate_m_per_h": row.tide_rate_m_per_h,
        "tide_state": row.tide_state.map(TideState::name),
        "level_exceeded": row.level_exceeded,
        "usable": usable,
        "limiting_condition": limit,
    })
}
