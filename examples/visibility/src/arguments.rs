//! The flags of `visibility`, and the request that they make.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};
use jiff::SignedDuration;
use wrackline_table::{self as table, Request, Text, When};

use crate::ended::Ended;
use crate::words::{SchemaFormat, TableFormat};
use wrackline_programs::cli;

/// Writes a table with one row for each place at each instant: sun, light, moon, tide, and whether
/// the place is usable.
///
/// Without arguments it shows the seats of an invented demo today, as CSV. A table that goes to a
/// file appears under its name when it is whole; a run that was killed is taken up again by the
/// same command.
#[derive(Parser)]
#[command(name = "visibility", version, args_conflicts_with_subcommands = true)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Option<Command>,
    #[command(flatten)]
    pub(crate) request: RequestArguments,
    #[command(flatten)]
    pub(crate) output: OutputArguments,
}

#[derive(Subcommand)]
pub(crate) enum Command {
    /// Print the columns: name, type, unit, whether a row can be without it, meaning
    Schema {
        /// What to write
        #[arg(long, value_enum, default_value_t)]
        format: SchemaFormat,
    },
    /// Compute single rows by the functions for one instant, as JSON Lines that are not rounded: to
    /// check a table
    Row(Box<RowArguments>),
}

#[derive(Args)]
pub(crate) struct RowArguments {
    #[command(flatten)]
    pub(crate) request: RequestArguments,
    /// File with lines of a row of places, counted from 0, a comma and an instant; "-" for standard
    /// input
    #[arg(long, value_name = "FILE")]
    pub(crate) wanted: PathBuf,
}

#[derive(Args)]
pub(crate) struct RequestArguments {
    /// Places, as CSV or GeoJSON (a name ending in json), "-" for CSV from standard input; the
    /// seats of the scenario when left out
    #[arg(long, value_name = "FILE")]
    pub(crate) places: Option<PathBuf>,
    /// Harmonic constants of the ports that places name, as CSV: port, convention, constituent,
    /// amplitude_m, phase_lag_deg; the constituent Z0 is the mean level above the datum
    #[arg(long, value_name = "FILE", requires = "places")]
    ports: Option<PathBuf>,
    /// Port for places that name none
    #[arg(long, value_name = "NAME", requires = "places")]
    port: Option<String>,
    /// Scenario file (TOML) whose seats are the places; the invented demo when left out
    #[arg(long, value_name = "FILE", conflicts_with = "places")]
    pub(crate) scenario: Option<PathBuf>,
    /// The seats of one place of the scenario only, by its id
    #[arg(long, value_name = "ID", conflicts_with = "places")]
    place: Option<String>,
    /// The seats where this subject is found only, judged for it, by its id; every seat for the
    /// project's own when left out
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
    /// Angles between shadow line and view wanted at places with a bearing, as SMALLEST..LARGEST in
    /// degrees: 0 is front light
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
    /// Time zone of civil dates and local times (IANA name), where a place has none of its own; the
    /// scenario's, or UTC, when left out
    #[arg(long, value_name = "NAME")]
    zone: Option<String>,
    /// How near a turn counts as high or low water
    #[arg(long, value_name = "DURATION", default_value = "10m")]
    near_turn: SignedDuration,
}

#[derive(Args)]
pub(crate) struct OutputArguments {
    /// File to write; standard output when left out
    #[arg(long, short, value_name = "FILE")]
    pub(crate) output: Option<PathBuf>,
    /// Format; by the ending of the output (csv, jsonl, arrow, arrows, parquet), and CSV on
    /// standard output
    #[arg(long, value_enum)]
    pub(crate) format: Option<TableFormat>,
    /// Threads; one for each core when left out
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub(crate) threads: Option<u16>,
    /// Throw away an unfinished table of this name instead of going on with it
    #[arg(long, requires = "output")]
    pub(crate) restart: bool,
    /// Tell at the end where the time went, as JSON on standard error
    #[arg(long)]
    pub(crate) timings: bool,
    /// One part of the table, as the K-th of N: for jobs on many machines, each with an output of
    /// its own. Parts joined are the table
    #[arg(long, value_name = "K/N", value_parser = share)]
    pub(crate) part: Option<(usize, usize)>,
    /// Rows in a group: what is computed and written as one
    #[arg(long, value_name = "N", default_value_t = table::GROUP_ROWS)]
    pub(crate) group_rows: usize,
}

impl RequestArguments {
    /// The request, with the files read.
    pub(crate) fn read(&self) -> Result<Request, Ended> {
        let read = |path: &Option<PathBuf>, remedy: &str| {
            path.as_deref()
                .map(|path| Text::read(path, remedy))
                .transpose()
        };
        let ports = read(
            &self.ports,
            "give the path of a CSV file of harmonic constants",
        )?;
        let places = read(
            &self.places,
            "give the path of a CSV or GeoJSON file of places",
        )?;
        let scenario = match places {
            Some(_) => None,
            None => {
                let scenario = cli::scenario(self.scenario.as_deref())?;
                cli::warn("visibility", &scenario);
                Some(scenario)
            }
        };
        let told = match &scenario {
            Some(scenario) => cli::experience(scenario, self.log.as_deref())?,
            None => None,
        };
        let listed = read(
            &self.instants,
            "give the path of a file with one instant a line",
        )?;
        Ok(Request {
            places,
            ports,
            port: self.port.clone(),
            scenario,
            place: self.place.clone(),
            subject: self.subject.clone(),
            light: self.light.clone(),
            experience: told,
            sun_altitude_deg: self.sun_altitude,
            light_angle_deg: self.light_angle,
            when: match listed {
                Some(text) => When::Listed(text),
                None => When::Steps {
                    from: self.from.clone(),
                    to: self.to.clone(),
                    step: self.step,
                },
            },
            zone: self.zone.clone(),
            near_turn: self.near_turn,
            ..Request::default()
        })
    }
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

/// Reads a part such as 3/16.
fn share(text: &str) -> Result<(usize, usize), String> {
    let parsed = text.split_once('/').and_then(|(part, parts)| {
        let number = |text: &str| text.trim().parse::<usize>().ok();
        Some((number(part)?, number(parts)?))
    });
    parsed
        .filter(|(part, parts)| (1..=*parts).contains(part))
        .ok_or_else(|| "give the K-th of N parts as K/N, such as 3/16, K from 1 to N".to_owned())
}
