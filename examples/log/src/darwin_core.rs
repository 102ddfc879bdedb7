//! Occurrences in Darwin Core, the standard by which museums and biological records centres
//! exchange what was seen where (Biodiversity Information Standards (TDWG), Darwin Core Quick
//! Reference Guide, <https://dwc.tdwg.org/terms/>).
//!
//! Visits that found nothing are occurrences with `occurrenceStatus` absent and their effort.
//! Visits called off are left out: nobody looked.

use std::collections::BTreeMap;
use std::io::Write;

use wrackline_plan::coarse::Grid;
use wrackline_plan::rfc4180;

use super::entry::Entry;
use super::outcome::Outcome;
use super::rows::Record;
use super::when::When;

/// A point on the map.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Latitude, degrees north.
    pub latitude_deg: f64,
    /// Longitude, degrees east.
    pub longitude_deg: f64,
}

/// How precisely places are given away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Precision {
    /// The centre of the grid cell that holds the place; locality, seat and notes are withheld.
    Grid(Grid),
    /// As the log has it.
    Exact,
}

impl Precision {
    /// Tenths of a degree, about 11 km by 7 km at 50 degrees of latitude: our choice.
    pub const DEFAULT: Precision = Precision::Grid(Grid::TENTHS);
}

/// What the log does not know about places and subjects.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Gazetteer {
    /// Place id to its name and coordinates.
    pub places: BTreeMap<String, (String, Point)>,
    /// Subject id to its common name.
    pub vernacular_names: BTreeMap<String, String>,
    /// Subject id to its scientific name, where the user gave one.
    pub scientific_names: BTreeMap<String, String>,
}

/// What the export could not say as well as the standard would like it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Gaps {
    /// Occurrences written.
    pub written: usize,
    /// Visits called off, left out.
    pub called_off: usize,
    /// Absences without the minutes watched, which say little to a reader.
    pub absent_without_effort: usize,
    /// Occurrences of a subject without a scientific name.
    pub unnamed: usize,
}

impl std::fmt::Display for Gaps {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        writeln!(
            f,
            "{} occurrences; {} visits called off left out.",
            self.written, self.called_off
        )?;
        if self.absent_without_effort > 0 {
            writeln!(
                f,
                "{} absences without the minutes watched: they say little to a reader.",
                self.absent_without_effort
            )?;
        }
        if self.unnamed > 0 {
            writeln!(
                f,
                "{} without a scientific name: give it with --scientific-name ID=NAME.",
                self.unnamed
            )?;
        }
        Ok(())
    }
}

/// The terms, in the order of the columns.
const TERMS: [&str; 24] = [
    "occurrenceID",
    "basisOfRecord",
    "eventDate",
    "scientificName",
    "vernacularName",
    "occurrenceStatus",
    "individualCount",
    "decimalLatitude",
    "decimalLongitude",
    "geodeticDatum",
    "coordinateUncertaintyInMeters",
    "coordinatePrecision",
    "dataGeneralizations",
    "informationWithheld",
    "locality",
    "samplingProtocol",
    "sampleSizeValue",
    "sampleSizeUnit",
    "samplingEffort",
    "behavior",
    "occurrenceRemarks",
    "eventRemarks",
    "fieldNotes",
    "eventID",
];

/// Writes the occurrences as CSV with Darwin Core terms for column names.
///
/// # Errors
/// What the writer says.
pub fn to_darwin_core(
    records: &[Record],
    gazetteer: &Gazetteer,
    precision: Precision,
    out: impl Write,
) -> std::io::Result<Gaps> {
    let mut writer = rfc4180::writer(out);
    writer.write_record(TERMS)?;
    let mut gaps = Gaps::default();
    for record in records {
        if record.entry.outcome.visited() {
            writer.write_record(occurrence(&record.entry, gazetteer, precision, &mut gaps))?;
            gaps.written += 1;
        } else {
            gaps.called_off += 1;
        }
    }
    writer.flush()?;
    Ok(gaps)
}

fn occurrence(
    entry: &Entry,
    gazetteer: &Gazetteer,
    precision: Precision,
    gaps: &mut Gaps,
) -> Vec<String> {
    let present = entry.outcome > Outcome::Absent;
    let scientific = gazetteer
        .scientific_names
        .get(&entry.subject)
        .cloned()
        .unwrap_or_default();
    gaps.unnamed += usize::from(scientific.is_empty());
    gaps.absent_without_effort += usize::from(!present && entry.minutes.is_none());
    let number = |value: Option<u32>| value.map(|n| n.to_string()).unwrap_or_default();
    let exact = precision == Precision::Exact;
    let place = gazetteer.places.get(&entry.place);
    let whereabouts = place.map(|(_, point)| match precision {
        Precision::Exact => [
            format!("{:.5}", point.latitude_deg),
            format!("{:.5}", point.longitude_deg),
            entry
                .distance_m
                .map(|d| format!("{:.0}", d.ceil()))
                .unwrap_or_default(),
            "0.00001".to_owned(),
        ],
        Precision::Grid(grid) => {
            let coarse = grid.coarsen(point.latitude_deg, point.longitude_deg);
            let digits = grid.decimals();
            [
                format!("{:.digits$}", coarse.latitude_deg),
                format!("{:.digits$}", coarse.longitude_deg),
                format!("{:.0}", coarse.uncertainty_m),
                grid.side_deg().to_string(),
            ]
        }
    });
    let [latitude, longitude, uncertainty, fineness] = whereabouts.unwrap_or_default();
    let (generalised, withheld) = match precision {
        Precision::Grid(grid) => (
            format!(
                "coordinates replaced by the centre of a {} degree grid cell",
                grid.side_deg()
            ),
            "exact place, seat and notes withheld for the animals' sake; ask the observer"
                .to_owned(),
        ),
        Precision::Exact => (String::new(), String::new()),
    };
    let datum = if latitude.is_empty() { "" } else { "EPSG:4326" };
    let unease = entry
        .unease
        .map(|sign| format!("sign of unease {sign} of 4"))
        .unwrap_or_default();
    let date = match entry.when {
        When::Day(day) => day.to_string(),
        When::At(at) => at.to_string(),
    };
    let kept = |text: Option<String>| {
        if exact {
            rfc4180::disarm(&text.unwrap_or_default()).into_owned()
        } else {
            String::new()
        }
    };
    let id = format!("fieldlog:{}", entry.id);
    vec![
        id.clone(),
        "HumanObservation".to_owned(),
        date,
        rfc4180::disarm(&scientific).into_owned(),
        rfc4180::disarm(
            gazetteer
                .vernacular_names
                .get(&entry.subject)
                .unwrap_or(&entry.subject),
        )
        .into_owned(),
        if present { "present" } else { "absent" }.to_owned(),
        number(entry.count.or((!present).then_some(0))),
        latitude,
        longitude,
        datum.to_owned(),
        uncertainty,
        fineness,
        generalised,
        withheld,
        kept(place.map(|(name, _)| name.clone())),
        "watch from one seat".to_owned(),
        number(entry.minutes),
        if entry.minutes.is_some() {
            "minute"
        } else {
            ""
        }
        .to_owned(),
        entry
            .minutes
            .map(|minutes| format!("{minutes} observer-minutes"))
            .unwrap_or_default(),
        unease,
        entry.outcome.to_string(),
        kept(entry.seat.as_ref().map(|seat| format!("seat {seat}"))),
        kept(entry.notes.clone()),
        id,
    ]
}
