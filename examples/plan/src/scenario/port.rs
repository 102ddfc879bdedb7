//! The port whose tide the places have.

use jiff::Timestamp;
use wrackline_tides::{
    ClockDifference, Convention, Harmonic, Port, PortSpec, SecondaryPort, SecondarySpec,
    SpringNeapHeights, Turn,
};

use super::bounds::{Bound, LEVEL};
use super::reader::Table;
use crate::port::{TideCurve, convention, convention_words};
use crate::time::Stretch;

/// The port whose tide the places have.
#[derive(Clone, Debug)]
pub struct Tide {
    /// Name of the port.
    pub name: String,
    /// What its heights are measured from.
    pub datum: String,
    /// Its harmonic constants, or those of the standard port.
    pub port: Port,
    /// The differences from the standard port, where the port is a secondary one.
    pub secondary: Option<SecondaryPort>,
    /// Days of readings that the constants were found in, where the file says so.
    pub record_days: Option<f64>,
}

impl Tide {
    /// The turns, by the constants, of two years: about October 2015 the moon's node lets the
    /// half-daily tide be largest, about January 2025 the daily one. Their extremes fall a few
    /// centimetres short of those of all years, at a tenth of the work.
    pub(super) fn two_years(&self) -> [Vec<Turn>; 2] {
        // Seconds of 1 April 2015 and 1 July 2024.
        [1_427_846_400, 1_719_792_000].map(|start| {
            let at = |second| Timestamp::from_second(second).unwrap_or(Timestamp::UNIX_EPOCH);
            let year = at(start)..at(start + 366 * 86_400);
            let predictor = self.port.predictor(year);
            predictor.map_or_else(|_| Vec::new(), |year| year.turns())
        })
    }

    /// The predicted water over a span.
    ///
    /// # Errors
    /// A span that the calendar cannot hold.
    pub fn curve(&self, span: Stretch) -> Result<TideCurve, wrackline_tides::Error> {
        TideCurve::new(&self.port, self.secondary.as_ref(), span)
    }
}

pub(super) fn read(table: Table<'_, '_>) -> Option<Tide> {
    let name = table.text("name");
    let datum = table.text("datum");
    let mean_level_m = table.number("mean_level_m", LEVEL);
    if !table.has("convention") {
        table.report(
            "convention",
            "is missing",
            format!(
                "say by which convention the constants were made: {}",
                convention_words()
            ),
        );
    }
    let convention = table.optional_text("convention").and_then(|word| {
        let found = convention(&word);
        if found.is_none() {
            let what = format!("\"{word}\" is not known here");
            table.report("convention", what, format!("give {}", convention_words()));
        }
        found
    });
    let rows = table.tables("constituents");
    if !table.has("constituents") {
        table.report(
            "constituents",
            "is missing",
            "list the constituents, each with name, amplitude_m and phase_lag_deg",
        );
    }
    let mut harmonics: Vec<Harmonic> = Vec::new();
    let mut all_good = table.is_list("constituents");
    for row in rows {
        // Each by itself, so that a name that is not known is reported where it stands.
        let harmonic = Harmonic {
            name: row.text("name"),
            amplitude_m: row.number("amplitude_m", Bound::Within(0.0, 20.0)),
            phase_lag_deg: row.number("phase_lag_deg", Bound::Within(-360.0, 360.0)),
        };
        let check = Port::new(PortSpec {
            mean_level_m: 0.0,
            harmonics: std::slice::from_ref(&harmonic),
            convention: Convention::SchuremanInstant,
        });
        if !row.has("name") {
            all_good = false;
        } else if let Err(error) = check {
            all_good = false;
            row.report("name", error.to_string(), "mend the constituent");
        } else if harmonics.iter().any(|known| known.name == harmonic.name) {
            let twice = format!("\"{}\" stands here twice", harmonic.name);
            row.report("name", twice, "keep one of them");
        } else {
            harmonics.push(harmonic);
        }
        row.finish();
    }
    let _ = table.optional_text("note");
    let record_days = table.optional_number("record_days", Bound::Within(0.0, 100_000.0));
    let secondary = table.table("secondary").and_then(read_secondary);
    // Without its constituents the rest would be told a second time, of the port as a whole.
    let port = convention.and_then(|convention| {
        Port::new(PortSpec {
            mean_level_m,
            harmonics: &harmonics,
            convention,
        })
        .map_err(|error| {
            if all_good {
                table.report("constituents", error.to_string(), "mend the port");
            }
        })
        .ok()
    });
    table.finish();
    Some(Tide {
        name,
        datum,
        port: port?,
        secondary,
        record_days,
    })
}

/// The printed differences of a secondary port from the standard port whose constants are given.
fn read_secondary(table: Table<'_, '_>) -> Option<SecondaryPort> {
    let heights = |key: &'static str| {
        let heights = table.table(key);
        if heights.is_none() && !table.has(key) {
            table.report(
                key,
                "is missing",
                format!(
                    "add `{key} = {{ mhws_m = ..., mhwn_m = ..., mlwn_m = ..., mlws_m = ... }}`"
                ),
            );
        }
        let heights = heights?;
        let read = SpringNeapHeights {
            mhws_m: heights.number("mhws_m", LEVEL),
            mhwn_m: heights.number("mhwn_m", LEVEL),
            mlwn_m: heights.number("mlwn_m", LEVEL),
            mlws_m: heights.number("mlws_m", LEVEL),
        };
        heights.finish();
        Some(read)
    };
    let times = |key: &'static str| {
        let rows = table.pairs(key, Bound::Within(0.0, 24.0), Bound::Within(-360.0, 360.0));
        let rows: Vec<ClockDifference> = rows
            .iter()
            .map(|[hour, minutes]| ClockDifference {
                hour: *hour,
                minutes: *minutes,
            })
            .collect();
        let two: Result<[ClockDifference; 2], _> = rows.try_into();
        two.map_err(|_| {
            table.report(
                key,
                "does not have two rows",
                "give two pairs of clock hour and minutes, such as [[0, 10], [6, 40]]",
            );
        })
        .ok()
    };
    let mark = table.mark();
    let standard = heights("standard");
    let differences = heights("differences");
    let high_water = times("high_water_minutes");
    let low_water = times("low_water_minutes");
    let utc_offset_h = table.number_or("utc_offset_h", Bound::Within(-14.0, 14.0), 0.0);
    let spec = || {
        Some(SecondarySpec {
            standard: standard?,
            differences: differences?,
            high_water: high_water?,
            low_water: low_water?,
            utc_offset_h,
        })
    };
    let spec = spec();
    table.finish();
    let spec = spec?;
    // Each figure by itself is checked below; that they agree shows only in the sums.
    let (at, add) = (spec.standard, spec.differences);
    for (when, high, low) in [
        ("springs", at.mhws_m + add.mhws_m, at.mlws_m + add.mlws_m),
        ("neaps", at.mhwn_m + add.mhwn_m, at.mlwn_m + add.mlwn_m),
    ] {
        if low >= high {
            mark.problem(
                "differences",
                format!(
                    "at mean {when} they put low water, {low:.2} m, above high water, {high:.2} m"
                ),
                "compare the differences and their signs with the table that they come from",
            );
            return None;
        }
    }
    SecondaryPort::new(spec)
        .map_err(|error| mark.problem("standard", error.to_string(), "mend the differences"))
        .ok()
}
