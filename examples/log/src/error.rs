//! What can go wrong with a log.

use std::path::PathBuf;

use super::problem::Problem;
use super::seal::Flaw;
use wrackline_plan::words::Unknown;

/// Why a log could not be opened, read or written. In every case the file holds what it held
/// before.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// There is no file there yet.
    #[error("{path}: there is no log here yet; `fieldlog add` or `fieldlog import` makes \
        one", path = .path.display())]
    Missing {
        /// The file asked for.
        path: PathBuf,
    },
    /// The file is something else.
    #[error("{path}: not a field log ({found}); it was left alone, name another file with \
        --log", path = .path.display())]
    NotALog {
        /// The file.
        path: PathBuf,
        /// What it seems to be.
        found: String,
    },
    /// The file is a log whose contents contradict themselves.
    #[error(
        "{path}: the log is damaged and was left alone: {report}; restore a copy, or save what is \
         whole with `fieldlog salvage`",
        path = .path.display()
    )]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What the integrity check said.
        report: String,
    },
    /// The file is a log that does not hold what was written to it.
    #[error(
        "{path}: the log is damaged and was left alone:\n{}restore a copy, or save what is whole \
         with `fieldlog salvage`",
        flawed(.flaws),
        path = .path.display()
    )]
    Flawed {
        /// The file.
        path: PathBuf,
        /// Every flaw.
        flaws: Vec<Flaw>,
    },
    /// A damaged log of a layout that does not tell what is whole.
    #[error(
        "{path}: layout {layout} does not tell what is whole: restore a copy, or ask a rescue tool \
         for SQLite files to save what can be read",
        path = .path.display()
    )]
    Unsealed {
        /// The file.
        path: PathBuf,
        /// Its layout version.
        layout: i64,
    },
    /// A file stands where a new log was to be made.
    #[error(
        "{path}: is there already and was left alone; name a file that is not",
        path = .path.display()
    )]
    Taken {
        /// The file.
        path: PathBuf,
    },
    /// The file was written by a later program.
    #[error("{path}: the log has layout {version}, this program knows up to {known}; use a newer \
        program, the file was left alone", path = .path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its layout version.
        version: i64,
        /// The newest layout known here.
        known: i64,
    },
    /// Another program kept the log locked.
    #[error("{path}: another program has been writing to the log for {waited_s} s; try again when \
        it is done", path = .path.display())]
    Busy {
        /// The file.
        path: PathBuf,
        /// How long was waited, seconds.
        waited_s: u64,
    },
    /// The input was not accepted; nothing of it was taken.
    #[error("{}", list(.source_name, .problems))]
    Input {
        /// Where the input came from.
        source_name: String,
        /// Everything that is wrong with it.
        problems: Vec<Problem>,
    },
    /// No entry has this name.
    #[error(transparent)]
    UnknownEntry(Unknown),
    /// A name that SQLite takes for something other than a file, so that nothing would be kept.
    #[error("{path}: is not the name of a file; name one that keeps what is put into it, such as \
        fieldlog.sqlite", path = .path.display())]
    NoFile {
        /// What was given.
        path: PathBuf,
    },
    /// The system does not let the log be written.
    #[error("{path}: the log cannot be written, and holds what it held before: \
        {why}", path = .path.display())]
    Unwritable {
        /// The file.
        path: PathBuf,
        /// What stands in the way, and what to do.
        why: &'static str,
    },
    /// The tables are not those of a field log.
    #[error("{path}: the log does not have the tables of layout {layout}: another program has \
        changed it; restore a copy, it was left alone", path = .path.display())]
    Tables {
        /// The file.
        path: PathBuf,
        /// The layout that it says it has.
        layout: i64,
    },
    /// The database refused, for a reason that has no words of its own here.
    #[error("{path}: the database refused ({code}); it holds what it held before, try again, and \
        restore a copy if that does not help", path = .path.display())]
    Database {
        /// The file.
        path: PathBuf,
        /// The kind of trouble, in SQLite's own terms.
        code: String,
    },
    /// A file could not be read or written.
    #[error("{path}: {source}", path = .path.display())]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
}

impl Error {
    /// Whether the file or the system is at fault, and not what was asked for.
    pub fn is_of_the_file(&self) -> bool {
        matches!(
            self,
            Error::Unwritable { .. }
                | Error::Damaged { .. }
                | Error::Flawed { .. }
                | Error::Newer { .. }
                | Error::Tables { .. }
                | Error::Unsealed { .. }
                | Error::Busy { .. }
                | Error::Database { .. }
                | Error::Io { .. }
        )
    }
}

/// How many problems are listed before the rest is only counted.
const LISTED: usize = 40;

fn flawed(flaws: &[Flaw]) -> String {
    let mut text = String::new();
    for flaw in flaws.iter().take(LISTED) {
        text.push_str(&format!("  {flaw}\n"));
    }
    if flaws.len() > LISTED {
        text.push_str(&format!("  and {} more\n", flaws.len() - LISTED));
    }
    text
}

fn list(source: &str, problems: &[Problem]) -> String {
    let mut text = String::new();
    for problem in problems.iter().take(LISTED) {
        text.push_str(&format!("{source}: {problem}\n"));
    }
    if problems.len() > LISTED {
        text.push_str(&format!(
            "{source}: and {} more problems\n",
            problems.len() - LISTED
        ));
    }
    text.push_str("nothing was taken into the log");
    text
}
