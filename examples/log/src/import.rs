//! Entries from files: every line is read and judged before the first one is taken.

use std::collections::BTreeMap;

use wrackline_plan::rfc4180;

use super::accept::Gate;
use super::conditions::CONDITIONS;
use super::draft::Draft;
use super::entry::{Entry, FIELDS};
use super::error::Error;
use super::problem::{Problem, closest};

/// Reads entries from CSV (RFC 4180) with a header line that names the fields, in any order.
///
/// # Errors
/// All problems of the file at once, each with its line. Nothing is returned of a file that has
/// one.
pub fn from_csv(source_name: &str, bytes: &[u8], gate: &Gate) -> Result<Vec<Entry>, Error> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let mut problems = Vec::new();
    let heading = bytes
        .split(|byte| *byte == b'\n')
        .next()
        .unwrap_or_default();
    if heading.contains(&b';') && !heading.contains(&b',') {
        let message = "the columns are set apart by semicolons; save the file with commas";
        let problem = Problem::new("file", message.to_owned()).on_line(1);
        return Err(refuse(source_name, vec![problem]));
    }
    let lines = rows_begin(bytes, &mut problems);
    if !problems.is_empty() {
        return Err(refuse(source_name, problems));
    }
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(bytes);
    let mut rows = reader.byte_records();
    let header = match rows.next() {
        Some(Ok(header)) => header,
        _ => {
            return Err(refuse(
                source_name,
                vec![Problem::new(
                    "file",
                    "is empty; the first line must name the columns".to_owned(),
                )],
            ));
        }
    };
    let columns = read_header(&header, &mut problems);
    let rows: Vec<_> = rows.collect();
    if rows.len() + 1 != lines.len() {
        let message = format!(
            "{} rows were counted and {} read; check the line ends",
            lines.len() - 1,
            rows.len()
        );
        return Err(refuse(source_name, vec![Problem::new("file", message)]));
    }
    let mut drafts = Vec::new();
    for (row, line) in rows.into_iter().zip(lines.into_iter().skip(1)) {
        let row = match row {
            Ok(row) => row,
            Err(error) => {
                problems.push(Problem::new("row", error.to_string()).on_line(line));
                break;
            }
        };
        if row.iter().all(<[u8]>::is_empty) {
            continue;
        }
        if row.len() != header.len() {
            let message = format!(
                "has {} columns, the first line names {}; a text with a comma in it needs quotes",
                row.len(),
                header.len()
            );
            problems.push(Problem::new("row", message).on_line(line));
            continue;
        }
        let mut draft = Draft::default();
        for (name, bytes) in columns.iter().zip(row.iter()) {
            let Some(name) = name else { continue };
            match std::str::from_utf8(bytes) {
                // The header was checked against the same list.
                Ok(text) => {
                    let _ = draft.set(name, rfc4180::arm(text));
                }
                Err(_) => problems.push(
                    Problem::new(
                        *name,
                        "holds bytes that are not UTF-8; save the file as UTF-8".to_owned(),
                    )
                    .on_line(line),
                ),
            }
        }
        drafts.push((line, draft));
    }
    accept_all(source_name, drafts, gate, problems)
}

/// Reads entries from JSON Lines: one object a line, its keys the field names.
///
/// # Errors
/// As [`from_csv`].
pub fn from_json_lines(source_name: &str, bytes: &[u8], gate: &Gate) -> Result<Vec<Entry>, Error> {
    use serde_json::Value;
    let mut problems = Vec::new();
    let mut drafts = Vec::new();
    for (index, bytes) in bytes.split(|byte| *byte == b'\n').enumerate() {
        let line = index as u64 + 1;
        if bytes.trim_ascii().is_empty() {
            continue;
        }
        let object: serde_json::Map<String, Value> = match serde_json::from_slice(bytes) {
            Ok(object) => object,
            Err(error) => {
                let message = format!("is not one JSON object ({error})");
                problems.push(Problem::new("line", message).on_line(line));
                continue;
            }
        };
        let mut draft = Draft::default();
        for (key, value) in object {
            if CONDITIONS.contains(&key.as_str()) {
                continue;
            }
            let text = match value {
                Value::Null => continue,
                Value::String(text) => text,
                Value::Number(number) => number.to_string(),
                other => {
                    let message = format!("{other} is neither a text nor a number");
                    problems.push(Problem::new(key, message).on_line(line));
                    continue;
                }
            };
            if let Err(problem) = draft.set(&key, &text) {
                problems.push(problem.on_line(line));
            }
        }
        drafts.push((line, draft));
    }
    accept_all(source_name, drafts, gate, problems)
}

fn refuse(source_name: &str, mut problems: Vec<Problem>) -> Error {
    problems.sort_by_key(|problem| problem.line);
    Error::Input {
        source_name: source_name.to_owned(),
        problems,
    }
}

fn accept_all(
    source_name: &str,
    drafts: Vec<(u64, Draft)>,
    gate: &Gate,
    mut problems: Vec<Problem>,
) -> Result<Vec<Entry>, Error> {
    let mut entries = Vec::new();
    let mut lines_by_id: BTreeMap<String, u64> = BTreeMap::new();
    for (line, draft) in &drafts {
        match gate.accept(draft) {
            Ok(entry) => {
                if !entry.id.is_empty()
                    && let Some(first) = lines_by_id.insert(entry.id.clone(), *line)
                {
                    let message = format!("'{}' stands on line {first} already", entry.id);
                    problems.push(Problem::new("id", message).on_line(*line));
                }
                entries.push(entry);
            }
            Err(found) => problems.extend(found.into_iter().map(|problem| problem.on_line(*line))),
        }
    }
    if drafts.is_empty() && problems.is_empty() {
        problems.push(Problem::new("file", "holds no entry".to_owned()));
    }
    if problems.is_empty() {
        Ok(entries)
    } else {
        Err(refuse(source_name, problems))
    }
}

/// The field of each column; `None` for conditions, which are worked out anew.
fn read_header(header: &csv::ByteRecord, problems: &mut Vec<Problem>) -> Vec<Option<&'static str>> {
    let known = FIELDS.map(|field| field.name);
    let mut columns: Vec<Option<&'static str>> = Vec::new();
    for bytes in header {
        let name = String::from_utf8_lossy(bytes).trim().to_owned();
        let field = known.iter().find(|known| **known == name).copied();
        if field.is_none() && !CONDITIONS.contains(&name.as_str()) {
            problems.push(
                Problem::new(
                    "header",
                    format!("no such column: '{name}'{}", closest(&name, &known)),
                )
                .on_line(1),
            );
        }
        if field.is_some() && columns.contains(&field) {
            problems
                .push(Problem::new("header", format!("column '{name}' stands twice")).on_line(1));
        }
        columns.push(field);
    }
    for field in FIELDS
        .iter()
        .filter(|field| field.required && !columns.contains(&Some(field.name)))
    {
        // A seat gives the place.
        if field.name != "place" || !columns.contains(&Some("seat")) {
            problems.push(
                Problem::new("header", format!("column '{}' is missing", field.name)).on_line(1),
            );
        }
    }
    columns
}

/// The line on which each row begins, blank lines left out, as the CSV reader leaves them out. The
/// reader's own line count is off after line ends inside quotes.
///
/// The reader also takes an unclosed quote for a text that runs to the end of the file, which would
/// swallow entries in silence. RFC 4180 forbids it, and quotes in the middle of a bare text too:
/// both are problems here.
fn rows_begin(bytes: &[u8], problems: &mut Vec<Problem>) -> Vec<u64> {
    enum At {
        Row,
        Field,
        Bare,
        Quoted { opened: u64 },
        Closed,
    }
    let mut begin = Vec::new();
    let mut at = At::Row;
    let mut line = 1;
    for byte in bytes {
        if matches!(at, At::Row) && !matches!(byte, b'\n' | b'\r') {
            begin.push(line);
            at = At::Field;
        }
        at = match (at, byte) {
            (At::Row | At::Field, b'"') => At::Quoted { opened: line },
            (At::Quoted { .. }, b'"') => At::Closed,
            (quoted @ At::Quoted { .. }, _) => quoted,
            // A doubled quote stands for one quote inside the text.
            (At::Closed, b'"') => At::Quoted { opened: line },
            (_, b'\n' | b'\r') => At::Row,
            (_, b',') => At::Field,
            (At::Closed, _) | (At::Bare, b'"') => {
                let message = "a quote inside a text; put the whole text in quotes and double the \
                    quotes within";
                problems.push(Problem::new("row", message.to_owned()).on_line(line));
                return begin;
            }
            (At::Row | At::Field | At::Bare, _) => At::Bare,
        };
        line += u64::from(*byte == b'\n');
    }
    if let At::Quoted { opened } = at {
        let message = "a quote is opened and never closed";
        problems.push(Problem::new("row", message.to_owned()).on_line(opened));
    }
    begin
}
