//! A printed tide table as the port: its turns, and what is not known about the water by them.

use jiff::tz::TimeZone;
use wrackline_tides::Turn;

use super::between::CurveError;
use super::turns_csv::{Read, RowProblem, read};
use crate::time::Stretch;

/// How far real water stands from the half cosine half way between two turns, as a share of the
/// range ([`CurveError::share`]): our default. At the fifteen ports in
/// `tests/printed_table/half_cosines.rs`, with ranges up to 13 m, one of them at the head of a long
/// inlet, the water of 2020 to 2041 comes at most a centimetre over the highest that this allows; with
/// a quarter it would come 0.16 m over it there.
pub const CURVE_SHARE: f64 = 0.28;
/// A longer pause between two turns is taken for rows that were left out, hours. Our default: where
/// there are two tides a day a turn follows within 9 h, and one that is missing with its neighbour
/// leaves 18 h. Tides that come once a day may pause longer, and then the file says so.
pub const LONGEST_GAP_H: f64 = 15.0;

/// What a file says about its printed table.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintedSpec {
    /// The zone that days and times are printed in.
    pub zone: TimeZone,
    /// Name of that zone.
    pub zone_name: String,
    /// See [`CURVE_SHARE`].
    pub curve_share: f64,
    /// See [`LONGEST_GAP_H`].
    pub longest_gap_h: f64,
    /// What the heights of the port are above, where that is known: a table that names another
    /// datum is refused.
    pub datum: Option<String>,
}

impl PrintedSpec {
    /// A table in a zone, and our defaults.
    pub fn new(zone: TimeZone, zone_name: &str) -> Self {
        Self {
            zone,
            zone_name: zone_name.to_owned(),
            curve_share: CURVE_SHARE,
            longest_gap_h: LONGEST_GAP_H,
            datum: None,
        }
    }
}

/// High and low waters as a tide table prints them, at least two, alternating, in order of time.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintedTable {
    turns: Vec<Turn>,
    error: CurveError,
    zone_name: String,
    file: String,
    datum: Option<String>,
}

impl PrintedTable {
    /// Reads and checks a table. `file` is what it is called.
    ///
    /// # Errors
    /// Every problem, with its line.
    pub fn of_csv(file: &str, text: &str, spec: &PrintedSpec) -> Result<Self, Vec<RowProblem>> {
        let Read {
            turns,
            digit_m,
            datum,
        } = read(text, spec)?;
        Ok(Self {
            turns,
            error: CurveError {
                rounding_m: digit_m / 2.0,
                share: spec.curve_share,
            },
            zone_name: spec.zone_name.clone(),
            file: file.to_owned(),
            datum,
        })
    }

    /// The turns.
    pub fn turns(&self) -> &[Turn] {
        &self.turns
    }

    /// The datum that the table itself names.
    pub fn datum(&self) -> Option<&str> {
        self.datum.as_deref()
    }

    /// What is not known about the water at and between them.
    pub fn error(&self) -> CurveError {
        self.error
    }

    /// From the first turn to the last: nothing is known outside of it.
    pub fn span(&self) -> Stretch {
        match (self.turns.first(), self.turns.last()) {
            (Some(first), Some(last)) => first.at..last.at,
            // There are at least two.
            _ => jiff::Timestamp::UNIX_EPOCH..jiff::Timestamp::UNIX_EPOCH,
        }
    }

    /// What every answer says about it: where the water comes from, and what is not known.
    pub fn told(&self) -> String {
        let Stretch { start, end } = self.span();
        format!(
            "the water is from a printed table ({}, times in {}) and is known from {:.16}Z to \
             {:.16}Z only: nothing is proposed that needs it outside; between the turns it runs in \
             half cosines, which real water leaves by decimetres, at the head of a long inlet by \
             metres: the upper and the lower water are widened by {} of the range half way between \
             turns, by more where turns are far apart, and by {:.3} m of rounding",
            self.file,
            self.zone_name,
            start.to_string(),
            end.to_string(),
            percent(self.error.share),
            self.error.rounding_m
        )
    }

    /// The same in a line for a heading.
    pub fn in_short(&self) -> String {
        let Stretch { start, end } = self.span();
        format!(
            "from a printed table, {:.10} to {:.10}",
            start.to_string(),
            end.to_string()
        )
    }
}

fn percent(share: f64) -> String {
    let percent = (share * 1000.0).round() / 10.0;
    format!("{percent} %")
}
