//! A printed table of high and low waters as CSV.
//!
//! Columns, in any order: `day` and `time` (an empty day is that of the row above), or `at` with
//! both and, if need be, an offset, or `at_utc`; `height_m`, `height_cm` or `height_ft`; where the
//! table tells high from low by more than the heights, `water`. A column `datum` must name one datum
//! throughout. Other columns are passed over, lines that begin with `#` too.

mod cells;
mod columns;
mod order;

use jiff::Timestamp;
use wrackline_tides::{Turn, TurnKind};

use super::printed::PrintedSpec;
use columns::Columns;

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
        let at = cells::when(&columns.when, get, &mut day, &spec.zone);
        let height = cells::height(get(columns.height));
        let kind = columns.water.map(get).map_or(Ok(None), cells::kind);
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
            format!(
                "the heights of the table are above \"{named}\", those of the port above \
                 \"{wanted}\""
            ),
            "give the same datum in both",
        ));
    }
    if problems.is_empty() {
        order::in_order(&rows, spec, &mut problems);
    }
    if problems.is_empty() {
        match order::alternating(&rows) {
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

#[cfg(test)]
mod tests {
    use jiff::tz::TimeZone;

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
