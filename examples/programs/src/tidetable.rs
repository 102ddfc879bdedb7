//! Prints a table of high and low waters for a port file.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Parser;
use jiff::Timestamp;
use jiff::civil::Date;
use wrackline_plan::port::{CsvExtras, DEMO, DEMO_NAME, LAG_WORDS, Lags, PortFile, UNITS, unit};
use wrackline_plan::scenario::{Tide, holds_a_port, port_of, read_one};
use wrackline_show::tidetable::{Request, table, table_of};

use crate::cli::{self, Failure};
use crate::files;
use crate::words::{ConventionParser, TideTableFormat};
use wrackline_tides::{Convention, LengthUnit};

/// High and low waters of some days at a port, with zone, datum and cautions.
///
/// Without a file it shows an invented demo port, from today for 7 days.
#[derive(Parser)]
#[command(name = "tidetable", version)]
pub(crate) struct Arguments {
    /// Port file (TOML or JSON), a scenario with a port, or constants (CSV, JSON, text) in a
    /// layout that is told by its content; the invented demo port when left out
    port: Option<PathBuf>,
    /// First day, as YYYY-MM-DD; today when left out
    #[arg(long, value_name = "DATE", value_parser = cli::day)]
    from: Option<Date>,
    /// Number of days
    #[arg(long, value_name = "N", default_value_t = 7)]
    days: u32,
    /// Time zone of days and times (IANA name)
    #[arg(long, value_name = "NAME", default_value = "UTC")]
    zone: String,
    /// What to write
    #[arg(long, value_enum, default_value_t)]
    format: TideTableFormat,
    /// Write to a file, which is replaced whole, instead of the standard output
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// For constants: mean level above the datum, metres
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    mean_level: Option<f64>,
    /// For constants: what heights are above
    #[arg(long, value_name = "NAME")]
    datum: Option<String>,
    /// For constants: the convention they belong to
    #[arg(long, value_name = "WORD", value_parser = ConventionParser)]
    convention: Option<Convention>,
    /// For lags κ: east longitude of the port, degrees
    #[arg(long, value_name = "DEG", allow_negative_numbers = true)]
    longitude: Option<f64>,
    /// For constants: what their lags are counted against, where the file does not say: G
    /// (Greenwich, UTC), utc+1 (the time of a zone), kappa (with --longitude)
    #[arg(long, value_name = "WORD", value_parser = lags)]
    lags: Option<Lags>,
    /// For constants: unit of their amplitudes, where the file does not say: m, cm or ft
    #[arg(long, value_name = "UNIT", value_parser = amplitudes)]
    amplitudes: Option<LengthUnit>,
    /// For a file of many gauges: which one
    #[arg(long, value_name = "NAME")]
    station: Option<String>,
    /// For published constants: what a constituent that the file spells its own way is called here,
    /// as THEIRS=OURS; may be repeated
    #[arg(long, value_name = "THEIRS=OURS", value_parser = renamed)]
    rename: Vec<(String, String)>,
    /// For published constants: a constituent to leave out; may be repeated
    #[arg(long, value_name = "NAME")]
    leave_out: Vec<String>,
}

fn renamed(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((theirs, ours)) if !theirs.is_empty() && !ours.is_empty() => {
            Ok((theirs.to_owned(), ours.to_owned()))
        }
        _ => Err("give two names, such as SA_X=SA".to_owned()),
    }
}

fn lags(word: &str) -> Result<Lags, String> {
    Lags::of(word).ok_or_else(|| format!("give {LAG_WORDS}"))
}

fn amplitudes(word: &str) -> Result<LengthUnit, String> {
    unit(word).ok_or_else(|| format!("give {}", UNITS.map(|(word, _)| word).join(", ")))
}

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("tidetable", |out| {
        let zone = cli::zone(&arguments.zone)?;
        let extras = CsvExtras {
            mean_level_m: arguments.mean_level,
            datum: arguments.datum,
            convention: arguments.convention,
            longitude_deg: arguments.longitude,
            lags: arguments.lags,
            amplitudes: arguments.amplitudes,
            station: arguments.station,
            rename: arguments.rename,
            leave_out: arguments.leave_out,
        };
        let file = match &arguments.port {
            Some(path) => port(path, &extras)?,
            None => Known::File(PortFile::parse(DEMO_NAME, DEMO).map_err(Failure::input)?),
        };
        let now = Timestamp::now();
        let request = Request {
            from: arguments
                .from
                .unwrap_or_else(|| now.to_zoned_datetime(zone.clone()).date()),
            days: arguments.days,
            zone,
            zone_name: arguments.zone,
        };
        let table = match &file {
            Known::File(file) => table(file, request),
            Known::Tide(tide) => table_of(tide, request),
        };
        let table = table.map_err(Failure::input)?;
        let mut content = Vec::new();
        table.write(arguments.format.into(), now, &mut content)?;
        match &arguments.output {
            Some(path) => files::replace_file(path, &content)?,
            None => out.extend(content),
        }
        Ok(())
    })
}

/// A port from a file of its own, or that of a scenario.
enum Known {
    File(PortFile),
    Tide(Tide),
}

fn port(path: &Path, extras: &CsvExtras) -> Result<Known, Failure> {
    let text = cli::text(path)?;
    let is_toml = path.extension().is_some_and(|ending| ending == "toml");
    if !is_toml || !holds_a_port(&text) {
        let file = PortFile::of_file(path, &text, extras);
        return file.map(Known::File).map_err(Failure::input);
    }
    // Read already: a pipe gives its text once.
    let load = |one: &Path| {
        if one == path {
            Ok(text.clone())
        } else {
            read_one(path, one)
        }
    };
    let shown = path.display();
    let tide = port_of(path, &load)?.ok_or_else(|| {
        Failure::input(format!("{shown}: has no [port]; add one, or name its file"))
    })?;
    Ok(Known::Tide(tide))
}
