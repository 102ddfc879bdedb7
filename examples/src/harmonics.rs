//! Harmonic constants from a file of readings: what the program `harmonics` reads, computes and writes.

use std::fmt::Write as _;
use std::io::{self, Write};

use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use serde::Serialize;
use wrackline_tides::{
    Analysis, AnalysisSpec, Convention, FittedHarmonic, Inference, Predictor, Reading,
    ResidualSummary,
};

use crate::cautions;
use crate::columns::Columns;
use crate::tidetable::{DEMO, DEMO_NAME, PortFile, convention_name};

/// Conventions by name, for the command line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum ConventionName {
    /// Schureman's factors at the middle of each year, as NOAA
    SchuremanAnnual,
    /// Schureman's factors at each instant
    SchuremanInstant,
    /// The IHO list's factors at each instant
    IhoInstant,
    /// Schureman's factors at the middle of each year with the Dutch office's longitudes
    Rijkswaterstaat,
}

impl From<ConventionName> for Convention {
    fn from(name: ConventionName) -> Self {
        match name {
            ConventionName::SchuremanAnnual => Self::SchuremanAnnual,
            ConventionName::SchuremanInstant => Self::SchuremanInstant,
            ConventionName::IhoInstant => Self::IhoInstant,
            ConventionName::Rijkswaterstaat => Self::Rijkswaterstaat,
        }
    }
}

/// Readings of a file, and how many lines held none.
#[derive(Clone, Debug, PartialEq)]
pub struct Record {
    /// In the order of the file.
    pub readings: Vec<Reading>,
    /// Lines whose level was left empty.
    pub missing: usize,
}

/// Reads a CSV of readings: a column `at` with ISO times (with an offset, or in the given zone) and one of `height_m`, `height_cm`,
/// `height_mm`, `height_ft`. Empty levels are missing readings. Lines that start with `#` are skipped.
///
/// # Errors
/// Up to ten messages that name file, line, value and remedy.
pub fn read(name: &str, text: &str, zone: Option<&TimeZone>) -> Result<Record, String> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let headings = reader
        .headers()
        .map_err(|error| format!("{name}: {error}"))?
        .clone();
    let column = |wanted: &str| headings.iter().position(|heading| heading == wanted);
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
                "{name} line 1: there is no column of levels: name it height_m, height_cm, height_mm or height_ft"
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
        let instant = instant(row.get(at).unwrap_or_default(), zone);
        match (instant, height) {
            (Ok(at), Some(height)) => record.readings.push(Reading { at, height_m: height * metres }),
            (Err(problem), _) => problems.push(format!("{name} line {line}: {problem}")),
            (_, None) => problems.push(format!(
                "{name} line {line}: the level is \"{value}\"; give a number, or leave it empty where there is none"
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

fn instant(text: &str, zone: Option<&TimeZone>) -> Result<Timestamp, String> {
    if let Ok(at) = text.parse::<Timestamp>() {
        return Ok(at);
    }
    let civil: DateTime = text.parse().map_err(|_| {
        format!("the time is \"{text}\"; give it as 2026-11-25T07:30 with or without an offset")
    })?;
    let Some(zone) = zone else {
        return Err(format!(
            "the time \"{text}\" has no offset; add one (Z for UTC), or give --zone"
        ));
    };
    let ambiguous = zone.to_ambiguous_zoned_datetime(civil);
    if ambiguous.is_ambiguous() {
        return Err(format!(
            "the time \"{text}\" comes twice or never in that zone; give it with an offset"
        ));
    }
    ambiguous
        .compatible()
        .map(|at| at.timestamp())
        .map_err(|error| error.to_string())
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
        let height_m = ((file.port.height_m(at) + weather) * 1000.0).round() / 1000.0;
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
            "--infer: \"{text}\" is not of the form P1:K1:0.331:-1.2 (inferred, from, amplitude ratio, lag difference in degrees)"
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

/// What to write.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum Format {
    /// A table to read.
    #[default]
    Text,
    /// CSV of the constants (RFC 4180).
    Csv,
    /// A port file that `tidetable` reads, with errors and residual.
    Json,
}

/// Constants found in a record, with what is needed to tell of them.
#[derive(Debug)]
pub struct Found {
    name: String,
    datum: String,
    record: Record,
    analysis: Analysis,
    spec: AnalysisSpec,
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
    constituents: &'a [FittedHarmonic],
    cautions: [&'static str; 1],
}

/// Analyses a record.
///
/// # Errors
/// A message that says what to change.
pub fn find(name: &str, datum: &str, record: Record, spec: AnalysisSpec) -> Result<Found, String> {
    let analysis = Analysis::of(&record.readings, &spec).map_err(|error| error.to_string())?;
    Ok(Found {
        name: name.to_owned(),
        datum: datum.to_owned(),
        record,
        analysis,
        spec,
    })
}

impl Found {
    /// The constants.
    #[must_use]
    pub fn analysis(&self) -> &Analysis {
        &self.analysis
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
            constituents: &self.analysis.harmonics,
            cautions: [cautions::WATER],
        };
        Ok(PortFile {
            name: self.name.clone(),
            datum: self.datum.clone(),
            source: Some(format!(
                "analysis of {} readings",
                self.record.readings.len()
            )),
            port: self.analysis.port().map_err(|error| error.to_string())?,
            analysis: Some(serde_json::to_value(report).map_err(|error| error.to_string())?),
        })
    }

    /// Writes the constants.
    ///
    /// # Errors
    /// What the writer refuses.
    pub fn write(&self, format: Format, out: &mut impl Write) -> io::Result<()> {
        match format {
            Format::Text => self.text(out),
            Format::Csv => self.csv(out),
            Format::Json => {
                let file = self.port_file().map_err(io::Error::other)?;
                serde_json::to_writer_pretty(&mut *out, &file)?;
                writeln!(out)
            }
        }
    }

    fn text(&self, out: &mut impl Write) -> io::Result<()> {
        let residual = self.analysis.residual;
        writeln!(out, "{}", self.name)?;
        if let (Some(first), Some(last)) =
            (self.record.readings.first(), self.record.readings.last())
        {
            writeln!(
                out,
                "{} readings from {} to {}, {} missing",
                self.record.readings.len(),
                first.at,
                last.at,
                self.record.missing
            )?;
        }
        writeln!(
            out,
            "Lags G for UTC. Convention: {}.",
            convention_name(self.spec.convention)
        )?;
        writeln!(
            out,
            "Mean level {:.3} m above {}.",
            self.analysis.mean_level_m, self.datum
        )?;
        if let Some(trend) = self.analysis.trend_m_per_year {
            writeln!(out, "Trend {:+.1} mm a year.", trend * 1000.0)?;
        }
        writeln!(out)?;
        let mut columns = Columns::headed([
            "constituent",
            "deg/h",
            "amplitude m",
            "error",
            "lag deg",
            "error",
            "signal/noise",
            "",
        ]);
        for column in 1..7 {
            columns = columns.right(column);
        }
        for fitted in &self.analysis.harmonics {
            let remark = match &fitted.inferred_from {
                Some(from) => format!("inferred from {from}"),
                None if fitted.signal_to_noise < 10.0 => "weak".to_owned(),
                None => String::new(),
            };
            columns.push([
                fitted.name.clone(),
                format!("{:.7}", fitted.speed_deg_per_h),
                format!("{:.4}", fitted.amplitude_m),
                format!("{:.4}", fitted.amplitude_error_m),
                format!("{:.2}", fitted.phase_lag_deg),
                format!("{:.2}", fitted.phase_lag_error_deg),
                format!("{:.0}", fitted.signal_to_noise.min(999_999.0)),
                remark,
            ]);
        }
        write!(out, "{columns}")?;
        writeln!(out)?;
        writeln!(
            out,
            "Residual: standard deviation {:.3} m, from {:+.3} to {:+.3} m; the fit explains {:.2} % of the variance.",
            residual.standard_deviation_m,
            residual.lowest_m,
            residual.highest_m,
            100.0 * residual.explained
        )?;
        writeln!(
            out,
            "Errors are standard errors from the coloured residual."
        )?;
        writeln!(out, "{}", cautions::WATER)
    }

    fn csv(&self, out: &mut impl Write) -> io::Result<()> {
        let mut writer = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .from_writer(out);
        writer.write_record([
            "name",
            "speed_deg_per_h",
            "amplitude_m",
            "amplitude_error_m",
            "phase_lag_deg",
            "phase_lag_error_deg",
            "signal_to_noise",
            "inferred_from",
        ])?;
        for fitted in &self.analysis.harmonics {
            writer.write_record([
                fitted.name.clone(),
                format!("{:.7}", fitted.speed_deg_per_h),
                format!("{:.5}", fitted.amplitude_m),
                format!("{:.5}", fitted.amplitude_error_m),
                format!("{:.3}", fitted.phase_lag_deg),
                format!("{:.3}", fitted.phase_lag_error_deg),
                format!("{:.1}", fitted.signal_to_noise),
                fitted.inferred_from.clone().unwrap_or_default(),
            ])?;
        }
        writer.flush()
    }

    /// The picture: readings and fit above, residual below, as SVG.
    ///
    /// # Errors
    /// A message, should the constants be beyond any sea's.
    pub fn picture(&self) -> Result<String, String> {
        let readings = &self.record.readings;
        let (Some(first), Some(last)) = (readings.first(), readings.last()) else {
            return Err("there are no readings to draw".to_owned());
        };
        let port = self.analysis.port().map_err(|error| error.to_string())?;
        let predictor = port
            .predictor(first.at..last.at + SignedDuration::from_secs(1))
            .map_err(|error| error.to_string())?;
        Ok(draw(
            &self.name,
            readings,
            &self.analysis.residuals_m,
            &predictor,
        ))
    }
}

const WIDTH: f64 = 1200.0;
const LEFT: f64 = 70.0;
const RIGHT: f64 = 20.0;

/// A panel of the picture: where it stands and which heights it shows.
struct Panel {
    top: f64,
    height: f64,
    lowest: f64,
    highest: f64,
}

impl Panel {
    fn new(top: f64, height: f64, values: impl Iterator<Item = f64>) -> Self {
        let (low, high) = values.fold((f64::MAX, f64::MIN), |(low, high), value| {
            (low.min(value), high.max(value))
        });
        let margin = 0.05 * (high - low).max(0.02);
        Self {
            top,
            height,
            lowest: low - margin,
            highest: high + margin,
        }
    }

    fn y(&self, value: f64) -> f64 {
        self.top + self.height * (self.highest - value) / (self.highest - self.lowest)
    }

    /// A step of 1, 2 or 5 times a power of ten that gives four to ten marks.
    fn step(&self) -> f64 {
        let rough = (self.highest - self.lowest) / 6.0;
        let power = 10_f64.powf(rough.log10().floor());
        [1.0, 2.0, 5.0, 10.0]
            .map(|factor| factor * power)
            .into_iter()
            .find(|step| *step >= rough)
            .unwrap_or(rough)
    }

    fn axis(&self, svg: &mut String, title: &str) {
        let step = self.step();
        let mut mark = (self.lowest / step).ceil() * step;
        while mark <= self.highest {
            let y = self.y(mark);
            let _ = writeln!(
                svg,
                r##"<line x1="{LEFT}" x2="{:.1}" y1="{y:.1}" y2="{y:.1}" stroke="#ddd"/>"##,
                WIDTH - RIGHT
            );
            let _ = writeln!(
                svg,
                r#"<text x="{:.1}" y="{:.1}" text-anchor="end">{:.2}</text>"#,
                LEFT - 6.0,
                y + 4.0,
                mark + 0.0
            );
            mark += step;
        }
        let _ = writeln!(
            svg,
            r#"<text x="{LEFT}" y="{:.1}">{title}</text>"#,
            self.top - 8.0
        );
    }
}

fn draw(name: &str, readings: &[Reading], residuals_m: &[f64], predictor: &Predictor) -> String {
    let span = predictor.span();
    let length = span.end.duration_since(span.start).as_secs_f64().max(1.0);
    let x = |at: Timestamp| {
        LEFT + (WIDTH - LEFT - RIGHT) * at.duration_since(span.start).as_secs_f64() / length
    };
    let fit: Vec<(f64, f64)> = readings
        .iter()
        .map(|reading| (x(reading.at), predictor.height_m(reading.at)))
        .collect();
    let seen: Vec<(f64, f64)> = readings
        .iter()
        .map(|reading| (x(reading.at), reading.height_m))
        .collect();
    let left: Vec<(f64, f64)> = readings
        .iter()
        .zip(residuals_m)
        .map(|(reading, residual)| (x(reading.at), *residual))
        .collect();

    let upper = Panel::new(60.0, 340.0, seen.iter().chain(&fit).map(|point| point.1));
    let lower = Panel::new(450.0, 180.0, left.iter().map(|point| point.1).chain([0.0]));
    let mut svg = String::new();
    let _ = writeln!(
        svg,
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1200 680" font-family="sans-serif" font-size="12">"#
    );
    let _ = writeln!(svg, r##"<rect width="1200" height="680" fill="#fff"/>"##);
    let _ = writeln!(
        svg,
        r#"<text x="{LEFT}" y="24" font-size="16">{}</text>"#,
        escaped(name)
    );
    upper.axis(&mut svg, "metres: readings (dots), fit (line)");
    lower.axis(&mut svg, "metres: reading less fit");
    for mark in 0..=6 {
        let at = span.start + SignedDuration::from_secs_f64(length * f64::from(mark) / 6.0);
        let _ = writeln!(
            svg,
            r#"<text x="{:.1}" y="655" text-anchor="{}">{}</text>"#,
            x(at),
            if mark == 0 {
                "start"
            } else if mark == 6 {
                "end"
            } else {
                "middle"
            },
            at.strftime("%Y-%m-%d %H:%MZ")
        );
    }
    line(&mut svg, &fit, &upper, "#1f6f8b", 1.0);
    // Dots that would cover each other become a line.
    if readings.len() <= 3_000 {
        for (x, value) in &seen {
            let _ = writeln!(
                svg,
                r##"<circle cx="{x:.1}" cy="{:.1}" r="1.3" fill="#b5482a"/>"##,
                upper.y(*value)
            );
        }
    } else {
        line(&mut svg, &seen, &upper, "#b5482a", 0.5);
    }
    line(&mut svg, &left, &lower, "#444", 0.8);
    let _ = writeln!(svg, "</svg>");
    svg
}

/// A line through points; where many share a column of pixels, its lowest and highest.
fn line(svg: &mut String, points: &[(f64, f64)], panel: &Panel, colour: &str, width: f64) {
    let mut path = String::new();
    let mut column: Option<(i64, f64, f64, f64)> = None;
    let mut flush = |column: (i64, f64, f64, f64)| {
        let (_, x, low, high) = column;
        let _ = write!(path, "{x:.1},{:.1} ", panel.y(low));
        if high > low {
            let _ = write!(path, "{x:.1},{:.1} ", panel.y(high));
        }
    };
    let dense = points.len() > 4_000;
    for (x, value) in points {
        let here = if dense { *x as i64 } else { (*x * 1e4) as i64 };
        column = match column {
            Some((same, at, low, high)) if same == here => {
                Some((same, at, low.min(*value), high.max(*value)))
            }
            finished => {
                if let Some(finished) = finished {
                    flush(finished);
                }
                Some((here, *x, *value, *value))
            }
        };
    }
    if let Some(finished) = column {
        flush(finished);
    }
    let _ = writeln!(
        svg,
        r#"<polyline points="{}" fill="none" stroke="{colour}" stroke-width="{width}"/>"#,
        path.trim_end()
    );
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}
