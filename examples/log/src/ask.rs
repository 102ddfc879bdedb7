//! Asking for an entry, one question after another.

use std::io::{BufRead, Write};

use super::accept::Gate;
use super::draft::Draft;
use super::entry::{FIELDS, Field};

/// Why asking came to no entry.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum AskError {
    /// The answers ended before the questions.
    #[error("the answers ended at '{0}'; nothing was written")]
    Ended(&'static str),
    /// Reading or asking failed.
    #[error("cannot ask: {0}")]
    Io(#[from] std::io::Error),
}

/// Asks for every field that `draft` does not have, and again when an answer makes no sense or
/// answers do not go together; no answer is thrown away. `keep` is given what there is after each
/// of them, so that a caller can hold it against an interruption.
///
/// # Errors
/// Answers that end too early.
pub fn ask(
    draft: Draft,
    gate: &Gate,
    answers: &mut impl BufRead,
    questions: &mut impl Write,
    keep: impl FnMut(&Draft),
) -> Result<Draft, AskError> {
    writeln!(
        questions,
        "Empty answers leave a field out; a single dot leaves out the rest; < goes back one \
         question.\nOf an answer that is there already, an empty one keeps it and - takes it out."
    )?;
    let mut desk = Asking {
        draft,
        gate,
        answers,
        questions,
        keep,
    };
    // Where it was begun before, everything up to the last answer has been asked.
    let order = order();
    let last = order
        .iter()
        .rposition(|field| desk.draft.get(field.name).is_some());
    desk.round(&order[last.map_or(0, |last| last + 1)..], false)?;
    while let Err(problems) = gate.accept(&desk.draft) {
        writeln!(desk.questions, "This does not go together:")?;
        for problem in &problems {
            writeln!(desk.questions, "  {problem}")?;
        }
        let concerned = |field: &&Field| {
            problems.iter().any(|problem| {
                problem.field == field.name || at_odds_with(&problem.field).contains(&field.name)
            })
        };
        let again: Vec<Field> = order.iter().filter(concerned).copied().collect();
        desk.round(&again, true)?;
    }
    Ok(desk.draft)
}

/// The fields in the order in which they are asked for: a seat says where it is, so the place comes
/// after it.
fn order() -> Vec<Field> {
    let is_place = |field: &&Field| field.name == "place";
    let mut order: Vec<Field> = FIELDS.iter().filter(|f| !is_place(f)).copied().collect();
    let seat = order.iter().position(|field| field.name == "seat");
    if let (Some(seat), Some(place)) = (seat, FIELDS.iter().find(is_place)) {
        order.insert(seat + 1, *place);
    }
    order
}

/// The other fields that a problem of one can lie in.
fn at_odds_with(field: &str) -> &'static [&'static str] {
    match field {
        "count" => &["outcome"],
        "outcome" => &["flushes", "pictures", "selects"],
        "selects" => &["outcome", "pictures"],
        "unease_distance_m" => &["unease"],
        "unease" => &["flushes"],
        _ => &[],
    }
}

/// What became of a question.
enum Said {
    Answer,
    Rest,
    Back,
}

struct Asking<'a, A, Q, K> {
    draft: Draft,
    gate: &'a Gate,
    answers: &'a mut A,
    questions: &'a mut Q,
    keep: K,
}

impl<A: BufRead, Q: Write, K: FnMut(&Draft)> Asking<'_, A, Q, K> {
    /// One question after another; those with an answer too where they are asked `again`.
    fn round(&mut self, fields: &[Field], again: bool) -> Result<(), AskError> {
        let (mut at, mut rest, mut back) = (0, false, false);
        let mut asked = Vec::new();
        while let Some(field) = fields.get(at) {
            let answered = self.draft.get(field.name).is_some();
            let left_out = rest && !self.required(*field);
            let by_seat = field.name == "place" && self.draft.get("seat").is_some();
            if by_seat || !(back || again && !rest) && (answered || left_out) {
                at += 1;
                continue;
            }
            match self.question(*field)? {
                Said::Back => {
                    rest = false;
                    match asked.pop() {
                        Some(before) => at = before,
                        None => writeln!(self.questions, "  this is the first question")?,
                    }
                    back = true;
                }
                said => {
                    rest |= matches!(said, Said::Rest);
                    asked.push(at);
                    at += 1;
                    back = false;
                    (self.keep)(&self.draft);
                }
            }
        }
        Ok(())
    }

    fn required(&self, field: Field) -> bool {
        field.required && !(field.name == "place" && self.draft.get("seat").is_some())
    }

    /// One question until its answer is understood.
    fn question(&mut self, field: Field) -> Result<Said, AskError> {
        let required = self.required(field);
        loop {
            let now = self.draft.get(field.name).map(str::to_owned);
            let shown = now
                .as_ref()
                .map_or(String::new(), |now| format!(" [{now}]"));
            let star = if required { " *" } else { "" };
            let names = known(field, self.gate);
            write!(self.questions, "{}{names}{star}{shown}: ", field.ask)?;
            self.questions.flush()?;
            let mut text = String::new();
            if self.answers.read_line(&mut text)? == 0 {
                return Err(AskError::Ended(field.name));
            }
            let mut tried = self.draft.clone();
            match text.trim() {
                "<" => return Ok(Said::Back),
                "." if !required || now.is_some() => return Ok(Said::Rest),
                "" if now.is_some() || !required => return Ok(Said::Answer),
                "" => writeln!(self.questions, "  every entry needs it")?,
                "-" if now.is_some() && required => {
                    writeln!(self.questions, "  every entry needs it")?;
                }
                "-" if now.is_some() => {
                    // The names come from the list of fields, here and below.
                    let _ = self.draft.set(field.name, "");
                    return Ok(Said::Answer);
                }
                text => {
                    let _ = tried.set(field.name, text);
                    if field.name == "seat" {
                        let _ = tried.set("place", "");
                    }
                    match problem(&tried, field, self.gate) {
                        None => {
                            self.draft = tried;
                            return Ok(Said::Answer);
                        }
                        Some(message) => writeln!(self.questions, "  {message}")?,
                    }
                }
            }
        }
    }
}

/// What is wrong with this answer, the fields not asked for yet left aside.
fn problem(draft: &Draft, field: Field, gate: &Gate) -> Option<String> {
    let mut whole = draft.clone();
    let place = gate
        .names
        .places
        .first()
        .map(|place| place.id.clone())
        .unwrap_or_default();
    let subject = gate
        .names
        .subjects
        .first()
        .map(|subject| subject.id.clone())
        .unwrap_or_default();
    let stand_ins = [
        ("when", gate.now.to_string()),
        ("place", place),
        ("subject", subject),
        ("outcome", "called off".to_owned()),
    ];
    let from_seat = draft.get("seat").is_some();
    for (name, text) in stand_ins {
        if whole.get(name).is_none() && !(name == "place" && from_seat) {
            let _ = whole.set(name, &text);
        }
    }
    let problems = gate.accept(&whole).err()?;
    problems
        .into_iter()
        .find(|problem| problem.field == field.name)
        .map(|problem| problem.message)
}

/// The names that can be given, where there are few.
fn known(field: Field, gate: &Gate) -> String {
    let names: Vec<&str> = match field.name {
        "place" => gate
            .names
            .places
            .iter()
            .map(|place| place.id.as_str())
            .collect(),
        "seat" => gate
            .names
            .seats
            .iter()
            .map(|seat| seat.seat.id.as_str())
            .collect(),
        "subject" => gate
            .names
            .subjects
            .iter()
            .map(|subject| subject.id.as_str())
            .collect(),
        _ => return String::new(),
    };
    if names.len() > 12 {
        String::new()
    } else {
        format!(" ({})", names.join(", "))
    }
}
