//! Completions and manual pages: one command writes them for every program.
#![allow(clippy::unwrap_used)]

use std::process::Command;

const PROGRAMS: [&str; 13] = [
    "card",
    "completions",
    "draft",
    "fieldlog",
    "harmonics",
    "horizon",
    "presence",
    "project",
    "reach",
    "season",
    "sweep",
    "tidetable",
    "visibility",
];

#[test]
fn every_program_has_its_completions_and_its_page() {
    let folder = tempfile::tempdir().unwrap();
    let target = folder.path().join("made").join("here");
    let output = Command::new(env!("CARGO_BIN_EXE_completions"))
        .args(["--output", target.to_str().unwrap()])
        .output()
        .unwrap();
    assert!(output.status.success(), "{output:?}");
    let read = |name: String| std::fs::read_to_string(target.join(name)).unwrap();
    for program in PROGRAMS {
        assert!(read(format!("{program}.bash")).contains("complete -F"));
        assert!(read(format!("_{program}")).starts_with(&format!("#compdef {program}")));
        assert!(read(format!("{program}.fish")).contains(&format!("complete -c {program}")));
        assert!(read(format!("{program}.1")).contains(".SH NAME"));
    }
    assert!(read("season.fish".to_owned()).contains("-l spread"));
    assert!(read("season.1".to_owned()).contains("spread"));
    // No program was forgotten: each is a file of `bin`.
    let here = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let bins = ["src/bin", "../programs/src/bin", "../prepare/src/bin"].map(|bin| here.join(bin));
    let files = bins.iter().flat_map(|bin| std::fs::read_dir(bin).unwrap());
    let stem = |path: std::path::PathBuf| path.file_stem().unwrap().to_str().unwrap().to_owned();
    let mut there: Vec<_> = files.map(|file| stem(file.unwrap().path())).collect();
    there.sort();
    assert_eq!(there, PROGRAMS);
}
