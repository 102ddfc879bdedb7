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
    decoded(read_bytes(std::fs::File::open(path)?)?)
}

/// Bytes as text: UTF-8, or UTF-16 where a byte order mark says so, as some editors save.
///
/// # Errors
/// What is neither.
pub fn decoded(bytes: Vec<u8>) -> io::Result<String> {
    let no_text = || io::Error::other("it is no text in UTF-8; save it as UTF-8");
    let order: fn([u8; 2]) -> u16 = match bytes.as_slice() {
        [0xff, 0xfe, ..] => u16::from_le_bytes,
        [0xfe, 0xff, ..] => u16::from_be_bytes,
        _ => return String::from_utf8(bytes).map_err(|_| no_text()),
    };
    let (pairs, rest) = bytes.as_chunks::<2>();
    let units = pairs.iter().skip(1).map(|pair| order(*pair));
    let text: Result<String, _> = char::decode_utf16(units).collect();
    text.ok().filter(|_| rest.is_empty()).ok_or_else(no_text)
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn utf_16_is_read_by_its_mark_and_what_is_no_text_is_said() {
        let units: Vec<u16> = "\u{feff}gr\u{fc}n \u{1f426}".encode_utf16().collect();
        let little: Vec<u8> = units.iter().flat_map(|unit| unit.to_le_bytes()).collect();
        let big: Vec<u8> = units.iter().flat_map(|unit| unit.to_be_bytes()).collect();
        for bytes in [little.clone(), big] {
            assert_eq!(decoded(bytes).ok().as_deref(), Some("gr\u{fc}n \u{1f426}"));
        }
        for bytes in [
            &little[..little.len() - 1],
            &little[..little.len() - 2],
            b"\x80",
        ] {
            let refused = decoded(bytes.to_vec()).err().map(|error| error.to_string());
            assert!(refused.is_some_and(|said| said.contains("UTF-8")));
        }
    }
}
