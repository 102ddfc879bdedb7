//! Tables of light, moon and tide for many places at many instants.

use std::io::{ErrorKind, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand};
use indicatif::{ProgressBar, ProgressStyle};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp, ToSpan};
use wrackline_plan::cautions;
use wrackline_plan::scenario::Scenario;
use wrackline_plan::time::read_instant;
use wrackline_show::visibility as show;
use wrackline_table::{
    self as table, Done, Error, Format, Instants, LightWish, NamedPort, Output, Progress,
    SeatChoice, Table, TableSpec, Written,
};

use crate::cli;
use crate::words::{SchemaFormat, TableFormat};

/// Writes a table with one row for each place at each instant: sun, light, moon, tide, and whether the place is usable.
///
/// Without arguments it shows the seats of an invented demo today, as CSV. A table that goes to a file appears under its name when
/// it is whole; a run that was killed is taken up again by the same command.
#[derive(Parser)]
#[command(name = "visibility", version, args_conflicts_with_subcommands = true)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    request: RequestArguments,
    #[command(flatten)]
    output: OutputArguments,
}

#[derive(Subcommand)]
enum Command {
    /// Print the columns: name, type, unit, whether a row can be without it, meaning
    Schema {
        /// What to write
        #[arg(long, value_enum, default_value_t)]
        format: SchemaFormat,
    },
    /// Compute single rows by the functions for one instant, as JSON Lines that are not rounded: to check a table
    Row(Box<RowArguments>),
}

#[derive(Args)]
struct RowArguments {
    #[command(flatten)]
    request: RequestArguments,
    /// File with lines of a row of places, counted from 0, a comma and an instant; "-" for standard input
    #[arg(long, value_name = "FILE")]
    wanted: PathBuf,
}

#[derive(Args)]
struct RequestArguments {
    /// Places, as CSV or GeoJSON (a name ending in json), "-" for CSV from standard input; the seats of the scenario when left out
    #[arg(long, value_name = "FILE")]
    places: Option<PathBuf>,
    /// Harmonic constants of the ports that places name, as CSV: port, convention, constituent, amplitude_m, phase_lag_deg;
    /// the constituent Z0 is the mean level above the datum
    #[arg(long, value_name = "FILE", requires = "places")]
    ports: Option<PathBuf>,
    /// Port for places that name none
    #[arg(long, value_name = "NAME", requires = "places")]
    port: Option<String>,
    /// Scenario file (TOML) whose seats are the places; the invented demo when left out
    #[arg(long, value_name = "FILE", conflicts_with = "places")]
    scenario: Option<PathBuf>,
    /// The seats of one place of the scenario only, by its id
    #[arg(long, value_name = "ID", conflicts_with = "places")]
    place: Option<String>,
    /// The seats where this subject is found only, judged for it, by its id; every seat for the project's own when left out
    #[arg(long, value_name = "ID", conflicts_with = "places")]
    subject: Option<String>,
    /// Light that the seats are judged for, by its name; the scenario's first when left out
    #[arg(long, value_name = "NAME", conflicts_with = "places")]
    light: Option<String>,
    /// Field log whose visits keep distances and rest places; see `fieldlog`
    #[arg(long, value_name = "FILE", conflicts_with = "places")]
    log: Option<PathBuf>,
    /// Altitudes of the sun wanted at places of a file, as LOWEST..HIGHEST in degrees
    #[arg(long, value_name = "DEG..DEG", requires = "places", value_parser = band(-90.0, 90.0))]
    sun_altitude: Option<[f64; 2]>,
    /// Angles between shadow line and view wanted at places with a bearing, as SMALLEST..LARGEST in degrees: 0 is front light
    #[arg(long, value_name = "DEG..DEG", requires = "places", value_parser = band(0.0, 180.0))]
    light_angle: Option<[f64; 2]>,
    /// First instant: RFC 3339, or a date or date and time in the zone; today when left out
    #[arg(
        long,
        value_name = "INSTANT",
        conflicts_with = "instants",
        allow_hyphen_values = true
    )]
    from: Option<String>,
    /// End of the instants, itself left out; a day after the first when left out
    #[arg(
        long,
        value_name = "INSTANT",
        conflicts_with = "instants",
        allow_hyphen_values = true
    )]
    to: Option<String>,
    /// From one instant to the next, such as 10m or 30s
    #[arg(
        long,
        value_name = "DURATION",
        conflicts_with = "instants",
        default_value = "10m"
    )]
    step: SignedDuration,
    /// File with one instant a line, in rising order, instead of equal steps
    #[arg(long, value_name = "FILE")]
    instants: Option<PathBuf>,
    /// Time zone of civil dates and local times (IANA name), where a place has none of its own; the scenario's, or UTC, when left out
    #[arg(long, value_name = "NAME")]
    zone: Option<String>,
    /// How near a turn counts as high or low water
    #[arg(long, value_name = "DURATION", default_value = "10m")]
    near_turn: SignedDuration,
}

#[derive(Args)]
struct OutputArguments {
    /// File to write; standard output when left out
    #[arg(long, short, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Format; by the ending of the output (csv, jsonl, arrow, arrows, parquet), else CSV
    #[arg(long, value_enum)]
    format: Option<TableFormat>,
    /// Threads; one for each core when left out
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    threads: Option<u16>,
    /// Throw away an unfinished table of this name instead of going on with it
    #[arg(long, requires = "output")]
    restart: bool,
    /// Tell at the end where the time went, as JSON on standard error
    #[arg(long)]
    timings: bool,
    /// Rows in a group: what is computed and written as one
    #[arg(long, value_name = "N", default_value_t = table::GROUP_ROWS)]
    group_rows: usize,
}

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let ended = match &arguments.command {
        Some(Command::Schema { format }) => return print_schema(*format),
        Some(Command::Row(wanted)) => rows(wanted),
        None => whole_table(&arguments),
    };
    match ended {
        Ok(code) => code,
        // A reader that closes the pipe early has what it wants.
        Err(Error::Write { source, .. }) if source.kind() == ErrorKind::BrokenPipe => {
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("visibility: {error}");
            ExitCode::from(if error.is_input() {
                cli::BAD_INPUT
            } else {
                cli::CANNOT_WRITE
            })
        }
    }
}

fn whole_table(arguments: &Arguments) -> Result<ExitCode, Error> {
    let output = &arguments.output;
    let format = output
        .format
        .map(Format::from)
        .or_else(|| Format::of_path(output.output.as_deref()?))
        .unwrap_or(Format::Csv);
    let to_terminal = output.output.is_none() && std::io::stdout().is_terminal();
    if to_terminal && !format.is_text() {
        return Err(Error::Option {
            option: "--format",
            what: "this format is not for a terminal".to_owned(),
            remedy: "give --output FILE, or send standard output on".to_owned(),
        });
    }
    let mut spec = request(&arguments.request)?;
    spec.group_rows = output.group_rows;
    let table = Table::new(spec)?;
    // Timings are JSON, to be read by programs: they stand alone.
    if arguments.request.places.is_none() && !output.timings {
        cli::tell_of_demo("visibility", arguments.request.scenario.as_deref());
    }
    let threads = output.threads.map_or_else(
        || std::thread::available_parallelism().map_or(1, usize::from),
        usize::from,
    );
    let bar = bar(table.rows(), to_terminal);
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
    let to = match &output.output {
        None => {
            stdout = std::io::stdout().lock();
            Output::Stream {
                name: "standard output".to_owned(),
                to: &mut stdout,
            }
        }
        // A pipe or a device cannot be replaced by a finished file.
        Some(path) if path.exists() && !path.is_file() => {
            device = std::fs::OpenOptions::new()
                .write(true)
                .open(path)
                .map_err(|source| Error::Write {
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
        Some(path) => Output::File {
            path: path.clone(),
            restart: output.restart,
        },
    };
    let done = table::write(&table, format, threads, to, &mut progress);
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
    Ok(ExitCode::SUCCESS)
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

/// The request, from files and options.
fn request(arguments: &RequestArguments) -> Result<TableSpec, Error> {
    let zone_named = |name: &str| {
        TimeZone::get(name).map_err(|_| Error::Option {
            option: "--zone",
            what: format!("\"{name}\" is not a known time zone"),
            remedy: "give a name of the IANA time zone database, such as Europe/London or UTC"
                .to_owned(),
        })
    };
    let given = arguments.zone.as_deref();
    let given_zone = given.map(zone_named).transpose()?;
    let (places, scenario, experience, zone) = if let Some(path) = &arguments.places {
        let ports = arguments.ports.as_deref().map(table::read_ports);
        let ports: Vec<NamedPort> = ports.transpose()?.unwrap_or_default();
        let name = given.unwrap_or("UTC");
        let places = table::read_places(path, ports, arguments.port.as_deref(), name)?;
        (places, None, None, given_zone.unwrap_or(TimeZone::UTC))
    } else {
        let mut scenario: Scenario = cli::scenario(arguments.scenario.as_deref())?;
        cli::warn("visibility", &scenario);
        if let (Some(name), Some(zone)) = (given, given_zone) {
            scenario = scenario.in_zone(zone, name);
        }
        let choice = SeatChoice {
            place: arguments.place.as_deref(),
            subject: arguments.subject.as_deref(),
            light: arguments.light.as_deref(),
        };
        let places = table::seats_of(&scenario, choice)?;
        let told = cli::experience(&scenario, arguments.log.as_deref());
        let told = told.map_err(|failure| Error::Option {
            option: "--log",
            what: failure.to_string(),
            remedy: "give a file that `fieldlog` keeps".to_owned(),
        })?;
        let zone = scenario.zone().clone();
        (places, Some(scenario), told, zone)
    };
    let instants = match &arguments.instants {
        Some(path) => table::read_instants(path, &zone)?,
        None => range(arguments, &zone)?,
    };
    let mut spec = TableSpec::new(places, instants);
    spec.scenario = scenario;
    spec.experience = experience;
    spec.near_turn = arguments.near_turn;
    if arguments.sun_altitude.is_some() || arguments.light_angle.is_some() {
        spec.light = Some(LightWish {
            altitude_deg: arguments.sun_altitude.unwrap_or([-90.0, 90.0]),
            angle_deg: arguments.light_angle.unwrap_or([0.0, 180.0]),
        });
    }
    Ok(spec)
}

fn range(arguments: &RequestArguments, zone: &TimeZone) -> Result<Instants, Error> {
    let instant = |option: &'static str, text: &str| {
        read_instant(text, Some(zone)).map_err(|error| Error::Option {
            option,
            what: error.what(),
            remedy: error.remedy(),
        })
    };
    let midnight = |days: i64| {
        let today = Timestamp::now().to_zoned_datetime(zone.clone()).date();
        let date = today.checked_add(days.days()).unwrap_or(today);
        zone.to_timestamp(date.into())
            .unwrap_or_else(|_| Timestamp::now())
    };
    let from = match &arguments.from {
        Some(text) => instant("--from", text)?,
        None => midnight(0),
    };
    let to = match (&arguments.to, &arguments.from) {
        (Some(text), _) => instant("--to", text)?,
        (None, None) => midnight(1),
        (None, Some(_)) => from
            .saturating_add(SignedDuration::from_hours(24))
            .unwrap_or(from),
    };
    Instants::regular(from..to, arguments.step)
}

/// Reads a band such as 0..12.
fn band(lowest: f64, highest: f64) -> impl Fn(&str) -> Result<[f64; 2], String> + Clone {
    move |text| {
        let wanted = || format!("give two numbers from {lowest} to {highest}, such as 0..12");
        let (low, high) = text.split_once("..").ok_or_else(wanted)?;
        let number = |text: &str| {
            let value = text.trim().parse::<f64>().ok();
            value.filter(|value| (lowest..=highest).contains(value))
        };
        match (number(low), number(high)) {
            (Some(low), Some(high)) if low <= high => Ok([low, high]),
            _ => Err(wanted()),
        }
    }
}

fn print_schema(format: SchemaFormat) -> ExitCode {
    cli::run("visibility", |out| Ok(show::schema(format.into(), out)?))
}

fn rows(arguments: &RowArguments) -> Result<ExitCode, Error> {
    let table = Table::new(request(&arguments.request)?)?;
    let wanted = wanted(&arguments.wanted)?;
    let mut lines = Vec::with_capacity(wanted.len());
    for (place, at) in wanted {
        lines.push(show::row(&table, place, &table.row(place, at)?));
    }
    Ok(cli::run("visibility", |out| {
        for line in lines {
            writeln!(out, "{line}")?;
        }
        Ok(())
    }))
}

fn wanted(path: &Path) -> Result<Vec<(usize, Timestamp)>, Error> {
    let fault = |what: String| Error::Option {
        option: "--wanted",
        what,
        remedy: "give a file with lines like 0,2026-12-29T09:30:00Z".to_owned(),
    };
    let text = if path.as_os_str() == "-" {
        std::io::read_to_string(std::io::stdin())
    } else {
        std::fs::read_to_string(path)
    };
    let text = text.map_err(|error| fault(format!("{}: {error}", path.display())))?;
    text.lines()
        .enumerate()
        .map(|(index, line)| {
            let parsed = line.split_once(',').and_then(|(place, at)| {
                let at = read_instant(at, Some(&TimeZone::UTC)).ok()?;
                Some((place.trim().parse().ok()?, at))
            });
            parsed.ok_or_else(|| {
                fault(format!(
                    "{}:{}: cannot be read: \"{line}\"",
                    path.display(),
                    index + 1
                ))
            })
        })
        .collect()
}
