//! Writes the card of one outing: a page for paper and for a phone without signal.

use std::process::ExitCode;

fn main() -> ExitCode {
    wrackline_programs::card::main()
}
