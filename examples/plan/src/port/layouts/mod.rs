//! Published layouts of constants, found by their content: one file a layout.

mod columns;
mod noaa_json;
mod noaa_table;
mod ticon;

use std::path::Path;

use wrackline_tides::{Convention, Harmonic, LengthUnit, Port, PortSpec};

use super::convention::convention_words;
use super::form::{CsvExtras, PortFile};
use super::lags::{LAG_WORDS, Lags};
use super::told::Told;

/// A line as a layout has it.
struct Line {
    name: String,
    amplitude: f64,
    lag_deg: f64,
}

/// What a layout says of its lags.
enum Said {
    /// What they are counted against.
    Lags(Lags),
    /// That they are for the time of a zone, and not of which.
    SomeZone,
    Nothing,
}

/// What a layout holds, and what it says of it.
struct Sheet {
    name: Option<String>,
    lines: Vec<Line>,
    lags: Said,
    unit: Option<LengthUnit>,
    convention: Option<Convention>,
    /// Where the constants are from.
    source: String,
    /// What is to be read for the mean level and the datum.
    levels: &'static str,
}

/// Reads a text of JSON that is a published layout; `None` where it is none that is known here.
pub(super) fn of_json(
    name: &str,
    text: &str,
    extras: &CsvExtras,
) -> Option<Result<PortFile, String>> {
    noaa_json::is_it(text).then(|| port(name, noaa_json::read(name, text)?, extras))
}

/// Reads lines of text that are a published layout; `None` where they are none that is known here.
pub(super) fn of_lines(
    name: &str,
    text: &str,
    extras: &CsvExtras,
) -> Option<Result<PortFile, String>> {
    let text = text.trim_start_matches('\u{feff}');
    let sheet = if let Some(layout) = ticon::Layout::of(text) {
        ticon::read(name, text, &layout, extras.station.as_deref())
    } else if let Some(layout) = columns::Layout::of(text) {
        layout
            .and_then(|layout| columns::read(text, &layout))
            .map_err(|error| format!("{name}{error}"))
    } else if noaa_table::is_it(text) {
        noaa_table::read(name, text)
    } else {
        return None;
    };
    Some(sheet.and_then(|sheet| {
        let told = Told::of(name, text)?;
        let file = port(name, sheet, &told.onto(extras))?;
        Ok(PortFile {
            name: told.name.unwrap_or(file.name),
            record_days: told.record_days,
            ..file
        })
    }))
}

/// The port of a sheet, with what it does not say from the options.
fn port(file: &str, sheet: Sheet, extras: &CsvExtras) -> Result<PortFile, String> {
    let missing = |what: &str, option: &str| {
        format!("{file}: the constants do not say {what}: give {option}")
    };
    let levels = sheet.levels;
    let mean_level_m = extras.mean_level_m.ok_or_else(|| {
        missing(
            "the mean level above the datum",
            &format!("--mean-level, from {levels}"),
        )
    })?;
    let datum = extras
        .datum
        .clone()
        .ok_or_else(|| missing("what heights are above", &format!("--datum, from {levels}")))?;
    let convention = extras.convention.or(sheet.convention).ok_or_else(|| {
        let words = convention_words();
        missing(
            "whose convention they belong to",
            &format!("--convention: {words}"),
        )
    })?;
    let unit = match (sheet.unit, extras.amplitudes) {
        (Some(said), Some(told)) if said != told => {
            return Err(format!(
                "{file}: the file says the unit of its amplitudes itself, and another than \
                 --amplitudes: leave it out"
            ));
        }
        (Some(unit), _) | (None, Some(unit)) => unit,
        (None, None) => {
            return Err(missing(
                "the unit of their amplitudes",
                "--amplitudes m, cm or ft",
            ));
        }
    };
    let lags = lags(file, &sheet.lags, extras)?;
    let reference = lags.reference(extras.longitude_deg);
    let reference = reference.ok_or_else(|| missing("where the port lies", "--longitude"))?;
    let mut harmonics = Vec::new();
    let mut left_out = Vec::new();
    let mut unknown = Vec::new();
    for line in sheet.lines {
        let amplitude_m = line.amplitude * unit.metres();
        // Published lists are filled up with lines that were not found.
        if amplitude_m == 0.0 {
            continue;
        }
        if extras.leave_out.contains(&line.name) {
            left_out.push(format!("{} ({amplitude_m:.3} m)", line.name));
            continue;
        }
        let renamed = extras.rename.iter().find(|(from, _)| *from == line.name);
        let name = renamed.map_or(line.name.clone(), |(_, to)| to.clone());
        // A name that is not known is never guessed and never passed over.
        match convention.constituent(&name) {
            Ok(constituent) => harmonics.push(Harmonic {
                amplitude_m,
                phase_lag_deg: reference
                    .greenwich_deg(&constituent, line.lag_deg)
                    .map_err(|error| format!("{file}: {name}: {error}"))?,
                name,
            }),
            Err(error) => unknown.push(format!("{error}, of {amplitude_m:.3} m")),
        }
    }
    if !unknown.is_empty() {
        return Err(format!(
            "{file}: {}; say what each is with --rename THEIRS=OURS, or --leave-out NAME, which \
             takes its amplitude from every height",
            unknown.join("; ")
        ));
    }
    let port = Port::new(PortSpec {
        mean_level_m,
        harmonics: &harmonics,
        convention,
    })
    .map_err(|error| format!("{file}: {error}"))?;
    let stem = Path::new(file).file_stem();
    let stem = stem.map_or(file.to_owned(), |stem| stem.to_string_lossy().into_owned());
    Ok(PortFile {
        name: sheet.name.unwrap_or(stem),
        datum,
        source: Some(match left_out.as_slice() {
            [] => sheet.source,
            left_out => format!("{}, without {}", sheet.source, left_out.join(", ")),
        }),
        port,
        record_days: None,
        analysis: None,
    })
}

/// What the lags are counted against, by the file or by the option. Lags of a zone's time taken for
/// Greenwich's put every tide hours off, so that neither overrules the other.
fn lags(file: &str, said: &Said, extras: &CsvExtras) -> Result<Lags, String> {
    match (said, extras.lags) {
        (Said::Lags(said), Some(told)) if *said != told => Err(format!(
            "{file}: the file says itself what its lags are counted against, and not as --lags \
             does: leave it out"
        )),
        (Said::Lags(lags), _) => Ok(*lags),
        (Said::SomeZone, Some(lags @ Lags::Zone(_))) | (Said::Nothing, Some(lags)) => Ok(lags),
        (Said::SomeZone, _) => Err(format!(
            "{file}: its lags are for local time, and it does not say how far that is from UTC: \
             give the zone's standard time, such as --lags utc-8"
        )),
        (Said::Nothing, None) => Err(format!(
            "{file}: the constants do not say what their lags are counted against: give --lags: \
             {LAG_WORDS}"
        )),
    }
}

/// A number of a line.
fn number(text: &str) -> Option<f64> {
    text.trim().parse().ok().filter(|it: &f64| it.is_finite())
}
