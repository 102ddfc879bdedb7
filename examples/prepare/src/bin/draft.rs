//! Drafts a scenario from waypoints.

use std::process::ExitCode;

fn main() -> ExitCode {
    wrackline_prepare::draft::main()
}
