//! What the tests share.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use tempfile::TempDir;

/// A folder that goes away with the test, and a path in it.
pub(crate) fn room(name: &str) -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    (folder, path)
}

/// Runs the program in a folder.
pub(crate) fn fieldlog(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fieldlog"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .unwrap()
}

pub(crate) fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}
