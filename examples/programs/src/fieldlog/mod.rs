//! Keeps and questions the field log.

mod desk;
mod exchange;
mod kept;
mod learn;
mod options;
mod pictures;
mod rescue;

use std::process::ExitCode;

use clap::Parser;
use jiff::Timestamp;
use wrackline_log::join;

use self::desk::Desk;
pub(crate) use self::options::Arguments;
use self::options::Task;
use crate::cli;

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("fieldlog", |out| {
        let scenario = cli::scenario_in(arguments.scenario.as_deref(), arguments.zone.as_deref())?;
        cli::warn("fieldlog", &scenario);
        let desk = Desk {
            gate: join::gate(&scenario, Timestamp::now()),
            scenario: &scenario,
            path: &arguments.log,
        };
        match arguments.task {
            Task::Add(fields) => desk.add(fields.0, out),
            Task::Amend {
                entry,
                why,
                clear,
                fields,
            } => desk.amend(&entry, why.as_deref(), &clear, &fields.0, out),
            Task::Show {
                entry,
                place,
                subject,
            } => desk.show(entry.as_deref(), place.as_deref(), subject.as_deref(), out),
            Task::Import { file, format } => desk.import(&file, format, out),
            Task::Export(options) => desk.export(&options, out),
            Task::Photos(options) => desk.photos(&options, out),
            Task::Learn(options) => desk.learn(&options, out),
            Task::Review => desk.review(out),
            Task::Verify => desk.verify(out),
            Task::Salvage { into } => desk.salvage(&into, out),
            Task::Rejoin => desk.rejoin(out),
        }
    })
}
