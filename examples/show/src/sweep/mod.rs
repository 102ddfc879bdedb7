//! A sweep for people and for programs.

mod picture;

pub use picture::picture;

use std::io::{self, Write};

use crate::columns::Columns;
use crate::report::{DEMO, Style};
use wrackline_plan::cautions;
use wrackline_plan::rfc4180;
use wrackline_plan::sweep::{Sweep, Tried};

/// How a sweep is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Format {
    /// Aligned text for people.
    #[default]
    Text,
    /// One row for each bearing and distance (RFC 4180).
    Csv,
    /// One object.
    Json,
    /// A picture, north at the top.
    Svg,
}

#[derive(serde::Serialize)]
struct Report<'s> {
    scenario: &'s str,
    /// Whether it is the invented demo, because no scenario was given.
    demo: bool,
    place: &'s str,
    subject: &'s str,
    light: &'s str,
    from: jiff::civil::Date,
    last: jiff::civil::Date,
    trials: &'s [Tried],
    cautions: [&'static str; 5],
}

#[derive(serde::Serialize)]
struct Row<'s> {
    place: &'s str,
    subject: &'s str,
    light: &'s str,
    bearing_deg: u32,
    distance_m: f64,
    in_band: usize,
    lit: usize,
    open: usize,
    minutes: f64,
    best: Option<jiff::civil::Date>,
    never: Option<&'static str>,
    limit: Option<&'static str>,
    frame_share: Option<f64>,
    picture: Option<&'static str>,
}

/// Writes a sweep.
///
/// # Errors
/// What the writer refuses.
pub fn write(
    sweep: &Sweep<'_>,
    format: Format,
    style: Style,
    out: &mut dyn Write,
) -> io::Result<()> {
    match format {
        Format::Text => text(sweep, style, out),
        Format::Csv => csv(sweep, out),
        Format::Json => {
            let report = Report {
                scenario: sweep.scenario.title(),
                demo: style.demo,
                place: &sweep.place.place.id,
                subject: &sweep.place.subject.id,
                light: &sweep.light.name,
                from: sweep.from,
                last: sweep.last,
                trials: &sweep.trials,
                cautions: cautions::ALL,
            };
            serde_json::to_writer_pretty(&mut *out, &report).map_err(io::Error::other)?;
            writeln!(out)
        }
        Format::Svg => writeln!(out, "{}", picture(sweep)),
    }
}

fn csv(sweep: &Sweep<'_>, out: &mut dyn Write) -> io::Result<()> {
    let mut csv = rfc4180::writer(out);
    for tried in &sweep.trials {
        let row = Row {
            place: &sweep.place.place.id,
            subject: &sweep.place.subject.id,
            light: &sweep.light.name,
            bearing_deg: tried.bearing_deg,
            distance_m: tried.distance_m,
            in_band: tried.in_band,
            lit: tried.lit,
            open: tried.open,
            minutes: (tried.minutes * 10.0).round() / 10.0,
            best: tried.best,
            never: tried.never.map(|condition| condition.name()),
            limit: tried.limit.map(|condition| condition.name()),
            frame_share: tried.frame_share.map(|share| (share * 1e4).round() / 1e4),
            picture: tried.picture.map(|picture| picture.name()),
        };
        csv.serialize(row).map_err(io::Error::other)?;
    }
    csv.flush()
}

fn text(sweep: &Sweep<'_>, style: Style, out: &mut dyn Write) -> io::Result<()> {
    let tidal = sweep.place.place.push_m.is_some() && sweep.scenario.tide().is_some();
    let unit = if tidal {
        "tides in band"
    } else {
        "stretches of light"
    };
    if style.demo {
        out.write_all(style.wrapped("", DEMO).as_bytes())?;
    }
    let title = format!(
        "{}, {}: every view in {}, {} to {}",
        sweep.place.place.name,
        sweep.place.subject.name,
        sweep.light.name,
        sweep.from.strftime("%a %-d %b %Y"),
        sweep.last.strftime("%a %-d %b %Y"),
    );
    out.write_all(style.wrapped("", &title).as_bytes())?;
    let view = "The view is the true bearing from the seat to the animals; the seat stands on \
        their other side.";
    out.write_all(style.wrapped("", view).as_bytes())?;
    writeln!(out)?;
    let most = sweep
        .trials
        .iter()
        .map(|tried| tried.open)
        .max()
        .unwrap_or(0);
    for &distance_m in &sweep.distances_m {
        let here = || {
            let trials = sweep.trials.iter();
            trials.filter(move |tried| tried.distance_m == distance_m)
        };
        writeln!(out, "From {distance_m:.0} m{}", framing(here().next()))?;
        if let Some(never) = here().find_map(|tried| tried.never) {
            writeln!(out, "  never: {never}\n")?;
            continue;
        }
        let table = |with_bars: bool| table(here(), unit, with_bars.then_some(most)).to_string();
        let widest = |table: &str| table.lines().map(|line| line.chars().count()).max();
        let full = table(true);
        // Bars repeat the counts: where the line is short they give way.
        if widest(&full) <= Some(style.columns()) {
            writeln!(out, "{full}")?;
        } else {
            writeln!(out, "{}", table(false))?;
        }
        let idle = here().filter(|tried| tried.open == 0).count();
        writeln!(
            out,
            "  {idle} of {} views never have a window in this season.\n",
            here().count()
        )?;
    }
    for caution in [cautions::WATER, cautions::LAW, cautions::WELFARE] {
        out.write_all(style.wrapped("  ", caution).as_bytes())?;
    }
    Ok(())
}

/// The views from one distance, with bars where the most windows of any view are given.
fn table<'t>(trials: impl Iterator<Item = &'t Tried>, unit: &str, most: Option<usize>) -> Columns {
    let mut table = Columns::headed([
        "",
        "view",
        "seat to the",
        unit,
        "in light",
        "open",
        "minutes",
        "best day",
        "",
        "limit",
    ])
    .right(1)
    .right(3)
    .right(4)
    .right(5)
    .right(6);
    for tried in trials {
        table.push([
            " ".to_owned(),
            format!("{}\u{b0}", tried.bearing_deg),
            compass(tried.bearing_deg + 180).to_owned(),
            tried.in_band.to_string(),
            tried.lit.to_string(),
            tried.open.to_string(),
            format!("{:.0}", tried.minutes),
            tried.best.map_or("-".to_owned(), |date| {
                date.strftime("%a %-d %b %Y").to_string()
            }),
            most.map_or_else(String::new, |most| bar(tried.open, most)),
            tried
                .limit
                .map_or("", |condition| condition.name())
                .to_owned(),
        ]);
    }
    table
}

fn framing(tried: Option<&Tried>) -> String {
    let best = tried.and_then(|tried| tried.frame_share.zip(tried.picture));
    best.map_or(String::new(), |(share, picture)| {
        format!(
            ", at most {:.1} % of the frame: {}",
            share * 100.0,
            picture.name()
        )
    })
}

/// A bar of up to twenty signs.
fn bar(count: usize, most: usize) -> String {
    "#".repeat((20 * count).div_ceil(most.max(1)))
}

/// The nearest of eight points.
fn compass(azimuth_deg: u32) -> &'static str {
    const POINTS: [&str; 8] = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];
    POINTS[((f64::from(azimuth_deg % 360) / 45.0).round() as usize) % 8]
}
