//! Finds harmonic constants in readings of the water level.

use std::process::ExitCode;

fn main() -> ExitCode {
    wrackline_programs::harmonics::main()
}
