//! Harmonic constants from a file of readings, or of high and low waters: read and analysed.

use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use serde::Serialize;
use wrackline_tides::{
    Analysis, AnalysisSpec, Error, FittedHarmonic, Inference, Reading, ResidualSummary, Warning,
};

use super::form::{DEMO, DEMO_NAME, PortFile, SHORT_RECORD_DAYS, short_record};
use super::printed::{PrintedSpec, PrintedTable};
use crate::cautions;
use crate::time::read_instant;

/// Readings of a file, and how many lines held none.
#[derive(Clone, Debug, PartialEq)]
pub struct Record {
    /// In the order of the file.
    pub readings: Vec<Reading>,
    /// Lines whose level was left empty, or was one that stands for none.
    pub missing: usize,
}

/// Reads a CSV of readings: a column `at` with ISO times (with an offset, or in the given zone) and
/// one of `height_m`, `height_cm`, `height_mm`, `height_ft`. Empty levels are missing readings, and
/// so are those that `marks` names, in the unit of the file. Lines that start with `#` are skipped.
///
/// # Errors
/// Up to ten messages that name file, line, value and remedy.
pub fn read(
    name: &str,
    text: &str,
    zone: Option<&TimeZone>,
    marks: &[f64],
) -> Result<Record, String> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let headings = reader
        .headers()
        .map_err(|error| format!("{name}: {error}"))?
        .clone();
    let column = |wanted: &str| headings.iter().position(|heading| heading == wanted);
    let semicolons = headings.len() == 1 && headings.iter().any(|line| line.contains(';'));
    if semicolons {
        return Err(format!(
            "{name} line 1: the columns are set apart by semicolons; save the file with commas, \
             and decimals with points"
        ));
    }
    let at = column("at").ok_or_else(|| {
        format!("{name} line 1: there is no column `at`: name the column of times so")
    })?;
    let units = [
        ("height_m", 1.0),
        ("height_cm", 0.01),
        ("height_mm", 0.001),
        ("height_ft", 0.3048),
    ];
    let mut levels = units
        .iter()
        .filter_map(|(heading, metres)| column(heading).map(|column| (column, *metres)));
    let (level, metres) = match (levels.next(), levels.next()) {
        (Some(level), None) => level,
        (None, _) => {
            return Err(format!(
                "{name} line 1: there is no column of levels: name it height_m, height_cm, \
                 height_mm or height_ft"
            ));
        }
        (Some(_), Some(_)) => {
            return Err(format!(
                "{name} line 1: there are levels in two units: leave one column"
            ));
        }
    };
    let mut record = Record {
        readings: Vec::new(),
        missing: 0,
    };
    let mut problems = Vec::new();
    for row in reader.records() {
        let row = match row {
            Ok(row) => row,
            Err(error) => {
                problems.push(format!("{name}: {error}"));
                continue;
            }
        };
        let line = row.position().map_or(0, csv::Position::line);
        let value = row.get(level).unwrap_or_default();
        if value.is_empty() {
            record.missing += 1;
            continue;
        }
        let height = value
            .parse::<f64>()
            .ok()
            .filter(|height| height.is_finite());
        if height.is_some_and(|height| marks.contains(&height)) {
            record.missing += 1;
            continue;
        }
        let instant = read_instant(row.get(at).unwrap_or_default(), zone);
        match (instant, height) {
            (Ok(at), Some(height)) => record.readings.push(Reading {
                at,
                height_m: height * metres,
            }),
            (Err(problem), _) => problems.push(format!("{name} line {line}: {problem}")),
            (_, None) => problems.push(format!(
                "{name} line {line}: the level is \"{value}\"; give a number, or leave it empty \
                 where there is none"
            )),
        }
    }
    if problems.is_empty() {
        return Ok(record);
    }
    let more = problems.len().saturating_sub(10);
    problems.truncate(10);
    if more > 0 {
        problems.push(format!("and {more} more"));
    }
    Err(problems.join("\n"))
}

/// Readings made from the demo port: hours of 220 days with made weather, the same each time.
///
/// # Errors
/// Never in practice: the demo is compiled in.
pub fn demo() -> Result<Record, String> {
    let file = PortFile::parse(DEMO_NAME, DEMO)?;
    let start: Timestamp = "2026-04-01T00:00:00Z"
        .parse()
        .map_err(|error: jiff::Error| error.to_string())?;
    let mut state = 1_u64;
    let mut weather = 0.0;
    let mut readings = Vec::new();
    for hour in 0..220 * 24 {
        // Knuth's MMIX generator; twelve uniforms make nearly a normal deviate.
        let mut deviate = -6.0;
        for _ in 0..12 {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            deviate += (state >> 11) as f64 / (1_u64 << 53) as f64;
        }
        weather = 0.95 * weather + 0.03 * deviate;
        let at = start + SignedDuration::from_hours(hour);
        let predicted_m = file.port.height_m(at).map_err(|error| error.to_string())?;
        let height_m = ((predicted_m + weather) * 1000.0).round() / 1000.0;
        readings.push(Reading { at, height_m });
    }
    Ok(Record {
        readings,
        missing: 0,
    })
}

/// Reads `P1:K1:0.331:-1.2`: inferred, from, ratio of amplitudes, difference of lags.
///
/// # Errors
/// A message that shows the form.
pub fn inference(text: &str) -> Result<Inference, String> {
    let form = || {
        format!(
            "--infer: \"{text}\" is not of the form P1:K1:0.331:-1.2 (inferred, from, amplitude \
             ratio, lag difference in degrees)"
        )
    };
    let parts: Vec<&str> = text.split(':').collect();
    let [inferred, from, ratio, difference] = parts.as_slice() else {
        return Err(form());
    };
    Ok(Inference {
        inferred: (*inferred).to_owned(),
        from: (*from).to_owned(),
        amplitude_ratio: ratio.parse().map_err(|_| form())?,
        lag_difference_deg: difference.parse().map_err(|_| form())?,
    })
}

/// Constants found in a record, with what is needed to tell of them.
#[derive(Debug)]
pub struct Found {
    /// Name of the port.
    pub name: String,
    /// What the readings are above.
    pub datum: String,
    /// The readings.
    pub record: Record,
    /// What was found.
    pub analysis: Analysis,
    /// How it was looked for.
    pub spec: AnalysisSpec,
    /// One in the last printed place of the heights, metres, where the constants are from high and
    /// low waters; the record then holds these.
    pub turns_digit_m: Option<f64>,
}

/// Why constants may be worse than they look: by the fit, by the length of the record, by heights
/// that were printed round.
#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
enum Beware<'a> {
    ShortRecord {
        what: String,
    },
    RecordLength {
        what: String,
        /// As `--infer` takes them.
        infer: Vec<&'static str>,
    },
    Rounding {
        what: String,
    },
    #[serde(untagged)]
    Fit(&'a Warning),
}

/// The part of a port file that tells how the constants were found.
#[derive(Serialize)]
struct Report<'a> {
    first_reading: Option<Timestamp>,
    last_reading: Option<Timestamp>,
    missing_readings: usize,
    trend_m_per_year: Option<f64>,
    robust: bool,
    residual: ResidualSummary,
    warnings: Vec<Beware<'a>>,
    constituents: &'a [FittedHarmonic],
    cautions: [&'static str; 1],
}

/// Analyses a record.
///
/// # Errors
/// A message that says what to change.
pub fn find(name: &str, datum: &str, record: Record, spec: AnalysisSpec) -> Result<Found, String> {
    let analysis = Analysis::of(&record.readings, &spec).map_err(|error| match error {
        Error::FarOff { .. } => format!("{error} (--missing LEVEL, as the file writes it)"),
        _ => error.to_string(),
    })?;
    Ok(Found {
        name: name.to_owned(),
        datum: datum.to_owned(),
        record,
        analysis,
        spec,
        turns_digit_m: None,
    })
}

/// Analyses a printed table of high and low waters.
///
/// # Errors
/// Every problem of the table, with its line; a message that says what to change.
pub fn find_in_turns(
    file: &str,
    text: &str,
    (name, datum): (&str, Option<&str>),
    table: &PrintedSpec,
    spec: AnalysisSpec,
) -> Result<Found, String> {
    let table = PrintedTable::of_csv(file, text, table).map_err(|problems| {
        let told = problems.iter().map(|problem| format!("{file} {problem}"));
        told.collect::<Vec<_>>().join("\n")
    })?;
    let analysis = Analysis::of_turns(table.turns(), &spec).map_err(|error| error.to_string())?;
    let readings = table.turns().iter().map(|turn| Reading {
        at: turn.at,
        height_m: turn.height_m,
    });
    let datum = datum.or(table.datum());
    Ok(Found {
        name: name.to_owned(),
        datum: datum.unwrap_or("the zero of the table").to_owned(),
        record: Record {
            readings: readings.collect(),
            missing: 0,
        },
        analysis,
        spec,
        turns_digit_m: Some(2.0 * table.error().rounding_m),
    })
}

/// Days after which S2 and K2, and K1 and P1, have parted by a turn: 360° at 0.0821373° an hour.
const HALF_A_YEAR: f64 = 182.6;
/// Lines that a shorter record does not part, with what to infer them by: the ratios of the
/// equilibrium tide (Schureman, Special Publication 98, Table 2, from memory).
const UNPARTED: [(&str, &str); 2] = [("K2", "K2:S2:0.272:0"), ("P1", "P1:K1:0.331:0")];
/// Days of the year's own line.
const A_YEAR: f64 = 365.2;
/// Heights that scatter more than this many times what printing them round explains hold lines that
/// nobody looked for. Our default.
const MORE_THAN_ROUND: f64 = 1.5;

impl Found {
    /// What the length of the record cannot part, and what to do about it.
    pub fn parts(&self) -> Option<String> {
        let days = self.record_days()?;
        let round = |days: f64| format!("{days:.0} days of record");
        if days < SHORT_RECORD_DAYS {
            Some(format!(
                "{} do not part springs from neaps: 29 do",
                round(days)
            ))
        } else if days < HALF_A_YEAR - 1.0 && !self.to_infer().is_empty() {
            let infer = self.to_infer().join(" --infer ");
            Some(format!(
                "{} do not part K2 from S2 and P1 from K1: 183 do; until then infer them by the \
                 ratios of a port near by, or by those of the equilibrium tide: --infer {infer}",
                round(days)
            ))
        } else if days < A_YEAR - 1.0 {
            Some(format!(
                "{} do not show the year's own rise and fall, SA: 365 do",
                round(days)
            ))
        } else {
            None
        }
    }

    /// What a record of under half a year leaves to be inferred, as `--infer` takes it.
    fn to_infer(&self) -> Vec<&'static str> {
        let half_a_year = (SHORT_RECORD_DAYS..HALF_A_YEAR - 1.0)
            .contains(&self.record_days().unwrap_or_default());
        let inferred = |name: &str| self.spec.inferences.iter().any(|it| it.inferred == name);
        let open = UNPARTED
            .iter()
            .filter(|(name, _)| half_a_year && !inferred(name));
        open.map(|(_, by)| *by).collect()
    }

    fn beware(&self) -> Vec<Beware<'_>> {
        let fit = self.analysis.warnings.iter().map(Beware::Fit);
        let short = short_record(self.record_days()).map(|what| Beware::ShortRecord { what });
        let length = self.parts().map(|what| Beware::RecordLength {
            what,
            infer: self.to_infer(),
        });
        let rounding = self.more_than_round().map(|what| Beware::Rounding { what });
        fit.chain(short).chain(length).chain(rounding).collect()
    }

    /// What is left of printed heights beyond their rounding, if so much that the constants are
    /// worse than they look.
    pub fn more_than_round(&self) -> Option<String> {
        let digit_m = self.turns_digit_m?;
        let left_m = self.analysis.residual.standard_deviation_m;
        // The standard deviation of what is spread evenly over one digit.
        let round_m = digit_m / 12.0_f64.sqrt();
        (left_m > MORE_THAN_ROUND * round_m).then(|| {
            format!(
                "the heights stand {left_m:.3} m off the fit, and printing them round makes \
                 {round_m:.3} m: there are lines that were not looked for, and from turns alone \
                 they move the constants by several times their errors"
            )
        })
    }

    /// Days from the first reading to the last.
    pub fn record_days(&self) -> Option<f64> {
        let (first, last) = (self.record.readings.first()?, self.record.readings.last()?);
        Some(last.at.duration_since(first.at).as_secs_f64() / 86_400.0)
    }

    /// What the constants are from.
    pub fn source(&self) -> String {
        let what = match self.turns_digit_m {
            Some(_) => "printed high and low waters",
            None => "readings",
        };
        format!("analysis of {} {what}", self.record.readings.len())
    }

    /// The port file.
    ///
    /// # Errors
    /// A message, should the constants be beyond any sea's.
    pub fn port_file(&self) -> Result<PortFile, String> {
        let (first, last) = (self.record.readings.first(), self.record.readings.last());
        let report = Report {
            first_reading: first.map(|reading| reading.at),
            last_reading: last.map(|reading| reading.at),
            missing_readings: self.record.missing,
            trend_m_per_year: self.analysis.trend_m_per_year,
            robust: self.spec.robust,
            residual: self.analysis.residual,
            warnings: self.beware(),
            constituents: &self.analysis.harmonics,
            cautions: [cautions::WATER],
        };
        Ok(PortFile {
            name: self.name.clone(),
            datum: self.datum.clone(),
            source: Some(self.source()),
            record_days: self.record_days(),
            port: self.analysis.port().map_err(|error| error.to_string())?,
            analysis: Some(serde_json::to_value(report).map_err(|error| error.to_string())?),
        })
    }
}
