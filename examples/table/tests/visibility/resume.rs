//! A run that was cut short is taken up again: nothing is computed or written twice, and the bytes
//! are those of one run.

use std::fs;
use std::io::Write as _;
use std::path::Path;

use wrackline_table::{Done, Error, Format, Output, Progress, Table, write};

use crate::{bytes_of, demo_spec};

fn table() -> Table {
    let mut spec = demo_spec("2026-11-01T00:00:00Z", 2);
    spec.group_rows = 100;
    Table::new(spec).unwrap()
}

fn to(path: &Path) -> Output<'static> {
    Output::File {
        path: path.to_owned(),
        restart: false,
    }
}

/// Writes at most so many groups.
fn part(table: &Table, format: Format, path: &Path, groups: usize) -> (Done, Vec<Progress>) {
    let mut heard = Vec::new();
    let done = write(table, format, 3, to(path), &mut |now| {
        heard.push(now);
        heard.len() <= groups
    });
    (done.unwrap(), heard)
}

const FORMATS: [Format; 4] = [Format::Csv, Format::Jsonl, Format::Arrow, Format::Parquet];

#[test]
fn the_finished_part_is_kept_and_the_rest_is_added() {
    let table = table();
    for format in FORMATS {
        let whole = bytes_of(&table, format, 1);
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("t");
        let (done, heard) = part(&table, format, &path, 5);
        assert!(matches!(done, Done::Stopped(_)));
        assert_eq!(heard.len(), 6);
        assert!(
            !path.exists(),
            "an unfinished table must not stand under its name"
        );
        let finished = heard[5].rows;
        assert!(finished > 0 && finished < table.rows());

        let (done, heard) = part(&table, format, &path, usize::MAX);
        let Done::Whole(written) = done else {
            panic!("{done:?}")
        };
        assert_eq!(
            (written.rows, written.rows_before),
            (table.rows(), finished)
        );
        // Once at the start, and once for each group that was not there.
        assert_eq!(heard.len(), 1 + table.groups() - 5);
        assert_eq!(heard[0].rows, finished);
        assert!(fs::read(&path).unwrap() == whole, "{format:?}");
        assert_eq!(
            fs::read_dir(folder.path()).unwrap().count(),
            1,
            "something was left behind"
        );
    }
}

#[test]
fn torn_ends_are_cut_off_and_damaged_groups_made_anew() {
    let table = table();
    let whole = bytes_of(&table, Format::Parquet, 1);
    type Damage = fn(&Path, &Path);
    let cases: [(&str, Damage); 4] = [
        ("half a group without its line", |unfinished, _| {
            append(unfinished, b"half a group")
        }),
        ("half a line", |_, groups| {
            append(groups, b"{\"group\":5,\"end\":99")
        }),
        ("a line without its bytes", |unfinished, _| {
            let file = fs::OpenOptions::new().write(true).open(unfinished).unwrap();
            file.set_len(file.metadata().unwrap().len() - 10).unwrap();
        }),
        ("a changed byte", |unfinished, _| {
            let mut bytes = fs::read(unfinished).unwrap();
            let middle = bytes.len() / 2;
            bytes[middle] ^= 1;
            fs::write(unfinished, bytes).unwrap();
        }),
    ];
    for (name, damage) in cases {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("t.parquet");
        part(&table, Format::Parquet, &path, 5);
        damage(
            &folder.path().join("t.parquet.unfinished"),
            &folder.path().join("t.parquet.groups"),
        );
        part(&table, Format::Parquet, &path, usize::MAX);
        assert!(fs::read(&path).unwrap() == whole, "{name}");
    }
}

fn append(path: &Path, bytes: &[u8]) {
    fs::OpenOptions::new()
        .append(true)
        .open(path)
        .unwrap()
        .write_all(bytes)
        .unwrap();
}

#[test]
fn another_request_does_not_go_on_with_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("t.csv");
    part(&table(), Format::Csv, &path, 5);
    let mut spec = table().spec().clone();
    spec.places.spots[0].levels.push_m = Some(6.81);
    let other = Table::new(spec).unwrap();
    let refused = write(&other, Format::Csv, 1, to(&path), &mut |_| true);
    assert!(matches!(refused, Err(Error::OtherRequest { .. })));
    let restarted = Output::File {
        path: path.clone(),
        restart: true,
    };
    let done = write(&other, Format::Csv, 1, restarted, &mut |_| true).unwrap();
    assert!(matches!(done, Done::Whole(written) if written.rows_before == 0));
    assert!(fs::read(&path).unwrap() == bytes_of(&other, Format::Csv, 1));
}

#[test]
fn a_finished_table_is_replaced_only_when_the_next_is_whole() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("t.csv");
    fs::write(&path, "the old table").unwrap();
    part(&table(), Format::Csv, &path, 3);
    assert_eq!(fs::read_to_string(&path).unwrap(), "the old table");
    part(&table(), Format::Csv, &path, usize::MAX);
    assert!(fs::read(&path).unwrap() == bytes_of(&table(), Format::Csv, 1));
}

#[test]
fn two_runs_do_not_write_the_same_table() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("t.csv");
    let table = table();
    let mut second = None;
    write(&table, Format::Csv, 1, to(&path), &mut |_| {
        second.get_or_insert_with(|| {
            write(&table, Format::Csv, 1, to(&path), &mut |_| true).is_err()
        });
        true
    })
    .unwrap();
    assert_eq!(second, Some(true));
}

#[test]
fn a_foreign_file_of_the_name_is_left_alone() {
    let table = table();
    let cases: [(&str, &str, &[u8]); 4] = [
        ("t.csv.unfinished", "notes of somebody", b""),
        ("t.csv.groups", "notes of somebody", b""),
        // A finished table of before: it begins as this one does, and no record stands beside it.
        ("t.csv.unfinished", "", b""),
        ("t.csv.unfinished", "notes of somebody", b"our record"),
    ];
    for (name, text, record) in cases {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("t.csv");
        let foreign = folder.path().join(name);
        if !record.is_empty() {
            part(&table, Format::Csv, &path, 2);
        }
        let bytes = match text {
            "" => bytes_of(&table, Format::Csv, 1),
            text => text.as_bytes().to_vec(),
        };
        fs::write(&foreign, &bytes).unwrap();
        let refused = write(&table, Format::Csv, 1, to(&path), &mut |_| true).unwrap_err();
        assert!(matches!(&refused, Error::Foreign { path } if *path == foreign));
        assert!(refused.is_input() && refused.to_string().contains("--restart"));
        assert!(fs::read(&foreign).unwrap() == bytes, "{name}");
        assert!(!path.exists());
        let restarted = Output::File {
            path: path.clone(),
            restart: true,
        };
        write(&table, Format::Csv, 1, restarted, &mut |_| true).unwrap();
        assert!(fs::read(&path).unwrap() == bytes_of(&table, Format::Csv, 1));
    }
}

#[cfg(unix)]
#[test]
fn a_table_stays_as_private_as_it_was() {
    use std::os::unix::fs::PermissionsExt;
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    for private in [0o600, 0o400, 0o640] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("t.csv");
        fs::write(&path, "the old table").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(private)).unwrap();
        part(&table(), Format::Csv, &path, 3);
        for unfinished in ["t.csv.unfinished", "t.csv.groups"] {
            assert_eq!(mode(&folder.path().join(unfinished)), private | 0o600);
        }
        part(&table(), Format::Csv, &path, usize::MAX);
        assert_eq!(mode(&path), private);
    }
}

/// A run that opened the record just before another finished holds a file without a name, and must
/// not go on with it.
#[test]
fn runs_that_follow_hard_upon_one_another_all_end_whole() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("t.csv");
    let table = table();
    let whole = bytes_of(&table, Format::Csv, 1);
    std::thread::scope(|scope| {
        for _ in 0..4 {
            scope.spawn(|| {
                for _ in 0..12 {
                    match write(&table, Format::Csv, 1, to(&path), &mut |_| true) {
                        Ok(_) | Err(Error::Busy { .. }) => {}
                        Err(error) => panic!("{error}"),
                    }
                    if path.exists() {
                        assert!(fs::read(&path).unwrap() == whole);
                    }
                }
            });
        }
    });
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[cfg(unix)]
#[test]
fn a_link_stays_and_a_device_is_no_file() {
    let folder = tempfile::tempdir().unwrap();
    let (link, there) = (folder.path().join("link.csv"), folder.path().join("t.csv"));
    std::os::unix::fs::symlink("t.csv", &link).unwrap();
    part(&table(), Format::Csv, &link, 3);
    assert!(folder.path().join("t.csv.unfinished").exists());
    part(&table(), Format::Csv, &link, usize::MAX);
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert!(fs::read(&there).unwrap() == bytes_of(&table(), Format::Csv, 1));
    let device = to(Path::new("/dev/null"));
    let refused = write(&table(), Format::Csv, 1, device, &mut |_| true).unwrap_err();
    assert!(!refused.is_input() && refused.to_string().contains("a pipe or a device"));
}
