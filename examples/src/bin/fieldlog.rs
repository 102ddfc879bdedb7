//! Keeps and questions the field log.

use std::collections::BTreeMap;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::error::ErrorKind;
use clap::{
    Arg, ArgAction, ArgMatches, Args, Command, FromArgMatches, Parser, Subcommand, ValueEnum,
};
use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};
use wrackline_examples::cli::{self, Failure};
use wrackline_examples::fieldlog::photos::{self, ClockError, FrameVisit};
use wrackline_examples::fieldlog::{
    self as log, Columns, Conditions, Draft, Entry, Error, FIELDS, Gate, Log, Precision, Problem,
    join, show,
};
use wrackline_examples::learning::lessons::{self, Question};
use wrackline_examples::learning::{Fading, chart, text};
use wrackline_examples::scenario::Scenario;

/// Keeps the field log: what happened on each visit, what the tide and the light were, and what that teaches.
///
/// The log is one file, made on first use. Entries are never overwritten: an amendment keeps what was there before.
#[derive(Parser)]
#[command(version)]
struct Arguments {
    /// The log's file
    #[arg(
        long,
        global = true,
        value_name = "FILE",
        default_value = "fieldlog.sqlite"
    )]
    log: PathBuf,
    /// Scenario file (TOML) with the places, seats and subjects; the invented demo when left out
    #[arg(long, global = true, value_name = "FILE")]
    scenario: Option<PathBuf>,
    /// Time zone of times written or shown without an offset (IANA name); the scenario's own when left out
    #[arg(long, global = true, value_name = "NAME")]
    zone: Option<String>,
    #[command(subcommand)]
    task: Task,
}

#[derive(Subcommand)]
enum Task {
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
    /// Reads capture times and ratings from a folder of pictures, and says what tide and light they had
    Photos(PhotoOptions),
    /// Says what the log teaches: chances, levels, the water's residuals, distances to keep
    Learn(LearnOptions),
    /// Holds past visits against the rules as they stand
    Review,
    /// Works out the conditions of all entries anew, after the scenario has changed
    Rejoin,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Table {
    /// Comma-separated values (RFC 4180), the first line naming the columns
    Csv,
    /// One JSON object a line
    Jsonl,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum ExportFormat {
    /// Comma-separated values (RFC 4180)
    Csv,
    /// One JSON object a line
    Jsonl,
    /// Occurrences in Darwin Core terms, as CSV; places coarsened
    DarwinCore,
}

#[derive(Args)]
struct ExportOptions {
    /// What to write
    #[arg(long, value_enum, default_value = "csv")]
    format: ExportFormat,
    /// Where to; standard output when left out
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Also write the conditions that were worked out (CSV and JSON lines)
    #[arg(long)]
    conditions: bool,
    /// Side of the grid to which places are coarsened, degrees (Darwin Core)
    #[arg(long, value_name = "DEGREES", default_value_t = 0.1)]
    grid: f64,
    /// Give exact places, seats and notes away (Darwin Core)
    #[arg(long)]
    exact: bool,
    /// Scientific name of a subject, as ID=NAME; can be repeated (Darwin Core)
    #[arg(long, value_name = "ID=NAME")]
    scientific_name: Vec<String>,
}

#[derive(Args)]
struct PhotoOptions {
    /// The folder; folders within it are looked at too
    folder: PathBuf,
    /// The seat the pictures were taken from
    #[arg(long, value_name = "ID")]
    seat: Option<String>,
    /// The place, where there was no seat
    #[arg(long, value_name = "ID")]
    place: Option<String>,
    /// How far the camera's clock was ahead of the true time, like 3m12s, or -45s when it was behind
    #[arg(
        long,
        value_name = "TIME",
        allow_hyphen_values = true,
        conflicts_with = "reference"
    )]
    camera_ahead: Option<SignedDuration>,
    /// A picture whose true time is known, to find out how far the clock was ahead
    #[arg(long, value_name = "FILE", requires = "taken_at")]
    reference: Option<PathBuf>,
    /// The true time of that picture, like 2026-01-24T08:52:10Z, or in the place's own time
    #[arg(long, value_name = "TIME", requires = "reference")]
    taken_at: Option<String>,
    /// A longer pause begins a new visit
    #[arg(long, value_name = "TIME", default_value = "3h")]
    pause: SignedDuration,
    /// Rating from which a picture counts as a select
    #[arg(long, value_name = "1-5", default_value_t = 4, value_parser = clap::value_parser!(i8).range(1..=5))]
    select_from: i8,
    /// Add an entry for each visit that the log does not have yet; needs --subject
    #[arg(long, requires = "subject")]
    add: bool,
    /// The subject of the entries to add
    #[arg(long, value_name = "ID")]
    subject: Option<String>,
}

#[derive(Args)]
struct LearnOptions {
    /// One place only, by its id
    #[arg(long, value_name = "ID")]
    place: Option<String>,
    /// One subject only, by its id
    #[arg(long, value_name = "ID")]
    subject: Option<String>,
    /// What each winter back counts, from 0 to 1; 1 counts all winters alike
    #[arg(long, value_name = "SHARE", default_value_t = Fading::default().per_winter)]
    fade: f64,
    /// First day for tides worth trying, as YYYY-MM-DD; today when left out
    #[arg(long, value_name = "DATE")]
    from: Option<Date>,
    /// Days in which to look for them
    #[arg(long, value_name = "N", default_value_t = 60, value_parser = clap::value_parser!(u32).range(1..=3660))]
    days: u32,
    /// Air pressure, hPa, for which to say how far the water will be off; needs --wind
    #[arg(long, value_name = "HPA", requires = "wind")]
    pressure: Option<f64>,
    /// Wind for that, like NW5
    #[arg(long, value_name = "WIND", requires = "pressure")]
    wind: Option<String>,
    /// A distance to the animals that is planned, m, held against what alarmed them before
    #[arg(long, value_name = "M")]
    distance: Option<f64>,
    /// Draw the chances into this folder, as SVG
    #[arg(long, value_name = "FOLDER")]
    charts: Option<PathBuf>,
}

/// One option for each field of an entry.
#[derive(Default)]
struct FieldOptions(Draft);

fn flag(name: &str) -> String {
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
            command.arg(arg.action(ArgAction::Set).allow_hyphen_values(true))
        })
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("fieldlog", |out| {
        let mut scenario = cli::scenario(arguments.scenario.as_deref())?;
        if let Some(name) = &arguments.zone {
            scenario = scenario.in_zone(cli::zone(name)?, name);
        }
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
            Task::Rejoin => desk.rejoin(out),
        }
    })
}

/// What every task works with.
struct Desk<'a> {
    scenario: &'a Scenario,
    gate: Gate,
    path: &'a Path,
}

/// All problems of what was typed, as options.
fn as_options(problems: &[Problem]) -> Failure {
    let lines: Vec<String> = problems
        .iter()
        .map(|problem| format!("--{}: {}", flag(&problem.field), problem.message))
        .collect();
    Failure::input(format!("{}\nnothing was written", lines.join("\n")))
}

impl Desk<'_> {
    fn joined(&self, entry: Entry) -> (Entry, Option<Conditions>) {
        let conditions = join::conditions(self.scenario, &entry);
        (entry, conditions)
    }

    fn add(&self, draft: Draft, out: &mut Vec<u8>) -> Result<(), Failure> {
        // Whatever is wrong with the file is better known before the questions.
        let mut log = Log::open_or_create(self.path).map_err(Failure::input)?;
        let draft = if draft.is_empty() {
            log::ask(
                draft,
                &self.gate,
                &mut io::stdin().lock(),
                &mut io::stderr(),
            )
            .map_err(Failure::input)?
        } else {
            draft
        };
        let entry = self
            .gate
            .accept(&draft)
            .map_err(|problems| as_options(&problems))?;
        let added = log
            .add(&[self.joined(entry)], &self.gate.zone)
            .map_err(Failure::input)?;
        if let Some(id) = added.known.first() {
            writeln!(out, "{id} is in the log already, word for word.")?;
        }
        for id in added.new {
            writeln!(out, "Added {id}.")?;
            write!(
                out,
                "{}",
                show::whole(&log.history(&id).map_err(Failure::input)?, &self.gate.zone)
            )?;
            self.mind(&log, &id, out)?;
        }
        Ok(())
    }

    /// What an entry should make its writer think of.
    fn mind(&self, log: &Log, id: &str, out: &mut Vec<u8>) -> Result<(), Failure> {
        let records = log.records().map_err(Failure::input)?;
        for remark in log::review::review(self.scenario, &records)
            .iter()
            .filter(|remark| remark.id == id)
        {
            writeln!(
                out,
                "Mind: {} ({}).",
                remark.text,
                remark.kind.heading().to_lowercase()
            )?;
        }
        for rest in log::welfare::rests(&records, &self.gate.zone) {
            if rest.flushes.last().is_some_and(|(last, _)| last == id) {
                writeln!(
                    out,
                    "Mind: put to flight twice this winter; leave {} in peace until {}.",
                    rest.place, rest.until
                )?;
            }
        }
        Ok(())
    }

    fn amend(
        &self,
        id: &str,
        why: Option<&str>,
        clear: &[String],
        fields: &Draft,
        out: &mut Vec<u8>,
    ) -> Result<(), Failure> {
        if fields.get("id").is_some() {
            return Err(Failure::input(
                "--id: an entry keeps its name; add another one instead\nnothing was written",
            ));
        }
        if fields.is_empty() && clear.is_empty() {
            return Err(Failure::input(
                "give the fields to change, like --count 40, or --clear FIELD\nnothing was written",
            ));
        }
        let mut log = Log::open(self.path).map_err(Failure::input)?;
        let input = |problems| Error::Input {
            source_name: format!("entry {id}"),
            problems,
        };
        log.amend(id, why, |before| {
            let mut draft = before.draft();
            for name in clear {
                draft
                    .set(&name.replace('-', "_"), "")
                    .map_err(|problem| input(vec![problem]))?;
            }
            // A seat that moves the visit to another place brings its place with it.
            if fields.get("seat").is_some() && fields.get("place").is_none() {
                draft
                    .set("place", "")
                    .map_err(|problem| input(vec![problem]))?;
            }
            for field in FIELDS {
                if let Some(text) = fields.get(field.name) {
                    draft
                        .set(field.name, text)
                        .map_err(|problem| input(vec![problem]))?;
                }
            }
            self.gate
                .accept(&draft)
                .map(|entry| self.joined(entry))
                .map_err(input)
        })
        .map_err(Failure::input)?;
        write!(
            out,
            "{}",
            show::whole(&log.history(id).map_err(Failure::input)?, &self.gate.zone)
        )?;
        self.mind(&log, id, out)
    }

    fn show(
        &self,
        id: Option<&str>,
        place: Option<&str>,
        subject: Option<&str>,
        out: &mut Vec<u8>,
    ) -> Result<(), Failure> {
        let log = Log::open(self.path).map_err(Failure::input)?;
        if let Some(id) = id {
            write!(
                out,
                "{}",
                show::whole(&log.history(id).map_err(Failure::input)?, &self.gate.zone)
            )?;
            return Ok(());
        }
        let mut records = log.records().map_err(Failure::input)?;
        records.retain(|record| {
            place.is_none_or(|id| record.entry.place == id)
                && subject.is_none_or(|id| record.entry.subject == id)
        });
        if records.is_empty() {
            writeln!(out, "No entry.")?;
            return Ok(());
        }
        write!(out, "{}", show::list(&records, &self.gate.zone))?;
        Ok(())
    }

    fn import(&self, file: &Path, format: Option<Table>, out: &mut Vec<u8>) -> Result<(), Failure> {
        let cannot = |error: io::Error| Failure::input(format!("{}: {error}", file.display()));
        let mut bytes = Vec::new();
        if file == Path::new("-") {
            io::stdin().lock().read_to_end(&mut bytes).map_err(cannot)?;
        } else {
            bytes = std::fs::read(file).map_err(cannot)?;
        }
        let ending = file
            .extension()
            .map(|ending| ending.to_string_lossy().to_lowercase());
        let format = match (format, ending.as_deref()) {
            (Some(format), _) => format,
            (None, Some("jsonl" | "ndjson")) => Table::Jsonl,
            (None, Some("csv")) => Table::Csv,
            _ => {
                return Err(Failure::input(format!(
                    "{}: neither .csv nor .jsonl; say what it holds with --format",
                    file.display()
                )));
            }
        };
        let name = file.display().to_string();
        let entries = match format {
            Table::Csv => log::from_csv(&name, &bytes, &self.gate),
            Table::Jsonl => log::from_json_lines(&name, &bytes, &self.gate),
        }
        .map_err(Failure::input)?;
        let joined: Vec<_> = entries
            .into_iter()
            .map(|entry| self.joined(entry))
            .collect();
        let mut log = Log::open_or_create(self.path).map_err(Failure::input)?;
        let added = log
            .add(&joined, &self.gate.zone)
            .map_err(|error| match error {
                Error::Input { problems, .. } => Failure::input(Error::Input {
                    source_name: name.clone(),
                    problems,
                }),
                other => Failure::input(other),
            })?;
        writeln!(
            out,
            "{} entries added to {}, {} were there already.",
            added.new.len(),
            self.path.display(),
            added.known.len()
        )?;
        let undated = joined
            .iter()
            .filter(|(_, conditions)| conditions.is_none())
            .count();
        if undated > 0 {
            writeln!(
                out,
                "{undated} with the day alone: no conditions worked out for them."
            )?;
        }
        Ok(())
    }

    fn export(&self, options: &ExportOptions, out: &mut Vec<u8>) -> Result<(), Failure> {
        let records = Log::open(self.path)
            .map_err(Failure::input)?
            .records()
            .map_err(Failure::input)?;
        let columns = if options.conditions {
            Columns::WithConditions
        } else {
            Columns::Noted
        };
        let mut bytes = Vec::new();
        match options.format {
            ExportFormat::Csv => log::to_csv(&records, columns, &mut bytes)?,
            ExportFormat::Jsonl => log::to_json_lines(&records, columns, &mut bytes)?,
            ExportFormat::DarwinCore => {
                if !(options.grid > 0.0 && options.grid <= 10.0) {
                    return Err(Failure::input(format!(
                        "--grid: {} is not above 0 and up to 10 degrees",
                        options.grid
                    )));
                }
                let precision = if options.exact {
                    Precision::Exact
                } else {
                    Precision::Grid {
                        cell_deg: options.grid,
                    }
                };
                let mut gazetteer = join::gazetteer(self.scenario);
                gazetteer.scientific_names = self.scientific_names(&options.scientific_name)?;
                let gaps = log::to_darwin_core(&records, &gazetteer, precision, &mut bytes)?;
                eprint!("{gaps}");
            }
        }
        if options.format != ExportFormat::DarwinCore {
            eprintln!(
                "This is the whole log, seats and notes included: for your own keeping. To pass sightings on, use --format darwin-core."
            );
        }
        match &options.out {
            Some(path) => cli::replace_file(path, &bytes)?,
            None => out.extend(bytes),
        }
        Ok(())
    }

    fn scientific_names(&self, given: &[String]) -> Result<BTreeMap<String, String>, Failure> {
        given
            .iter()
            .map(|text| match text.split_once('=') {
                Some((id, name)) if join::subject(self.scenario, id).is_some() && !name.trim().is_empty() => {
                    Ok((id.to_owned(), name.trim().to_owned()))
                }
                _ => Err(Failure::input(format!(
                    "--scientific-name: '{text}' is not a subject of the scenario, an equals sign and a name"
                ))),
            })
            .collect()
    }

    fn photos(&self, options: &PhotoOptions, out: &mut Vec<u8>) -> Result<(), Failure> {
        let zone = &self.gate.zone;
        let seat = self.named_seat(options)?;
        let place = match (&seat, &options.place) {
            (Some(seat), _) => Some(self.scenario.place_of(seat)),
            (None, Some(id)) => Some(join::place(self.scenario, id).ok_or_else(|| {
                Failure::input(format!("--place: there is no place '{id}' in the scenario"))
            })?),
            (None, None) => None,
        };
        let clock = self.clock(options)?;
        let cannot =
            |error: io::Error| Failure::input(format!("{}: {error}", options.folder.display()));
        let pictures = photos::pictures_under(&options.folder).map_err(cannot)?;
        let mut gathered = photos::gather(&pictures, clock, zone, self.gate.now);
        if let Some(place) = place {
            let instants: Vec<Timestamp> = gathered.frames.iter().map(|frame| frame.at).collect();
            let conditions = join::surroundings(self.scenario, place, seat).at_all(&instants);
            for (frame, conditions) in gathered.frames.iter_mut().zip(conditions) {
                frame.conditions = Some(conditions);
            }
        }
        if let Some(clock) = clock {
            writeln!(
                out,
                "Camera ahead of the true time by {:#}; taken out.",
                clock.0
            )?;
        }
        let visits = photos::into_visits(gathered.frames, options.pause);
        write!(
            out,
            "{}",
            photos::report(&visits, &gathered.set_aside, options.select_from, zone)
        )?;
        if place.is_none() && !visits.is_empty() {
            writeln!(
                out,
                "Give --seat or --place to learn what tide and light they had."
            )?;
        }
        if options.add {
            self.add_visits(
                options,
                &visits,
                place.map(|place| place.id.as_str()),
                seat.map(|seat| seat.id.as_str()),
                out,
            )?;
        }
        Ok(())
    }

    fn named_seat(
        &self,
        options: &PhotoOptions,
    ) -> Result<Option<&wrackline_examples::scenario::Seat>, Failure> {
        let Some(id) = &options.seat else {
            return Ok(None);
        };
        let known: Vec<&str> = self
            .scenario
            .seats()
            .iter()
            .map(|seat| seat.id.as_str())
            .collect();
        let seat = join::seat(self.scenario, id).ok_or_else(|| {
            Failure::input(format!(
                "--seat: there is no seat '{id}' in the scenario{}",
                log::closest(id, &known)
            ))
        })?;
        Ok(Some(seat))
    }

    /// How far the clock was ahead, as given or from a reference picture.
    fn clock(&self, options: &PhotoOptions) -> Result<Option<ClockError>, Failure> {
        if let Some(ahead) = options.camera_ahead {
            return Ok(Some(ClockError(ahead)));
        }
        let (Some(reference), Some(taken_at)) = (&options.reference, &options.taken_at) else {
            return Ok(None);
        };
        let zone = &self.gate.zone;
        let when = log::When::parse(taken_at, zone)
            .map_err(|error| Failure::input(format!("--taken-at: {error}")))?;
        let Some(truly) = when.instant() else {
            return Err(Failure::input(
                "--taken-at: a day is not enough, give the time to the second",
            ));
        };
        let named = |reason: String| {
            Failure::input(format!("--reference: {} {reason}", reference.display()))
        };
        let head = photos::read(reference).map_err(|error| named(error.to_string()))?;
        let clock = ClockError::from_reference(&head, truly, zone);
        clock
            .map(Some)
            .ok_or_else(|| named("has a capture time outside the calendar".to_owned()))
    }

    fn add_visits(
        &self,
        options: &PhotoOptions,
        visits: &[FrameVisit],
        place: Option<&str>,
        seat: Option<&str>,
        out: &mut Vec<u8>,
    ) -> Result<(), Failure> {
        let Some(place) = place else {
            return Err(Failure::input(
                "--add needs --seat or --place\nnothing was written",
            ));
        };
        let mut log = Log::open_or_create(self.path).map_err(Failure::input)?;
        let records = log.records().map_err(Failure::input)?;
        let mut joined = Vec::new();
        for visit in visits
            .iter()
            .filter(|visit| !photos::is_logged(visit, &records, place, options.pause))
        {
            let selects = visit.selects(options.select_from).count();
            let mut draft = Draft::default();
            let fields = [
                ("when", visit.heart(options.select_from).to_string()),
                ("place", place.to_owned()),
                ("seat", seat.unwrap_or_default().to_owned()),
                ("subject", options.subject.clone().unwrap_or_default()),
                (
                    "outcome",
                    if selects > 0 { "select" } else { "picture" }.to_owned(),
                ),
                ("pictures", visit.frames.len().to_string()),
                ("selects", selects.to_string()),
                ("notes", "from the pictures' capture times".to_owned()),
            ];
            for (name, text) in fields {
                draft.set(name, &text).map_err(Failure::input)?;
            }
            let entry = self
                .gate
                .accept(&draft)
                .map_err(|problems| as_options(&problems))?;
            joined.push(self.joined(entry));
        }
        let added = log.add(&joined, &self.gate.zone).map_err(Failure::input)?;
        match added.new.len() {
            0 => writeln!(out, "No entry added: the log has all these visits.")?,
            _ => writeln!(out, "Added: {}.", added.new.join(", "))?,
        }
        Ok(())
    }

    fn learn(&self, options: &LearnOptions, out: &mut Vec<u8>) -> Result<(), Failure> {
        if !(0.0..=1.0).contains(&options.fade) {
            return Err(Failure::input(format!(
                "--fade: {} is not a number from 0 to 1",
                options.fade
            )));
        }
        let weather = match (options.pressure, &options.wind) {
            (Some(pressure_hpa), Some(wind)) => Some(self.weather(pressure_hpa, wind)?),
            _ => None,
        };
        let plan = text::Plan {
            weather,
            distance_m: options.distance,
        };
        let today = log::When::At(self.gate.now).date(&self.gate.zone);
        let question = Question {
            place: options.place.as_deref(),
            subject: options.subject.as_deref(),
            fading: Fading {
                per_winter: options.fade,
            },
            from: options.from.unwrap_or(today),
            days: options.days,
        };
        lessons::check(self.scenario, question).map_err(Failure::input)?;
        let records = Log::open(self.path)
            .map_err(Failure::input)?
            .records()
            .map_err(Failure::input)?;
        let learnt = lessons::learn(self.scenario, &records, question);
        write!(out, "{}", text::lessons(self.scenario, &learnt, plan))?;
        if let Some(folder) = &options.charts {
            std::fs::create_dir_all(folder)?;
            for lesson in &learnt.places {
                for (name, svg) in chart::of_lesson(&records, lesson) {
                    let path = folder.join(name);
                    cli::replace_file(&path, svg.as_bytes())?;
                    writeln!(out, "Drawn: {}", path.display())?;
                }
            }
        }
        Ok(())
    }

    fn weather(&self, pressure_hpa: f64, wind: &str) -> Result<text::Weather, Failure> {
        if !(850.0..=1100.0).contains(&pressure_hpa) {
            return Err(Failure::input(format!(
                "--pressure: {pressure_hpa} is not a number from 850 to 1100"
            )));
        }
        let wind = log::Wind::parse(wind).ok_or_else(|| {
            Failure::input(format!(
                "--wind: '{wind}' is not a wind; write it like NW5, or calm"
            ))
        })?;
        Ok(text::Weather { pressure_hpa, wind })
    }

    fn review(&self, out: &mut Vec<u8>) -> Result<(), Failure> {
        let records = Log::open(self.path)
            .map_err(Failure::input)?
            .records()
            .map_err(Failure::input)?;
        write!(
            out,
            "{}",
            log::review::text(&log::review::review(self.scenario, &records), records.len())
        )?;
        Ok(())
    }

    fn rejoin(&self, out: &mut Vec<u8>) -> Result<(), Failure> {
        let mut log = Log::open(self.path).map_err(Failure::input)?;
        let mut changed = 0;
        for record in log.records().map_err(Failure::input)? {
            if join::conditions(self.scenario, &record.entry) == record.conditions {
                continue;
            }
            log.amend(
                &record.entry.id,
                Some("conditions worked out anew"),
                |entry| Ok(self.joined(entry.clone())),
            )
            .map_err(Failure::input)?;
            changed += 1;
        }
        writeln!(
            out,
            "{changed} entries have other conditions now; the earlier ones stay in their history."
        )?;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    #[test]
    fn the_options_fit_together() {
        super::Arguments::command().debug_assert();
    }
}
