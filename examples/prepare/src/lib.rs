//! The programs that make a scenario out of what somebody owns already.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod draft;
pub mod presence;

use clap::CommandFactory;

/// What each of these programs can be told, for completions and manual pages.
pub fn commands() -> Vec<clap::Command> {
    vec![draft::Arguments::command(), presence::Arguments::command()]
}
