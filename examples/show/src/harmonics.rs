//! Harmonic constants from readings, as a table, a port file and a picture.

use std::fmt::Write as _;
use std::io::{self, Write};
use std::ops::Range;

use jiff::{SignedDuration, Timestamp};
use wrackline_plan::cautions;
use wrackline_plan::port::readings::Found;
use wrackline_plan::port::{convention_name, short_record};
use wrackline_plan::rfc4180;
use wrackline_plan::time::Stretch;
use wrackline_tides::{FittedHarmonic, Reading, Warning};

use crate::axis::{Axis, TimeAxis, round_instants};
use crate::columns::Columns;
use crate::markup::escape;

/// What to write.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Format {
    /// A table to read.
    #[default]
    Text,
    /// CSV of the constants (RFC 4180).
    Csv,
    /// A port file that `tidetable` reads, with errors and residual.
    Json,
    /// The `[port]` of a scenario, for its `include` and for `tidetable`.
    Toml,
}

/// Writes the constants.
///
/// # Errors
/// What the writer refuses.
pub fn write(found: &Found, format: Format, out: &mut impl Write) -> io::Result<()> {
    match format {
        Format::Text => text(found, out),
        Format::Csv => csv(found, out),
        Format::Json => {
            let file = found.port_file().map_err(io::Error::other)?;
            serde_json::to_writer_pretty(&mut *out, &file)?;
            writeln!(out)
        }
        Format::Toml => toml(found, out),
    }
}

fn toml(found: &Found, out: &mut impl Write) -> io::Result<()> {
    let text = |text: &str| serde_json::Value::from(text).to_string();
    writeln!(out, "[port]")?;
    // A text of JSON is a basic string of TOML.
    writeln!(out, "name = {}", text(&found.name))?;
    writeln!(out, "datum = {}", text(&found.datum))?;
    writeln!(out, "mean_level_m = {:.4}", found.analysis.mean_level_m)?;
    let convention = found.spec.convention.to_string();
    writeln!(out, "convention = {}", text(&convention))?;
    if let Some(days) = found.record_days() {
        writeln!(out, "record_days = {days:.2}")?;
    }
    writeln!(out, "constituents = [")?;
    for fitted in &found.analysis.harmonics {
        writeln!(
            out,
            "  {{ name = {}, amplitude_m = {:.5}, phase_lag_deg = {:.3} }},",
            text(&fitted.name),
            fitted.amplitude_m,
            fitted.phase_lag_deg
        )?;
    }
    writeln!(out, "]")
}

fn text(found: &Found, out: &mut impl Write) -> io::Result<()> {
    let residual = found.analysis.residual;
    writeln!(out, "{}", found.name)?;
    if let (Some(first), Some(last)) = (found.record.readings.first(), found.record.readings.last())
    {
        writeln!(
            out,
            "{} readings from {} to {}, {} missing",
            found.record.readings.len(),
            first.at,
            last.at,
            found.record.missing
        )?;
    }
    writeln!(
        out,
        "Lags G for UTC. Convention: {}.",
        convention_name(found.spec.convention)
    )?;
    writeln!(
        out,
        "Mean level {:.3} m above {}.",
        found.analysis.mean_level_m, found.datum
    )?;
    if let Some(trend) = found.analysis.trend_m_per_year {
        writeln!(out, "Trend {:+.1} mm a year.", trend * 1000.0)?;
    }
    writeln!(out)?;
    let mut columns = Columns::headed([
        "constituent",
        "amplitude, m",
        "lag, degrees",
        "apart from noise",
    ]);
    for fitted in &found.analysis.harmonics {
        columns.push([
            fitted.name.clone(),
            format!(
                "{:7.4} \u{b1} {:.4}",
                fitted.amplitude_m, fitted.amplitude_error_m
            ),
            format!(
                "{:6.2} \u{b1} {:6.2}",
                fitted.phase_lag_deg, fitted.phase_lag_error_deg
            ),
            apart(fitted),
        ]);
    }
    write!(out, "{columns}")?;
    writeln!(out)?;
    writeln!(
        out,
        "Residual: standard deviation {:.3} m, from {:+.3} to {:+.3} m; the fit explains {:.2} % \
         of the variance.",
        residual.standard_deviation_m,
        residual.lowest_m,
        residual.highest_m,
        100.0 * residual.explained
    )?;
    writeln!(
        out,
        "Errors are standard errors from the coloured residual. Clearly apart from noise: the \
         amplitude is over \
         3 errors; perhaps: over 2; else the constituent may be nothing but noise."
    )?;
    if let Some(short) = short_record(found.record_days()) {
        writeln!(out, "Beware: {short}.")?;
    }
    for warning in &found.analysis.warnings {
        writeln!(out, "Beware: {warning}.")?;
    }
    writeln!(out, "{}", cautions::WATER)
}

/// How surely a constituent is more than noise, in words. A real amplitude is three standard errors
/// off nothing in all but one of a hundred records of noise alone, two in all but one of seven: in
/// noise both of its parts are normal, so the chance beyond k errors is exp(-k*k/2).
fn apart(fitted: &FittedHarmonic) -> String {
    let errors = fitted.signal_to_noise.sqrt();
    let surely = match &fitted.inferred_from {
        Some(from) => return format!("inferred from {from}"),
        None if errors > 3.0 => "clearly",
        None if errors > 2.0 => "perhaps",
        None => "not shown",
    };
    surely.to_owned()
}

fn csv(found: &Found, out: &mut impl Write) -> io::Result<()> {
    let mut writer = rfc4180::writer(out);
    writer.write_record([
        "name",
        "speed_deg_per_h",
        "amplitude_m",
        "amplitude_error_m",
        "phase_lag_deg",
        "phase_lag_error_deg",
        "signal_to_noise",
        "inferred_from",
        "warnings",
    ])?;
    for fitted in &found.analysis.harmonics {
        writer.write_record([
            fitted.name.clone(),
            format!("{:.7}", fitted.speed_deg_per_h),
            format!("{:.5}", fitted.amplitude_m),
            format!("{:.5}", fitted.amplitude_error_m),
            format!("{:.3}", fitted.phase_lag_deg),
            format!("{:.3}", fitted.phase_lag_error_deg),
            format!("{:.1}", fitted.signal_to_noise),
            fitted.inferred_from.clone().unwrap_or_default(),
            warnings(found, &fitted.name),
        ])?;
    }
    writer.flush()
}

/// What to beware of at one constituent: what is said of it, and what is said of all.
fn warnings(found: &Found, name: &str) -> String {
    let warnings = found.analysis.warnings.iter();
    let concerns = warnings.filter(|warning| match warning {
        Warning::Leaning { name: leaning, .. } => leaning == name,
        // Of a line that has no row.
        Warning::LeftOut { .. } => false,
        _ => true,
    });
    concerns
        .map(Warning::to_string)
        .collect::<Vec<_>>()
        .join("; ")
}

/// The picture: readings and fit above, residual below, as SVG.
///
/// # Errors
/// A message, should the constants be beyond any sea's.
pub fn picture(found: &Found) -> Result<String, String> {
    let readings = &found.record.readings;
    let (Some(first), Some(last)) = (readings.first(), readings.last()) else {
        return Err("there are no readings to draw".to_owned());
    };
    let port = found.analysis.port().map_err(|error| error.to_string())?;
    let predictor = port
        .predictor(first.at..last.at + SignedDuration::from_secs(1))
        .map_err(|error| error.to_string())?;
    let heights_m: Result<Vec<f64>, _> = readings
        .iter()
        .map(|reading| predictor.height_m(reading.at))
        .collect();
    let heights_m = heights_m.map_err(|error| error.to_string())?;
    Ok(draw(found, &heights_m, &predictor.span()))
}

const WIDTH: f64 = 1200.0;
const LEFT: f64 = 70.0;
const RIGHT: f64 = 20.0;
/// Top and foot of the panel of heights, and of that of residuals.
const UPPER: [f64; 2] = [60.0, 400.0];
const LOWER: [f64; 2] = [450.0, 630.0];

/// The axis of a panel that holds all of some heights, with a margin.
fn panel([top, foot]: [f64; 2], values: impl Iterator<Item = f64>) -> Axis {
    let (low, high) = values.fold((f64::MAX, f64::MIN), |(low, high), value| {
        (low.min(value), high.max(value))
    });
    let margin = 0.05 * (high - low).max(0.02);
    Axis::new([low - margin, high + margin], [foot, top])
}

fn draw_axis(svg: &mut String, axis: &Axis, title: &str) {
    for mark in axis.marks(axis.step(6)) {
        let y = axis.at(mark);
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
    }
    let _ = writeln!(
        svg,
        r#"<text x="{LEFT}" y="{:.1}">{title}</text>"#,
        axis.at(axis.high()) - 8.0
    );
}

/// Room that half the label of an instant takes.
const HALF_LABEL: f64 = 55.0;

fn draw_times(svg: &mut String, span: &Stretch, times: &TimeAxis) {
    for at in round_instants(span, 6) {
        let x = times.within(at);
        let anchor = if x < LEFT + HALF_LABEL {
            "start"
        } else if x > WIDTH - RIGHT - HALF_LABEL {
            "end"
        } else {
            "middle"
        };
        let _ = writeln!(
            svg,
            r##"<line x1="{x:.1}" x2="{x:.1}" y1="{:.1}" y2="{:.1}" stroke="#ddd"/>"##,
            LOWER[1],
            LOWER[1] + 8.0
        );
        let _ = writeln!(
            svg,
            r#"<text x="{x:.1}" y="655" text-anchor="{anchor}">{}</text>"#,
            at.strftime("%Y-%m-%d %H:%MZ")
        );
    }
}

fn draw(found: &Found, fit_m: &[f64], span: &Stretch) -> String {
    let (readings, residuals_m) = (&found.record.readings, &found.analysis.residuals_m);
    let times = TimeAxis::new(span, [LEFT, WIDTH - RIGHT]);
    let x = |at: Timestamp| times.within(at);
    let fit: Vec<(f64, f64)> = readings
        .iter()
        .zip(fit_m)
        .map(|(reading, height_m)| (x(reading.at), *height_m))
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

    let upper = panel(UPPER, seen.iter().chain(&fit).map(|point| point.1));
    let lower = panel(LOWER, left.iter().map(|point| point.1).chain([0.0]));
    let mut svg = String::new();
    let _ = writeln!(
        svg,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1200 680\" \
         font-family=\"sans-serif\" font-size=\"12\">"
    );
    let _ = writeln!(svg, r##"<rect width="1200" height="680" fill="#fff"/>"##);
    let _ = writeln!(
        svg,
        r#"<text x="{LEFT}" y="24" font-size="16">{}</text>"#,
        escape(&found.name)
    );
    let dots = readings.len() <= 3_000;
    let heading = if dots {
        "metres: readings (red dots), fit (blue)"
    } else {
        "metres: readings (red), fit (blue)"
    };
    draw_axis(&mut svg, &upper, heading);
    draw_axis(&mut svg, &lower, "metres: reading less fit");
    draw_times(&mut svg, span, &times);
    let unbroken = without_gaps(readings);
    let lines = |svg: &mut String, points: &[(f64, f64)], panel, (colour, width)| {
        for stretch in &unbroken {
            line(svg, &points[stretch.clone()], panel, colour, width);
        }
    };
    lines(&mut svg, &fit, &upper, ("#1f6f8b", 1.0));
    // Dots that would cover each other become a line.
    if dots {
        for (x, value) in &seen {
            let _ = writeln!(
                svg,
                r##"<circle cx="{x:.1}" cy="{:.1}" r="1.3" fill="#b5482a"/>"##,
                upper.at(*value)
            );
        }
    } else {
        lines(&mut svg, &seen, &upper, ("#b5482a", 0.5));
    }
    lines(&mut svg, &left, &lower, ("#444", 0.8));
    let _ = writeln!(svg, "</svg>");
    svg
}

/// Where readings follow one another: a line across what nobody read would be made up. A gap is
/// longer than two and a half of the usual steps, so that one reading may be missing.
fn without_gaps(readings: &[Reading]) -> Vec<Range<usize>> {
    let step = |pair: &[Reading]| pair[1].at.duration_since(pair[0].at);
    let mut steps: Vec<SignedDuration> = readings.windows(2).map(step).collect();
    steps.sort_unstable();
    let usual = steps.get(steps.len() / 2).copied().unwrap_or_default();
    let mut stretches = Vec::new();
    let mut from = 0;
    for (at, pair) in readings.windows(2).enumerate() {
        if step(pair) > usual * 5 / 2 {
            stretches.push(from..at + 1);
            from = at + 1;
        }
    }
    stretches.push(from..readings.len());
    stretches
}

/// A line through points; where many share a column of pixels, its lowest and highest.
fn line(svg: &mut String, points: &[(f64, f64)], panel: &Axis, colour: &str, width: f64) {
    let mut path = String::new();
    let mut column: Option<(i64, f64, f64, f64)> = None;
    let mut flush = |column: (i64, f64, f64, f64)| {
        let (_, x, low, high) = column;
        let _ = write!(path, "{x:.1},{:.1} ", panel.at(low));
        if high > low {
            let _ = write!(path, "{x:.1},{:.1} ", panel.at(high));
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_ends_where_nobody_read() {
        let reading = |hour: i64| Reading {
            at: Timestamp::UNIX_EPOCH + SignedDuration::from_hours(hour),
            height_m: 0.0,
        };
        // One reading missing after 2, three after 5; the last stands alone.
        let readings: Vec<Reading> = [0, 1, 2, 4, 5, 9, 10, 20].map(reading).to_vec();
        assert_eq!(without_gaps(&readings), [0..5, 5..7, 7..8]);
        assert_eq!(without_gaps(&readings[..1]), [Range { start: 0, end: 1 }]);
    }
}
