//! What the path of an output stands for: a file that is replaced whole, or something that can only
//! be written to.

use std::fs::Permissions;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

/// What the path of an output stands for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// A file that is there or can be made. Links were followed, so that it is the file that is
    /// replaced and not the link.
    File(PathBuf),
    /// A pipe, a device or an open file of this process: nothing that a finished file could take
    /// the place of.
    Stream(PathBuf),
}

/// As many links in a row as Linux follows.
const MOST_LINKS: usize = 40;

/// Names of files that this process has open: a new file in the place of the one behind them would
/// leave whoever opened it with the old one.
const OPEN_FILES: [&str; 4] = ["/dev/stdout", "/dev/stderr", "/dev/fd", "/proc"];

impl Target {
    /// What a path stands for.
    ///
    /// # Errors
    /// A folder, links that lead in a circle, or a path that may not be looked at.
    pub fn of(path: &Path) -> io::Result<Target> {
        if OPEN_FILES.iter().any(|known| path.starts_with(known)) {
            return Ok(Target::Stream(path.to_owned()));
        }
        match std::fs::metadata(path) {
            Ok(there) if there.is_dir() => return Err(ErrorKind::IsADirectory.into()),
            Ok(there) if !there.is_file() => return Ok(Target::Stream(path.to_owned())),
            Err(error) if error.kind() != ErrorKind::NotFound => return Err(error),
            // A link to a file that is not there yet has no metadata either.
            _ => {}
        }
        let mut path = path.to_owned();
        for _ in 0..MOST_LINKS {
            match std::fs::symlink_metadata(&path) {
                Ok(there) if there.is_symlink() => {
                    let to = std::fs::read_link(&path)?;
                    path = folder_of(&path).join(to);
                }
                _ => return Ok(Target::File(path)),
            }
        }
        Err(io::Error::other("its links lead in a circle"))
    }

    /// Opens what is no file, to be written to.
    ///
    /// # Errors
    /// What the system refuses.
    pub fn open_stream(path: &Path) -> io::Result<std::fs::File> {
        // Behind /dev/stdout may stand a file that the shell has begun.
        std::fs::OpenOptions::new().append(true).open(path)
    }
}

/// The folder in which a file lies.
pub fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Who may do what with the file that is there, so that its successor is no more open than it was.
pub fn permissions_of(path: &Path) -> Option<Permissions> {
    std::fs::metadata(path).map(|file| file.permissions()).ok()
}

/// Why something could not be written, and what to do.
pub fn in_words(error: &io::Error) -> String {
    let words = match error.kind() {
        ErrorKind::BrokenPipe => "the reader closed the pipe",
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            "there is no room left; make room and do it again"
        }
        ErrorKind::FileTooLarge => {
            "the system does not let your files grow so large; raise the limit, or \
             name another place"
        }
        ErrorKind::ReadOnlyFilesystem => "what it lies on can only be read; name a file elsewhere",
        ErrorKind::PermissionDenied => {
            "it or its folder is not yours to write; name another, or give yourself the right"
        }
        ErrorKind::NotFound => "its folder is not there; make it first",
        ErrorKind::NotADirectory => "its folder is a file; name a file elsewhere",
        ErrorKind::IsADirectory => "it is a folder; name a file",
        _ => return error.to_string(),
    };
    words.to_owned()
}
