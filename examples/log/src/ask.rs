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

/// Asks for every field that `draft` does not have, and again when an answer makes no sense. An
/// empty answer leaves a field out; a single dot leaves out all the rest.
///
/// # Errors
/// Answers that end too early.
pub fn ask(
    mut draft: Draft,
    gate: &Gate,
    answers: &mut impl BufRead,
    questions: &mut impl Write,
) -> Result<Draft, AskError> {
    writeln!(
        questions,
        "Empty answers leave a field out; a single dot leaves out the rest."
    )?;
    let mut rest = false;
    for field in FIELDS {
        if draft.get(field.name).is_some() || (rest && !field.required) {
            continue;
        }
        // A seat says where it is.
        if field.name == "place" {
            continue;
        }
        rest |= answer(&mut draft, field, gate, answers, questions)?;
        if field.name == "seat" && draft.get("place").is_none() && draft.get("seat").is_none() {
            let place = FIELDS.iter().find(|field| field.name == "place");
            if let Some(place) = place {
                answer(&mut draft, *place, gate, answers, questions)?;
            }
        }
    }
    Ok(draft)
}

/// One question until its answer is understood; true when the rest is to be left out.
fn answer(
    draft: &mut Draft,
    field: Field,
    gate: &Gate,
    answers: &mut impl BufRead,
    questions: &mut impl Write,
) -> Result<bool, AskError> {
    let required = field.required && !(field.name == "place" && draft.get("seat").is_some());
    loop {
        write!(
            questions,
            "{}{}{}: ",
            field.ask,
            known(field, gate),
            if required { " *" } else { "" }
        )?;
        questions.flush()?;
        let mut text = String::new();
        if answers.read_line(&mut text)? == 0 {
            return Err(AskError::Ended(field.name));
        }
        let text = text.trim();
        if text == "." && !required {
            return Ok(true);
        }
        if text.is_empty() {
            if required {
                writeln!(questions, "  every entry needs it")?;
                continue;
            }
            return Ok(false);
        }
        let mut tried = draft.clone();
        // The name comes from the list of fields.
        let _ = tried.set(field.name, text);
        match problem(&tried, field, gate) {
            None => {
                *draft = tried;
                return Ok(false);
            }
            Some(message) => writeln!(questions, "  {message}")?,
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
