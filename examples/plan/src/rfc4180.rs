//! CSV as RFC 4180 has it: quotes where needed, lines ended by CR and LF.

use std::borrow::Cow;
use std::io::Write;

/// A writer of such CSV.
pub fn writer<W: Write>(out: W) -> csv::Writer<W> {
    csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(out)
}

/// What ends a line.
pub const LINE_END: &str = "\r\n";

/// A text as a field, for whoever writes too many rows for a [`writer`]: in quotes where it must
/// be.
///
/// ```
/// use wrackline_plan::rfc4180::field;
/// assert_eq!(field("two, or \"three\""), "\"two, or \"\"three\"\"\"");
/// ```
pub fn field(text: &str) -> Cow<'_, str> {
    if text.contains([',', '"', '\r', '\n']) || text != text.trim() {
        Cow::Owned(format!("\"{}\"", text.replace('"', "\"\"")))
    } else {
        Cow::Borrowed(text)
    }
}

/// Whether a table calculator would take a text for a formula, apostrophes before it aside.
fn is_armed(text: &str) -> bool {
    text.trim_start_matches('\'')
        .starts_with(['=', '+', '-', '@'])
}

/// A text as a cell in which no table calculator sees a formula: one more apostrophe stands before
/// one that begins like a formula. Cells of numbers are written as they are.
///
/// ```
/// use wrackline_plan::rfc4180::{arm, disarm};
/// assert_eq!(disarm("=1+1"), "'=1+1");
/// assert_eq!(disarm("two's a pair"), "two's a pair");
/// assert_eq!(arm(&disarm("'=1+1")), "'=1+1");
/// ```
pub fn disarm(text: &str) -> Cow<'_, str> {
    if is_armed(text) {
        Cow::Owned(format!("'{text}"))
    } else {
        Cow::Borrowed(text)
    }
}

/// The text that [`disarm`] made a cell of.
pub fn arm(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(text) if is_armed(text) => text,
        _ => cell,
    }
}
