//! The programs: what each can be told, and what it then does with the rooms below.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod asked;
pub mod card;
pub mod cli;
pub mod fieldlog;
pub mod files;
pub mod harmonics;
pub mod kept;
pub mod project;
pub mod reach;
pub mod reader;
pub mod season;
mod selects;
pub mod sweep;
pub mod tidetable;
mod words;

use clap::CommandFactory;

/// What every program of this package can be told.
pub fn commands() -> Vec<clap::Command> {
    vec![
        season::Arguments::command(),
        card::Arguments::command(),
        sweep::Arguments::command(),
        fieldlog::Arguments::command(),
        project::Arguments::command(),
        reach::Arguments::command(),
        tidetable::Arguments::command(),
        harmonics::Arguments::command(),
    ]
}
