//! From TOML text to a checked [`Scenario`], or to every problem at once.

use std::ops::Range;
use std::path::{Path, PathBuf};

use jiff::tz::TimeZone;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::draft::Draft;
use super::port::{self, Tide};
use super::problem::{Problem, Problems, in_order};
use super::reader::Table;
use super::source::Source;
use super::warnings;
use super::whole::Scenario;
use crate::port::{CsvExtras, PortFile};
use wrackline_files::texts;

/// The text of one file of a scenario. The first may come through a pipe, what it includes may not.
///
/// # Errors
/// Why it cannot be read.
pub fn read_one(main: &Path, path: &Path) -> Result<String, String> {
    let text = if path == main {
        texts::read(path)
    } else {
        texts::read_included(path)
    };
    text.map_err(|error| error.to_string())
}

/// Files that one scenario may include, so that a circle of includes ends.
const MOST_FILES: usize = 64;

impl Scenario {
    /// Checks a scenario held as text, which therefore includes no other file. `name` stands for it
    /// in messages.
    ///
    /// # Errors
    /// Every problem, each with line, column, field, value and remedy.
    pub fn parse(name: &str, text: &str) -> Result<Self, Problems> {
        let main = PathBuf::from(name);
        Self::parse_with(&main, &|path| {
            if path == main {
                Ok(text.to_owned())
            } else {
                Err("only a scenario in a file can include another".to_owned())
            }
        })
    }

    /// Checks the scenario in a file and the files that it includes.
    ///
    /// # Errors
    /// Every problem of every file, each with line, column, field, value and remedy.
    pub fn open(main: &Path) -> Result<Self, Problems> {
        Self::parse_with(main, &|path| read_one(main, path))
    }

    /// Checks a scenario and what it includes. `load` gives the text that a path stands for, or
    /// says why there is none: from a file system, or from wherever a page keeps its texts.
    ///
    /// # Errors
    /// Every problem of every text, each with line, column, field, value and remedy.
    pub fn parse_with(
        main: &Path,
        load: &dyn Fn(&Path) -> Result<String, String>,
    ) -> Result<Self, Problems> {
        let sources = gather(main, load)?;
        let documents = documents(&sources)?;
        let mut draft = Draft::default();
        let roots: Vec<Table<'_, '_>> = sources
            .iter()
            .zip(&documents)
            .map(|(source, document)| Table::root(source, document))
            .collect();
        for root in &roots {
            draft.read(root);
        }
        let scenario = draft.finish(&sources);
        for root in roots {
            root.finish();
        }
        let problems = sources.iter().flat_map(Source::problems).collect();
        if let Some(problems) = Problems::collect(problems) {
            return Err(problems);
        }
        let Some((mut scenario, marks)) = scenario else {
            let incomplete = "is incomplete".to_owned();
            return Err(Problems::one(main, incomplete, "see the demo scenario"));
        };
        warnings::look(&scenario, &marks);
        scenario.warnings = sources.iter().flat_map(Source::warnings).collect();
        in_order(&mut scenario.warnings);
        Ok(scenario)
    }
}

/// The texts of a scenario and of all that it includes.
fn gather(
    main: &Path,
    load: &dyn Fn(&Path) -> Result<String, String>,
) -> Result<Vec<Source>, Problems> {
    let text = load(main).map_err(|error| {
        Problems::one(
            main,
            format!("cannot be read: {error}"),
            "give the path of a scenario file",
        )
    })?;
    let mut sources = vec![Source::new(main.to_owned(), text)];
    let mut next = 0;
    while next < sources.len() {
        attach_table(&sources[next], load);
        let found = includes(&sources[next]);
        for (path, span) in found {
            if sources.iter().any(|source| *source.file() == path) {
                continue;
            }
            match load(&path) {
                Ok(text) if sources.len() < MOST_FILES => match as_part(&path, text) {
                    Ok(part) => sources.push(Source::new(path, part)),
                    Err(what) => sources[next].report(
                        &span,
                        "include".to_owned(),
                        what,
                        "give a part of a scenario (TOML), or a port file as `harmonics` writes it",
                    ),
                },
                Ok(_) => sources[next].report(
                    &span,
                    "include".to_owned(),
                    format!("more than {MOST_FILES} files"),
                    "merge some of them",
                ),
                Err(error) => sources[next].report(
                    &span,
                    "include".to_owned(),
                    format!("{} cannot be read: {error}", path.display()),
                    "give a path relative to the including file",
                ),
            }
        }
        next += 1;
    }
    Ok(sources)
}

/// The texts as TOML.
fn documents(sources: &[Source]) -> Result<Vec<Spanned<DeTable<'_>>>, Problems> {
    let mut documents = Vec::new();
    for source in sources {
        let (document, errors) = DeTable::parse_recoverable(source.text());
        let slips = single_brackets(source, &errors);
        for error in errors.iter().filter(|_| !slips) {
            source.report(
                &error.span().unwrap_or(0..0),
                String::new(),
                format!("not TOML here: {}", error.message().trim()),
                "mend the line",
            );
        }
        documents.push(document);
    }
    // A file that is not TOML would bring a swarm of follow-up problems: say only what is not
    // TOML.
    let syntax: Vec<Problem> = sources.iter().flat_map(Source::problems).collect();
    if let Some(problems) = Problems::collect(syntax) {
        return Err(problems);
    }
    Ok(documents)
}

/// Whether a text is a scenario, or the part of one that holds its port: it includes others, or its
/// `[port]` lists constituents or names a printed table.
pub fn holds_a_port(text: &str) -> bool {
    let (document, _) = DeTable::parse_recoverable(text);
    let table = document.get_ref();
    let port = match table.get("port").map(Spanned::get_ref) {
        Some(DeValue::Table(port)) => {
            port.contains_key("constituents") || port.contains_key("turns")
        }
        _ => false,
    };
    port || table.contains_key("include")
}

/// Whether a text is a scenario, or a part of one: it includes others, or holds one of the lists of
/// a scenario.
pub fn is_a_scenario(text: &str) -> bool {
    let (document, _) = DeTable::parse_recoverable(text);
    let table = document.get_ref();
    let listed = |name: &str| {
        let found = table.get(name).map(Spanned::get_ref);
        matches!(found, Some(DeValue::Array(_)))
    };
    table.contains_key("include") || LISTS.iter().any(|name| listed(name))
}

/// The port alone of a scenario, or of a file that holds nothing else; `None` where there is no
/// `[port]`. What else stands there is not looked at.
///
/// # Errors
/// Every problem of the port.
pub fn port_of(
    main: &Path,
    load: &dyn Fn(&Path) -> Result<String, String>,
) -> Result<Option<Tide>, Problems> {
    let sources = gather(main, load)?;
    let documents = documents(&sources)?;
    let roots = || {
        let roots = sources.iter().zip(&documents);
        roots.map(|(source, document)| Table::root(source, document))
    };
    let zone = roots().find_map(|root| {
        let name = root.optional_text("zone")?;
        Some((TimeZone::get(&name).ok()?, name))
    });
    let tide = roots()
        .filter_map(|root| root.table("port"))
        .find_map(port::read)
        .and_then(|draft| draft.settle(zone.as_ref()));
    match Problems::collect(sources.iter().flat_map(Source::problems).collect()) {
        Some(problems) => Err(problems),
        None => Ok(tide),
    }
}

/// The tables of which there may be several, each headed by its name in double brackets.
const LISTS: [&str; 11] = [
    "light",
    "free",
    "wanted",
    "place",
    "seat",
    "way_in",
    "subject",
    "closure",
    "body",
    "lens",
    "converter",
];

/// Tells of tables that are headed like `[seat]` among others of their kind, the commonest slip of
/// all, and answers whether there are any: TOML takes the fields of the second for more of the
/// first, so that all else that it says follows from the slip.
fn single_brackets(source: &Source, errors: &[toml::de::Error]) -> bool {
    let mut told: Vec<&str> = Vec::new();
    for span in errors.iter().filter_map(toml::de::Error::span) {
        let Some(before) = source.text().get(..span.start) else {
            continue;
        };
        let start = before.rfind('\n').map_or(0, |at| at + 1);
        let line = source.text()[start..].lines().next().unwrap_or_default();
        let header = line.trim_start().strip_prefix('[');
        // Among seats in double brackets, the one in single brackets is at fault, and not they.
        let doubled = header.is_some_and(|header| header.starts_with('['));
        let header = header.and_then(|rest| rest.trim_start_matches('[').split(']').next());
        let Some(name) = LISTS
            .into_iter()
            .find(|name| header.is_some_and(|header| header.trim() == *name))
        else {
            continue;
        };
        if told.contains(&name) {
            continue;
        }
        let (span, how_often) = if doubled {
            let single = format!("\n[{name}]");
            let Some(at) = before.find(&single) else {
                continue;
            };
            (at + 1..at + single.len(), "")
        } else {
            (span, ", and more than once")
        };
        told.push(name);
        source.report(
            &span,
            name.to_owned(),
            format!("[{name}] in single brackets{how_often}"),
            format!("head each of them with double brackets: [[{name}]]"),
        );
    }
    !told.is_empty()
}

/// What a file includes as the part of a scenario that it is: a port file of its own form, JSON or
/// TOML, becomes a `[port]`.
fn as_part(path: &Path, text: String) -> Result<String, String> {
    let is_json = path.extension().is_some_and(|ending| ending == "json");
    if !is_json && !is_a_port_file(&text) {
        return Ok(text);
    }
    let file = PortFile::of_file(path, &text, &CsvExtras::default())?;
    file.as_table().ok_or_else(|| {
        format!(
            "{} holds reductions of node factors, which a scenario has no word for",
            path.display()
        )
    })
}

/// Whether a text has the form of a port file: a `[port]` with `harmonics`, and the rest beside it.
fn is_a_port_file(text: &str) -> bool {
    let (document, _) = DeTable::parse_recoverable(text);
    let port = document.get_ref().get("port").map(Spanned::get_ref);
    let port = port.and_then(DeValue::as_table);
    port.is_some_and(|port| port.contains_key("harmonics"))
}

/// Loads the printed table that a source names, if it does.
fn attach_table(source: &Source, load: &dyn Fn(&Path) -> Result<String, String>) {
    let (document, _) = DeTable::parse_recoverable(source.text());
    let port = document.get_ref().get("port").map(Spanned::get_ref);
    let turns = port
        .and_then(DeValue::as_table)
        .and_then(|port| port.get("turns"));
    if let Some(name) = turns.and_then(|name| name.get_ref().as_str()) {
        let path = source.beside(name);
        let text = load(&path);
        source.attach((path, text));
    }
}

/// The files that a source includes, resolved against its own folder.
fn includes(source: &Source) -> Vec<(PathBuf, Range<usize>)> {
    let (document, _) = DeTable::parse_recoverable(source.text());
    let root = Table::root(source, &document);
    root.texts("include")
        .into_iter()
        .map(|item| (source.beside(&item.value), item.span))
        .collect()
}
