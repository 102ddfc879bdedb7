//! Texts from files, bounded: what never ends must neither be waited for nor fill the memory.

use std::io::{self, Read};
use std::path::Path;

/// The largest file that is read as text. Readings of a year by the minute have 20 MB.
pub const LARGEST_BYTES: u64 = 256 << 20;

/// Reads a text from a file, or from a pipe that somebody named on the command line.
///
/// # Errors
/// What the system refuses, what is no UTF-8, and what is larger than any text of this trade.
pub fn read(path: &Path) -> io::Result<String> {
    let mut text = String::new();
    bounded(std::fs::File::open(path)?).read_to_string(&mut text)?;
    if text.len() as u64 > LARGEST_BYTES {
        return Err(too_large());
    }
    Ok(text)
}

/// Reads a text that another text names: only from a file, since a pipe would be waited for in
/// silence.
///
/// # Errors
/// As [`read`], and what is no file.
pub fn read_included(path: &Path) -> io::Result<String> {
    if std::fs::metadata(path)?.is_file() {
        read(path)
    } else {
        Err(io::Error::other("it is not a file"))
    }
}

/// Reads all that comes in, whatever it is.
///
/// # Errors
/// As [`read`], but for what is no text.
pub fn read_bytes(from: impl Read) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    bounded(from).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > LARGEST_BYTES {
        return Err(too_large());
    }
    Ok(bytes)
}

fn bounded<R: Read>(from: R) -> io::Take<R> {
    from.take(LARGEST_BYTES + 1)
}

fn too_large() -> io::Error {
    let most = LARGEST_BYTES >> 20;
    io::Error::other(format!("it holds more than {most} MB; name a smaller file"))
}
