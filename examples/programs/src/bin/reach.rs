//! Takes a claim of reach apart.

use std::process::ExitCode;

fn main() -> ExitCode {
    wrackline_programs::reach::main()
}
