//! What all programs share: reading a scenario, ending with a clear message.

use std::io::{self, Write};
use std::path::Path;
use std::process::ExitCode;

use jiff::civil::Date;
use jiff::tz::TimeZone;

use wrackline_files::target::in_words;
use wrackline_files::texts;
use wrackline_log::learning::water::WaterLesson;
use wrackline_log::learning::{self, Fading};
use wrackline_log::{Log, Record};
use wrackline_plan::experience::Experience;
use wrackline_plan::experience::sightings::Sightings;
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Problems, Scenario};
use wrackline_plan::weather::Taught;
use wrackline_show::warnings::{line, of_a_kind};
use wrackline_show::weather;

/// Exit code for input that cannot be worked with.
pub const BAD_INPUT: u8 = 2;
/// Exit code for output that cannot be written.
pub const CANNOT_WRITE: u8 = 1;

/// Why a program ends early.
#[derive(Debug)]
pub enum Failure {
    /// The input is at fault: exit code 2, nothing was printed.
    Input(String),
    /// The output is at fault: exit code 1.
    Output(io::Error),
    /// The file of a log is at fault, or the system that keeps it: exit code 1.
    Log(wrackline_log::Error),
    /// Something cannot be written and says so in words of its own: exit code 1.
    Unwritten(String),
}

impl Failure {
    /// An input at fault.
    pub fn input(message: impl ToString) -> Self {
        Self::Input(message.to_string())
    }
}

impl std::fmt::Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Input(message) => f.write_str(message),
            // What was put into words already stays as it is.
            Self::Output(error) if error.get_ref().is_some() => {
                write!(f, "cannot write the output: {error}")
            }
            Self::Output(error) => write!(f, "cannot write the output: {}", in_words(error)),
            Self::Log(error) => error.fmt(f),
            Self::Unwritten(message) => f.write_str(message),
        }
    }
}

impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        Self::Output(error)
    }
}

/// A log that cannot be read or written is no fault of what was typed.
impl From<wrackline_log::Error> for Failure {
    fn from(error: wrackline_log::Error) -> Self {
        if error.is_of_the_file() {
            Self::Log(error)
        } else {
            Self::input(error)
        }
    }
}

impl From<wrackline_plan::reach::Error> for Failure {
    fn from(error: wrackline_plan::reach::Error) -> Self {
        Self::input(error)
    }
}

impl From<Problems> for Failure {
    fn from(problems: Problems) -> Self {
        Self::input(problems)
    }
}

/// Runs a program whose output is computed whole before the first byte is printed, and turns its
/// end into an exit code.
pub fn run(name: &str, program: impl FnOnce(&mut Vec<u8>) -> Result<(), Failure>) -> ExitCode {
    let mut output = Vec::new();
    let ended = program(&mut output).and_then(|()| {
        let mut out = io::stdout().lock();
        Ok(out.write_all(&output).and_then(|()| out.flush())?)
    });
    end(name, ended)
}

/// Says why a program ends early, and turns its end into an exit code.
pub fn end(name: &str, ended: Result<(), Failure>) -> ExitCode {
    let Err(failure) = ended else {
        return ExitCode::SUCCESS;
    };
    // A reader that closes the pipe early has what it wants.
    if let Failure::Output(source) = &failure
        && source.kind() == io::ErrorKind::BrokenPipe
    {
        return ExitCode::SUCCESS;
    }
    eprintln!("{name}: {failure}");
    ExitCode::from(match failure {
        Failure::Input(_) => BAD_INPUT,
        Failure::Output(_) | Failure::Log(_) | Failure::Unwritten(_) => CANNOT_WRITE,
    })
}

/// Reads a text, or says whose it is and why it cannot be read.
///
/// # Errors
/// What the file system refuses.
pub fn text(path: &Path) -> Result<String, Failure> {
    texts::read(path)
        .map_err(|error| Failure::input(format!("{}: cannot be read: {error}", path.display())))
}

/// Reads the scenario at a path, or the demo.
///
/// # Errors
/// Every problem of the scenario.
pub fn scenario(path: Option<&Path>) -> Result<Scenario, Problems> {
    match path {
        Some(path) => Scenario::open(path),
        None => Scenario::parse(DEMO_NAME, DEMO),
    }
}

/// A day as it is typed.
///
/// # Errors
/// What to type, in our words.
pub fn day(text: &str) -> Result<Date, String> {
    let as_written = text.len() == 10 && text.chars().all(|c| c.is_ascii_digit() || c == '-');
    match text.parse() {
        Ok(day) if as_written => Ok(day),
        _ if as_written => Err("there is no such day in the calendar".to_owned()),
        _ => Err("give a day as YYYY-MM-DD, such as 2026-12-01".to_owned()),
    }
}

/// Says on the standard error that the demo is shown, where no scenario was given.
pub fn tell_of_demo(name: &str, path: Option<&Path>) {
    if path.is_none() {
        eprintln!("{name}: no scenario given: this is the invented demo");
    }
}

/// Reads the scenario at a path, or the demo, with its dates and times in another zone where one is
/// named.
///
/// # Errors
/// Every problem of the scenario, or a zone that is not known.
pub fn scenario_in(path: Option<&Path>, zone_name: Option<&str>) -> Result<Scenario, Failure> {
    let scenario = scenario(path)?;
    Ok(match zone_name {
        Some(name) => scenario.in_zone(zone(name)?, name),
        None => scenario,
    })
}

/// What the field log at a path teaches about a scenario's places; `None` without a log, or with an
/// empty one.
///
/// # Errors
/// A log that cannot be read.
pub fn experience(scenario: &Scenario, path: Option<&Path>) -> Result<Option<Experience>, Failure> {
    experience_with(scenario, path, &Sightings::default())
}

/// As [`experience`], with what others saw as a prior of the chances.
///
/// # Errors
/// A log that cannot be read.
pub fn experience_with(
    scenario: &Scenario,
    path: Option<&Path>,
    sightings: &Sightings,
) -> Result<Option<Experience>, Failure> {
    let Some(path) = path else {
        return Ok(learning::experience_with(
            scenario,
            &[],
            Fading::default(),
            sightings,
        ));
    };
    let records = Log::read(path)?.records()?;
    let known = |record: &Record| {
        let mut places = scenario.places().iter();
        places.any(|place| place.id == record.entry.place)
    };
    if !records.is_empty() && !records.iter().any(known) {
        eprintln!(
            "warning: none of the {} entries of {} is of a place of this scenario: is it the log \
             of another coast?",
            records.len(),
            path.display()
        );
    }
    Ok(learning::experience_with(
        scenario,
        &records,
        Fading::default(),
        sightings,
    ))
}

/// What the field log at a path teaches about the water's answer to the weather; `None` without a
/// log, and where too few tides are in it.
///
/// # Errors
/// A log that cannot be read.
pub fn taught(path: Option<&Path>) -> Result<Option<Taught>, Failure> {
    let Some(path) = path else {
        return Ok(None);
    };
    let lesson = WaterLesson::of(&Log::read(path)?.records()?);
    Ok(lesson.fit.map(|fit| *fit.taught()))
}

/// Tells what is implausible in a scenario on the standard error, for a program whose answer has no
/// room for it.
pub fn warn(program: &str, scenario: &Scenario) {
    for kind in of_a_kind(scenario.warnings()) {
        eprintln!("{program}: warning: {}", line(kind));
    }
    for line in weather::remarks(scenario) {
        eprintln!("{program}: {line}");
    }
}

/// The civil day that it is now in a scenario's zone.
pub fn today(scenario: &Scenario) -> Date {
    jiff::Timestamp::now()
        .to_zoned_datetime(scenario.zone().clone())
        .date()
}

/// A time zone by its name in the IANA database.
///
/// # Errors
/// A message that says what to give instead.
pub fn zone(name: &str) -> Result<TimeZone, Failure> {
    TimeZone::get(name).map_err(|_| {
        Failure::input(format!(
            "--zone: \"{name}\" is not a known time zone; give a name of the IANA time zone \
             database, such as Europe/London or UTC"
        ))
    })
}

/// A progress bar with an estimate: on the standard error where that is a terminal, nowhere in a
/// pipe.
pub fn progress_bar() -> indicatif::ProgressBar {
    let bar = indicatif::ProgressBar::new(0);
    // The template is a constant; should it ever be wrong, the default style serves.
    if let Ok(style) =
        indicatif::ProgressStyle::with_template("{pos} of {len} {wide_bar} {eta} left")
    {
        bar.set_style(style);
    }
    bar
}
