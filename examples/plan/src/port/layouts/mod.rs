//! Published layouts of constants, found by their content: one file a layout.

mod noaa_json;

use wrackline_tides::{Convention, Harmonic};

use super::form::{CsvExtras, PortFile};

/// A line as a layout has it, its lag against Greenwich.
struct Line {
    name: String,
    amplitude_m: f64,
    phase_lag_deg: f64,
}

/// Reads a text of JSON that is a published layout; `None` where it is none that is known here.
pub(super) fn of_json(
    name: &str,
    text: &str,
    extras: &CsvExtras,
) -> Option<Result<PortFile, String>> {
    noaa_json::is_it(text).then(|| noaa_json::read(name, text, extras))
}

/// The lines under the names that they are known by here, and what was left out as it was asked for,
/// with its amplitudes. A name that is not known is never guessed and never passed over.
fn known(
    file: &str,
    lines: Vec<Line>,
    convention: Convention,
    extras: &CsvExtras,
) -> Result<(Vec<Harmonic>, Option<String>), String> {
    let mut harmonics = Vec::new();
    let mut left_out = Vec::new();
    let mut unknown = Vec::new();
    for line in lines {
        // Published lists are filled up with lines that were not found.
        if line.amplitude_m == 0.0 {
            continue;
        }
        if extras.leave_out.contains(&line.name) {
            left_out.push(format!("{} ({:.3} m)", line.name, line.amplitude_m));
            continue;
        }
        let renamed = extras.rename.iter().find(|(from, _)| *from == line.name);
        let name = renamed.map_or(line.name.clone(), |(_, to)| to.clone());
        match convention.constituent(&name) {
            Ok(_) => harmonics.push(Harmonic {
                name,
                amplitude_m: line.amplitude_m,
                phase_lag_deg: line.phase_lag_deg,
            }),
            Err(error) => unknown.push(format!("{error}, of {:.3} m", line.amplitude_m)),
        }
    }
    if !unknown.is_empty() {
        return Err(format!(
            "{file}: {}; say what each is with --rename THEIRS=OURS, or --leave-out NAME, which \
             takes its amplitude from every height",
            unknown.join("; ")
        ));
    }
    let left_out = (!left_out.is_empty()).then(|| format!("without {}", left_out.join(", ")));
    Ok((harmonics, left_out))
}
