//! A port as it stands in a file of its own: TOML, JSON, or a CSV of constants.

use std::path::Path;

use serde::{Deserialize, Serialize};
use wrackline_tides::{Convention, LengthUnit, Port};

use super::lags::Lags;
use super::{constants_csv, layouts};

/// The demo port, compiled in.
pub const DEMO: &str = include_str!("../../../demo/oskerrow_port.toml");
/// What the demo port is called where a file would be named.
pub const DEMO_NAME: &str = "demo/oskerrow_port.toml (built in)";

/// A port as it stands in a file: what the constants are of, what heights are above, and the
/// constants.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PortFile {
    /// Name of the port.
    pub name: String,
    /// What heights are above.
    pub datum: String,
    /// Where the constants come from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
    /// The constants.
    pub port: Port,
    /// Days of readings that the constants were found in, where that is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub record_days: Option<f64>,
    /// How the constants were found, if by the program `harmonics`; not needed for a table.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub analysis: Option<serde_json::Value>,
}

/// Days of readings below which springs and neaps cannot be told apart: M2 and S2 part by a turn in
/// 14.77 days, and half of what is then laid to the one may belong to the other; offices ask for 29
/// (the lunar month, common practice).
pub const SHORT_RECORD_DAYS: f64 = 29.0;

/// What to beware of where constants come from a record too short to plan by.
pub fn short_record(record_days: Option<f64>) -> Option<String> {
    let days = record_days.filter(|days| *days < SHORT_RECORD_DAYS)?;
    Some(format!(
        "the constants come from {days:.1} days of readings; under {SHORT_RECORD_DAYS:.0} days \
         springs and neaps cannot be told apart, and heights may be off by decimetres and more"
    ))
}

/// What a table of constants does not say: options stand in for it.
#[derive(Clone, Debug, Default)]
pub struct CsvExtras {
    /// Mean level above the datum, metres.
    pub mean_level_m: Option<f64>,
    /// What heights are above.
    pub datum: Option<String>,
    /// Convention of the constants.
    pub convention: Option<Convention>,
    /// East longitude, for lags κ.
    pub longitude_deg: Option<f64>,
    /// What the lags are counted against.
    pub lags: Option<Lags>,
    /// Unit of the amplitudes.
    pub amplitudes: Option<LengthUnit>,
    /// Which station of several.
    pub station: Option<String>,
    /// Names that the file has its own words for, with what they are known by here.
    pub rename: Vec<(String, String)>,
    /// Constituents of the file to be left out.
    pub leave_out: Vec<String>,
}

impl PortFile {
    /// Reads a port from a file's text, in the format that the ending of its name stands for: TOML,
    /// JSON, CSV or lines of text with their extras; published layouts are told by their content.
    ///
    /// # Errors
    /// A message that names file, line, value and remedy.
    pub fn of_file(path: &Path, text: &str, extras: &CsvExtras) -> Result<Self, String> {
        let name = path.display().to_string();
        match path.extension().and_then(|ending| ending.to_str()) {
            Some("json") => layouts::of_json(&name, text, extras).unwrap_or_else(|| {
                serde_json::from_str(text).map_err(|error| format!("{name}: {error}"))
            }),
            Some("csv") => layouts::of_lines(&name, text, extras)
                .unwrap_or_else(|| constants_csv::read(&name, text, extras)),
            Some("txt" | "tsv" | "tab") => {
                layouts::of_lines(&name, text, extras).unwrap_or_else(|| {
                    Err(format!(
                        "{name}: it is no layout of constants that is known here: give a table \
                         with the heads name, amplitude_m and lag_g_deg as CSV"
                    ))
                })
            }
            Some("toml") => Self::parse(&name, text),
            _ => Err(format!(
                "{name}: the name must end in .toml, .json, .csv or .txt, so that the format \
                 is known"
            )),
        }
    }

    /// Reads a port from TOML.
    ///
    /// # Errors
    /// A message that names file, line, value and remedy.
    pub fn parse(name: &str, text: &str) -> Result<Self, String> {
        toml::from_str(text).map_err(|error: toml::de::Error| {
            let line = error
                .span()
                .map(|span| text.get(..span.start).unwrap_or(text).matches('\n').count() + 1);
            let place = line.map_or(String::new(), |line| format!(" line {line}:"));
            format!("{name}:{place} {}", error.message())
        })
    }

    /// The same as the `[port]` of a scenario; `None` where a reduction of node factors, which a
    /// scenario has no word for, belongs to the constants.
    pub fn as_table(&self) -> Option<String> {
        // A text of JSON is a basic string of TOML.
        let text = |text: &str| serde_json::Value::from(text).to_string();
        let form = serde_json::to_value(&self.port).ok()?;
        let reductions = form.get("reductions").and_then(|it| it.as_array());
        if reductions.is_some_and(|reductions| !reductions.is_empty()) {
            return None;
        }
        let mut out = format!(
            "[port]\nname = {}\ndatum = {}\nmean_level_m = {:?}\nconvention = {}\n",
            text(&self.name),
            text(&self.datum),
            self.port.mean_level_m(),
            text(&self.port.convention().to_string())
        );
        if let Some(days) = self.record_days {
            out += &format!("record_days = {days:?}\n");
        }
        out += "constituents = [\n";
        for (_, harmonic) in self.port.harmonics() {
            out += &format!(
                "  {{ name = {}, amplitude_m = {:?}, phase_lag_deg = {:?} }},\n",
                text(&harmonic.name),
                harmonic.amplitude_m,
                harmonic.phase_lag_deg
            );
        }
        Some(out + "]\n")
    }
}
