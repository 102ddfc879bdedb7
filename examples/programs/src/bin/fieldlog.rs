//! Keeps and questions the field log.

use std::process::ExitCode;

fn main() -> ExitCode {
    wrackline_programs::fieldlog::main()
}
