//! Takes a claim of reach apart.

mod flags;
mod of_scenario;

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Parser, ValueEnum};
use wrackline_files::texts;
use wrackline_plan::reach::Question;
use wrackline_plan::scenario::{Scenario, is_a_scenario, read_one};
use wrackline_show::reach;

use self::flags::{Flags, of_flags};
use self::of_scenario::of_scenario;
use crate::cli::{self, Failure};
use crate::files;

/// Takes a claim of reach apart: framing, pixels, detail, light, depth of field and background,
/// each with its own verdict.
///
/// Without arguments it judges an invented claim. Give two kits, or a kit and a claim, by a TOML
/// file (see demo/reach.toml) or by flags. Of a scenario it takes a kit and an animal, at the
/// stand-off distance on foot, and the claim or the other kit from flags:
/// reach my-coast.toml --claim 1260/4
#[derive(Parser)]
#[command(name = "reach", version)]
pub(crate) struct Arguments {
    /// Question or scenario (TOML); the flags below when left out
    question: Option<PathBuf>,
    #[command(flatten)]
    flags: Flags,
    /// What to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
    /// Also draw both frames and the contrast curves into this file (SVG)
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
}

#[derive(Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
enum Format {
    /// Aligned text
    #[default]
    Text,
    /// JSON, with everything that was assumed
    Json,
}

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("reach", |out| {
        let question = match &arguments.question {
            Some(path) => read(path, &arguments.flags)?,
            None if arguments.flags.ask() => of_flags(&arguments.flags)?,
            None => Question::demo()?,
        };
        let answer = question.answer()?;
        let text = match arguments.format {
            Format::Text => reach::text(&answer).map_err(Failure::input)?,
            Format::Json => reach::json(&answer).map_err(Failure::input)?,
        };
        if let Some(path) = &arguments.svg {
            files::replace_file(
                path,
                reach::drawing(&answer).map_err(Failure::input)?.as_bytes(),
            )?;
        }
        out.write_all(text.as_bytes())?;
        Ok(())
    })
}

/// Reads a question from a TOML file: one of its own form, or a scenario.
///
/// # Errors
/// A message with file, line and column, value and valid range.
fn read(path: &Path, flags: &Flags) -> Result<Question, Failure> {
    let name = path.display().to_string();
    let text = texts::read(path).map_err(|error| {
        Failure::input(format!(
            "{name}: cannot be read: {error}; give the path of a TOML file with a question of \
             reach, or of a scenario"
        ))
    })?;
    if is_a_scenario(&text) {
        // Read already: a pipe gives its text once.
        let scenario = Scenario::parse_with(path, &|one| {
            if one == path {
                Ok(text.clone())
            } else {
                read_one(path, one)
            }
        })?;
        cli::warn("reach", &scenario);
        return of_scenario(&scenario, flags);
    }
    if flags.ask() {
        return Err(Failure::input(
            "a file with a question and flags that ask one are both given: keep one of them",
        ));
    }
    Ok(Question::parse(&name, &text)?)
}
