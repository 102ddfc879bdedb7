//! CSV as RFC 4180 has it: quotes where needed, lines ended by CR and LF.

use std::io::Write;

/// A writer of such CSV.
pub fn writer<W: Write>(out: W) -> csv::Writer<W> {
    csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(out)
}
