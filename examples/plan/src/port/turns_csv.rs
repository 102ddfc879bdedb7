//! A printed table of high and low waters as CSV.
//!
//! Columns, in any order: `day` and `time` (an empty day is that of the row above), or `at` with
//! both and, if need be, an offset, or `at_utc`; `height_m`, `height_cm` or `height_ft`; where the
//! table tells high from low by more than the heights, `water`. A column `datum` must name one datum
//! throughout. Other columns are passed over, lines that begin with `#` too.

use jiff::Timestamp;
use jiff::tz::TimeZone;
use wrackline_tides::{Turn, TurnKind};

use super::printed::PrintedSpec;
use crate::time::read_instant;

/// What is wrong in a table, and on which line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowProblem {
    /// Line, counted from 1.
    pub line: usize,
    /// What is wrong.
    pub what: String,
    /// What to do about it.
    pub remedy: String,
}

impl std::fmt::Display for RowProblem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}: {}; {}", self.line, self.what, self.remedy)
    }
}

/// What a table says.
#[derive(Debug)]
pub(super) struct Read {
    pub(super) turns: Vec<Turn>,
    /// One in the last printed place of the heights, metres.
    pub(super) digit_m: f64,
    /// The datum that the table itself names.
    pub(super) datum: Option<String>,
}

/// Units of heights by the head of their column.
const HEIGHTS: [(&str, f64); 3] = [
    ("height_m", 1.0),
    ("height_cm", 0.01),
    ("height_ft", 0.3048),
];
/// Words for the two waters; single letters as the tables print them.
const HIGH: [&str; 5] = ["high", "high water", "hw", "h", "high_water"];
const LOW: [&str; 5] = ["low", "low water", "lw", "l", "low_water"];
/// No tide on Earth comes so far from its datum, metres.
const FARTHEST_M: f64 = 30.0;
/// So many problems are told.
const MOST_PROBLEMS: usize = 10;

/// Whether the heads of a CSV are those of a table of turns.
pub fn is_a_table_of_turns(text: &str) -> bool {
    let mut reader = reader(text);
    let Ok(heads) = reader.headers() else {
        return false;
    };
    let has = |name| heads.iter().any(|head| head == name);
    has("water") || (has("day") && has("time"))
}

fn reader(text: &str) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .flexible(true)
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes())
}

fn problem(line: usize, what: impl Into<String>, remedy: impl Into<String>) -> RowProblem {
    RowProblem {
        line,
        what: what.into(),
        remedy: remedy.into(),
    }
}

/// Where the columns are.
struct Columns {
    when: When,
    height: usize,
    metres: f64,
    water: Option<usize>,
    datum: Option<usize>,
}

enum When {
    DayAndTime(usize, usize),
    At(usize),
    AtUtc(usize),
}

impl Columns {
    fn of(heads: &csv::StringRecord) -> Result<Self, RowProblem> {
        let column = |name: &str| heads.iter().position(|head| head == name);
        if heads.len() == 1 && heads.iter().any(|head| head.contains(';')) {
            return Err(problem(
                1,
                "the columns are set apart by semicolons",
                "save the file with commas, and decimals with points",
            ));
        }
        let when = match (
            column("day"),
            column("time"),
            column("at"),
            column("at_utc"),
        ) {
            (_, _, _, Some(at)) => When::AtUtc(at),
            (_, _, Some(at), _) => When::At(at),
            (Some(day), Some(time), ..) => When::DayAndTime(day, time),
            _ => {
                return Err(problem(
                    1,
                    "there are no columns `day` and `time`",
                    "head the columns so, or one of both as `at`",
                ));
            }
        };
        let heights = HEIGHTS.iter();
        let mut heights = heights.filter_map(|(head, metres)| Some((column(head)?, *metres)));
        let (height, metres) = match (heights.next(), heights.next()) {
            (Some(height), None) => height,
            (None, _) => {
                return Err(problem(
                    1,
                    "there is no column of heights",
                    "head it by its unit: height_m, height_cm or height_ft",
                ));
            }
            (Some(_), Some(_)) => {
                return Err(problem(
                    1,
                    "there are heights in two units",
                    "leave one column",
                ));
            }
        };
        Ok(Self {
            when,
            height,
            metres,
            water: column("water"),
            datum: column("datum"),
        })
    }
}

/// One row as it was printed.
struct Row {
    line: usize,
    at: Timestamp,
    height_m: f64,
    kind: Option<TurnKind>,
}

/// Reads and checks a table.
///
/// # Errors
/// Up to ten problems, in the order of the file.
pub(super) fn read(text: &str, spec: &PrintedSpec) -> Result<Read, Vec<RowProblem>> {
    let mut reader = reader(text);
    let heads = match reader.headers() {
        Ok(heads) => heads.clone(),
        Err(error) => return Err(vec![problem(1, error.to_string(), "mend the file")]),
    };
    let columns = Columns::of(&heads).map_err(|found| vec![found])?;
    let mut problems = Vec::new();
    let mut rows: Vec<Row> = Vec::new();
    let mut datum: Option<String> = None;
    let mut decimals = 0;
    let mut day = String::new();
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                let line = error.position().map_or(1, csv::Position::line) as usize;
                problems.push(problem(line, error.to_string(), "mend the line"));
                continue;
            }
        };
        if record.iter().all(str::is_empty) {
            continue;
        }
        let line = record.position().map_or(0, csv::Position::line) as usize;
        if record.len() != heads.len() {
            problems.push(problem(
                line,
                format!("has {} fields, and the head {}", record.len(), heads.len()),
                "write decimals with points, and as many fields as there are columns",
            ));
            continue;
        }
        let get = |column: usize| record.get(column).unwrap_or_default();
        if let Some(named) = columns.datum.map(get).filter(|named| !named.is_empty()) {
            match &datum {
                Some(known) if known != named => problems.push(problem(
                    line,
                    format!("the datum changes from \"{known}\" to \"{named}\""),
                    "give the heights of one table above one datum",
                )),
                _ => datum = Some(named.to_owned()),
            }
        }
        let at = when(&columns.when, get, &mut day, &spec.zone);
        let height = height(get(columns.height));
        let kind = columns.water.map(get).map_or(Ok(None), kind);
        match (at, height, kind) {
            (Ok(at), Ok((height, places)), Ok(kind)) => {
                decimals = decimals.max(places);
                let height_m = height * columns.metres;
                if height_m.abs() > FARTHEST_M {
                    problems.push(problem(
                        line,
                        format!("a height of {height_m:.1} m"),
                        "check it and the unit in the head of its column",
                    ));
                }
                rows.push(Row {
                    line,
                    at,
                    height_m,
                    kind,
                });
            }
            (at, height, kind) => {
                let found = [at.err(), height.err(), kind.err()].into_iter().flatten();
                problems.extend(found.map(|(what, remedy)| problem(line, what, remedy)));
            }
        }
    }
    if let (Some(named), Some(wanted)) = (&datum, &spec.datum)
        && named != wanted
    {
        problems.push(problem(
            1,
            format!("the heights of the table are above \"{named}\", those of the port above \"{wanted}\""),
            "give the same datum in both",
        ));
    }
    if problems.is_empty() {
        in_order(&rows, spec, &mut problems);
    }
    if problems.is_empty() {
        match alternating(&rows) {
            Ok(turns) => {
                let digit_m = columns.metres * 10_f64.powi(-decimals);
                return Ok(Read {
                    turns,
                    digit_m,
                    datum,
                });
            }
            Err(found) => problems = found,
        }
    }
    problems.truncate(MOST_PROBLEMS);
    Err(problems)
}

type Wrong = (String, String);

fn when<'r>(
    columns: &When,
    get: impl Fn(usize) -> &'r str,
    day: &mut String,
    zone: &TimeZone,
) -> Result<Timestamp, Wrong> {
    let read = |text: &str, zone| {
        read_instant(text, Some(zone)).map_err(|unread| (unread.what(), unread.remedy()))
    };
    match columns {
        When::AtUtc(at) => read(get(*at), &TimeZone::UTC),
        When::At(at) if get(*at).len() > "2026-01-24".len() => read(get(*at), zone),
        When::At(at) => Err((
            format!("\"{}\" is no day with a time", get(*at)),
            "write 2026-01-24 08:52".to_owned(),
        )),
        When::DayAndTime(in_day, in_time) => {
            let printed = get(*in_day);
            if !printed.is_empty() {
                day.clear();
                day.push_str(printed);
            }
            if day.len() != "2026-01-24".len() {
                return Err((
                    format!("\"{day}\" is no day"),
                    "write it as 2026-01-24, and leave it empty only below a row of the same day"
                        .to_owned(),
                ));
            }
            read(&format!("{day}T{}", clock(get(*in_time))?), zone)
        }
    }
}

/// A time of day as the tables print it, `0412`, `4:12` or `04:12`, as the standard writes it; an
/// offset may follow.
fn clock(printed: &str) -> Result<String, Wrong> {
    let digits = printed.bytes().take_while(u8::is_ascii_digit).count();
    let whole = printed.is_ascii() && !printed.contains(char::is_whitespace);
    let rest = printed.get(digits..).unwrap_or_default();
    match digits {
        4 if whole => Ok(format!("{}:{}{rest}", &printed[..2], &printed[2..4])),
        2 if whole && rest.starts_with(':') => Ok(printed.to_owned()),
        1 if whole && rest.starts_with(':') => Ok(format!("0{printed}")),
        _ => Err((
            format!("\"{printed}\" is no time of day"),
            "write it as 04:12 or 0412".to_owned(),
        )),
    }
}

/// A height, and how many decimals it is printed with.
fn height(printed: &str) -> Result<(f64, i32), Wrong> {
    let plain = !printed.is_empty()
        && printed
            .bytes()
            .all(|byte| byte.is_ascii_digit() || b"+-.".contains(&byte));
    let places = printed.split_once('.').map_or(0, |(_, after)| after.len());
    match printed.parse::<f64>() {
        // More places than any table prints, and 10^-places stays a number.
        Ok(height) if plain && height.is_finite() && places <= 9 => Ok((height, places as i32)),
        _ => Err((
            format!("the height is \"{printed}\""),
            "give a number with a decimal point".to_owned(),
        )),
    }
}

fn kind(printed: &str) -> Result<Option<TurnKind>, Wrong> {
    let word = printed.to_lowercase();
    if word.is_empty() {
        Ok(None)
    } else if HIGH.contains(&word.as_str()) {
        Ok(Some(TurnKind::HighWater))
    } else if LOW.contains(&word.as_str()) {
        Ok(Some(TurnKind::LowWater))
    } else {
        Err((
            format!("\"{printed}\" is neither high nor low water"),
            "write `high` or `low`, or leave the column out".to_owned(),
        ))
    }
}

/// Whether each row comes after the one before it, and soon enough.
fn in_order(rows: &[Row], spec: &PrintedSpec, problems: &mut Vec<RowProblem>) {
    if rows.len() < 3 {
        problems.push(problem(
            1,
            format!("the table has {} turns", rows.len()),
            "give the high and low waters of some days",
        ));
    }
    for pair in rows.windows(2) {
        let hours = pair[1].at.duration_since(pair[0].at).as_secs_f64() / 3600.0;
        let (line, before) = (pair[1].line, pair[0].line);
        if hours <= 0.0 {
            problems.push(problem(
                line,
                format!("comes no later than line {before}"),
                "put the rows in order of time, each once",
            ));
        } else if hours > spec.longest_gap_h {
            problems.push(problem(
                line,
                format!("{hours:.1} h pass without a turn since line {before}"),
                format!(
                    "add the rows that are missing; where the office prints none, allow it with \
                     `turns_longest_gap_h = {}`",
                    hours.ceil()
                ),
            ));
        }
    }
}

/// The rows as turns that alternate, by their own words or by their heights.
fn alternating(rows: &[Row]) -> Result<Vec<Turn>, Vec<RowProblem>> {
    let mut problems = Vec::new();
    let mut turns: Vec<Turn> = Vec::with_capacity(rows.len());
    for (index, row) in rows.iter().enumerate() {
        let before = index.checked_sub(1).and_then(|before| rows.get(before));
        let neighbour = rows.get(index + 1).or(before);
        let by_height = neighbour.map(|next| {
            if row.height_m > next.height_m {
                TurnKind::HighWater
            } else {
                TurnKind::LowWater
            }
        });
        let last = turns.last().map(|turn| turn.kind);
        let kind = row.kind.or(last.map(other)).or(by_height);
        let Some(kind) = kind else { continue };
        let told = |kind| match kind {
            TurnKind::HighWater => "high",
            TurnKind::LowWater => "low",
        };
        let above = |row: &Row, than: &Row| match kind {
            TurnKind::HighWater => row.height_m - than.height_m,
            TurnKind::LowWater => than.height_m - row.height_m,
        };
        if let (Some(before), Some(last)) = (before, last) {
            let by = above(row, before);
            if last == kind {
                problems.push(problem(
                    row.line,
                    format!(
                        "a second {} water after that of line {}",
                        told(kind),
                        before.line
                    ),
                    "add the turn between them, or keep one",
                ));
            } else if by < 0.0 {
                problems.push(problem(
                    row.line,
                    format!(
                        "{:.2} m is no {} water beside the {:.2} m of line {}: the heights do not \
                         alternate",
                        row.height_m,
                        told(kind),
                        before.height_m,
                        before.line
                    ),
                    "a row is missing, or a figure slipped: compare them with the table",
                ));
            } else if by == 0.0 && (row.kind.is_none() || before.kind.is_none()) {
                problems.push(problem(
                    row.line,
                    format!(
                        "as high as line {}: which of them is high water?",
                        before.line
                    ),
                    "add a column `water` with `high` and `low`",
                ));
            }
        }
        turns.push(Turn {
            at: row.at,
            height_m: row.height_m,
            kind,
        });
    }
    if problems.is_empty() {
        Ok(turns)
    } else {
        Err(problems)
    }
}

fn other(kind: TurnKind) -> TurnKind {
    match kind {
        TurnKind::HighWater => TurnKind::LowWater,
        TurnKind::LowWater => TurnKind::HighWater,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spec(zone: &str) -> PrintedSpec {
        PrintedSpec::new(TimeZone::get(zone).unwrap(), zone)
    }

    fn told(text: &str, zone: &str) -> String {
        let problems = read(text, &spec(zone)).unwrap_err();
        let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
        told.join("\n")
    }

    #[test]
    fn a_table_is_read_as_it_is_printed() {
        let text = "# invented\nday,time,height_ft\n2026-05-01,0412,14.2\n,10:20,1.9\n,4:31 pm,1\n";
        assert!(told(text, "UTC").contains("line 5: \"4:31 pm\" is no time of day"));
        let text = text.replace("4:31 pm,1", "16:31,13.9");
        let found = read(&text, &spec("Europe/Berlin")).unwrap();
        assert_eq!(found.turns.len(), 3);
        assert_eq!(found.turns[0].at.to_string(), "2026-05-01T02:12:00Z");
        assert_eq!(found.turns[0].kind, TurnKind::HighWater);
        assert!((found.turns[1].height_m - 1.9 * 0.3048).abs() < 1e-12);
        assert!((found.digit_m - 0.03048).abs() < 1e-12);
    }

    #[test]
    fn a_slip_is_told_with_its_line() {
        let head = "day,time,height_m\n2026-05-01,04:12,5.1\n";
        for (rows, wanted) in [
            (
                "2026-05-01,10:20,1.9\n2026-05-01,10:20,5.0\n",
                "line 4: comes no later",
            ),
            (
                "2026-05-01,10:20,5.9\n2026-05-01,16:20,6.0\n",
                "do not alternate",
            ),
            (
                "2026-05-01,10:20,1.9\n2026-05-02,04:50,5.0\n",
                "18.5 h pass without a turn",
            ),
            (
                "2026-05-01,10:20,5.1\n2026-05-01,16:20,6.0\n",
                "which of them is high water",
            ),
            (
                "2026-05-32,10:20,1.9\n2026-05-02,16:20,5.0\n",
                "line 3: \"2026-05-32T10:20\"",
            ),
            (
                "2026-05-01,10:20,1,9\n",
                "line 3: has 4 fields, and the head 3",
            ),
            (
                "2026-05-01,10:20,1.9\n2026-05-02,16:20,x\n",
                "the height is \"x\"",
            ),
            (
                "2026-05-01,10:20,190\n2026-05-01,16:20,500\n",
                "a height of 190.0 m",
            ),
            ("", "has 1 turns"),
        ] {
            let told = told(&format!("{head}{rows}"), "UTC");
            assert!(told.contains(wanted), "{rows}: {told}");
        }
        let two =
            "day,time,height_m,water\n2026-05-01,04:12,5.1,high\n,10:20,4.9,h\n,16:30,1,low\n";
        assert!(told(two, "UTC").contains("line 3: a second high water after that of line 2"));
        assert!(told("day;time;height_m\n", "UTC").contains("semicolons"));
        assert!(told("day,time,height\n", "UTC").contains("head it by its unit"));
        assert!(told("", "UTC").contains("there are no columns"));
    }

    /// Clocks went back from 03:00 to 02:00 on 25 October 2026 in Berlin.
    #[test]
    fn a_repeated_hour_is_asked_about() {
        let text = "day,time,height_m\n2026-10-24,20:10,1.1\n2026-10-25,02:20,5.1\n,07:40,1.2\n";
        let told = told(text, "Europe/Berlin");
        assert!(told.contains("happened twice there"), "{told}");
        let text = text.replace("02:20", "02:20+01:00");
        let found = read(&text, &spec("Europe/Berlin")).unwrap();
        assert_eq!(found.turns[1].at.to_string(), "2026-10-25T01:20:00Z");
    }

    /// Two high waters with a small dip between them are two, and stay so.
    #[test]
    fn a_double_high_water_is_kept() {
        let text = "day,time,height_m,water\n2026-05-01,04:12,1.1,low\n,09:20,4.1,high\n\
                    ,10:50,4.1,low\n,12:10,4.2,high\n,17:30,0.9,low\n";
        assert_eq!(read(text, &spec("UTC")).unwrap().turns.len(), 5);
    }

    #[test]
    fn another_datum_is_refused() {
        let text = "day,time,height_m,datum\n2026-05-01,04:12,1.1,A\n,10:20,4.1,A\n,16:50,1.0,A\n";
        let mut spec = spec("UTC");
        spec.datum = Some("A".to_owned());
        assert!(read(text, &spec).is_ok());
        spec.datum = Some("B".to_owned());
        assert!(
            read(text, &spec).unwrap_err()[0]
                .what
                .contains("above \"A\"")
        );
    }
}
