//! Allocates the visits of a season to the pictures that are wanted.

use std::process::ExitCode;

use clap::Parser;
use jiff::civil::Date;
use wrackline_plan::project::{Request, project};
use wrackline_show::project::write;

use crate::asked::{Destination, Source};
use crate::cli::{self, Failure};
use crate::reader::Reader;
use crate::selects::Selects;
use crate::words::ProjectFormat;

/// Tells for every wanted picture what the coming season can bring, and which visits to make for
/// them.
///
/// Without arguments it takes an invented demo, from today for 90 days.
#[derive(Parser)]
#[command(name = "project", version)]
#[command(mut_arg("log", |arg| arg.help(
    "Field log whose visits give the chances, and count; see `fieldlog`"
)))]
pub(crate) struct Arguments {
    #[command(flatten)]
    source: Source,
    /// First day, as YYYY-MM-DD; today when left out
    #[arg(long, value_name = "DATE", value_parser = cli::day)]
    from: Option<Date>,
    /// Number of days
    #[arg(long, value_name = "N", default_value_t = 90)]
    days: u32,
    /// Visits left to make; those that the scenario plans less those of this season in the log when
    /// left out
    #[arg(long, value_name = "N")]
    visits: Option<u32>,
    #[command(flatten)]
    selects: Selects,
    #[command(flatten)]
    reader: Reader,
    /// What to write
    #[arg(long, value_enum, default_value_t)]
    format: ProjectFormat,
    #[command(flatten)]
    destination: Destination,
}

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("project", |out| {
        let scenario = arguments.source.scenario()?;
        cli::warn("project", &scenario);
        let style = arguments.reader.style(arguments.source.is_demo());
        let told = arguments.source.experience(&scenario)?;
        let taken = arguments.selects.taken("project", &scenario)?;
        let request = Request {
            from: arguments.from.unwrap_or_else(|| cli::today(&scenario)),
            days: arguments.days,
            visits: arguments.visits,
            experience: told.as_ref(),
            taken: &taken,
        };
        let project = project(&scenario, request).map_err(Failure::input)?;
        arguments.source.tell_of_demo("project");
        let mut content = Vec::new();
        write(&project, arguments.format.into(), style, &mut content)?;
        arguments.destination.deliver(content, out)
    })
}
