//! Completions for shells and manual pages of all programs, from their own descriptions.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{CommandFactory, Parser};
use clap_complete::{Shell, generate};
use clap_mangen::Man;

use crate::arguments;
use wrackline_programs::cli::{self, Failure};
use wrackline_programs::files;

/// Writes, for every program, completions for bash, zsh and fish and a manual page into one folder.
#[derive(Parser)]
#[command(name = "completions", version)]
struct Arguments {
    /// Folder to write into, made where it is not there; files of the same names are replaced
    #[arg(long, value_name = "FOLDER")]
    output: PathBuf,
}

/// The shells that completions are written for.
const SHELLS: [Shell; 3] = [Shell::Bash, Shell::Zsh, Shell::Fish];

/// What every program can be told.
pub fn programs() -> Vec<clap::Command> {
    let mut all = wrackline_programs::commands();
    all.extend(wrackline_prepare::commands());
    all.extend([arguments::Arguments::command(), Arguments::command()]);
    all
}

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("completions", |out| {
        use std::io::Write;
        let folder = &arguments.output;
        std::fs::create_dir_all(folder)
            .map_err(|error| Failure::input(format!("{}: {error}", folder.display())))?;
        for mut program in programs() {
            let name = program.get_name().to_owned();
            for shell in SHELLS {
                let mut script = Vec::new();
                generate(shell, &mut program, &name, &mut script);
                let path = folder.join(clap_complete::Generator::file_name(&shell, &name));
                files::replace_file(&path, &script)?;
                writeln!(out, "{}", path.display())?;
            }
            let mut page = Vec::new();
            Man::new(program).render(&mut page)?;
            let path = folder.join(format!("{name}.1"));
            files::replace_file(&path, &page)?;
            writeln!(out, "{}", path.display())?;
        }
        Ok(())
    })
}
