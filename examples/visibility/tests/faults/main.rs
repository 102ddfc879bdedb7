//! What befalls programs: a kill at any moment, a disk without room, folders that may not be
//! written, outputs that are no files.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod disk;
mod kills;
mod outputs;

use std::path::Path;
use std::process::{Command, Output};

/// A program, to be run in a folder. Those of the other package lie beside this one's, where a
/// build of the whole workspace puts them.
pub(crate) fn program(name: &str, folder: &Path) -> Command {
    let path = Path::new(env!("CARGO_BIN_EXE_visibility")).with_file_name(name);
    assert!(path.exists(), "build the workspace: {}", path.display());
    let mut command = Command::new(path);
    command.current_dir(folder);
    command
}

pub(crate) fn run(name: &str, folder: &Path, arguments: &[&str]) -> Output {
    program(name, folder).args(arguments).output().unwrap()
}

pub(crate) fn said(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Names of all that lies in a folder.
pub(crate) fn names(folder: &Path) -> Vec<String> {
    let items = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = items
        .map(|item| item.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// An entry of a log without a name, of one day.
pub(crate) const VISIT: [&str; 8] = [
    "--when",
    "2026-01-24",
    "--place",
    "tallow-ness",
    "--subject",
    "slate-knotling",
    "--outcome",
    "picture",
];

/// A file of entries whose names begin alike, each with so many letters of notes.
pub(crate) fn entries(prefix: &str, rows: usize, letters: usize) -> String {
    let mut text = "id,when,place,subject,outcome,notes\n".to_owned();
    for row in 0..rows {
        let notes = "n".repeat(letters);
        text += &format!("{prefix}-{row},2026-01-24,tallow-ness,slate-knotling,picture,{notes}\n");
    }
    text
}
