//! Takes a claim of reach apart.

mod flags;

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Parser, ValueEnum};
use wrackline_files::texts;
use wrackline_plan::reach::Question;
use wrackline_show::reach;

use self::flags::{Flags, of_flags};
use crate::cli::{self, Failure};
use crate::files;

/// Takes a claim of reach apart: framing, pixels, detail, light, depth of field and background,
/// each with its own verdict.
///
/// Without arguments it judges an invented claim. Give two kits, or a kit and a claim, by a TOML
/// file (see demo/reach.toml) or by flags.
#[derive(Parser)]
#[command(name = "reach", version)]
pub(crate) struct Arguments {
    /// Question (TOML); the flags below when left out
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
            Some(_) if arguments.flags.ask() => {
                return Err(Failure::input(
                    "a file and flags of a kit are both given: keep one of them",
                ));
            }
            Some(path) => read(path)?,
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

/// Reads a question from a TOML file.
///
/// # Errors
/// A message with file, line and column, value and valid range.
fn read(path: &Path) -> Result<Question, Failure> {
    let name = path.display().to_string();
    let text = texts::read(path).map_err(|error| {
        Failure::input(format!(
            "{name}: cannot be read: {error}; give the path of a TOML file with a question of reach"
        ))
    })?;
    Ok(Question::parse(&name, &text)?)
}
