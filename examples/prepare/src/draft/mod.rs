//! Drafts a scenario from waypoints.

mod paths;

use std::io::{self, BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Parser;
use wrackline_gather::draft::{
    Animal, Answer, AskError, Draft, Given, Interview, OUTPUT, Sketch, Table, Water, Waypoint,
    interview, waypoints,
};
use wrackline_plan::scenario::{Scenario, Tide, port_of, read_one};
use wrackline_programs::cli::{self, Failure};
use wrackline_programs::files;
use wrackline_programs::kept::Kept;

use paths::{included, taken};

/// A scenario from waypoints: places and seats with bearings and distances, and a commented line
/// for all that is not known yet.
///
/// Waypoints are GPX 1.1 (<wpt>) or GeoJSON points. What each is, a place where the animals are, a
/// seat, a hide or a way in, stands in its type or symbol (GPX) or its property `kind` (GeoJSON).
/// Where none is a place, the first that says nothing is one; the others are seats. A seat about
/// which anything is missing is closed until you know it.
///
/// Without arguments, at a terminal, it asks for what it needs.
#[derive(Parser)]
#[command(name = "draft", version)]
pub(crate) struct Arguments {
    /// File with waypoints, GPX or GeoJSON
    waypoints: Option<PathBuf>,
    /// Ask for all that the waypoints do not say
    #[arg(long)]
    ask: bool,
    /// File with a [port], which the draft includes
    #[arg(long, value_name = "FILE")]
    port: Option<PathBuf>,
    /// Printed tide table (CSV) that is the port
    #[arg(long, value_name = "FILE", requires = "datum", conflicts_with_all = ["port", "ask"])]
    turns: Option<PathBuf>,
    /// Zone of a printed table whose times have no offset (IANA name)
    #[arg(long, value_name = "NAME", requires = "turns")]
    turns_zone: Option<String>,
    /// What the heights of a printed table are above, such as "chart datum"
    #[arg(long, value_name = "NAME", requires = "turns")]
    datum: Option<String>,
    /// Name of the port of a printed table; that of its file when left out
    #[arg(long, value_name = "NAME", requires = "turns")]
    port_name: Option<String>,
    /// Further file that the draft includes, such as one with kit and animals; may be repeated
    #[arg(long, value_name = "FILE")]
    include: Vec<PathBuf>,
    /// Time zone of dates and times (IANA name)
    #[arg(long, value_name = "NAME")]
    zone: Option<String>,
    /// The animal: the id of a [[subject]] in an included file, or the name of one to be described
    #[arg(long, value_name = "NAME")]
    subject: Option<String>,
    /// You say that the tide never reaches any of these seats or the ways to them
    #[arg(long, conflicts_with = "ask")]
    inland: bool,
    /// File to write; standard output when left out
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Replace the file if it is there already
    #[arg(long, requires = "output")]
    replace: bool,
}

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("draft", |out| arguments.run(out))
}

/// A draft that is ready, and where it goes.
struct Ready {
    draft: Draft,
    output: Option<PathBuf>,
}

impl Arguments {
    fn run(&self, out: &mut Vec<u8>) -> Result<(), Failure> {
        if let Some(path) = &self.output
            && !self.replace
            && let Some(why) = taken(path)
        {
            return Err(Failure::input(format!(
                "{}: {why}; give another name, or --replace\nnothing was written",
                path.display()
            )));
        }
        if let Some(name) = &self.zone {
            cli::zone(name)?;
        }
        let bare = std::env::args_os().len() == 1;
        if self.ask || bare && io::stdin().is_terminal() {
            return self.asked(out);
        }
        let Some(path) = &self.waypoints else {
            return Err(Failure::input(
                "give a file with waypoints, GPX or GeoJSON, or --ask to be asked\nnothing was \
                 written",
            ));
        };
        let points = read_waypoints(path)?;
        let mut sketch = Sketch::of(points)
            .map_err(|error| Failure::input(format!("{}: {error}", path.display())))?;
        if self.inland {
            for seat in &mut sketch.seats {
                seat.facts.water = Water::Never;
            }
        }
        let port = self.port()?;
        let mut include = self.include_texts()?;
        include.extend(port.as_ref().map(|(path, _)| path.clone()));
        let table = self.table()?;
        let has_port = table.is_some() || port.is_some() || self.includes_a_port()?;
        let draft = Draft {
            sketch,
            source: path.display().to_string(),
            zone: self.zone.clone(),
            include,
            table,
            has_port,
            animal: self.animal()?,
        };
        let ready = Ready {
            draft,
            output: self.output.clone(),
        };
        ready.deliver(out)
    }

    /// Asks for what is needed; the answers are kept until the draft is written.
    fn asked(&self, out: &mut Vec<u8>) -> Result<(), Failure> {
        let waypoints = match &self.waypoints {
            Some(path) => Some((path.display().to_string(), read_waypoints(path)?)),
            None => None,
        };
        let refuse = |path: &str| {
            let why = taken(Path::new(path))?;
            Some(format!("{path}: {why}; give another name"))
        };
        let given = Given {
            waypoints,
            zone: self.zone.clone(),
            port: self.port()?,
            include: self.include_texts()?,
            animal: self.animal()?,
            output: self.output.as_ref().map(|path| path.display().to_string()),
            now: jiff::Timestamp::now(),
            load_waypoints: &|path| {
                read_waypoints(Path::new(path)).map_err(|failure| failure.to_string())
            },
            load_port: &|path| read_port(Path::new(path)).map_err(|failure| failure.to_string()),
            refuse_output: &refuse,
        };
        let beside = self.output.clone().unwrap_or_else(|| OUTPUT.into());
        let kept = Kept::beside(&beside);
        let mut answers = io::stdin().lock();
        let mut questions = io::stderr();
        let begun = begun(&kept, &mut answers, &mut questions)?;
        let keep = |answers: &[_]| kept.keep(answers);
        let found = interview(&given, begun, &mut answers, &mut questions, keep).map_err(
            |error: AskError| {
                let kept = kept.where_they_are("run");
                Failure::input(format!("{error}{kept}\nnothing was written"))
            },
        )?;
        let Interview { draft, output } = found;
        let ready = Ready {
            draft,
            output: Some(self.output.clone().unwrap_or_else(|| output.into())),
        };
        // Should it fail, the answers are still there to be mended.
        ready.deliver(out)?;
        kept.clear();
        Ok(())
    }

    fn port(&self) -> Result<Option<(String, Tide)>, Failure> {
        let Some(path) = &self.port else {
            return Ok(None);
        };
        Ok(Some((paths::as_text(path)?, read_port(path)?)))
    }

    /// The printed table, with the names that somebody gave it.
    fn table(&self) -> Result<Option<Table>, Failure> {
        let (Some(path), Some(datum)) = (&self.turns, &self.datum) else {
            return Ok(None);
        };
        let file = paths::as_text(path)?;
        let stem = path.file_stem().and_then(|stem| stem.to_str());
        let readable = |flag: &str, name: &str| {
            Waypoint::plain(name)
                .ok_or_else(|| Failure::input(format!("{flag}: give a name that can be read")))
        };
        let name = self.port_name.as_deref().or(stem).unwrap_or_default();
        Ok(Some(Table {
            name: readable("--port-name", name)?,
            datum: readable("--datum", datum)?,
            zone: self.turns_zone.clone(),
            file,
        }))
    }

    fn include_texts(&self) -> Result<Vec<String>, Failure> {
        self.include
            .iter()
            .map(|path| paths::as_text(path))
            .collect()
    }

    fn includes_a_port(&self) -> Result<bool, Failure> {
        for path in &self.include {
            if included(path)?.port {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// The animal that was named: one that an included file describes, or one still to be
    /// described.
    fn animal(&self) -> Result<Animal, Failure> {
        let Some(name) = &self.subject else {
            return Ok(Animal::Unknown);
        };
        for path in &self.include {
            if included(path)?.subjects.contains(name) {
                return Ok(Animal::Included(name.clone()));
            }
        }
        let plain = Waypoint::plain(name)
            .ok_or_else(|| Failure::input("--subject: give a name that can be read"))?;
        Ok(Animal::Named(plain))
    }
}

impl Ready {
    /// Holds the draft against a plan's reader, then writes it: what a plan would refuse is written
    /// nowhere.
    fn deliver(mut self, out: &mut Vec<u8>) -> Result<(), Failure> {
        for path in &mut self.draft.include {
            *path = paths::seen_from(self.output.as_deref(), path)?;
        }
        if let Some(table) = &mut self.draft.table {
            table.file = paths::seen_from(self.output.as_deref(), &table.file)?;
        }
        let text = self.draft.to_toml();
        let name = self.output.as_deref().unwrap_or(Path::new("draft"));
        let load = |one: &Path| {
            if one == name {
                Ok(text.clone())
            } else {
                read_one(name, one)
            }
        };
        let scenario = Scenario::parse_with(name, &load)
            .map_err(|problems| Failure::input(format!("{problems}\nthe draft was not written")))?;
        cli::warn("draft", &scenario);
        let Some(path) = &self.output else {
            out.extend(text.as_bytes());
            return Ok(());
        };
        files::replace_file(path, text.as_bytes())?;
        let sketch = &self.draft.sketch;
        let closed = scenario.closures().len();
        writeln!(
            out,
            "Wrote {}: {}, {}, {} closed until what the lines with \"= ?\" ask for is known.",
            path.display(),
            counted(sketch.places.len(), "place"),
            counted(sketch.seats.len(), "seat"),
            closed
        )?;
        for rule in &sketch.rules {
            writeln!(out, "Taken so: {rule}.")?;
        }
        for left in &sketch.left_out {
            writeln!(out, "Left out: {}: {}.", left.name, left.why)?;
        }
        Ok(())
    }
}

fn counted(count: usize, what: &str) -> String {
    let s = if count == 1 { "" } else { "s" };
    format!("{count} {what}{s}")
}

fn read_waypoints(path: &Path) -> Result<Vec<Waypoint>, Failure> {
    let text = cli::text(path)?;
    Ok(waypoints(path, &text)?)
}

fn read_port(path: &Path) -> Result<Tide, Failure> {
    let found = port_of(path, &|one| read_one(path, one))?;
    found.ok_or_else(|| {
        Failure::input(format!(
            "{}: has no [port]; name a file with the port of a scenario",
            path.display()
        ))
    })
}

/// The answers of last time, if there are any and they are wanted.
fn begun(
    kept: &Kept,
    answers: &mut impl BufRead,
    questions: &mut impl Write,
) -> Result<Vec<Answer>, Failure> {
    let begun: Vec<Answer> = kept.read().unwrap_or_default();
    let what = format!("A draft was not finished, of {} answers", begun.len());
    let wanted = !begun.is_empty() && kept.goes_on(&what, answers, questions)?;
    Ok(if wanted { begun } else { Vec::new() })
}
