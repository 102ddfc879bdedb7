//! Prints when an animal is present at a place, from what others have recorded.

use std::process::ExitCode;

fn main() -> ExitCode {
    wrackline_prepare::presence::main()
}
