//! Tables of light, moon and tide for many places at many instants.

use std::process::ExitCode;

fn main() -> ExitCode {
    wrackline_visibility::program::main()
}
