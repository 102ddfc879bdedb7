//! Ranks the outing windows of the coming season.

use std::process::ExitCode;

fn main() -> ExitCode {
    wrackline_programs::season::main()
}
