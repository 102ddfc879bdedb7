//! Tables of light, moon and tide for many places at many instants.

use std::io::IsTerminal;
use std::path::Path;
use std::process::ExitCode;

use clap::Parser;
use indicatif::{ProgressBar, ProgressStyle};
use wrackline_files::target::Target;
use wrackline_plan::cautions;
use wrackline_table::told as show;
use wrackline_table::{self as table, Done, Error, Format, Output, Progress, Table, Written};

use crate::arguments::{Arguments, Command};
use crate::ended::Ended;
use crate::rows::rows;
use crate::words::SchemaFormat;
use wrackline_programs::cli;

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let ended = match &arguments.command {
        Some(Command::Schema { format }) => return print_schema(*format),
        Some(Command::Row(wanted)) => {
            return cli::run("visibility", |out| {
                rows(wanted, out).map_err(Ended::failure)
            });
        }
        None => whole_table(&arguments),
    };
    cli::end("visibility", ended.map_err(Ended::failure))
}

fn whole_table(arguments: &Arguments) -> Result<(), Ended> {
    let output = &arguments.output;
    let target = output.output.as_deref().map(Target::of).transpose();
    let target = target.map_err(|source| Error::Write {
        target: shown(output.output.as_deref()),
        finished: 0,
        groups: 0,
        kept: false,
        source,
    })?;
    let format = match (output.format, &target) {
        (Some(format), _) => format.into(),
        (None, Some(Target::File(_))) => by_its_name(output.output.as_deref())?,
        (None, _) => Format::Csv,
    };
    let to_terminal = output.output.is_none() && std::io::stdout().is_terminal();
    if to_terminal && !format.is_text() {
        return Err(Error::Option {
            option: "--format",
            what: "this format is not for a terminal".to_owned(),
            remedy: "give --output FILE, or send standard output on".to_owned(),
        }
        .into());
    }
    let mut request = arguments.request.read()?;
    request.group_rows = output.group_rows;
    let table = Table::new(request.spec()?)?;
    // Timings are JSON, to be read by programs: they stand alone.
    if arguments.request.places.is_none() && !output.timings {
        cli::tell_of_demo("visibility", arguments.request.scenario.as_deref());
    }
    let part = match output.part {
        Some((part, parts)) => table.split(parts)?.swap_remove(part - 1),
        None => table.whole(),
    };
    let threads = output.threads.map_or_else(
        || std::thread::available_parallelism().map_or(1, usize::from),
        usize::from,
    );
    let bar = bar(part.rows(), to_terminal);
    let mut progress = |now: Progress| {
        if bar.position() == 0 && now.rows_before > 0 {
            bar.set_position(now.rows_before);
            bar.reset_eta();
        }
        bar.set_position(now.rows);
        true
    };
    let mut stdout;
    let mut device;
    let to = match target {
        None => {
            stdout = std::io::stdout().lock();
            Output::Stream {
                name: shown(None),
                to: &mut stdout,
            }
        }
        Some(Target::Stream(path)) => {
            device = Target::open_stream(&path).map_err(|source| Error::Write {
                target: path.display().to_string(),
                finished: 0,
                groups: table.groups(),
                kept: false,
                source,
            })?;
            Output::Stream {
                name: path.display().to_string(),
                to: &mut device,
            }
        }
        Some(Target::File(path)) => Output::File {
            path,
            restart: output.restart,
        },
    };
    let done = table::write_part(&table, &part, format, threads, to, &mut progress);
    bar.finish_and_clear();
    let done = done?;
    if let (Done::Whole(written), true) = (done, output.timings) {
        eprintln!("{}", timings(&written, threads));
    }
    if std::io::stderr().is_terminal() {
        if let (Done::Whole(written), Some(path)) = (done, &output.output) {
            eprintln!(
                "{}: {} rows, {:.1} MB{}",
                path.display(),
                written.rows,
                written.bytes as f64 / 1e6,
                match written.rows_before {
                    0 => String::new(),
                    before => format!("; {before} rows were there from an earlier run"),
                }
            );
        }
        for caution in cautions::ALL {
            eprintln!("{caution}");
        }
    }
    Ok(())
}

/// What messages call an output.
fn shown(output: Option<&Path>) -> String {
    output.map_or_else(
        || "standard output".to_owned(),
        |path| path.display().to_string(),
    )
}

/// The format that the ending of a name stands for; nobody wants a table in a format that was
/// guessed.
fn by_its_name(output: Option<&Path>) -> Result<Format, Error> {
    output
        .and_then(Format::of_path)
        .ok_or_else(|| Error::Option {
            option: "--output",
            what: format!("what {} is to hold is not known", shown(output)),
            remedy:
                "end its name in .csv, .jsonl, .arrow, .arrows or .parquet, or say it with --format"
                    .to_owned(),
        })
}

/// Seconds of all threads, by what they were spent on.
fn timings(written: &Written, threads: usize) -> serde_json::Value {
    let costs = written.costs;
    serde_json::json!({
        "rows": written.rows - written.rows_before,
        "bytes": written.bytes,
        "threads": threads,
        "prepare_sky_s": costs.prepare_sky.as_secs_f64(),
        "sky_s": costs.sky.as_secs_f64(),
        "tide_s": costs.tide.as_secs_f64(),
        "rows_s": costs.rows.as_secs_f64(),
        "encode_s": costs.encode.as_secs_f64(),
        "write_s": costs.write.as_secs_f64(),
    })
}

/// A bar with an estimate where somebody can see it, and where it does not run into the table.
fn bar(rows: u64, to_terminal: bool) -> ProgressBar {
    if to_terminal || !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let style = "{bar:30} {human_pos} of {human_len} rows, {per_sec}, {eta} left";
    let bar = ProgressBar::new(rows);
    match ProgressStyle::with_template(style) {
        Ok(style) => bar.with_style(style),
        Err(_) => bar,
    }
}

fn print_schema(format: SchemaFormat) -> ExitCode {
    cli::run("visibility", |out| Ok(show::schema(format.into(), out)?))
}
