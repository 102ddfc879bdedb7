//! Tries seats all around a place, before a hide is built.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Parser;
use jiff::civil::Date;
use wrackline_plan::sweep::{Ask, sweep};
use wrackline_show::sweep::write;

use crate::cli::{self, Failure};
use crate::files;
use crate::reader::Reader;
use crate::words::{Phase, SweepFormat};

/// Tries seats all around a place where animals gather: how many tides or days of a season each
/// view has with a window.
///
/// Without arguments it takes an invented demo, from today for a year.
#[derive(Parser)]
#[command(name = "sweep", version)]
pub(crate) struct Arguments {
    /// Scenario file (TOML); the invented demo when left out
    scenario: Option<PathBuf>,
    /// Place, by its id; the first one with the subject when left out
    #[arg(long, value_name = "ID")]
    place: Option<String>,
    /// Subject, by its id; the project's own when left out
    #[arg(long, value_name = "ID")]
    subject: Option<String>,
    /// Kind of light, by its name in the scenario; the first one there when left out
    #[arg(long, value_name = "NAME")]
    light: Option<String>,
    /// On which part of the tide
    #[arg(long, value_enum, default_value_t)]
    tide: Phase,
    /// First day, as YYYY-MM-DD; today when left out
    #[arg(long, value_name = "DATE")]
    from: Option<Date>,
    /// Number of days
    #[arg(long, value_name = "N", default_value_t = 365)]
    days: u32,
    /// Degrees from one bearing to the next
    #[arg(long, value_name = "DEG", default_value_t = 10)]
    step: u32,
    /// Distance to the animals in metres, may be repeated; the stand-off distance when left out
    #[arg(long = "distance", value_name = "M")]
    distances: Vec<f64>,
    /// A seat whose ground, way in, minutes and terrain hold for all views; dry seats under a free
    /// sky when left out
    #[arg(long, value_name = "ID")]
    like: Option<String>,
    /// Sit in the open instead of in a hide: the stand-off distance on foot holds
    #[arg(long)]
    on_foot: bool,
    /// Field log whose visits keep distances and rest places; see `fieldlog`
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Time zone of dates (IANA name); the scenario's own when left out
    #[arg(long, value_name = "NAME")]
    zone: Option<String>,
    #[command(flatten)]
    reader: Reader,
    /// What to write
    #[arg(long, value_enum, default_value_t)]
    format: SweepFormat,
    /// File to write, replaced whole; standard output when left out
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,
}

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("sweep", |out| {
        let scenario = cli::scenario_in(arguments.scenario.as_deref(), arguments.zone.as_deref())?;
        cli::warn("sweep", &scenario);
        let style = arguments.reader.style(arguments.scenario.is_none());
        let from = arguments.from.unwrap_or_else(|| cli::today(&scenario));
        let told = cli::experience(&scenario, arguments.log.as_deref())?;
        let ask = Ask {
            experience: told.as_ref(),
            from,
            days: arguments.days,
            place: arguments.place.as_deref(),
            subject: arguments.subject.as_deref(),
            light: arguments.light.as_deref(),
            phase: arguments.tide.into(),
            step_deg: arguments.step,
            distances_m: &arguments.distances,
            like: arguments.like.as_deref(),
            on_foot: arguments.on_foot,
        };
        let sweep = sweep(&scenario, ask).map_err(Failure::input)?;
        cli::tell_of_demo("sweep", arguments.scenario.as_deref());
        match &arguments.output {
            Some(path) => {
                let mut content = Vec::new();
                write(&sweep, arguments.format.into(), style, &mut content)?;
                files::replace_file(path, &content)?;
            }
            None => write(&sweep, arguments.format.into(), style, out)?,
        }
        Ok(())
    })
}
