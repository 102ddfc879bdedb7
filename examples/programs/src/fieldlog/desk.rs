//! The tasks, one function each: read the options, call the library, write down what it says.

use std::collections::BTreeMap;
use std::io::{self, Write};
use std::path::Path;

use wrackline_files::texts;
use wrackline_log::learning::Fading;
use wrackline_log::learning::lessons::{self, Question};
use wrackline_log::{
    self as log, Columns, Conditions, Draft, Entry, Error, FIELDS, Gate, Log, Precision, Problem,
    join,
};
use wrackline_plan::coarse::Grid;
use wrackline_plan::scenario::Scenario;
use wrackline_show::fieldlog as show;
use wrackline_show::learning::{chart, page, text};

use crate::cli::Failure;
use crate::files;

use super::kept::Kept;
use super::options::{ExportFormat, ExportOptions, LearnOptions, Table, flag};

/// What every task works with.
pub(crate) struct Desk<'a> {
    pub(crate) scenario: &'a Scenario,
    pub(crate) gate: Gate,
    pub(crate) path: &'a Path,
}

/// A number as somebody typed it, without its three hundred digits.
fn brief(number: f64) -> String {
    if number != 0.0 && !(1e-6..1e15).contains(&number.abs()) {
        format!("{number:e}")
    } else {
        number.to_string()
    }
}

/// All problems of what was typed, as options.
pub(crate) fn as_options(problems: &[Problem]) -> Failure {
    let lines: Vec<String> = problems
        .iter()
        .map(|problem| format!("--{}: {}", flag(&problem.field), problem.message))
        .collect();
    Failure::input(format!("{}\nnothing was written", lines.join("\n")))
}

impl Desk<'_> {
    pub(crate) fn joined(&self, entry: Entry) -> (Entry, Option<Conditions>) {
        let conditions = join::conditions(self.scenario, &entry);
        (entry, conditions)
    }

    /// The log, to be read and nothing else: an old one stays as it is.
    fn log_to_read(&self) -> Result<Log, Failure> {
        Ok(Log::read(self.path)?)
    }

    /// The log, to be written; one is made where there is none.
    pub(crate) fn log_to_write(&self) -> Result<Log, Failure> {
        self.say_what_was_kept(Log::open_or_create(self.path))
    }

    fn say_what_was_kept(&self, opened: Result<Log, Error>) -> Result<Log, Failure> {
        let log = opened?;
        if let Some(copy) = log.kept() {
            eprintln!(
                "fieldlog: the log had an older layout; as it was, it is kept in {}",
                copy.display()
            );
        }
        Ok(log)
    }

    pub(crate) fn add(&self, draft: Draft, out: &mut Vec<u8>) -> Result<(), Failure> {
        // Whatever is wrong with the file is better known before the questions.
        let mut log = self.log_to_write()?;
        let kept = Kept::beside(self.path);
        let asked = draft.is_empty();
        let draft = if asked {
            let mut answers = io::stdin().lock();
            let begun = kept.take_up(&mut answers, &mut io::stderr())?;
            let keep = |draft: &Draft| kept.keep(draft);
            log::ask(begun, &self.gate, &mut answers, &mut io::stderr(), keep)
                .map_err(|error| kept.told(&error))?
        } else {
            draft
        };
        let entry = self
            .gate
            .accept(&draft)
            .map_err(|problems| as_options(&problems))?;
        let added = log.add(&[self.joined(entry)], &self.gate.zone)?;
        if asked {
            kept.clear();
        }
        if let Some(id) = added.known.first() {
            writeln!(out, "{id} is in the log already, word for word.")?;
        }
        for id in added.new {
            writeln!(out, "Added {id}.")?;
            write!(out, "{}", show::whole(&log.history(&id)?, &self.gate.zone))?;
            self.mind(&log, &id, out)?;
        }
        Ok(())
    }

    /// What an entry should make its writer think of.
    fn mind(&self, log: &Log, id: &str, out: &mut Vec<u8>) -> Result<(), Failure> {
        let records = log.records()?;
        for remark in log::review::review_entry(self.scenario, &records, id) {
            writeln!(
                out,
                "Mind: {} ({}).",
                remark.text,
                remark.kind.heading().to_lowercase()
            )?;
        }
        if let Some(record) = records.iter().find(|record| record.entry.id == id) {
            for doubt in log::review::doubts(self.scenario, record) {
                writeln!(out, "Mind: {doubt}")?;
            }
        }
        for rest in log::welfare::rests(self.scenario, &records) {
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

    pub(crate) fn amend(
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
        let mut log = self.say_what_was_kept(Log::open(self.path))?;
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
        })?;
        write!(out, "{}", show::whole(&log.history(id)?, &self.gate.zone))?;
        self.mind(&log, id, out)
    }

    pub(crate) fn show(
        &self,
        id: Option<&str>,
        place: Option<&str>,
        subject: Option<&str>,
        out: &mut Vec<u8>,
    ) -> Result<(), Failure> {
        let log = self.log_to_read()?;
        if let Some(id) = id {
            write!(out, "{}", show::whole(&log.history(id)?, &self.gate.zone))?;
            return Ok(());
        }
        let mut records = log.records()?;
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

    pub(crate) fn import(
        &self,
        file: &Path,
        format: Option<Table>,
        out: &mut Vec<u8>,
    ) -> Result<(), Failure> {
        let cannot = |error: io::Error| Failure::input(format!("{}: {error}", file.display()));
        let bytes = if file == Path::new("-") {
            texts::read_bytes(io::stdin().lock())
        } else {
            std::fs::File::open(file).and_then(texts::read_bytes)
        }
        .map_err(cannot)?;
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
        let mut log = self.log_to_write()?;
        let added = log
            .add(&joined, &self.gate.zone)
            .map_err(|error| match error {
                Error::Input { problems, .. } => Failure::input(Error::Input {
                    source_name: name.clone(),
                    problems,
                }),
                other => other.into(),
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

    pub(crate) fn export(&self, options: &ExportOptions, out: &mut Vec<u8>) -> Result<(), Failure> {
        let records = self.log_to_read()?.records()?;
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
                let grid = Grid::new(options.grid)
                    .map_err(|error| Failure::input(format!("--grid: {error}")))?;
                let precision = if options.exact {
                    Precision::Exact
                } else {
                    Precision::Grid(grid)
                };
                let mut gazetteer = join::gazetteer(self.scenario);
                gazetteer.scientific_names = self.scientific_names(&options.scientific_name)?;
                let gaps = log::to_darwin_core(&records, &gazetteer, precision, &mut bytes)?;
                eprint!("{gaps}");
            }
        }
        if options.format != ExportFormat::DarwinCore {
            eprintln!(
                "This is the whole log, seats and notes included: for your own keeping. To pass \
                 sightings on, use --format darwin-core."
            );
        }
        match &options.out {
            Some(path) => files::replace_file(path, &bytes)?,
            None => out.extend(bytes),
        }
        Ok(())
    }

    fn scientific_names(&self, given: &[String]) -> Result<BTreeMap<String, String>, Failure> {
        given
            .iter()
            .map(|text| match text.split_once('=') {
                Some((id, name))
                    if self.scenario.subject(id).is_some() && !name.trim().is_empty() =>
                {
                    Ok((id.to_owned(), name.trim().to_owned()))
                }
                _ => Err(Failure::input(format!(
                    "--scientific-name: '{text}' is not a subject of the scenario, an equals sign \
                     and a name"
                ))),
            })
            .collect()
    }

    pub(crate) fn learn(&self, options: &LearnOptions, out: &mut Vec<u8>) -> Result<(), Failure> {
        if !(0.0..=1.0).contains(&options.fade) {
            return Err(Failure::input(format!(
                "--fade: {} is not a number from 0 to 1",
                brief(options.fade)
            )));
        }
        // The distances that an entry may note.
        if let Some(distance_m) = options.distance
            && !(0.1..=20_000.0).contains(&distance_m)
        {
            return Err(Failure::input(format!(
                "--distance: {} is not a distance from 0.1 to 20000 m to the nearest animal",
                brief(distance_m)
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
                per_season: options.fade,
            },
            from: options.from.unwrap_or(today),
            days: options.days,
        };
        lessons::check(self.scenario, question).map_err(Failure::input)?;
        let records = self.log_to_read()?.records()?;
        let learnt = lessons::learn(self.scenario, &records, question);
        write!(out, "{}", text::lessons(self.scenario, &learnt, plan))?;
        if let Some(path) = &options.output {
            let html = page::page(self.scenario, &learnt, &records, plan);
            files::replace_file(path, html.as_bytes())?;
            writeln!(out, "\nWritten: {}", path.display())?;
        }
        if let Some(folder) = &options.charts {
            std::fs::create_dir_all(folder)?;
            for lesson in &learnt.places {
                for (name, svg) in chart::of_lesson(&records, lesson) {
                    let path = folder.join(name);
                    files::replace_file(&path, svg.as_bytes())?;
                    writeln!(out, "Drawn: {}", path.display())?;
                }
            }
        }
        Ok(())
    }

    fn weather(&self, pressure_hpa: f64, wind: &str) -> Result<text::Weather, Failure> {
        if !(850.0..=1100.0).contains(&pressure_hpa) {
            return Err(Failure::input(format!(
                "--pressure: {} is not a number from 850 to 1100",
                brief(pressure_hpa)
            )));
        }
        let wind = log::Wind::parse(wind).ok_or_else(|| {
            Failure::input(format!(
                "--wind: '{wind}' is not a wind; write it like NW5, or calm"
            ))
        })?;
        Ok(text::Weather { pressure_hpa, wind })
    }

    pub(crate) fn review(&self, out: &mut Vec<u8>) -> Result<(), Failure> {
        let records = self.log_to_read()?.records()?;
        write!(
            out,
            "{}",
            log::review::text(&log::review::review(self.scenario, &records), records.len())
        )?;
        Ok(())
    }

    pub(crate) fn rejoin(&self, out: &mut Vec<u8>) -> Result<(), Failure> {
        let mut log = self.say_what_was_kept(Log::open(self.path))?;
        let (mut changed, mut elsewhere) = (0, 0);
        for record in log.records()? {
            if self.scenario.place(&record.entry.place).is_none() {
                elsewhere += 1;
                continue;
            }
            if join::conditions(self.scenario, &record.entry) == record.conditions {
                continue;
            }
            log.amend(
                &record.entry.id,
                Some("conditions worked out anew"),
                |entry| Ok(self.joined(entry.clone())),
            )?;
            changed += 1;
        }
        writeln!(
            out,
            "{changed} entries have other conditions now; the earlier ones stay in their history."
        )?;
        if elsewhere > 0 {
            writeln!(
                out,
                "{elsewhere} are at places that the scenario does not have, and stay as they are."
            )?;
        }
        Ok(())
    }
}
