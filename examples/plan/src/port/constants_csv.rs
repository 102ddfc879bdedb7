//! A CSV of constants: the columns that `wrackline_tides` reads, and before them what the constants
//! are of, in lines like `# mean_level_m: 4.4`.
//! Columns that tell how sure the constants are may stand beside them and are passed over.

use std::path::Path;

use wrackline_tides::{Port, PortSpec, constants_from_csv_by};

use super::form::{CsvExtras, PortFile};
use super::told::Told;

/// Columns that tell of a constant without being one.
const BESIDE: [&str; 6] = [
    "speed_deg_per_h",
    "amplitude_error_m",
    "lag_error_deg",
    "signal_to_noise",
    "inferred_from",
    "warnings",
];

/// Reads a port.
pub(super) fn read(name: &str, text: &str, extras: &CsvExtras) -> Result<PortFile, String> {
    let told = Told::of(name, text)?;
    let extras = &told.onto(extras);
    let missing = |what: &str, key: &str, option: &str| {
        format!(
            "{name}: the table of constants does not say {what}: give {option}, or a line \
             `# {key}: ...` before its columns"
        )
    };
    let mean_level_m = extras.mean_level_m.ok_or_else(|| {
        missing(
            "the mean level above the datum",
            "mean_level_m",
            "--mean-level",
        )
    })?;
    let datum = extras.datum.clone();
    let datum = datum.ok_or_else(|| missing("what heights are above", "datum", "--datum"))?;
    let convention = extras.convention.ok_or_else(|| {
        missing(
            "whose convention they belong to",
            "convention",
            "--convention",
        )
    })?;
    let longitude_deg = extras.longitude_deg;
    let harmonics = constants_from_csv_by(convention, &plain(text, extras), longitude_deg)
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
    Ok(PortFile {
        name: told.name.unwrap_or(stem),
        datum,
        source: match extras.leave_out.as_slice() {
            [] => told.source,
            names => {
                let from = told
                    .source
                    .map_or(String::new(), |source| format!("{source}, "));
                Some(format!("{from}without {}", names.join(", ")))
            }
        },
        port,
        record_days: told.record_days,
        analysis: None,
    })
}

/// The text without the columns beside the constants, with its names as they are known here and
/// without what is to be left out, line for line; as it is where it is no table.
fn plain(text: &str, extras: &CsvExtras) -> String {
    let mut kept: Option<Vec<usize>> = None;
    let mut out = String::with_capacity(text.len());
    for line in text.lines() {
        let row = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(line.as_bytes())
            .records()
            .next();
        let fields = match row {
            Some(Ok(row)) if !line.starts_with('#') => row,
            _ => {
                out.push_str(line);
                out.push('\n');
                continue;
            }
        };
        let heads = kept.get_or_insert_with(|| {
            let heads = fields.iter().enumerate();
            heads
                .filter(|(_, head)| !BESIDE.contains(&head.trim()))
                .map(|(column, _)| column)
                .collect()
        });
        if fields.iter().any(|field| field.contains(['"', '\n'])) {
            out.push_str(line);
        } else {
            let of_columns = heads.iter().filter_map(|column| fields.get(*column));
            let of_columns: Vec<&str> = of_columns
                .map(|field| {
                    let named = extras.rename.iter().find(|(from, _)| from == field.trim());
                    named.map_or(field, |(_, to)| to.as_str())
                })
                .collect();
            let name = of_columns.first().map_or("", |name| name.trim());
            // As a comment, so that each line keeps its number.
            if extras.leave_out.iter().any(|out| out == name) {
                out.push('#');
            }
            out.push_str(&of_columns.join(","));
        }
        out.push('\n');
    }
    out
}
