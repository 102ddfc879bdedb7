//! Tries seats all around a place, before a hide is built.

use std::process::ExitCode;

use clap::Parser;
use jiff::civil::Date;
use wrackline_plan::sweep::{Ask, sweep};
use wrackline_show::sweep::write;

use crate::asked::{Destination, Source, Wish};
use crate::cli::{self, Failure};
use crate::reader::Reader;
use crate::words::SweepFormat;

/// Tries seats all around a place where animals gather: how many tides or days of a season each
/// view has with a window.
///
/// Without arguments it takes an invented demo, from today for a year.
#[derive(Parser)]
#[command(name = "sweep", version)]
#[command(mut_arg("subject", |arg| arg.help("Subject, by its id; the project's own when left out")))]
#[command(mut_arg("zone", |arg| {
    arg.help("Time zone of dates (IANA name); the scenario's own when left out")
}))]
pub(crate) struct Arguments {
    /// Place, by its id; the first one with the subject when left out
    #[arg(long, value_name = "ID")]
    place: Option<String>,
    #[command(flatten)]
    wish: Wish,
    /// First day, as YYYY-MM-DD; today when left out
    #[arg(long, value_name = "DATE", value_parser = cli::day)]
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
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    reader: Reader,
    /// What to write
    #[arg(long, value_enum, default_value_t)]
    format: SweepFormat,
    #[command(flatten)]
    destination: Destination,
}

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("sweep", |out| {
        let scenario = arguments.source.scenario()?;
        cli::warn("sweep", &scenario);
        let style = arguments.reader.style(arguments.source.is_demo());
        let from = arguments.from.unwrap_or_else(|| cli::today(&scenario));
        let told = arguments.source.experience(&scenario)?;
        let ask = Ask {
            experience: told.as_ref(),
            from,
            days: arguments.days,
            place: arguments.place.as_deref(),
            subject: arguments.wish.subject.as_deref(),
            light: arguments.wish.light.as_deref(),
            phase: arguments.wish.tide.into(),
            step_deg: arguments.step,
            distances_m: &arguments.distances,
            like: arguments.like.as_deref(),
            on_foot: arguments.on_foot,
        };
        let sweep = sweep(&scenario, ask).map_err(Failure::input)?;
        arguments.source.tell_of_demo("sweep");
        let mut content = Vec::new();
        write(&sweep, arguments.format.into(), style, &mut content)?;
        arguments.destination.deliver(content, out)
    })
}
