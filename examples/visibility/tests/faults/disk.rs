//! Disks without room, folders that may not be written, logs that are not what they were.

use std::fs;
use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::{Command, Output};

use crate::{VISIT, entries, names, program, run, said};

/// Fails of the file: exit code 1, words that say what to do, and none of the database's own.
fn told(output: &Output, words: &str) {
    let said = said(output);
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(said.contains(words), "{said}");
    for word in [
        "SELECT", "INSERT", "sqlite", "no such", "os error", "code 1",
    ] {
        assert!(
            !said.replace(".sqlite", "").contains(word),
            "{word}: {said}"
        );
    }
}

fn log_in(folder: &Path) {
    fs::write(folder.join("few.csv"), entries("few", 20, 300)).unwrap();
    fs::write(folder.join("many.csv"), entries("many", 3000, 300)).unwrap();
    let output = run("fieldlog", folder, &["import", "few.csv"]);
    assert!(output.status.success(), "{}", said(&output));
}

fn shown(folder: &Path) -> Vec<u8> {
    let output = run("fieldlog", folder, &["export"]);
    assert!(output.status.success(), "{}", said(&output));
    output.stdout
}

/// Runs a program whose files may not grow beyond so many blocks of the shell.
fn limited(name: &str, folder: &Path, blocks: u32, arguments: &[&str]) -> Output {
    let path = program(name, folder).get_program().to_owned();
    Command::new("sh")
        .current_dir(folder)
        // Without the trap the signal would end the program before it can say anything.
        .args([
            "-c",
            &format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$@\""),
            "sh",
        ])
        .arg(path)
        .args(arguments)
        .output()
        .unwrap()
}

#[test]
fn a_file_that_may_not_grow_leaves_all_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    log_in(folder);
    let before = shown(folder);
    let output = limited("fieldlog", folder, 400, &["import", "many.csv"]);
    told(
        &output,
        "the log cannot be written, and holds what it held before",
    );
    assert!(shown(folder) == before);
    assert!(run("fieldlog", folder, &["verify"]).status.success());

    fs::write(folder.join("card.html"), "the old card").unwrap();
    let arguments = [
        "--date",
        "2026-12-29",
        "--seat",
        "B",
        "--output",
        "card.html",
    ];
    let output = limited("card", folder, 4, &arguments);
    told(
        &output,
        "card.html: the system does not let your files grow so large",
    );
    assert_eq!(
        fs::read_to_string(folder.join("card.html")).unwrap(),
        "the old card"
    );

    let request = [
        "--from",
        "2026-12-01",
        "--to",
        "2026-12-20",
        "--step",
        "10m",
        "--output",
        "t.csv",
    ];
    let output = limited("visibility", folder, 400, &request);
    told(&output, "kept: give the same command again");
    assert!(!folder.join("t.csv").exists());
    assert!(run("visibility", folder, &request).status.success());
    let left = [
        "card.html",
        "few.csv",
        "fieldlog.sqlite",
        "many.csv",
        "t.csv",
    ];
    assert_eq!(names(folder), left);
}

#[cfg(target_os = "linux")]
#[test]
fn a_device_without_room_is_told() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["card", "tidetable", "visibility"] {
        let output = run(name, folder.path(), &["--output", "/dev/full"]);
        told(&output, "there is no room left; make room and do it again");
    }
}

/// A small file system of its own, where this user may mount one: in a room that ends with the
/// shell.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_log_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    log_in(folder);
    fs::create_dir(folder.join("small")).unwrap();
    let script = "mount -t tmpfs -o size=256k tmpfs small || exit 77
        cp few.csv small && cd small
        \"$1\" import few.csv || exit 78
        \"$1\" import ../many.csv; echo \"ended $?\" >&2
        \"$1\" verify >&2; \"$1\" export | cmp - ../before.csv || exit 79
        \"$1\" add --id later --when 2026-02-01 --place tallow-ness \
            --subject slate-knotling --outcome absent >&2";
    fs::write(folder.join("before.csv"), shown(folder)).unwrap();
    let fieldlog = program("fieldlog", folder).get_program().to_owned();
    let output = Command::new("unshare")
        .current_dir(folder)
        .args(["-m", "sh", "-c", script, "sh"])
        .arg(fieldlog)
        .output();
    let Ok(output) = output else {
        println!("not tried: there is no unshare here");
        return;
    };
    let said = said(&output);
    if output.status.code() == Some(77) || said.contains("unshare failed") {
        println!("not tried: nothing can be mounted here");
        return;
    }
    assert!(output.status.success(), "{:?} {said}", output.status);
    assert!(
        said.contains("the disk is full; make room and do it again"),
        "{said}"
    );
    assert!(said.contains("ended 1"), "{said}");
    assert!(
        said.contains("fieldlog.sqlite is whole: 20 entries in 20 revisions."),
        "{said}"
    );
}

/// The same program as a user who owns nothing here; root may write everywhere.
fn as_nobody(mut command: Command) -> Output {
    let root = fs::metadata("/proc/self").is_ok_and(|own| own.uid() == 0);
    if root {
        command.uid(65534).gid(65534);
    }
    command.output().unwrap()
}

#[test]
fn a_log_where_nothing_can_be_written_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let inner = folder.path().join("log");
    fs::create_dir(&inner).unwrap();
    log_in(&inner);
    let before = shown(&inner);
    for path in [folder.path(), &inner] {
        fs::set_permissions(path, fs::Permissions::from_mode(0o555)).unwrap();
    }
    let log = inner.join("fieldlog.sqlite");
    fs::set_permissions(&log, fs::Permissions::from_mode(0o444)).unwrap();
    let run = |arguments: &[&str]| {
        let mut command = program("fieldlog", &inner);
        command.args(arguments);
        as_nobody(command)
    };
    let read = run(&["export"]);
    assert!(read.status.success(), "{}", said(&read));
    assert!(read.stdout == before);
    assert!(run(&["verify"]).status.success());
    let refused = run(&[&["add"][..], &VISIT].concat());
    told(
        &refused,
        "give yourself the right to, or copy the log to a folder of yours",
    );
    let refused = run(&["export", "--out", "e.csv"]);
    told(&refused, "e.csv: it or its folder is not yours to write");
    assert!(shown(&inner) == before);
    for path in [folder.path(), &inner] {
        fs::set_permissions(path, fs::Permissions::from_mode(0o755)).unwrap();
    }
}

#[test]
fn a_log_that_is_not_what_it_was_is_told_by_every_program() {
    let cases = [
        (
            "DROP TABLE conditions",
            "does not have the tables of layout",
        ),
        ("PRAGMA user_version = 99", "use a newer program"),
        (
            "DROP TRIGGER entry_holds; UPDATE entry SET notes = 'x' WHERE id = 'few-3';
             CREATE TRIGGER entry_holds BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, \
             'entries are never changed in place'); END;",
            "entry 'few-3', revision 1: reads otherwise than it was written",
        ),
    ];
    for (sql, words) in cases {
        let folder = tempfile::tempdir().unwrap();
        let folder = folder.path();
        log_in(folder);
        let log = rusqlite::Connection::open(folder.join("fieldlog.sqlite")).unwrap();
        log.execute_batch(sql).unwrap();
        drop(log);
        let before = fs::read(folder.join("fieldlog.sqlite")).unwrap();
        let add = [&["add"][..], &VISIT].concat();
        for arguments in [&["show"][..], &["verify"], &["learn"], &add] {
            told(&run("fieldlog", folder, arguments), words);
        }
        let with_log = ["--log", "fieldlog.sqlite", "--days", "3"];
        told(&run("season", folder, &with_log), words);
        told(&run("visibility", folder, &with_log[..2]), words);
        assert!(fs::read(folder.join("fieldlog.sqlite")).unwrap() == before);
    }
}

#[test]
fn what_is_whole_in_a_damaged_log_is_saved() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    log_in(folder);
    let path = folder.join("fieldlog.sqlite");
    let log = rusqlite::Connection::open(&path).unwrap();
    log.execute_batch("DROP TRIGGER entry_holds; UPDATE entry SET notes = 'x' WHERE id = 'few-3'")
        .unwrap();
    drop(log);
    let saved = run("fieldlog", folder, &["salvage", "--into", "saved.sqlite"]);
    assert!(saved.status.success(), "{}", said(&saved));
    let text = String::from_utf8(saved.stdout).unwrap();
    assert!(
        text.contains("19 revisions are as they were written"),
        "{text}"
    );
    assert!(
        text.contains("\"id\":\"few-3\"") && text.contains("\"notes\":\"x\""),
        "{text}"
    );
    let verified = run("fieldlog", folder, &["--log", "saved.sqlite", "verify"]);
    assert!(verified.status.success(), "{}", said(&verified));
    let again = run("fieldlog", folder, &["salvage", "--into", "saved.sqlite"]);
    assert_eq!(again.status.code(), Some(2), "{}", said(&again));
}
