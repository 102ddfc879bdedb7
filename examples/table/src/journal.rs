//! The record of finished row groups beside an unfinished table, by which a run that was killed is
//! taken up again.
//!
//! While a table grows it is called `NAME.unfinished`, and `NAME.groups` tells which groups stand
//! in it: a line for the request, then one for each group with the end of its bytes, their sum and
//! its note for the tail. A group counts when its line is whole and the bytes agree with it; what
//! follows is cut off and made anew. The finished table takes its name in one step.

use std::fmt::Write as _;
use std::fs::{File, OpenOptions, Permissions, TryLockError};
use std::io::{self, BufRead, BufReader, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::encode::Placed;
use wrackline_files::target::permissions_of;

#[derive(Debug, Serialize, Deserialize, PartialEq, Eq)]
struct Opening {
    table: String,
    request: String,
}

#[derive(Debug, Serialize, Deserialize)]
struct Line {
    group: usize,
    end: u64,
    sum: String,
    note: String,
}

/// An unfinished table and its record.
#[derive(Debug)]
pub(super) struct Journal {
    path: PathBuf,
    unfinished: PathBuf,
    record: PathBuf,
    table: File,
    lines: File,
    end: u64,
    placed: Vec<Placed>,
}

/// What was found when an unfinished table was opened.
#[derive(Debug)]
pub(super) enum Found {
    /// A journal to go on with; its groups are there already.
    Ready(Journal),
    /// The unfinished table of another request.
    Other(PathBuf),
    /// A file of that name which no run has written.
    Foreign(PathBuf),
    /// Somebody else writes here.
    Busy(PathBuf),
}

fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(ending);
    path.with_file_name(name)
}

impl Journal {
    /// Opens the unfinished table of a request, or begins it with `head`. With `restart` what is
    /// there is thrown away.
    pub(super) fn open(path: &Path, request: u64, head: &[u8], restart: bool) -> io::Result<Found> {
        let unfinished = beside(path, ".unfinished");
        let record = beside(path, ".groups");
        let open = |path: &Path| {
            let mut options = OpenOptions::new();
            options
                .read(true)
                .write(true)
                .create(true)
                .truncate(false)
                .open(path)
        };
        let mut lines = loop {
            let lines = open(&record)?;
            // The lock ends with the process, however that ends.
            match lines.try_lock() {
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => return Ok(Found::Busy(unfinished)),
                Err(TryLockError::Error(error)) => return Err(error),
            }
            // A run that was just finished has taken its record away, and this may be that one.
            if stands_at(&lines, &record)? {
                break lines;
            }
        };
        let fresh = !unfinished.exists();
        let mut table = open(&unfinished)?;
        if fresh && let Some(permissions) = permissions_of(path) {
            for file in [&table, &lines] {
                file.set_permissions(still_ours(permissions.clone()))?;
            }
        }
        let opening = Opening {
            table: "visibility".to_owned(),
            request: format!("{request:016x}"),
        };
        let mut known = if restart { None } else { read_record(&lines)? };
        match &known {
            Some((there, ..)) if *there != opening => return Ok(Found::Other(unfinished)),
            Some(_) if !begins_as(&mut table, head)? => return Ok(Found::Foreign(unfinished)),
            // The record is begun before the table: without one, nothing here is a table of ours.
            None if !restart && !is_empty(&lines)? => return Ok(Found::Foreign(record)),
            None if !restart && !is_empty(&table)? => return Ok(Found::Foreign(unfinished)),
            _ => {}
        }
        let mut placed = Vec::new();
        let mut end = 0;
        let mut kept = 0;
        if let Some((_, length, groups)) = known.take()
            && starts_with(&mut table, head)?
        {
            end = head.len() as u64;
            kept = length;
            for (line, length) in groups {
                let Some(group) = check(&mut table, &line, placed.len(), end)? else {
                    break;
                };
                end = line.end;
                kept = length;
                placed.push(group);
            }
        }
        if end == 0 {
            table.set_len(0)?;
            table.seek(SeekFrom::Start(0))?;
            lines.set_len(0)?;
            lines.seek(SeekFrom::Start(0))?;
            write_line(&mut lines, &opening)?;
            table.write_all(head)?;
            end = head.len() as u64;
        } else {
            lines.set_len(kept)?;
            lines.seek(SeekFrom::Start(kept))?;
            table.set_len(end)?;
            table.seek(SeekFrom::Start(end))?;
        }
        Ok(Found::Ready(Self {
            path: path.to_owned(),
            unfinished,
            record,
            table,
            lines,
            end,
            placed,
        }))
    }

    /// The groups that stand in the table.
    pub(super) fn placed(&self) -> &[Placed] {
        &self.placed
    }

    /// Adds a group: its bytes first, then the line that makes it count.
    pub(super) fn push(&mut self, bytes: &[u8], note: Vec<u8>) -> io::Result<()> {
        self.table.write_all(bytes)?;
        let group = Placed {
            offset: self.end,
            length: bytes.len() as u64,
            note,
        };
        self.end += group.length;
        let line = Line {
            group: self.placed.len(),
            end: self.end,
            sum: format!("{:016x}", Sum::of(bytes)),
            note: to_hex(&group.note),
        };
        write_line(&mut self.lines, &line)?;
        self.placed.push(group);
        Ok(())
    }

    /// Adds the tail, makes sure that all is on the disk, and gives the table its name.
    pub(super) fn finish(mut self, tail: &[u8]) -> io::Result<u64> {
        self.table.write_all(tail)?;
        if let Some(permissions) = permissions_of(&self.path) {
            self.table.set_permissions(permissions)?;
        }
        self.table.sync_all()?;
        std::fs::rename(&self.unfinished, &self.path)?;
        // The lock is on the record: whoever comes now finds either all of it or nothing.
        std::fs::remove_file(&self.record)?;
        Ok(self.end + tail.len() as u64)
    }
}

/// The opening, its end in bytes, and the whole lines after it, each with the end of its own;
/// `None` for an empty record.
type Record = (Opening, u64, Vec<(Line, u64)>);

fn read_record(file: &File) -> io::Result<Option<Record>> {
    let mut reader = BufReader::new(file);
    let mut text = Vec::new();
    let mut end = reader.read_until(b'\n', &mut text)? as u64;
    let Some(opening) = parse::<Opening>(&text) else {
        return Ok(None);
    };
    let opening_end = end;
    let mut lines = Vec::new();
    loop {
        text.clear();
        end += reader.read_until(b'\n', &mut text)? as u64;
        match parse::<Line>(&text) {
            Some(line) => lines.push((line, end)),
            None => return Ok(Some((opening, opening_end, lines))),
        }
    }
}

/// A line that was written whole.
fn parse<T: for<'de> Deserialize<'de>>(text: &[u8]) -> Option<T> {
    serde_json::from_slice(text.strip_suffix(b"\n")?).ok()
}

fn write_line(file: &mut File, line: &impl Serialize) -> io::Result<()> {
    let mut text = serde_json::to_vec(line).map_err(io::Error::other)?;
    text.push(b'\n');
    file.write_all(&text)
}

/// No more open to others than `permissions`, and open to the run that goes on with it.
fn still_ours(permissions: Permissions) -> Permissions {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        Permissions::from_mode(permissions.mode() | 0o600)
    }
    #[cfg(not(unix))]
    {
        permissions
    }
}

/// Whether an open file is the one that a path names now.
#[cfg(unix)]
fn stands_at(file: &File, path: &Path) -> io::Result<bool> {
    use std::os::unix::fs::MetadataExt;
    let open = file.metadata()?;
    match std::fs::metadata(path) {
        Ok(there) => Ok((there.dev(), there.ino()) == (open.dev(), open.ino())),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err(error),
    }
}

/// Elsewhere a file that is open keeps its name.
#[cfg(not(unix))]
fn stands_at(_: &File, _: &Path) -> io::Result<bool> {
    Ok(true)
}

fn is_empty(file: &File) -> io::Result<bool> {
    Ok(file.metadata()?.len() == 0)
}

/// Whether a table begins with `head`, or was cut off in it.
fn begins_as(table: &mut File, head: &[u8]) -> io::Result<bool> {
    let mut there = Vec::new();
    table.seek(SeekFrom::Start(0))?;
    table.take(head.len() as u64).read_to_end(&mut there)?;
    Ok(head.starts_with(&there))
}

fn starts_with(table: &mut File, head: &[u8]) -> io::Result<bool> {
    let mut there = vec![0; head.len()];
    table.seek(SeekFrom::Start(0))?;
    match table.read_exact(&mut there) {
        Ok(()) => Ok(there == head),
        Err(error) if error.kind() == io::ErrorKind::UnexpectedEof => Ok(false),
        Err(error) => Err(error),
    }
}

/// The group of a line, if the bytes that it speaks of are there.
fn check(table: &mut File, line: &Line, number: usize, start: u64) -> io::Result<Option<Placed>> {
    let Some(length) = line.end.checked_sub(start).filter(|_| line.group == number) else {
        return Ok(None);
    };
    table.seek(SeekFrom::Start(start))?;
    let mut sum = Sum::default();
    let mut rest = length;
    let mut room = vec![0; 1 << 16];
    while rest > 0 {
        let part = rest.min(room.len() as u64) as usize;
        match table.read_exact(&mut room[..part]) {
            Ok(()) => sum.add(&room[..part]),
            Err(error) if error.kind() == io::ErrorKind::UnexpectedEof => return Ok(None),
            Err(error) => return Err(error),
        }
        rest -= part as u64;
    }
    let (agrees, note) = (line.sum == format!("{:016x}", sum.0), from_hex(&line.note));
    Ok(note.filter(|_| agrees).map(|note| Placed {
        offset: start,
        length,
        note,
    }))
}

fn to_hex(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(2 * bytes.len());
    for byte in bytes {
        let _ = write!(text, "{byte:02x}");
    }
    text
}

fn from_hex(text: &str) -> Option<Vec<u8>> {
    text.as_bytes()
        .chunks(2)
        .map(|pair| u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok())
        .collect()
}

/// A sum of 64 bits over words of bytes, to tell a torn write or another request; no defence
/// against malice. Every step can be undone, so that a change in one word always changes the sum.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sum(pub(super) u64);

impl Default for Sum {
    fn default() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }
}

impl Sum {
    fn of(bytes: &[u8]) -> u64 {
        let mut sum = Self::default();
        // In the parts in which it is read again, since a part that is no whole number of words is
        // filled up.
        for part in bytes.chunks(1 << 16) {
            sum.add(part);
        }
        sum.0
    }

    pub(super) fn add(&mut self, bytes: &[u8]) {
        let (words, rest) = bytes.as_chunks::<8>();
        for word in words {
            self.word(u64::from_le_bytes(*word));
        }
        if !rest.is_empty() {
            let mut last = [0; 8];
            last[..rest.len()].copy_from_slice(rest);
            self.word(u64::from_le_bytes(last));
            self.word(rest.len() as u64);
        }
    }

    fn word(&mut self, word: u64) {
        self.0 = (self.0 ^ word)
            .wrapping_mul(0x9e37_79b9_7f4a_7c15)
            .rotate_left(29);
    }
}

/// Text on its way into a sum: spelled out in many small pieces, of which none needs to be kept.
struct Spelling<'s> {
    sum: &'s mut Sum,
    waiting: String,
}

/// Bytes that wait for one another.
const SPELLED: usize = 1 << 12;

impl Sum {
    /// Adds what is spelled out, such as the debug form of any value.
    pub(super) fn spell(&mut self, what: std::fmt::Arguments<'_>) {
        let waiting = String::with_capacity(2 * SPELLED);
        let mut spelling = Spelling { sum: self, waiting };
        // Summing cannot fail.
        let _ = spelling.write_fmt(what);
        let Spelling { sum, waiting } = spelling;
        sum.add(waiting.as_bytes());
    }
}

impl std::fmt::Write for Spelling<'_> {
    fn write_str(&mut self, text: &str) -> std::fmt::Result {
        self.waiting.push_str(text);
        if self.waiting.len() >= SPELLED {
            self.sum.add(self.waiting.as_bytes());
            self.waiting.clear();
        }
        Ok(())
    }
}
