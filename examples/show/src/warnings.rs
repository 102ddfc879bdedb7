//! What is implausible in a scenario, told above the answer that follows from it.

use std::io::{self, Write};

use wrackline_plan::scenario::Warning;

/// The warnings of a scenario, those of a kind together: the first of them, and how many more there
/// are. Twelve seats with one slip are one line to read and not twelve.
pub fn of_a_kind(warnings: &[Warning]) -> Vec<(&Warning, usize)> {
    let kind = |warning: &Warning| {
        let key = warning.field.rsplit(" > ").next().unwrap_or_default();
        (key.to_owned(), warning.remedy.clone())
    };
    let mut kinds: Vec<(&Warning, usize)> = Vec::new();
    for warning in warnings {
        match kinds
            .iter_mut()
            .find(|(first, _)| kind(first) == kind(warning))
        {
            Some((_, more)) => *more += 1,
            None => kinds.push((warning, 0)),
        }
    }
    kinds
}

/// One warning with the number of those like it.
pub fn line((warning, more): (&Warning, usize)) -> String {
    match more {
        0 => warning.to_string(),
        more => format!("{warning} (and {more} more like it)"),
    }
}

/// Writes the warnings for people; nothing where there are none.
///
/// # Errors
/// What the writer refuses.
pub fn write(warnings: &[Warning], out: &mut dyn Write) -> io::Result<()> {
    if warnings.is_empty() {
        return Ok(());
    }
    writeln!(
        out,
        "Warnings: implausible in the scenario, so what follows may be too"
    )?;
    for kind in of_a_kind(warnings) {
        writeln!(out, "  {}", line(kind))?;
    }
    writeln!(out)
}
