//! Where records come from: a table, or an archive of tables with its description.

use std::collections::{HashMap, HashSet};
use std::io::{self, Cursor, Read, Seek};
use std::path::{Path, PathBuf};

use wrackline_files::texts;
use wrackline_plan::scenario::{Problem, Problems};
use zip::ZipArchive;

use super::collect::Collector;
use super::meta::{self, Archive, Kind, Member};
use super::table::{Table, problem};
use super::terms::{Columns, EventValues, Term, Values};
use super::visits::hash;

/// The longest description of an archive. Our choice.
const MOST_DESCRIPTION_BYTES: u64 = 1 << 20;
/// Problems that are told at most; a table that is no table has as many as it has rows.
const MOST_PROBLEMS: usize = 20;

/// Records that are to be read.
pub struct Source {
    name: PathBuf,
    content: Content,
}

enum Content {
    Table(Box<dyn Read>),
    Archive(Box<dyn ReadSeek>),
}

trait ReadSeek: Read + Seek {}
impl<T: Read + Seek> ReadSeek for T {}

impl std::fmt::Debug for Source {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Source")
            .field("name", &self.name)
            .finish_non_exhaustive()
    }
}

/// How an archive begins (PKWARE, APPNOTE.TXT, section 4.3.7), one with nothing in it, too.
fn is_packed(start: &[u8]) -> bool {
    matches!(start, b"PK\x03\x04" | b"PK\x05\x06")
}

impl Source {
    /// Opens a file or a pipe. What it is, its first bytes tell.
    ///
    /// # Errors
    /// What the system refuses.
    pub fn open(path: &Path) -> Result<Self, Problems> {
        let opened = || -> io::Result<Content> {
            if std::fs::metadata(path)?.is_dir() {
                return Err(io::Error::other("it is a folder"));
            }
            let mut file = std::fs::File::open(path)?;
            let mut start = Vec::new();
            (&mut file).take(4).read_to_end(&mut start)?;
            let is_file = file.metadata()?.is_file();
            Ok(match (is_packed(&start), is_file) {
                (true, true) => {
                    file.rewind()?;
                    Content::Archive(Box::new(file))
                }
                // An archive is read from its end, which a pipe has only when all has come.
                (true, false) => {
                    let bytes = texts::read_bytes(Cursor::new(start).chain(file))?;
                    Content::Archive(Box::new(Cursor::new(bytes)))
                }
                (false, _) => Content::Table(Box::new(Cursor::new(start).chain(file))),
            })
        };
        let content = opened().map_err(|error| {
            let what = format!("cannot be read: {error}");
            Problems::one(path, what, "name a table or an archive zip in Darwin Core")
        })?;
        Ok(Self {
            name: path.to_owned(),
            content,
        })
    }

    /// Records that are in memory already.
    pub fn of_bytes(name: impl Into<PathBuf>, bytes: impl Into<Vec<u8>>) -> Self {
        let bytes: Vec<u8> = bytes.into();
        let content = match is_packed(bytes.get(..4).unwrap_or_default()) {
            true => Content::Archive(Box::new(Cursor::new(bytes))),
            false => Content::Table(Box::new(Cursor::new(bytes))),
        };
        Self {
            name: name.into(),
            content,
        }
    }

    /// Hands all records to the collector.
    pub(super) fn read(self, into: &mut Collector<'_>) -> Result<(), Problems> {
        let mut problems = Vec::new();
        let ended = match self.content {
            Content::Table(from) => table(self.name, from, into, &mut problems),
            Content::Archive(from) => archive(&self.name, from, into, &mut problems),
        };
        problems.extend(ended.err());
        Problems::collect(problems).map_or(Ok(()), Err)
    }
}

/// A table whose first row holds the terms.
fn table(
    name: PathBuf,
    from: Box<dyn Read>,
    into: &mut Collector<'_>,
    problems: &mut Vec<Problem>,
) -> Result<(), Problem> {
    let mut table = Table::new(name.clone(), from, None)?;
    let Some(headings) = table.next()? else {
        let what = "is empty".to_owned();
        return Err(problem(
            &name,
            1,
            "",
            what,
            "give a table of occurrences in Darwin Core",
        ));
    };
    let width = headings.len();
    let columns = match Columns::of_headings(&headings) {
        Ok(columns) => columns,
        Err(twice) => {
            problems.extend(twice);
            return Ok(());
        }
    };
    let lacking = columns.lacking(None, &name);
    if !lacking.is_empty() {
        problems.extend(lacking);
        return Ok(());
    }
    while let Some(row) = table.next()? {
        if row.len() != width {
            let what = format!("has {} fields, the headings {width}", row.len());
            let problem = row.problem_of_all(what, "mend the line");
            problems.extend(into.unreadable(problem).err());
        } else {
            let values = Values {
                row: &row,
                columns: &columns,
                event: None,
            };
            problems.extend(into.take(&values).err());
        }
        if problems.len() >= MOST_PROBLEMS || into.is_full() {
            break;
        }
    }
    Ok(())
}

fn archive(
    name: &Path,
    from: Box<dyn ReadSeek>,
    into: &mut Collector<'_>,
    problems: &mut Vec<Problem>,
) -> Result<(), Problem> {
    let mut zip = ZipArchive::new(from).map_err(|error| {
        let what = format!("is no whole archive: {error}");
        problem(name, 1, "", what, "fetch it anew")
    })?;
    let described = description(name, &mut zip)?;
    let occurrences = |members: &[Member]| {
        let found = members
            .iter()
            .find(|member| member.kind == Kind::Occurrences);
        found.cloned()
    };
    let lacks = |what: &str| {
        let remedy = "give an archive whose core holds occurrences, or events with occurrences";
        problem(&name.join("meta.xml"), 1, "", what.to_owned(), remedy)
    };
    let Archive { core, extensions } = described;
    match core.kind {
        Kind::Occurrences => {
            let columns = core.columns.clone();
            let lacking = columns.lacking(None, &name.join(&core.file));
            if !lacking.is_empty() {
                problems.extend(lacking);
                return Ok(());
            }
            rows(name, &mut zip, &core, &mut |values, _| {
                problems.extend(into.take(values).err());
                problems.len() < MOST_PROBLEMS && !into.is_full()
            })
        }
        Kind::Events => {
            let occurrences = occurrences(&extensions)
                .ok_or_else(|| lacks("describes events without their occurrences"))?;
            let lacking = occurrences
                .columns
                .lacking(Some(&core.columns), &name.join(&occurrences.file));
            if !lacking.is_empty() {
                problems.extend(lacking);
                return Ok(());
            }
            let mut events = Events::default();
            rows(name, &mut zip, &core, &mut |values, id| {
                problems.extend(events.take(values, id, into).err());
                problems.len() < MOST_PROBLEMS
            })?;
            if !problems.is_empty() {
                return Ok(());
            }
            rows(name, &mut zip, &occurrences, &mut |values, id| {
                let event = id.and_then(|id| events.near.get(id));
                match event {
                    Some(event) => {
                        let values = Values {
                            event: Some(event),
                            ..*values
                        };
                        problems.extend(into.take_of_event(&values, id.unwrap_or_default()).err());
                    }
                    None if id.is_some_and(|id| events.far.contains(&hash(id))) => into.is_far(),
                    None => problems.extend(into.take(values).err()),
                }
                problems.len() < MOST_PROBLEMS && !into.is_full()
            })?;
            events.without_occurrences(into);
            Ok(())
        }
        Kind::Other => Err(lacks("describes neither occurrences nor events")),
    }
}

/// The events of an archive, until their occurrences have come.
#[derive(Default)]
struct Events {
    near: HashMap<String, EventValues>,
    /// Those elsewhere, by what stands for their name.
    far: HashSet<u64>,
    /// Those of which others are parts.
    parents: HashSet<u64>,
    /// How each that was near begins a visit, should nothing have been seen.
    empty: Vec<(String, super::collect::Seen)>,
}

impl Events {
    fn take(
        &mut self,
        values: &Values<'_>,
        id: Option<&str>,
        into: &mut Collector<'_>,
    ) -> Result<(), Problem> {
        let Some(id) = id.or_else(|| values.get(Term::EventId)) else {
            return Ok(());
        };
        if let Some(parent) = values.get(Term::ParentEventId) {
            self.parents.insert(hash(parent));
        }
        match into.event(values)? {
            None => {
                self.far.insert(hash(id));
            }
            Some(seen) => {
                self.near.insert(id.to_owned(), EventValues::of(values));
                self.empty.extend(seen.map(|seen| (id.to_owned(), seen)));
            }
        }
        Ok(())
    }

    /// An event without an occurrence was a visit that found nothing, unless it is only the roof
    /// over others.
    fn without_occurrences(self, into: &mut Collector<'_>) {
        for (id, seen) in self.empty {
            if !self.parents.contains(&hash(&id)) {
                into.visited(&id, &seen);
            }
        }
    }
}

fn description(name: &Path, zip: &mut ZipArchive<Box<dyn ReadSeek>>) -> Result<Archive, Problem> {
    let path = name.join("meta.xml");
    let wrong = |what: String| {
        let remedy = "give an archive in Darwin Core, with its meta.xml at the top";
        problem(&path, 1, "", what, remedy)
    };
    let file = zip
        .by_name("meta.xml")
        .map_err(|error| wrong(format!("cannot be read: {error}")))?;
    let mut bytes = Vec::new();
    let mut file = file.take(MOST_DESCRIPTION_BYTES + 1);
    file.read_to_end(&mut bytes)
        .map_err(|error| wrong(format!("cannot be read: {error}")))?;
    if bytes.len() as u64 > MOST_DESCRIPTION_BYTES {
        return Err(wrong("holds more than 1 MB".to_owned()));
    }
    let text = texts::decoded(bytes).map_err(|error| wrong(error.to_string()))?;
    meta::read(&path, text.trim_start_matches('\u{feff}'))
}

/// Hands the rows of a file of an archive on, each with its identifier, until they are not wanted.
fn rows(
    archive: &Path,
    zip: &mut ZipArchive<Box<dyn ReadSeek>>,
    member: &Member,
    take: &mut dyn FnMut(&Values<'_>, Option<&str>) -> bool,
) -> Result<(), Problem> {
    let path = archive.join(&member.file);
    let file = zip.by_name(&member.file).map_err(|error| {
        let what = format!("cannot be read: {error}");
        problem(&path, 1, "", what, "fetch the archive anew")
    })?;
    let mut table = Table::new(path, file, Some(member.layout))?;
    for _ in 0..member.headings {
        if table.next()?.is_none() {
            return Ok(());
        }
    }
    while let Some(row) = table.next()? {
        let values = Values {
            row: &row,
            columns: &member.columns,
            event: None,
        };
        if !take(&values, member.id.and_then(|index| row.get(index))) {
            break;
        }
    }
    Ok(())
}
