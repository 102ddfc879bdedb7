//! Lines of TOML: texts in quotes, comments, and lines that wait to be filled in.

use std::fmt::Write;

/// Columns of a line, as in the demo; our default.
const WIDTH: usize = 100;

/// A line to be filled in, with what it means beside it, or over it where that is long. It is no
/// TOML until it is filled in, so that nobody takes a stand-in for a fact.
pub(super) fn unknown(out: &mut String, field: &str, meaning: &str) -> std::fmt::Result {
    let one = format!("# {field} = ?  # {meaning}");
    if one.chars().count() <= WIDTH {
        return writeln!(out, "{one}");
    }
    let mut line = String::from("#");
    for word in format!("{field}: {meaning}").split(' ') {
        if line.chars().count() + 1 + word.chars().count() > WIDTH {
            writeln!(out, "{line}")?;
            line = String::from("#");
        }
        line.push(' ');
        line.push_str(word);
    }
    writeln!(out, "{line}\n# {field} = ?")
}

/// A text in quotes, as TOML takes it.
pub(super) fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            c if c.is_control() => {
                let _ = write!(quoted, "\\u{:04X}", u32::from(c));
            }
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}

/// A text within a comment, which ends with its line and holds no control characters.
pub(super) fn comment(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}
