//! Tables of text with delimiters, read row by row: no row is held longer than it is looked at, and
//! what never ends its row, its line or itself is refused.

use std::io::{self, BufRead, BufReader, Read};
use std::path::{Path, PathBuf};

use csv_core::{ReadRecordResult, ReaderBuilder};
use wrackline_plan::scenario::Problem;

/// A table larger than this is none of sightings around one place; what is packed is counted as it
/// comes out. Our choice.
const MOST_BYTES: u64 = 2 << 30;
/// The longest row. Remarks of a page have a few thousand bytes. Our choice.
const MOST_ROW_BYTES: usize = 1 << 20;
/// The most fields of a row; all terms of the standard are some two hundred. Our choice.
const MOST_FIELDS: usize = 2_000;

/// How a table is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Layout {
    /// Between two fields.
    pub(super) delimiter: u8,
    /// Around a field that holds a delimiter; `None` where no character does that.
    pub(super) quote: Option<u8>,
}

impl Layout {
    /// How a table begins tells how it is written: fields between tabs, of which none is quoted
    /// (the text/tab-separated-values of the register of media types), else between commas or, as
    /// some table calculators save, semicolons, quoted as in RFC 4180.
    fn of_first_line(line: &[u8]) -> Self {
        let count = |wanted: u8| line.iter().filter(|byte| **byte == wanted).count();
        let (delimiter, quote) = if count(b'\t') > 0 {
            (b'\t', None)
        } else if count(b';') > count(b',') {
            (b';', Some(b'"'))
        } else {
            (b',', Some(b'"'))
        };
        Self { delimiter, quote }
    }
}

/// A table that is being read.
pub(super) struct Table<R> {
    name: PathBuf,
    input: BufReader<io::Take<R>>,
    layout: Layout,
    core: csv_core::Reader,
    fields: Vec<u8>,
    ends: Vec<usize>,
    raw: Vec<u8>,
    lines: usize,
}

/// One row of it.
pub(super) struct Row<'t> {
    name: &'t Path,
    text: &'t str,
    ends: &'t [usize],
    raw: &'t [u8],
    layout: Layout,
    line: usize,
}

impl<R: Read> Table<R> {
    /// A table in a layout, or in the one that its first line shows.
    pub(super) fn new(name: PathBuf, from: R, layout: Option<Layout>) -> Result<Self, Problem> {
        let mut input = BufReader::with_capacity(1 << 16, from.take(MOST_BYTES + 1));
        let start = fill(&mut input).map_err(|error| unreadable(&name, 1, &error))?;
        if matches!(start, [0xff, 0xfe, ..] | [0xfe, 0xff, ..]) {
            let what = "is written in UTF-16".to_owned();
            return Err(problem(&name, 1, "", what, "save it as UTF-8"));
        }
        let first = start.split(|byte| *byte == b'\n').next().unwrap_or(start);
        let layout = layout.unwrap_or_else(|| Layout::of_first_line(first));
        let mut builder = ReaderBuilder::new();
        builder.delimiter(layout.delimiter);
        match layout.quote {
            Some(quote) => builder.quote(quote),
            None => builder.quoting(false),
        };
        Ok(Self {
            name,
            input,
            layout,
            core: builder.build(),
            fields: vec![0; MOST_ROW_BYTES],
            ends: vec![0; MOST_FIELDS],
            raw: Vec::new(),
            lines: 0,
        })
    }

    /// The next row; `None` after the last. Lines that hold nothing are none.
    pub(super) fn next(&mut self) -> Result<Option<Row<'_>>, Problem> {
        self.raw.clear();
        let (mut written, mut ended) = (0, 0);
        loop {
            let input = self.input.fill_buf();
            let input = input.map_err(|error| unreadable(&self.name, self.lines + 1, &error))?;
            let (result, read, out, ends) =
                self.core
                    .read_record(input, &mut self.fields[written..], &mut self.ends[ended..]);
            self.raw.extend_from_slice(&input[..read]);
            self.input.consume(read);
            (written, ended) = (written + out, ended + ends);
            let too_long = self.raw.len() > 2 * MOST_ROW_BYTES;
            match result {
                ReadRecordResult::Record => break,
                ReadRecordResult::End => return Ok(None),
                ReadRecordResult::InputEmpty if !too_long => {}
                ReadRecordResult::OutputEndsFull => {
                    let what = format!("holds more than {MOST_FIELDS} fields");
                    let remedy = "give a table with one record a line";
                    return Err(self.at_start(what, remedy));
                }
                ReadRecordResult::InputEmpty | ReadRecordResult::OutputFull => {
                    let what = format!("does not end within {} kB", MOST_ROW_BYTES >> 10);
                    let remedy = "close its quotation mark, or give a table with one record a line";
                    return Err(self.at_start(what, remedy));
                }
            }
        }
        if self.input.get_ref().limit() == 0 {
            let most = MOST_BYTES >> 30;
            let what = format!("holds more than {most} GB");
            return Err(self.at_start(what, "export fewer years, or a smaller area"));
        }
        let before = self.lines;
        self.lines += newlines(&self.raw);
        let blank = self
            .raw
            .iter()
            .take_while(|byte| matches!(byte, b'\n' | b'\r'));
        let blank = blank.filter(|byte| **byte == b'\n').count();
        let line = before + blank + 1;
        let text = match std::str::from_utf8(&self.fields[..written]) {
            Ok(text) => text,
            Err(error) => {
                let at = error.valid_up_to();
                let field = self.ends[..ended].iter().filter(|end| **end <= at).count();
                let place = place(&self.raw, self.layout, field);
                let mut problem = problem(
                    &self.name,
                    before + 1 + place.0,
                    &format!("field {}", field + 1),
                    "is no text in UTF-8".to_owned(),
                    "save the table as UTF-8",
                );
                problem.column = place.1;
                return Err(problem);
            }
        };
        Ok(Some(Row {
            name: &self.name,
            text,
            ends: &self.ends[..ended],
            raw: &self.raw,
            layout: self.layout,
            line,
        }))
    }

    fn at_start(&self, what: String, remedy: &str) -> Problem {
        problem(&self.name, self.lines + 1, "", what, remedy)
    }
}

/// What stands at the start of an input; empty at its end.
fn fill<R: Read>(input: &mut BufReader<R>) -> io::Result<&[u8]> {
    input.fill_buf()
}

fn newlines(raw: &[u8]) -> usize {
    raw.iter().filter(|byte| **byte == b'\n').count()
}

impl Row<'_> {
    /// How many fields it has.
    pub(super) fn len(&self) -> usize {
        self.ends.len()
    }

    /// A field without the blanks around it; `None` where it is not there or empty.
    pub(super) fn get(&self, index: usize) -> Option<&str> {
        let end = *self.ends.get(index)?;
        let start = match index {
            0 => 0,
            _ => *self.ends.get(index - 1)?,
        };
        let field = self.text.get(start..end)?.trim();
        (!field.is_empty()).then_some(field)
    }

    /// A problem of one of its fields, with the place where that begins.
    pub(super) fn problem(&self, index: usize, term: &str, what: String, remedy: &str) -> Problem {
        let (lines, column) = place(self.raw, self.layout, index);
        let blank = self
            .raw
            .iter()
            .take_while(|byte| matches!(byte, b'\n' | b'\r'));
        let blank = blank.filter(|byte| **byte == b'\n').count();
        Problem {
            column,
            ..problem(self.name, self.line - blank + lines, term, what, remedy)
        }
    }

    /// A problem of all of it.
    pub(super) fn problem_of_all(&self, what: String, remedy: &str) -> Problem {
        problem(self.name, self.line, "", what, remedy)
    }
}

/// Where a field of a raw row begins: ends of lines before it, and its column in characters.
fn place(raw: &[u8], layout: Layout, index: usize) -> (usize, usize) {
    let start = raw
        .iter()
        .take_while(|byte| matches!(byte, b'\n' | b'\r'))
        .count();
    let (mut field, mut quoted, mut at) = (0, false, start);
    while field < index && at < raw.len() {
        let byte = raw[at];
        if Some(byte) == layout.quote {
            quoted = !quoted;
        } else if byte == layout.delimiter && !quoted {
            field += 1;
        }
        at += 1;
    }
    let before = &raw[..at];
    let line_start = before
        .iter()
        .rposition(|byte| *byte == b'\n')
        .map_or(0, |at| at + 1);
    let line = before[line_start..].strip_prefix(b"\xef\xbb\xbf");
    let line = line.unwrap_or(&before[line_start..]);
    // Bytes that go on a character begin with the bits 10.
    let characters = line.iter().filter(|byte| **byte & 0xc0 != 0x80).count();
    (newlines(before), characters + 1)
}

fn unreadable(name: &Path, line: usize, error: &io::Error) -> Problem {
    let what = format!("cannot be read on: {error}");
    problem(
        name,
        line,
        "",
        what,
        "give a table that can be read to its end",
    )
}

/// A problem at the start of a line.
pub(super) fn problem(
    name: &Path,
    line: usize,
    field: &str,
    what: String,
    remedy: &str,
) -> Problem {
    Problem {
        file: name.to_owned(),
        line,
        column: 1,
        field: field.to_owned(),
        what: harmless(&what),
        remedy: remedy.to_owned(),
    }
}

/// A text from a table as one line that a terminal only shows: no control characters, and none that
/// turn the order of reading around.
pub(super) fn harmless(text: &str) -> String {
    let turns = |c: char| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    let ends_line = |c: char| matches!(c, '\u{2028}' | '\u{2029}');
    let shown = text.chars().filter(|c| !turns(*c));
    let shown = shown.map(|c| {
        if c.is_control() || ends_line(c) {
            ' '
        } else {
            c
        }
    });
    shown.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(text: &[u8]) -> Result<Vec<(usize, Vec<String>)>, Problem> {
        let mut table = Table::new("t".into(), text, None)?;
        let mut rows = Vec::new();
        while let Some(row) = table.next()? {
            let fields = (0..row.len()).map(|at| row.get(at).unwrap_or("").to_owned());
            rows.push((row.line, fields.collect()));
        }
        Ok(rows)
    }

    #[test]
    fn rows_know_the_line_they_begin_on() {
        let text = b"\xef\xbb\xbfa,b\r\n\r\n1,\"two\r\nlines\"\r\n3,4";
        let read = rows(text).unwrap();
        let lines: Vec<usize> = read.iter().map(|(line, _)| *line).collect();
        assert_eq!(lines, [1, 3, 5]);
        assert_eq!(read[0].1, ["a", "b"]);
        assert_eq!(read[1].1, ["1", "two\r\nlines"]);
        assert_eq!(rows(b"a;b\n1;2,5\n").unwrap()[1].1, ["1", "2,5"]);
        assert_eq!(rows(b"a\tb\n\"1\t2\"\n").unwrap()[1].1, ["\"1", "2\""]);
        assert!(rows(b"").unwrap().is_empty());
    }

    #[test]
    fn a_problem_stands_where_its_field_begins() {
        let mut table =
            Table::new("t".into(), &b"a,b,c\n\"x\ny\",gr\xc3\xbcn,9\n"[..], None).unwrap();
        table.next().unwrap();
        let row = table.next().unwrap().unwrap();
        let at = |index| {
            let problem = row.problem(index, "", String::new(), "");
            (problem.line, problem.column)
        };
        assert_eq!([at(0), at(1), at(2)], [(2, 1), (3, 4), (3, 9)]);
    }

    #[test]
    fn what_never_ends_is_refused() {
        let said = |text: &[u8]| rows(text).unwrap_err().to_string();
        let mut open = b"a,b\n1,\"".to_vec();
        open.resize(3 << 20, b'x');
        assert!(said(&open).contains("t:2:1: does not end within 1024 kB"));
        assert!(said(&vec![b'\n'; 3 << 20]).contains("does not end"));
        assert!(said(&vec![b','; 5_000]).contains("more than 2000 fields"));
        assert!(said(b"a,b\n1,\xff\n").contains("t:2:3: field 2: is no text in UTF-8"));
        assert!(said(b"\xff\xfea\0").contains("UTF-16"));
    }
}
