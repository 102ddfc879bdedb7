//! Tries seats all around a place, before a hide is built.

use std::process::ExitCode;

fn main() -> ExitCode {
    wrackline_programs::sweep::main()
}
