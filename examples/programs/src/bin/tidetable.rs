//! Prints a table of high and low waters for a port file.

use std::process::ExitCode;

fn main() -> ExitCode {
    wrackline_programs::tidetable::main()
}
