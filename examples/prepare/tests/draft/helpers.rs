//! What the tests of the program share.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use wrackline_plan::scenario::{DEMO, Scenario};

/// The six waypoints of the demo.
pub(crate) fn demo() -> String {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../demo/waypoints.gpx")
        .to_str()
        .unwrap()
        .to_owned()
}

/// A folder with the port and the animals of the demo as parts of a scenario.
pub(crate) fn room() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let part = |from: &str, to: &str| {
        let (start, end) = (DEMO.find(from).unwrap(), DEMO.find(to).unwrap());
        DEMO[start..end].to_owned()
    };
    let write = |name: &str, text: String| std::fs::write(folder.path().join(name), text).unwrap();
    write("port.toml", part("[port]", "# How far the water"));
    let ends = DEMO.find("[[closure]]").unwrap();
    let starts = DEMO.find("[[subject]]").unwrap();
    write("animals.toml", DEMO[starts..ends].to_owned());
    folder
}

/// Runs it in a folder, with an input.
pub(crate) fn run(folder: &Path, arguments: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_draft"))
        .current_dir(folder)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // What ends before it reads closes the pipe.
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    child.wait_with_output().unwrap()
}

/// What it prints and says when all goes well.
#[track_caller]
pub(crate) fn done(output: &Output) -> (String, String) {
    let said = String::from_utf8(output.stderr.clone()).unwrap();
    assert!(output.status.success(), "{said}");
    (String::from_utf8(output.stdout.clone()).unwrap(), said)
}

/// What it says when it refuses: exit code 2, and nothing printed.
#[track_caller]
pub(crate) fn refused(output: &Output) -> String {
    let said = String::from_utf8(output.stderr.clone()).unwrap();
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(output.stdout.is_empty());
    said
}

/// The files of a folder, without those that were there from the start.
pub(crate) fn written(folder: &Path) -> Vec<String> {
    let names = std::fs::read_dir(folder).unwrap();
    let names = names.map(|item| item.unwrap().file_name().into_string().unwrap());
    let mut names: Vec<String> = names
        .filter(|name| name != "port.toml" && name != "animals.toml")
        .collect();
    names.sort();
    names
}

pub(crate) fn open(folder: &Path, name: &str) -> Scenario {
    let path: PathBuf = folder.join(name);
    Scenario::open(&path).unwrap_or_else(|problems| panic!("{problems}"))
}
