//! Finds harmonic constants in readings of the water level, or in a table of high and low waters.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Parser;
use wrackline_plan::port::readings::{Found, demo, find, find_in_turns, inference, read};
use wrackline_plan::port::{PrintedSpec, is_a_table_of_turns, short_record};
use wrackline_show::harmonics::{picture, write};
use wrackline_tides::{AnalysisSpec, Convention, Selection};

use crate::cli::{self, Failure};
use crate::files;
use crate::words::{ConventionParser, HarmonicsFormat};

/// Harmonic constants from readings (CSV): amplitudes and lags with errors, a residual summary, a
/// picture.
///
/// The CSV has a column `at` and one of height_m, height_cm, height_mm, height_ft. A table of high
/// and low waters is told by its columns `day` and `time`, or `water`. Without a file it analyses
/// readings made from the invented demo port.
#[derive(Parser)]
#[command(name = "harmonics", version)]
pub(crate) struct Arguments {
    /// Readings, or high and low waters (CSV); readings made from the demo port when left out
    readings: Option<PathBuf>,
    /// Time zone of times without an offset (IANA name)
    #[arg(long, value_name = "NAME")]
    zone: Option<String>,
    /// Constituents to look for, separated by commas; by Rayleigh's criterion when left out
    #[arg(long, value_name = "NAMES", value_delimiter = ',')]
    constituents: Vec<String>,
    /// Turns over the record by which two constituents must part
    #[arg(
        long,
        value_name = "N",
        default_value_t = 1.0,
        conflicts_with = "constituents"
    )]
    rayleigh: f64,
    /// The convention the constants shall belong to
    #[arg(
        long,
        value_name = "WORD",
        value_parser = ConventionParser,
        default_value = "iho-instant"
    )]
    convention: Convention,
    /// A level that stands for a missing reading, as the file writes it (-9999); may be repeated
    #[arg(long, value_name = "LEVEL", allow_negative_numbers = true)]
    missing: Vec<f64>,
    /// Infer a constituent from another, as P1:K1:0.331:-1.2; may be repeated
    #[arg(long, value_name = "A:B:RATIO:DEG")]
    infer: Vec<String>,
    /// Let the mean level run up or down evenly
    #[arg(long)]
    trend: bool,
    /// Weigh down readings that are far off
    #[arg(long)]
    robust: bool,
    /// Make a port of a record of under 29 days all the same; it then carries a warning into every
    /// answer
    #[arg(long)]
    accept_short: bool,
    /// Name of the port
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
    /// The file holds high and low waters, whatever its columns are called
    #[arg(long, conflicts_with_all = ["missing", "robust"])]
    turns: bool,
    /// What the heights are above; as the file says, or the zero of the readings, when left out
    #[arg(long, value_name = "NAME")]
    datum: Option<String>,
    /// What to write
    #[arg(long, value_enum, default_value_t)]
    format: HarmonicsFormat,
    /// Write to a file, which is replaced whole, instead of the standard output
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Draw readings, fit and residual (SVG) into a file, which is replaced whole
    #[arg(long, value_name = "FILE")]
    picture: Option<PathBuf>,
}

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("harmonics", |out| {
        let spec = AnalysisSpec {
            selection: if arguments.constituents.is_empty() {
                Selection::Rayleigh(arguments.rayleigh)
            } else {
                Selection::Named(arguments.constituents.clone())
            },
            trend: arguments.trend,
            robust: arguments.robust,
            inferences: arguments
                .infer
                .iter()
                .map(|text| inference(text))
                .collect::<Result<_, _>>()
                .map_err(Failure::input)?,
            ..AnalysisSpec::new(arguments.convention)
        };
        let found = found(&arguments, spec)?;
        let makes_a_port = arguments.format != HarmonicsFormat::Text;
        if let (Some(short), true, false) = (
            short_record(found.record_days()),
            makes_a_port,
            arguments.accept_short,
        ) {
            return Err(Failure::input(format!(
                "{short}; give a longer record, or --accept-short for a port that says so in every \
                 answer"
            )));
        }
        let mut content = Vec::new();
        write(&found, arguments.format.into(), &mut content)?;
        if let Some(path) = &arguments.picture {
            files::replace_file(path, picture(&found).map_err(Failure::input)?.as_bytes())?;
        }
        match &arguments.output {
            Some(path) => files::replace_file(path, &content)?,
            None => out.extend(content),
        }
        Ok(())
    })
}

/// The constants in the file that was named, or in the demo's readings.
fn found(arguments: &Arguments, spec: AnalysisSpec) -> Result<Found, Failure> {
    let zone = arguments.zone.as_deref().map(cli::zone).transpose()?;
    let gauge = arguments
        .datum
        .as_deref()
        .unwrap_or("the zero of the readings");
    let Some(path) = &arguments.readings else {
        let name = arguments.name.as_deref();
        let name = name.unwrap_or("Oskerrow Water (invented readings)");
        let record = demo().map_err(Failure::input)?;
        return find(name, gauge, record, spec).map_err(Failure::input);
    };
    let shown = path.display().to_string();
    let text = cli::text(path)?;
    let stem = path.file_stem();
    let stem = stem.map_or(shown.clone(), |stem| stem.to_string_lossy().into_owned());
    let name = arguments.name.clone().unwrap_or(stem);
    if !arguments.turns && !is_a_table_of_turns(&text) {
        let record = read(&shown, &text, zone.as_ref(), &arguments.missing);
        let record = record.map_err(Failure::input)?;
        return find(&name, gauge, record, spec).map_err(Failure::input);
    }
    let (zone, zone_name) = match (zone, &arguments.zone) {
        (Some(zone), Some(name)) => (zone, name.as_str()),
        _ if heads_in_utc(&text) => (jiff::tz::TimeZone::UTC, "UTC"),
        _ => {
            return Err(Failure::input(format!(
                "{shown}: the zone of its times is not known; give it with --zone, such as \
                 --zone UTC"
            )));
        }
    };
    let table = PrintedSpec {
        // Gaps are no harm to a fit.
        longest_gap_h: f64::INFINITY,
        ..PrintedSpec::new(zone, zone_name)
    };
    let named = (name.as_str(), arguments.datum.as_deref());
    find_in_turns(&shown, &text, named, &table, spec).map_err(Failure::input)
}

/// Whether the times of a table are headed as those of UTC.
fn heads_in_utc(text: &str) -> bool {
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    lines
        .next()
        .is_some_and(|heads| heads.split(',').any(|head| head.trim() == "at_utc"))
}
