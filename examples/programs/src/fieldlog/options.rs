//! What can be asked of the program.

use std::path::PathBuf;

use clap::error::ErrorKind;
use clap::{
    Arg, ArgAction, ArgMatches, Args, Command, FromArgMatches, Parser, Subcommand, ValueEnum,
};
use jiff::SignedDuration;
use jiff::civil::Date;
use wrackline_log::learning::Fading;
use wrackline_log::{Draft, FIELDS};

/// Keeps the field log: what happened on each visit, what the tide and the light were, and what
/// that teaches.
///
/// The log is one file, made on first use. Entries are never overwritten: an amendment keeps what
/// was there before.
#[derive(Parser)]
#[command(name = "fieldlog", version)]
pub(crate) struct Arguments {
    /// The log's file
    #[arg(
        long,
        global = true,
        value_name = "FILE",
        default_value = "fieldlog.sqlite"
    )]
    pub(crate) log: PathBuf,
    /// Scenario file (TOML) with the places, seats and subjects; the invented demo when left out
    #[arg(long, global = true, value_name = "FILE")]
    pub(crate) scenario: Option<PathBuf>,
    /// Time zone of times written or shown without an offset (IANA name); the scenario's own when
    /// left out
    #[arg(long, global = true, value_name = "NAME")]
    pub(crate) zone: Option<String>,
    #[command(subcommand)]
    pub(crate) task: Task,
}

#[derive(Subcommand)]
pub(crate) enum Task {
    /// Adds an entry, from the options; without any, asks for it field by field
    Add(FieldOptions),
    /// Changes fields of an entry; what was there before stays in its history
    Amend {
        /// The entry
        entry: String,
        /// Why, for the history
        #[arg(long, value_name = "TEXT")]
        why: Option<String>,
        /// Fields to empty
        #[arg(long, value_name = "FIELD")]
        clear: Vec<String>,
        #[command(flatten)]
        fields: FieldOptions,
    },
    /// Shows all entries, or all about one, its history included
    Show {
        /// The entry; all of them when left out
        entry: Option<String>,
        /// One place only, by its id
        #[arg(long, value_name = "ID")]
        place: Option<String>,
        /// One subject only, by its id
        #[arg(long, value_name = "ID")]
        subject: Option<String>,
    },
    /// Takes entries from a file, all of them or none
    Import {
        /// The file; - for standard input
        file: PathBuf,
        /// What it holds; by the ending of its name when left out
        #[arg(long, value_enum)]
        format: Option<Table>,
    },
    /// Writes the log for other programs
    Export(ExportOptions),
    /// Reads capture times and ratings from a folder of pictures, and says what tide and light they
    /// had
    Photos(PhotoOptions),
    /// Says what the log teaches: chances, levels, the water's residuals, distances to keep
    Learn(LearnOptions),
    /// Holds past visits against the rules as they stand
    Review,
    /// Holds every revision against what was written, and says what is damaged
    Verify,
    /// Makes a new log of all that is whole in a damaged one
    Salvage {
        /// The new log; nothing may be there yet
        #[arg(long, value_name = "FILE")]
        into: PathBuf,
    },
    /// Works out the conditions of all entries anew, after the scenario has changed
    Rejoin,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Table {
    /// Comma-separated values (RFC 4180), the first line naming the columns
    Csv,
    /// One JSON object a line
    Jsonl,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum ExportFormat {
    /// Comma-separated values (RFC 4180)
    Csv,
    /// One JSON object a line
    Jsonl,
    /// Occurrences in Darwin Core terms, as CSV; places coarsened
    DarwinCore,
}

#[derive(Args)]
pub(crate) struct ExportOptions {
    /// What to write
    #[arg(long, value_enum, default_value = "csv")]
    pub(crate) format: ExportFormat,
    /// Where to; standard output when left out
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// Also write the conditions that were worked out (CSV and JSON lines)
    #[arg(long)]
    pub(crate) conditions: bool,
    /// Side of the grid to which places are coarsened, degrees (Darwin Core)
    #[arg(long, value_name = "DEGREES", default_value_t = 0.1)]
    pub(crate) grid: f64,
    /// Give exact places, seats and notes away (Darwin Core)
    #[arg(long)]
    pub(crate) exact: bool,
    /// Scientific name of a subject, as ID=NAME; can be repeated (Darwin Core)
    #[arg(long, value_name = "ID=NAME")]
    pub(crate) scientific_name: Vec<String>,
}

#[derive(Args)]
pub(crate) struct PhotoOptions {
    /// The folder; folders within it are looked at too
    pub(crate) folder: PathBuf,
    /// The seat the pictures were taken from
    #[arg(long, value_name = "ID")]
    pub(crate) seat: Option<String>,
    /// The place, where there was no seat
    #[arg(long, value_name = "ID")]
    pub(crate) place: Option<String>,
    /// How far the camera's clock was ahead of the true time, like 3m12s, or -45s when it was
    /// behind
    #[arg(
        long,
        value_name = "TIME",
        allow_hyphen_values = true,
        conflicts_with = "reference"
    )]
    pub(crate) camera_ahead: Option<SignedDuration>,
    /// The offset from UTC that the camera was set to, like +01:00, where it wrote none itself
    #[arg(long, value_name = "OFFSET", allow_hyphen_values = true)]
    pub(crate) camera_offset: Option<String>,
    /// A picture whose true time is known, to find out how far the clock was ahead
    #[arg(long, value_name = "FILE", requires = "taken_at")]
    pub(crate) reference: Option<PathBuf>,
    /// The true time of that picture, like 2026-01-24T08:52:10Z, or in the place's own time
    #[arg(long, value_name = "TIME", requires = "reference")]
    pub(crate) taken_at: Option<String>,
    /// A longer pause begins a new visit; a roost at rest can go an hour without a picture, two
    /// tides are twelve apart
    #[arg(long, value_name = "TIME", default_value = "3h")]
    pub(crate) pause: SignedDuration,
    /// Rating from which a picture counts as a select
    #[arg(
        long,
        value_name = "1-5",
        default_value_t = 4,
        value_parser = clap::value_parser!(i8).range(1..=5)
    )]
    pub(crate) select_from: i8,
    /// Add an entry for each visit that the log does not have yet; needs --subject
    #[arg(long, requires = "subject")]
    pub(crate) add: bool,
    /// Write what the pictures say otherwise than the log into its entries, as amendments
    #[arg(long, requires = "add")]
    pub(crate) amend: bool,
    /// The subject of the entries to add
    #[arg(long, value_name = "ID")]
    pub(crate) subject: Option<String>,
}

#[derive(Args)]
pub(crate) struct LearnOptions {
    /// One place only, by its id
    #[arg(long, value_name = "ID")]
    pub(crate) place: Option<String>,
    /// One subject only, by its id
    #[arg(long, value_name = "ID")]
    pub(crate) subject: Option<String>,
    /// What each season back counts, from 0 to 1; 1 counts all alike. The newest of the log counts
    /// in full
    #[arg(
        long,
        value_name = "SHARE",
        default_value_t = Fading::default().per_season,
        allow_negative_numbers = true
    )]
    pub(crate) fade: f64,
    /// First day for tides worth trying, as YYYY-MM-DD; today when left out
    #[arg(long, value_name = "DATE", value_parser = crate::cli::day)]
    pub(crate) from: Option<Date>,
    /// Days in which to look for them
    #[arg(
        long,
        value_name = "N",
        default_value_t = 60,
        value_parser = clap::value_parser!(u32).range(1..=3660)
    )]
    pub(crate) days: u32,
    /// Air pressure, hPa, for which to say how far the water will be off; needs --wind
    #[arg(long, value_name = "HPA", requires = "wind")]
    pub(crate) pressure: Option<f64>,
    /// Wind for that, like NW5
    #[arg(long, value_name = "WIND", requires = "pressure")]
    pub(crate) wind: Option<String>,
    /// A distance to the animals that is planned, m, held against what alarmed them before
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    pub(crate) distance: Option<f64>,
    /// Write the lessons as one page (HTML) with charts and a map, whole in itself
    #[arg(long, value_name = "FILE")]
    pub(crate) output: Option<PathBuf>,
    /// Draw the chances into this folder, as SVG
    #[arg(long, value_name = "FOLDER")]
    pub(crate) charts: Option<PathBuf>,
}

/// One option for each field of an entry.
#[derive(Default)]
pub(crate) struct FieldOptions(pub(crate) Draft);

pub(crate) fn flag(name: &str) -> String {
    name.replace('_', "-")
}

impl FromArgMatches for FieldOptions {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let mut options = FieldOptions::default();
        options.update_from_arg_matches(matches)?;
        Ok(options)
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        for field in FIELDS {
            if let Some(text) = matches.get_one::<String>(field.name) {
                self.0
                    .set(field.name, text)
                    .map_err(|e| clap::Error::raw(ErrorKind::InvalidValue, e))?;
            }
        }
        Ok(())
    }
}

impl Args for FieldOptions {
    fn augment_args(command: Command) -> Command {
        FIELDS.iter().fold(command, |command, field| {
            let arg = Arg::new(field.name)
                .long(flag(field.name))
                .value_name("TEXT")
                .help(capitalised(field.ask));
            command.arg(
                arg.help_heading("The visit")
                    .action(ArgAction::Set)
                    .allow_hyphen_values(true),
            )
        })
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

pub(crate) fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    #[test]
    fn the_options_fit_together() {
        super::Arguments::command().debug_assert();
    }
}
