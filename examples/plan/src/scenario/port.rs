//! The port whose tide the places have.

use std::path::PathBuf;
use std::sync::Arc;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use wrackline_tides::{Convention, Harmonic, Port, PortSpec, SecondaryPort, Turn};

use super::bounds::{Bound, LEVEL};
use super::reader::Table;
use super::secondary;
use super::source::Mark;
use super::text::visible;
use crate::port::{
    CURVE_SHARE, LONGEST_GAP_H, PrintedSpec, PrintedTable, TideCurve, convention, convention_words,
    short_record,
};
use crate::time::Stretch;

/// The port whose tide the places have.
#[derive(Clone, Debug)]
pub struct Tide {
    /// Name of the port.
    pub name: String,
    /// What its heights are measured from.
    pub datum: String,
    /// What its water is known from.
    pub basis: Basis,
}

/// What the water of a port is known from.
#[derive(Clone, Debug)]
pub enum Basis {
    /// Harmonic constants.
    Constants(Box<Constants>),
    /// A printed table of high and low waters.
    Printed(Arc<PrintedTable>),
}

/// Harmonic constants, and what they are of.
#[derive(Clone, Debug)]
pub struct Constants {
    /// Those of the port itself, or of its standard port.
    pub port: Port,
    /// The differences from the standard port, where the port is a secondary one.
    pub secondary: Option<SecondaryPort>,
    /// Days of readings that the constants were found in, where the file says so.
    pub record_days: Option<f64>,
}

impl Tide {
    /// The harmonic constants, if the water is known from such.
    pub fn constants(&self) -> Option<&Constants> {
        match &self.basis {
            Basis::Constants(constants) => Some(constants),
            Basis::Printed(_) => None,
        }
    }

    /// The printed table, if the water is known from one.
    pub fn printed(&self) -> Option<&PrintedTable> {
        match &self.basis {
            Basis::Constants(_) => None,
            Basis::Printed(table) => Some(table),
        }
    }

    /// What every answer by this water must say about it, whatever was asked.
    pub fn to_be_told(&self) -> Option<String> {
        match &self.basis {
            Basis::Constants(constants) => short_record(constants.record_days),
            Basis::Printed(table) => Some(table.told()),
        }
    }

    /// The predicted water over a span: over as much of it as is known.
    ///
    /// # Errors
    /// A span that the calendar cannot hold.
    pub fn curve(&self, span: Stretch) -> Result<TideCurve, wrackline_tides::Error> {
        match &self.basis {
            Basis::Constants(constants) => {
                TideCurve::new(&constants.port, constants.secondary.as_ref(), span)
            }
            Basis::Printed(table) => Ok(TideCurve::printed(table, span)),
        }
    }
}

impl Constants {
    /// The turns, by the constants, of two years: about October 2015 the moon's node lets the
    /// half-daily tide be largest, about January 2025 the daily one. Their extremes fall a few
    /// centimetres short of those of all years, at a tenth of the work.
    pub(super) fn two_years(&self) -> [Vec<Turn>; 2] {
        // Seconds of 1 April 2015 and 1 July 2024.
        self.turns_from([1_427_846_400, 1_719_792_000], 366)
    }

    /// The turns of a month of each, with its springs: waters that surely come.
    pub(super) fn two_months(&self) -> [Vec<Turn>; 2] {
        // Seconds of 15 September 2015 and 15 December 2024.
        self.turns_from([1_442_275_200, 1_734_220_800], 30)
    }

    fn turns_from(&self, starts_s: [i64; 2], days: i64) -> [Vec<Turn>; 2] {
        starts_s.map(|start| {
            let at = |second| Timestamp::from_second(second).unwrap_or(Timestamp::UNIX_EPOCH);
            let predictor = self.port.predictor(at(start)..at(start + days * 86_400));
            predictor.map_or_else(|_| Vec::new(), |days| days.turns())
        })
    }
}

/// A port as it was read: a printed table waits for the zone of the scenario, which may stand in
/// another file.
pub(super) enum DraftTide<'s> {
    Whole(Box<Tide>),
    Printed(Box<DraftTable<'s>>),
}

pub(super) struct DraftTable<'s> {
    name: String,
    datum: String,
    file: PathBuf,
    text: String,
    zone: Option<(TimeZone, String)>,
    curve_share: f64,
    longest_gap_h: f64,
    mark: Mark<'s>,
}

impl DraftTide<'_> {
    /// The port, with the zone of the scenario where one is named.
    pub(super) fn settle(self, zone: Option<&(TimeZone, String)>) -> Option<Tide> {
        match self {
            Self::Whole(tide) => Some(*tide),
            Self::Printed(draft) => draft.settle(zone),
        }
    }
}

impl DraftTable<'_> {
    fn settle(self, zone: Option<&(TimeZone, String)>) -> Option<Tide> {
        let Some((zone, zone_name)) = self.zone.as_ref().or(zone).cloned() else {
            // A table in local time read as UTC would be off by hours.
            self.mark.problem(
                "turns",
                "the zone of its times is not known",
                "add `turns_zone = \"Europe/London\"`, or \"UTC\", or whichever it is printed in",
            );
            return None;
        };
        let spec = PrintedSpec {
            zone,
            zone_name,
            curve_share: self.curve_share,
            longest_gap_h: self.longest_gap_h,
            datum: Some(self.datum.clone()),
        };
        let shown = visible(&self.file.display().to_string()).into_owned();
        match PrintedTable::of_csv(&shown, &self.text, &spec) {
            Ok(table) => Some(Tide {
                name: self.name,
                datum: self.datum,
                basis: Basis::Printed(Arc::new(table)),
            }),
            Err(rows) => {
                for row in rows {
                    self.mark.source.report_in_table(self.file.clone(), &row);
                }
                None
            }
        }
    }
}

pub(super) fn read<'s>(table: Table<'s, '_>) -> Option<DraftTide<'s>> {
    let name = table.text("name");
    let datum = table.text("datum");
    if table.has("turns") {
        return read_turns(table, name, datum).map(|draft| DraftTide::Printed(Box::new(draft)));
    }
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
    let mut renames = table.named_texts("rename");
    let mut renamed = Vec::new();
    for row in rows {
        let written = row.text("name");
        let theirs = renames.iter().position(|(theirs, _)| *theirs == written);
        renamed.extend(theirs);
        // Each by itself, so that a name that is not known is reported where it stands.
        let harmonic = Harmonic {
            name: theirs.map_or(written, |at| renames[at].1.clone()),
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
            let remedy = "mend the constituent, or say in [port.rename] what its name stands for";
            row.report("name", error.to_string(), remedy);
        } else if harmonics.iter().any(|known| known.name == harmonic.name) {
            let twice = format!("\"{}\" stands here twice", harmonic.name);
            row.report("name", twice, "keep one of them");
        } else {
            harmonics.push(harmonic);
        }
        row.finish();
    }
    // A name that renames nothing is a slip, and the line that was meant is another's.
    renamed.iter().for_each(|at| renames[*at].0.clear());
    renames.retain(|(theirs, _)| !theirs.is_empty());
    for (theirs, _) in renames {
        let what = format!("\"{theirs}\" is the name of no constituent here");
        table.report(
            "rename",
            what,
            "write the name as it stands in `constituents`",
        );
    }
    let _ = table.optional_text("note");
    let record_days = table.optional_number("record_days", Bound::Within(0.0, 100_000.0));
    let secondary = table.table("secondary").and_then(secondary::read);
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
    let _ = (curve_share(&table), longest_gap_h(&table));
    for key in ["turns_zone", "turns_curve_share", "turns_longest_gap_h"] {
        if table.has(key) {
            table.report(
                key,
                "says how a printed table is read, and there is none",
                "add `turns = \"table.csv\"`, or take it out",
            );
        }
    }
    table.finish();
    let constants = Constants {
        port: port?,
        secondary,
        record_days,
    };
    Some(DraftTide::Whole(Box::new(Tide {
        name,
        datum,
        basis: Basis::Constants(Box::new(constants)),
    })))
}

fn curve_share(table: &Table<'_, '_>) -> f64 {
    table.number_or("turns_curve_share", Bound::Within(0.01, 0.5), CURVE_SHARE)
}

fn longest_gap_h(table: &Table<'_, '_>) -> f64 {
    let bound = Bound::Within(LONGEST_GAP_H, 36.0);
    table.number_or("turns_longest_gap_h", bound, LONGEST_GAP_H)
}

/// What `[port]` says where its water is in a printed table.
fn read_turns<'s>(table: Table<'s, '_>, name: String, datum: String) -> Option<DraftTable<'s>> {
    let file = table.text("turns");
    for key in [
        "constituents",
        "rename",
        "mean_level_m",
        "convention",
        "secondary",
        "record_days",
    ] {
        if table.has(key) {
            table.report(
                key,
                "stands beside `turns`",
                "keep either the printed table or the constants",
            );
        }
    }
    let zone = table.optional_text("turns_zone").and_then(|name| {
        let zone = TimeZone::get(&name).ok();
        if zone.is_none() {
            table.report(
                "turns_zone",
                format!("\"{name}\" is not a known time zone"),
                "give a name of the IANA time zone database, such as \"Europe/London\" or \"UTC\"",
            );
        }
        zone.map(|zone| (zone, name))
    });
    let _ = table.optional_text("note");
    let (curve_share, longest_gap_h) = (curve_share(&table), longest_gap_h(&table));
    let draft = |(file, text)| DraftTable {
        curve_share,
        longest_gap_h,
        mark: table.mark(),
        name,
        datum,
        file,
        text,
        zone,
    };
    let draft = match table.source().attached(&file) {
        Some((file, Ok(text))) => Some(draft((file, text))),
        Some((file, Err(error))) => {
            table.report(
                "turns",
                format!("{} cannot be read: {error}", file.display()),
                "give the path of a CSV file, relative to this file",
            );
            None
        }
        None => None,
    };
    table.finish();
    draft
}
