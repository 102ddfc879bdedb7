//! The tasks on single entries and on the log as it is, one function each: read the options, call
//! the library, write down what it says.

use std::io::{self, Write};
use std::path::Path;

use wrackline_log::{
    self as log, Conditions, Draft, Entry, Error, FIELDS, Gate, Log, Problem, join,
};
use wrackline_plan::scenario::Scenario;
use wrackline_show::fieldlog as show;

use crate::cli::Failure;
use crate::kept::Kept;

use super::kept;
use super::options::flag;

/// What every task works with.
pub(crate) struct Desk<'a> {
    pub(crate) scenario: &'a Scenario,
    pub(crate) gate: Gate,
    pub(crate) path: &'a Path,
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
    pub(crate) fn log_to_read(&self) -> Result<Log, Failure> {
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
            let begun = kept::take_up(&kept, &mut answers, &mut io::stderr())?;
            let keep = |draft: &Draft| kept::keep(&kept, draft);
            log::ask(begun, &self.gate, &mut answers, &mut io::stderr(), keep).map_err(|error| {
                Failure::input(format!("{error}{}", kept.where_they_are("`add`")))
            })?
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
