//! Reading the tables in `tests/data/`.

use std::collections::BTreeMap;
use std::path::Path;

use jiff::Timestamp;
use wrackline_tides::{Convention, Harmonic, Port, PortSpec};

/// The rows of a table as maps from column name to text.
pub(crate) fn rows(file: &str) -> Vec<BTreeMap<String, String>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(file);
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .unwrap();
    reader.deserialize().map(|row| row.unwrap()).collect()
}

/// An instant printed without a zone, UTC.
pub(crate) fn utc(text: &str) -> Timestamp {
    let text = text.trim_end_matches('Z');
    let seconds = if text.len() == 16 { ":00" } else { "" };
    format!("{text}{seconds}Z").parse().unwrap()
}

pub(crate) fn number(row: &BTreeMap<String, String>, column: &str) -> f64 {
    row[column].parse().unwrap()
}

/// The smaller angle between two, degrees.
pub(crate) fn apart_deg(a: f64, b: f64) -> f64 {
    ((a - b + 540.0).rem_euclid(360.0) - 180.0).abs()
}

/// The constants of every station.
pub(crate) fn constants() -> BTreeMap<String, Vec<Harmonic>> {
    let mut stations: BTreeMap<String, Vec<Harmonic>> = BTreeMap::new();
    for row in rows("constants.csv") {
        stations
            .entry(row["station"].clone())
            .or_default()
            .push(Harmonic {
                name: row["constituent"].clone(),
                amplitude_m: number(&row, "amplitude_m"),
                phase_lag_deg: number(&row, "phase_lag_deg"),
            });
    }
    stations
}

/// The published datums of every station, metres above the station zero.
pub(crate) fn datums() -> BTreeMap<String, BTreeMap<String, f64>> {
    let mut stations: BTreeMap<String, BTreeMap<String, f64>> = BTreeMap::new();
    for row in rows("datums.csv") {
        let value = number(&row, "value");
        stations
            .entry(row["station"].clone())
            .or_default()
            .insert(row["datum"].clone(), value);
    }
    stations
}

pub(crate) fn port(harmonics: &[Harmonic], mean_level_m: f64, convention: Convention) -> Port {
    Port::new(PortSpec {
        mean_level_m,
        harmonics,
        convention,
    })
    .unwrap()
}

/// Maximum, 99th percentile and root mean square of a set of errors.
pub(crate) fn spread(mut errors: Vec<f64>) -> (f64, f64, f64) {
    assert!(!errors.is_empty());
    for error in &mut errors {
        *error = error.abs();
    }
    errors.sort_by(f64::total_cmp);
    let square: f64 = errors.iter().map(|error| error * error).sum();
    let rms = (square / errors.len() as f64).sqrt();
    (
        errors[errors.len() - 1],
        errors[(errors.len() - 1) * 99 / 100],
        rms,
    )
}
