//! Outputs and inputs that are no plain files.

use std::fs;
use std::os::unix::fs::{FileTypeExt, PermissionsExt, symlink};
use std::path::Path;
use std::process::{Command, Stdio};

use crate::{names, program, run, said};

/// What writes a file here, with the option that names it last.
const WRITERS: [(&str, &[&str]); 3] = [
    ("tidetable", &["--from", "2026-12-29", "--output"]),
    (
        "season",
        &[
            "--from",
            "2026-12-20",
            "--days",
            "10",
            "--format",
            "csv",
            "--output",
        ],
    ),
    (
        "visibility",
        &["--from", "2026-12-29", "--step", "6h", "--output"],
    ),
];

/// What it writes to the standard output.
fn plain(name: &str, arguments: &[&str], folder: &Path) -> Vec<u8> {
    let output = run(name, folder, &arguments[..arguments.len() - 1]);
    assert!(output.status.success(), "{}", said(&output));
    output.stdout
}

fn pipe(path: &Path) {
    assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
}

#[test]
fn pipes_links_and_devices_stay_what_they_are() {
    for (name, arguments) in WRITERS {
        let folder = tempfile::tempdir().unwrap();
        let folder = folder.path();
        let wanted = plain(name, arguments, folder);
        assert!(!wanted.is_empty());
        let to = |to: &'static str| [arguments, &[to]].concat();

        pipe(&folder.join("pipe"));
        let child = program(name, folder)
            .args(to("pipe"))
            .stderr(Stdio::null())
            .spawn();
        assert!(
            fs::read(folder.join("pipe")).unwrap() == wanted,
            "{name}: pipe"
        );
        assert!(child.unwrap().wait().unwrap().success());
        assert!(
            fs::metadata(folder.join("pipe"))
                .unwrap()
                .file_type()
                .is_fifo()
        );

        // A link to a file, there already and private, and to one that is not there yet.
        fs::create_dir(folder.join("away")).unwrap();
        let there = folder.join("away/there.csv");
        symlink("away/there.csv", folder.join("link.csv")).unwrap();
        for _ in 0..2 {
            let output = run(name, folder, &to("link.csv"));
            assert!(output.status.success(), "{name}: {}", said(&output));
            assert!(
                fs::symlink_metadata(folder.join("link.csv"))
                    .unwrap()
                    .is_symlink()
            );
            assert!(fs::read(&there).unwrap() == wanted, "{name}: link");
            fs::set_permissions(&there, fs::Permissions::from_mode(0o600)).unwrap();
        }
        assert_eq!(
            fs::metadata(&there).unwrap().permissions().mode() & 0o777,
            0o600
        );
        assert_eq!(names(&folder.join("away")), ["there.csv"]);

        // What the shell has open is written to, and a file behind it keeps what it holds.
        let shell = fs::File::create(folder.join("shell")).unwrap();
        let mut command = program(name, folder);
        command
            .args(to("/dev/stdout"))
            .stdout(shell)
            .stderr(Stdio::null());
        assert!(command.status().unwrap().success());
        assert!(
            fs::read(folder.join("shell")).unwrap() == wanted,
            "{name}: /dev/stdout"
        );

        assert!(run(name, folder, &to("/dev/null")).status.success());
        assert!(!fs::metadata("/dev/null").unwrap().is_file());

        let refused = run(name, folder, &to("away"));
        assert_eq!(refused.status.code(), Some(1), "{name}");
        assert!(
            said(&refused).contains("it is a folder; name a file"),
            "{}",
            said(&refused)
        );
        let refused = run(name, folder, &to("nowhere/t.csv"));
        assert_eq!(refused.status.code(), Some(1), "{name}");
        assert!(
            said(&refused).contains("its folder is not there"),
            "{}",
            said(&refused)
        );
    }
}

#[test]
fn a_table_whose_format_nobody_named_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["table", "table.txt", "table.cvs"] {
        let output = run("visibility", folder.path(), &["--output", name]);
        assert_eq!(output.status.code(), Some(2));
        assert!(said(&output).contains("--format"), "{}", said(&output));
        assert!(names(folder.path()).is_empty());
    }
    let arguments = ["--step", "6h", "--output", "table.txt", "--format", "csv"];
    assert!(
        run("visibility", folder.path(), &arguments)
            .status
            .success()
    );
}

/// An include that is a pipe would be waited for; the scenario itself may come through one.
#[test]
fn what_a_scenario_includes_is_a_file() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    pipe(&folder.join("pipe.toml"));
    fs::write(folder.join("main.toml"), "include = [\"pipe.toml\"]\n").unwrap();
    let refused = run("season", folder, &["main.toml", "--check"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(
        said(&refused).contains("it is not a file"),
        "{}",
        said(&refused)
    );

    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo/oskerrow.toml");
    let demo = fs::read_to_string(demo).unwrap();
    let child = program("season", folder)
        .args(["pipe.toml", "--check"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    fs::write(folder.join("pipe.toml"), demo).unwrap();
    let output = child.wait_with_output().unwrap();
    // It stands alone: whatever it includes does not lie here.
    assert!(!said(&output).contains("not a file"), "{}", said(&output));
}
