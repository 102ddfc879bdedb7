//! The skyline around a seat, from elevation data.

use std::process::ExitCode;

fn main() -> ExitCode {
    wrackline_prepare::horizon::main()
}
