//! Writes completions for shells and manual pages of all programs.

use std::process::ExitCode;

fn main() -> ExitCode {
    wrackline_visibility::completions::main()
}
