//! Allocates the visits of a season to the pictures that are wanted.

use std::process::ExitCode;

fn main() -> ExitCode {
    wrackline_programs::project::main()
}
