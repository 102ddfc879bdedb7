//! The description of an archive: which of its files holds what, in which layout (Biodiversity
//! Information Standards (TDWG), Darwin Core Text Guide, `tdwg_dwc_text.xsd`, whose defaults hold
//! where an attribute is left out).

use std::path::Path;

use quick_xml::Reader;
use quick_xml::escape::resolve_xml_entity;
use quick_xml::events::{BytesRef, BytesStart, Event};
use wrackline_plan::scenario::Problem;
use wrackline_plan::words::echo;

use super::table::{Layout, harmless, problem};
use super::terms::{Columns, term};

/// What the rows of a file are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Occurrences,
    Events,
    Other,
}

/// A file of the archive that is described.
#[derive(Clone, Debug)]
pub(super) struct Member {
    pub(super) kind: Kind,
    pub(super) file: String,
    pub(super) layout: Layout,
    /// Lines above the first record.
    pub(super) headings: usize,
    /// The column of its identifier, or of that of the record in the core that it belongs to.
    pub(super) id: Option<usize>,
    pub(super) columns: Columns,
}

/// All that an archive says about its files.
#[derive(Clone, Debug)]
pub(super) struct Archive {
    pub(super) core: Member,
    pub(super) extensions: Vec<Member>,
}

/// A file while its description is read: nothing is held to be there before it was seen.
#[derive(Debug)]
struct Draft {
    is_core: bool,
    kind: Kind,
    files: Vec<String>,
    layout: Layout,
    headings: usize,
    id: Option<usize>,
    columns: Columns,
}

/// Reads a description.
pub(super) fn read(name: &Path, text: &str) -> Result<Archive, Problem> {
    let wrong = |what: String, remedy: &str| problem(name, 1, "", what, remedy);
    let mut reader = Reader::from_str(text);
    let mut draft: Option<Draft> = None;
    let mut location: Option<String> = None;
    let (mut core, mut extensions) = (None, Vec::new());
    loop {
        let line = {
            let at = usize::try_from(reader.buffer_position()).unwrap_or(usize::MAX);
            let before = text.as_bytes().get(..at).unwrap_or_default();
            1 + before.iter().filter(|byte| **byte == b'\n').count()
        };
        let here = |mut problem: Problem| {
            problem.line = line;
            problem
        };
        let event = reader.read_event().map_err(|error| {
            here(wrong(
                format!("is no XML: {error}"),
                "give the archive as it was exported",
            ))
        })?;
        let empty = matches!(event, Event::Empty(_));
        match event {
            Event::Start(element) | Event::Empty(element) => match element.local_name().as_ref() {
                "core" => draft = Some(begin(&element, true, name).map_err(here)?),
                "extension" => draft = Some(begin(&element, false, name).map_err(here)?),
                "location" if !empty => location = Some(String::new()),
                "id" | "coreid" => {
                    if let Some(draft) = &mut draft {
                        draft.id = index(&element, name).map_err(here)?;
                    }
                }
                "field" => {
                    if let Some(draft) = &mut draft {
                        field(&element, &mut draft.columns, name).map_err(here)?;
                    }
                }
                _ => {}
            },
            Event::Text(text) => {
                if let Some(location) = &mut location {
                    location.push_str(&text.xml10_content());
                }
            }
            Event::GeneralRef(name) => {
                if let Some(location) = &mut location {
                    location.push_str(&referred(&name));
                }
            }
            Event::End(element) => match element.local_name().as_ref() {
                "location" => {
                    if let (Some(draft), Some(location)) = (&mut draft, location.take()) {
                        draft.files.push(location.trim().to_owned());
                    }
                }
                "core" | "extension" => {
                    let Some(done) = draft.take() else { continue };
                    let is_core = done.is_core;
                    let member = finish(done, name).map_err(here)?;
                    if !is_core {
                        extensions.push(member);
                    } else if core.replace(member).is_some() {
                        let what = "describes two cores".to_owned();
                        return Err(here(wrong(what, "give the archive as it was exported")));
                    }
                }
                _ => {}
            },
            Event::Eof => break,
            _ => {}
        }
    }
    let core = core.ok_or_else(|| {
        wrong(
            "describes no core".to_owned(),
            "give an archive in Darwin Core",
        )
    })?;
    Ok(Archive { core, extensions })
}

/// The value of an attribute, as written.
fn attribute(
    element: &BytesStart<'_>,
    wanted: &str,
    name: &Path,
) -> Result<Option<String>, Problem> {
    for attribute in element.attributes() {
        let wrong = |error: &dyn std::fmt::Display| {
            let what = format!("is no XML: {error}");
            problem(name, 1, wanted, what, "give the archive as it was exported")
        };
        let attribute = attribute.map_err(|error| wrong(&error))?;
        if attribute.key.local_name().as_ref() == wanted {
            // Not normalised: a tab between the quotes stands for itself.
            let value = quick_xml::escape::unescape(&attribute.value);
            return Ok(Some(value.map_err(|error| wrong(&error))?.into_owned()));
        }
    }
    Ok(None)
}

fn begin(element: &BytesStart<'_>, is_core: bool, name: &Path) -> Result<Draft, Problem> {
    let written = |wanted| attribute(element, wanted, name);
    let wrong = |field: &str, value: &str, expected: &str| {
        let what = format!("\"{}\" cannot be read", echo(value));
        problem(name, 1, field, what, expected)
    };
    let row_type = written("rowType")?.unwrap_or_default();
    let kind = match row_type.rsplit(['/', '#', ':']).next().unwrap_or_default() {
        "Occurrence" | "SimpleDarwinRecord" | "" => Kind::Occurrences,
        "Event" => Kind::Events,
        _ => Kind::Other,
    };
    let encoding = written("encoding")?.unwrap_or_else(|| "UTF-8".to_owned());
    let in_utf8 =
        ["utf-8", "utf8", "ascii", "us-ascii"].contains(&encoding.to_lowercase().as_str());
    if kind != Kind::Other && !in_utf8 {
        return Err(wrong("encoding", &encoding, "save its tables as UTF-8"));
    }
    let delimiter = written("fieldsTerminatedBy")?.map_or_else(|| ",".to_owned(), spelt_out);
    let &[delimiter] = delimiter.as_bytes() else {
        let expected = "fields must end with one character, such as \\t or a comma";
        return Err(wrong("fieldsTerminatedBy", &delimiter, expected));
    };
    let quote = written("fieldsEnclosedBy")?.map_or_else(|| "\"".to_owned(), spelt_out);
    let quote = match quote.as_bytes() {
        [] => None,
        &[quote] if quote != delimiter => Some(quote),
        _ => {
            let expected = "fields must stand within one character, or none";
            return Err(wrong("fieldsEnclosedBy", &quote, expected));
        }
    };
    let lines = written("linesTerminatedBy")?.map_or_else(|| "\n".to_owned(), spelt_out);
    // Blanks: what XML makes of a line end that stands in an attribute.
    if kind != Kind::Other && !["\n", "\r\n", "\r", " ", "  "].contains(&lines.as_str()) {
        return Err(wrong(
            "linesTerminatedBy",
            &lines,
            "lines must end with \\n, \\r\\n or \\r",
        ));
    }
    let headings = written("ignoreHeaderLines")?.unwrap_or_else(|| "0".to_owned());
    let Some(headings) = headings
        .trim()
        .parse()
        .ok()
        .filter(|lines| *lines <= MOST_HEADINGS)
    else {
        return Err(wrong(
            "ignoreHeaderLines",
            &headings,
            "give a number of lines",
        ));
    };
    Ok(Draft {
        is_core,
        kind,
        files: Vec::new(),
        layout: Layout { delimiter, quote },
        headings,
        id: None,
        columns: Columns::none(),
    })
}

/// More lines than that above the first record are a mistake.
const MOST_HEADINGS: usize = 100;

/// The characters that the guide writes with a backslash.
fn spelt_out(text: String) -> String {
    text.replace("\\t", "\t")
        .replace("\\r", "\r")
        .replace("\\n", "\n")
}

fn index(element: &BytesStart<'_>, name: &Path) -> Result<Option<usize>, Problem> {
    let Some(text) = attribute(element, "index", name)? else {
        return Ok(None);
    };
    match text.trim().parse() {
        Ok(index) => Ok(Some(index)),
        Err(_) => {
            let what = format!("\"{}\" is not a column", echo(&text));
            Err(problem(
                name,
                1,
                "index",
                what,
                "columns are counted from 0",
            ))
        }
    }
}

fn field(element: &BytesStart<'_>, columns: &mut Columns, name: &Path) -> Result<(), Problem> {
    let Some(term) = attribute(element, "term", name)?.and_then(|text| term(&text)) else {
        return Ok(());
    };
    if let Some(value) = attribute(element, "default", name)? {
        let value = value.trim().to_owned();
        if !value.is_empty() {
            columns.put_default(term, value);
        }
    }
    if let Some(index) = index(element, name)?
        && !columns.put(term, index)
    {
        let what = "is described twice".to_owned();
        return Err(problem(
            name,
            1,
            term.name(),
            what,
            "keep one of the fields",
        ));
    }
    Ok(())
}

fn finish(draft: Draft, name: &Path) -> Result<Member, Problem> {
    let file = match (draft.kind, draft.files.as_slice()) {
        // What is not read may be written as it likes.
        (Kind::Other, files) => files.first().cloned().unwrap_or_default(),
        (_, [file]) => file.clone(),
        (_, files) => {
            let what = format!("names {} files for one table", files.len());
            let remedy = "give an archive with each table in one file";
            return Err(problem(name, 1, "files", what, remedy));
        }
    };
    if harmless(&file) != file {
        let what = "names a file by what is no text".to_owned();
        let remedy = "give the archive as it was exported";
        return Err(problem(name, 1, "files", what, remedy));
    }
    Ok(Member {
        kind: draft.kind,
        file,
        layout: draft.layout,
        headings: draft.headings,
        id: draft.id,
        columns: draft.columns,
    })
}

fn referred(name: &BytesRef<'_>) -> String {
    match name.resolve_char_ref() {
        Ok(Some(c)) => c.to_string(),
        _ => resolve_xml_entity(name).unwrap_or_default().to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::terms::Term;
    use super::*;

    fn described(text: &str) -> Result<Archive, Problem> {
        read(Path::new("meta.xml"), text)
    }

    const EVENTS: &str = r#"<?xml version="1.0"?>
<archive xmlns="http://rs.tdwg.org/dwc/text/" metadata="eml.xml">
  <core encoding="UTF-8" fieldsTerminatedBy="\t" linesTerminatedBy="\n" fieldsEnclosedBy=""
        ignoreHeaderLines="1" rowType="http://rs.tdwg.org/dwc/terms/Event">
    <files><location>event.txt</location></files>
    <id index="0"/>
    <field index="1" term="http://rs.tdwg.org/dwc/terms/eventDate"/>
    <field term="http://rs.tdwg.org/dwc/terms/samplingProtocol" default="point count"/>
    <field index="2" term="http://example.org/terms/unheard"/>
  </core>
  <extension rowType="http://rs.tdwg.org/dwc/terms/Occurrence">
    <files><location>occurrence &amp; more.csv</location></files>
    <coreid index="0"/>
    <field index="1" term="http://rs.tdwg.org/dwc/terms/scientificName"/>
  </extension>
</archive>"#;

    #[test]
    fn an_event_core_with_its_occurrences() {
        let archive = described(EVENTS).unwrap();
        let core = &archive.core;
        assert_eq!(
            (core.kind, core.file.as_str(), core.headings),
            (Kind::Events, "event.txt", 1)
        );
        assert_eq!(
            core.layout,
            Layout {
                delimiter: b'\t',
                quote: None
            }
        );
        assert!(core.columns.knows(Term::SamplingProtocol) && core.id == Some(0));
        let occurrences = &archive.extensions[0];
        // The defaults of the schema.
        assert_eq!(
            occurrences.layout,
            Layout {
                delimiter: b',',
                quote: Some(b'"')
            }
        );
        assert_eq!(
            (occurrences.kind, occurrences.headings),
            (Kind::Occurrences, 0)
        );
        assert_eq!(occurrences.file, "occurrence & more.csv");
    }

    #[test]
    fn what_cannot_be_read_is_told_with_its_line() {
        let said = |from: &str, to: &str| {
            let text = EVENTS.replace(from, to);
            assert_ne!(text, EVENTS);
            described(&text).unwrap_err().to_string()
        };
        assert!(said("\"\\t\"", "\"||\"").contains("fieldsTerminatedBy"));
        assert!(said("UTF-8\" f", "ISO-8859-1\" f").contains("save its tables as UTF-8"));
        let two = said("<location>e", "<location>x</location><location>e");
        assert!(two.contains("names 2 files"), "{two}");
        let twice = said(
            "term=\"http://example.org/terms/unheard",
            "term=\"eventDate",
        );
        assert!(
            twice.starts_with("meta.xml:9:1: eventDate: is described twice"),
            "{twice}"
        );
        assert!(said("</core>", "").contains("is no XML"));
        assert!(
            described("<archive/>")
                .unwrap_err()
                .to_string()
                .contains("no core")
        );
        assert!(described("").unwrap_err().to_string().contains("no core"));
    }
}
