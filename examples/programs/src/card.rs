//! Writes the card of one outing: a page for paper and for a phone without signal.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Parser;
use jiff::civil::Date;
use wrackline_show::card::{Ask, card, page};

use crate::cli::{self, Failure};
use crate::files;
use crate::words::{Paper, Phase};

/// Writes the card of one outing as a single HTML page that needs no network: times, water, tide
/// and sun, a plan to scale, the frame of each kit, plan B.
///
/// Without arguments it takes an invented demo and the best of the coming 90 days.
#[derive(Parser)]
#[command(name = "card", version)]
pub(crate) struct Arguments {
    /// Scenario file (TOML); the invented demo when left out
    scenario: Option<PathBuf>,
    /// Day of the outing, as YYYY-MM-DD; the best of the coming 90 days when left out
    #[arg(long, value_name = "DATE")]
    date: Option<Date>,
    /// One seat only, by its id; the best one when left out
    #[arg(long, value_name = "ID")]
    seat: Option<String>,
    /// One subject only, by its id, or "all"; the project's own subject when left out
    #[arg(long, value_name = "ID")]
    subject: Option<String>,
    /// Kind of light, by its name in the scenario; the first one there when left out
    #[arg(long, value_name = "NAME")]
    light: Option<String>,
    /// On which part of the tide
    #[arg(long, value_enum, default_value_t)]
    tide: Phase,
    /// Field log whose visits keep distances and rest places; see `fieldlog`
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Time zone of dates and times (IANA name); the scenario's own when left out
    #[arg(long, value_name = "NAME")]
    zone: Option<String>,
    /// Sheet on which it is to be printed
    #[arg(long, value_enum, default_value_t)]
    paper: Paper,
    /// File to write, replaced whole; standard output when left out
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,
}

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("card", |out| {
        let scenario = cli::scenario_in(arguments.scenario.as_deref(), arguments.zone.as_deref())?;
        cli::warn("card", &scenario);
        let told = cli::experience(&scenario, arguments.log.as_deref())?;
        let ask = Ask {
            experience: told.as_ref(),
            date: arguments.date,
            today: cli::today(&scenario),
            seat: arguments.seat.as_deref(),
            subject: arguments.subject.as_deref(),
            light: arguments.light.as_deref(),
            phase: arguments.tide.into(),
        };
        let mut card = card(&scenario, ask).map_err(Failure::input)?;
        card.demo = arguments.scenario.is_none();
        cli::tell_of_demo("card", arguments.scenario.as_deref());
        let html = page(&card, arguments.paper.into());
        match &arguments.output {
            Some(path) => files::replace_file(path, html.as_bytes())?,
            None => out.extend_from_slice(html.as_bytes()),
        }
        Ok(())
    })
}
