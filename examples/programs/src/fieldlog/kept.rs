//! An entry that was not finished, kept beside the log until it is.

use std::collections::BTreeMap;
use std::io::{BufRead, Write};

use wrackline_log::{Draft, FIELDS};

use crate::cli::Failure;
use crate::kept::Kept;

/// Keeps what there is of it.
pub(super) fn keep(kept: &Kept, draft: &Draft) {
    let texts: BTreeMap<&str, &str> = FIELDS
        .iter()
        .filter_map(|field| Some((field.name, draft.get(field.name)?)))
        .collect();
    if !texts.is_empty() {
        kept.keep(&texts);
    }
}

/// The entry of last time, if there is one and it is wanted.
pub(super) fn take_up(
    kept: &Kept,
    answers: &mut impl BufRead,
    questions: &mut impl Write,
) -> Result<Draft, Failure> {
    let Some(draft) = read(kept) else {
        return Ok(Draft::default());
    };
    let told = FIELDS.iter().filter_map(|field| draft.get(field.name));
    let told: Vec<&str> = told.collect();
    let what = format!("An entry was not finished: {}", told.join(", "));
    let goes_on = kept.goes_on(&what, answers, questions)?;
    Ok(if goes_on { draft } else { Draft::default() })
}

/// What the file holds of an entry; nothing where it is no such file.
fn read(kept: &Kept) -> Option<Draft> {
    let texts: BTreeMap<String, String> = kept.read()?;
    let mut draft = Draft::default();
    for (name, text) in texts {
        draft.set(&name, &text).ok()?;
    }
    (!draft.is_empty()).then_some(draft)
}
