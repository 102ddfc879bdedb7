//! Reads a forecast: a CSV with a unit in the head of each column.

use std::path::Path;

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::forecast::{Forecast, Row, WindVector};
use crate::scenario::{Problem, Problems};
use crate::time::read_instant;
use crate::words::{echo, nearest};

/// The heads that a forecast may have: `at`, `issued`, and one unit of each kind.
pub const HEADS: [&str; 11] = [
    "at",
    "issued",
    "pressure_hpa",
    "wind_m_per_s",
    "wind_kn",
    "wind_km_per_h",
    "wind_from_deg",
    "cloud_percent",
    "cloud_eighths",
    "air_c",
    "air_f",
];

/// The most rows that a forecast may have: a year by the hour and to spare.
const MOST_ROWS: usize = 10_000;
/// The most problems that are told of one file.
const MOST_TOLD: usize = 10;

/// A quantity: its heads, each with factor and offset that make it the unit in which it is held,
/// and the range of that.
struct Quantity {
    heads: &'static [(&'static str, f64, f64)],
    range: [f64; 2],
    unit: &'static str,
}

/// The same range as that of a scenario's own pressure.
const PRESSURE: Quantity = Quantity {
    heads: &[("pressure_hpa", 1.0, 0.0)],
    range: [870.0, 1090.0],
    unit: "hPa",
};
/// No storm's mean wind is stronger.
const WIND: Quantity = Quantity {
    heads: &[
        ("wind_m_per_s", 1.0, 0.0),
        // A nautical mile is 1852 m.
        ("wind_kn", 1852.0 / 3600.0, 0.0),
        ("wind_km_per_h", 1.0 / 3.6, 0.0),
    ],
    range: [0.0, 100.0],
    unit: "m/s",
};
const WIND_FROM: Quantity = Quantity {
    heads: &[("wind_from_deg", 1.0, 0.0)],
    range: [0.0, 360.0],
    unit: "degrees",
};
const CLOUD: Quantity = Quantity {
    heads: &[("cloud_percent", 0.01, 0.0), ("cloud_eighths", 0.125, 0.0)],
    range: [0.0, 1.0],
    unit: "of the sky",
};
const AIR: Quantity = Quantity {
    heads: &[("air_c", 1.0, 0.0), ("air_f", 5.0 / 9.0, -160.0 / 9.0)],
    range: [-90.0, 60.0],
    unit: "degrees Celsius",
};

/// A column that was found.
#[derive(Clone, Copy)]
struct Column {
    at: usize,
    head: &'static str,
    factor: f64,
    offset: f64,
}

/// Reads a forecast. The first line names the columns: `at`, an instant (with an offset, or a civil
/// time in the scenario's zone), `issued`, the instant at which the forecast was issued, on the
/// first row at least and the same wherever it stands, and any of [`HEADS`]. A column that is
/// missing, and a value that is left empty, is not used. Lines that start with `#` are skipped.
///
/// # Errors
/// Every problem, up to ten, each with line, field, value and remedy.
pub fn read(name: &str, text: &str, zone: &TimeZone) -> Result<Forecast, Problems> {
    let mut reading = Reading {
        name,
        zone,
        problems: Vec::new(),
    };
    let forecast = reading.read(text.strip_prefix('\u{feff}').unwrap_or(text));
    let told = reading.problems.len();
    if told > MOST_TOLD {
        reading.problems.truncate(MOST_TOLD);
        let last = reading.problems.last().map_or(1, |problem| problem.line);
        let more = told - MOST_TOLD;
        reading.report(
            last,
            "",
            format!("has {more} problems more"),
            "mend these first",
        );
    }
    match Problems::collect(reading.problems) {
        Some(problems) => Err(problems),
        None => forecast.ok_or_else(|| {
            let remedy = "give a line of heads and a row for each instant";
            Problems::one(Path::new(name), "holds no forecast".to_owned(), remedy)
        }),
    }
}

struct Reading<'a> {
    name: &'a str,
    zone: &'a TimeZone,
    problems: Vec<Problem>,
}

impl Reading<'_> {
    fn report(&mut self, line: usize, field: &str, what: String, remedy: &str) {
        self.problems.push(Problem {
            file: self.name.into(),
            line,
            // A field of a table has a name, which is found sooner than a column of characters.
            column: 1,
            field: field.to_owned(),
            what,
            remedy: remedy.to_owned(),
        });
    }

    /// `None` where there is a problem, or no row.
    fn read(&mut self, text: &str) -> Option<Forecast> {
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .trim(csv::Trim::All)
            .from_reader(text.as_bytes());
        let heads = match reader.headers() {
            Ok(heads) => heads.clone(),
            Err(error) => {
                self.report(1, "", format!("is no table: {error}"), "save it as CSV");
                return None;
            }
        };
        let line_of = |position: Option<&csv::Position>| {
            position.map_or(1, |position| position.line() as usize)
        };
        let first = line_of(heads.position());
        if heads.iter().all(str::is_empty) {
            return None;
        }
        if heads.len() == 1 && heads.iter().any(|head| head.contains(';')) {
            let what = "sets its columns apart by semicolons".to_owned();
            let remedy = "save it with commas, and decimals with points";
            self.report(first, "", what, remedy);
            return None;
        }
        let unused = self.heads(&heads, first);
        let at = heads.iter().position(|head| head == "at");
        let Some(at) = at else {
            let what = "there is no column `at`".to_owned();
            self.report(first, "at", what, "name the column of instants so");
            return None;
        };
        let issued_at = heads.iter().position(|head| head == "issued");
        let mut column = |quantity: &Quantity| self.column(&heads, first, quantity);
        let [pressure, wind, from, cloud, air] =
            [&PRESSURE, &WIND, &WIND_FROM, &CLOUD, &AIR].map(&mut column);
        if [pressure, wind, cloud, air].iter().all(Option::is_none) {
            let what = "there is no column that says anything of the weather".to_owned();
            let remedy = "add one of pressure_hpa, wind_m_per_s with wind_from_deg, \
                          cloud_percent, air_c";
            self.report(first, "", what, remedy);
        }
        let mut rows: Vec<Row> = Vec::new();
        let mut issued: Option<Timestamp> = None;
        for record in reader.records() {
            let record = match record {
                Ok(record) => record,
                Err(error) => {
                    let line = line_of(error.position());
                    let what = match error.kind() {
                        csv::ErrorKind::UnequalLengths {
                            expected_len, len, ..
                        } => {
                            format!("has {len} fields, and the heads are {expected_len}")
                        }
                        _ => format!("is no row: {error}"),
                    };
                    self.report(line, "", what, "give a field for each head, empty or not");
                    continue;
                }
            };
            let line = line_of(record.position());
            if rows.len() == MOST_ROWS {
                let what = format!("holds more than {MOST_ROWS} rows");
                self.report(line, "", what, "leave out what is not needed");
                break;
            }
            let text = |at: usize| record.get(at).unwrap_or_default();
            if let Some(said) = issued_at.map(text).filter(|said| !said.is_empty())
                && let Some(said) = self.instant(line, "issued", said)
            {
                if issued.is_some_and(|issued| issued != said) {
                    let what = format!("{said} is another time of issue than on the rows before");
                    self.report(line, "issued", what, "give the rows of one issue");
                }
                issued = Some(said);
            }
            let mut value = |quantity, column: Option<Column>| {
                let column = column?;
                self.number(line, quantity, column, text(column.at))
            };
            let pressure_hpa = value(&PRESSURE, pressure);
            let speed_mps = value(&WIND, wind);
            let from_deg = value(&WIND_FROM, from);
            let cloud = value(&CLOUD, cloud);
            let air_c = value(&AIR, air);
            let Some(at) = self.instant(line, "at", text(at)) else {
                continue;
            };
            if let Some(last) = rows.last().filter(|last| last.at >= at) {
                let what = format!("{at} is not after the row before, {}", last.at);
                self.report(line, "at", what, "put the rows in order of time, each once");
                continue;
            }
            // Where there is no wind it comes from nowhere.
            let calm = (speed_mps == Some(0.0)).then_some(0.0);
            let wind = speed_mps.zip(from_deg.or(calm));
            rows.push(Row {
                at,
                pressure_hpa,
                wind: wind.map(|(speed, from)| WindVector::from(speed, from)),
                cloud,
                air_c,
            });
        }
        (!rows.is_empty()).then(|| Forecast {
            source: self.name.to_owned(),
            issued,
            rows,
            unused,
        })
    }

    /// Looks at the heads, and answers those that nothing reads. One that is nearly a known one is
    /// likelier misspelt than meant for somebody else, and would be missed in silence.
    fn heads(&mut self, heads: &csv::StringRecord, line: usize) -> Vec<String> {
        let mut unused = Vec::new();
        for (at, head) in heads.iter().enumerate() {
            let known = HEADS.contains(&head);
            if known && heads.iter().take(at).any(|before| before == head) {
                let what = "stands there twice".to_owned();
                self.report(line, head, what, "leave one column");
            } else if !known && !head.is_empty() {
                match nearest(head, &HEADS) {
                    Some(near) => {
                        let what = format!("there is no column \"{}\"", echo(head));
                        let remedy =
                            format!("did you mean {near}? If it is something else, leave it out");
                        self.report(line, &echo(head), what, &remedy);
                    }
                    None => unused.push(echo(head)),
                }
            }
        }
        unused
    }

    /// The column of a quantity, in one unit.
    fn column(
        &mut self,
        heads: &csv::StringRecord,
        line: usize,
        quantity: &Quantity,
    ) -> Option<Column> {
        let known = quantity.heads.iter();
        let mut found = known.filter_map(|&(name, factor, offset)| {
            let at = heads.iter().position(|head| head == name)?;
            Some(Column {
                at,
                head: name,
                factor,
                offset,
            })
        });
        let first = found.next()?;
        if let Some(second) = found.next() {
            let what = format!("stands there beside {}", second.head);
            self.report(line, first.head, what, "leave the column of one unit");
        }
        Some(first)
    }

    fn instant(&mut self, line: usize, field: &str, text: &str) -> Option<Timestamp> {
        if text.is_empty() {
            let remedy = "write an instant such as 2026-12-29T06:00Z";
            self.report(line, field, "is empty".to_owned(), remedy);
            return None;
        }
        // No instant is that long, also with the name of its zone.
        let text = if text.len() > 80 { &echo(text) } else { text };
        let read = read_instant(text, Some(self.zone));
        read.map_err(|unread| self.report(line, field, unread.what(), &unread.remedy()))
            .ok()
    }

    /// A number in the unit in which it is held; `None` where the field is empty.
    fn number(
        &mut self,
        line: usize,
        quantity: &Quantity,
        column: Column,
        text: &str,
    ) -> Option<f64> {
        if text.is_empty() {
            return None;
        }
        let [least, most] = quantity.range;
        let held = |value: f64| value * column.factor + column.offset;
        let value = text.parse().map(held).ok().filter(|v| f64::is_finite(*v));
        match value {
            Some(value) if (least..=most).contains(&value) => Some(value),
            Some(_) => {
                let what = format!("{} is out of range", echo(text));
                let remedy = format!("give {least} to {most} {}", quantity.unit);
                let remedy = if column.factor == 1.0 {
                    remedy
                } else {
                    format!("{remedy}, in the unit of the head")
                };
                self.report(line, column.head, what, &remedy);
                None
            }
            None => {
                let what = format!("\"{}\" is no number", echo(text));
                let remedy = "give a number, or leave the field empty";
                self.report(line, column.head, what, remedy);
                None
            }
        }
    }
}

#[cfg(test)]
mod tests;
