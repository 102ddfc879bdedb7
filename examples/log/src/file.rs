//! The file that a log is: whether it can be one, its copies, and its troubles in words.

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags};

use super::error::Error;
use super::migrate::LAYOUT;

/// How long a writer waits for another one.
pub(super) const PATIENCE: Duration = Duration::from_secs(30);

pub(super) fn must_exist(path: &Path) -> Result<(), Error> {
    if path.exists() || !is_file_name(path) {
        return Ok(());
    }
    Err(Error::Missing {
        path: path.to_owned(),
    })
}

/// SQLite takes an empty name, `:memory:` and `file:` for something other than a file of that name.
fn is_file_name(path: &Path) -> bool {
    let name = path.as_os_str().to_string_lossy();
    !(name.is_empty() || name.starts_with(':') || name.starts_with("file:"))
}

/// A connection that cannot write.
pub(super) fn open_to_read(path: &Path) -> rusqlite::Result<Connection> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(path, flags)?;
    connection.busy_timeout(PATIENCE)?;
    keep_plans(&connection)?;
    Ok(connection)
}

/// Has a statement planned once, whatever it is asked with. SQLite would plan anew for each value
/// of some, to see whether another way is better for it: an import of many entries would spend most
/// of its time so, and every entry of a log is found by its name in one way.
pub(super) fn keep_plans(connection: &Connection) -> rusqlite::Result<()> {
    connection
        .set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true)
        .map(drop)
}

pub(super) fn copy(from: &Connection, into: &mut Connection) -> rusqlite::Result<()> {
    let backup = rusqlite::backup::Backup::new(from, into)?;
    backup.run_to_completion(1000, Duration::ZERO, None)
}

/// Copies a log of an older layout beside itself, under a name that is free.
pub(super) fn keep(connection: &Connection, path: &Path, layout: i64) -> Result<PathBuf, Error> {
    let name = |number: u32| {
        let mut name = path.as_os_str().to_owned();
        name.push(format!(".layout-{layout}"));
        if number > 1 {
            name.push(format!("-{number}"));
        }
        PathBuf::from(name)
    };
    let mut number = 1;
    let free = loop {
        let candidate = name(number);
        let made = std::fs::File::create_new(&candidate);
        match made {
            Ok(_) => break candidate,
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => number += 1,
            Err(_) => {
                return Err(Error::Unwritable {
                    path: path.to_owned(),
                    why: "its older layout has to be brought up to date, and there is no room to \
                        keep a copy beside it; make the folder writable, or copy the log to one \
                        that is",
                });
            }
        }
    };
    let done = Connection::open(&free).and_then(|mut kept| copy(connection, &mut kept));
    done.map_err(|source| {
        // Half a copy is none; that it could not be taken away is the smaller trouble.
        let _ = std::fs::remove_file(&free);
        explain(path, source)
    })?;
    Ok(free)
}

/// Refuses a file that is no SQLite database before SQLite gets to touch it.
pub(super) fn look_at_header(path: &Path) -> Result<(), Error> {
    use std::io::Read;
    let say = |source| Error::Io {
        path: path.to_owned(),
        source,
    };
    if !is_file_name(path) {
        return Err(Error::NoFile {
            path: path.to_owned(),
        });
    }
    if path.is_dir() {
        return Err(Error::NotALog {
            path: path.to_owned(),
            found: "a folder".to_owned(),
        });
    }
    let file = match std::fs::File::open(path) {
        Ok(file) => file,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(say(error)),
    };
    let mut header = Vec::new();
    file.take(16).read_to_end(&mut header).map_err(say)?;
    if header.is_empty() || header == b"SQLite format 3\0" {
        return Ok(());
    }
    Err(Error::NotALog {
        path: path.to_owned(),
        found: "not an SQLite file".to_owned(),
    })
}

pub(super) fn explain(path: &Path, source: rusqlite::Error) -> Error {
    use rusqlite::ErrorCode;
    let path = path.to_owned();
    match source.sqlite_error_code() {
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Error::Busy {
            path,
            waited_s: PATIENCE.as_secs(),
        },
        Some(ErrorCode::DatabaseCorrupt) => Error::Damaged {
            path,
            report: "pages that contradict one another".to_owned(),
        },
        Some(ErrorCode::NotADatabase) => Error::NotALog {
            path,
            found: "its pages are not those of an SQLite file".to_owned(),
        },
        Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => Error::Unwritable {
            path,
            why: "the file or its folder may not be changed; give yourself the right to, or copy \
                the log to a folder of yours",
        },
        Some(ErrorCode::CannotOpen) => Error::Unwritable {
            path,
            why: "the file cannot be opened or made; check that its folder is there and yours to \
                write in",
        },
        Some(ErrorCode::DiskFull) => Error::Unwritable {
            path,
            why: "the disk is full; make room and do it again",
        },
        Some(ErrorCode::SystemIoFailure) => Error::Unwritable {
            path,
            why: "the system could not write or read the file; check the disk and its room, and \
                do it again",
        },
        // Statements are this program's own: one that does not fit meets other tables.
        Some(ErrorCode::Unknown) | None => Error::Tables {
            path,
            layout: LAYOUT,
        },
        Some(code) => Error::Database {
            path,
            code: format!("{code:?}"),
        },
    }
}
