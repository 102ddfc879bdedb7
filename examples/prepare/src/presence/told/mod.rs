//! The year of an animal at a place from sightings, written for people, for programs and for a
//! scenario.

mod picture;
mod text;

use std::io::{self, Write};

use serde::Serialize;
use wrackline_gather::presence::{DataSet, HalfMonth, Presence, State};
use wrackline_plan::coarse::Grid;
use wrackline_plan::rfc4180;
use wrackline_plan::scenario::half_month_name;

use wrackline_show::report::Style;

/// What is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, clap::ValueEnum)]
pub(crate) enum Format {
    /// Aligned text for people.
    #[default]
    Text,
    /// One row for each half-month (RFC 4180).
    Csv,
    /// One object, which `season --presence` reads.
    Json,
    /// The lines for a scenario alone, with where they come from.
    Toml,
    /// A chart of the year.
    Svg,
}

/// What it is of, for whoever reads the answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct About<'a> {
    /// What the animal is called.
    pub(super) animal: &'a str,
    /// Its id in the scenario.
    pub(super) subject: Option<&'a str>,
    /// What the place is called.
    pub(super) place: &'a str,
    /// Its id in the scenario.
    pub(super) place_id: Option<&'a str>,
    /// Whether its position may be given to the metre; else the cell of a tenth of a degree that
    /// holds it stands for it, as in all that is exported.
    pub(super) exact: bool,
    /// Whether the records are the invented ones.
    pub(super) demo: bool,
}

/// Writes it.
///
/// # Errors
/// What the writer refuses.
pub(super) fn write(
    told: &Presence,
    about: About<'_>,
    format: Format,
    style: Style,
    out: &mut dyn Write,
) -> io::Result<()> {
    match format {
        Format::Text => text::text(told, about, style, out),
        Format::Toml => text::toml(told, about, out),
        Format::Csv => csv(told, about, out),
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, &report(told, about))?;
            writeln!(out)
        }
        Format::Svg => out.write_all(picture::picture(told, about).as_bytes()),
    }
}

/// Where the records were looked for, as finely as it may be told.
fn position(told: &Presence, about: About<'_>) -> (f64, f64, usize) {
    let question = &told.question;
    if about.exact {
        return (question.latitude_deg, question.longitude_deg, 5);
    }
    let coarse = Grid::TENTHS.coarsen(question.latitude_deg, question.longitude_deg);
    (
        coarse.latitude_deg,
        coarse.longitude_deg,
        Grid::TENTHS.decimals(),
    )
}

const fn state(state: State) -> &'static str {
    match state {
        State::Present => "present",
        State::Unknown => "unknown",
        State::Absent => "absent",
    }
}

/// Whether enough visits were made to say how often they found the animal.
fn says(told: &Presence, half: &HalfMonth) -> bool {
    half.count.visits >= told.question.fewest_visits && told.year.threshold.is_some()
}

fn thousandths(share: f64) -> f64 {
    (share * 1_000.0).round() / 1_000.0
}

#[derive(Serialize)]
struct Row {
    half_month: String,
    visits: u32,
    with: u32,
    share: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    state: &'static str,
    /// Outside the wide reading an animal is guarded by nothing.
    guarded: bool,
    seen_otherwise: bool,
}

fn rows(told: &Presence) -> Vec<Row> {
    let wide = told.year.wide_by_half_month();
    let halves = told.year.half_months.iter().enumerate();
    halves
        .map(|(at, half)| {
            let said = says(told, half).then_some(half.share);
            Row {
                half_month: half_month_name(at),
                visits: half.count.visits,
                with: half.count.with,
                share: said.map(|share| thousandths(share.mean)),
                low: said.map(|share| thousandths(share.interval.low)),
                high: said.map(|share| thousandths(share.interval.high)),
                state: state(half.state),
                guarded: wide[at],
                seen_otherwise: half.seen_otherwise,
            }
        })
        .collect()
}

fn csv(told: &Presence, about: About<'_>, out: &mut dyn Write) -> io::Result<()> {
    let mut writer = rfc4180::writer(out);
    let head = [
        "place",
        "animal",
        "half_month",
        "visits",
        "with",
        "share",
        "low",
        "high",
        "state",
        "guarded",
        "seen_otherwise",
    ];
    writer.write_record(head)?;
    let number = |share: Option<f64>| share.map(|share| share.to_string()).unwrap_or_default();
    for row in rows(told) {
        writer.write_record([
            rfc4180::disarm(about.place).into_owned(),
            rfc4180::disarm(about.animal).into_owned(),
            row.half_month,
            row.visits.to_string(),
            row.with.to_string(),
            number(row.share),
            number(row.low),
            number(row.high),
            row.state.to_owned(),
            row.guarded.to_string(),
            row.seen_otherwise.to_string(),
        ])?;
    }
    writer.flush()
}

#[derive(Serialize)]
struct Report<'a> {
    demo: bool,
    place: Place<'a>,
    animal: Animal<'a>,
    present: String,
    known_present: String,
    rule: Rule,
    half_months: Vec<Row>,
    visits: Visits,
    records: Records<'a>,
    sources: Vec<Set<'a>>,
    cautions: Vec<String>,
}

#[derive(Serialize)]
struct Place<'a> {
    id: Option<&'a str>,
    name: &'a str,
    latitude_deg: f64,
    longitude_deg: f64,
    radius_km: f64,
    exact: bool,
}

#[derive(Serialize)]
struct Animal<'a> {
    id: Option<&'a str>,
    name: &'a str,
    looked_for: &'a [String],
}

#[derive(Serialize)]
struct Rule {
    interval: f64,
    threshold_of_best: f64,
    threshold_share: Option<f64>,
    fewest_visits: u32,
    shortest_list: usize,
    coarsest_m: f64,
    since: Option<jiff::civil::Date>,
}

#[derive(Serialize)]
struct Visits {
    all: u32,
    with: u32,
    by_event: u32,
    by_observer: u32,
    by_day: u32,
    with_effort: u32,
    too_short: u32,
    too_short_with: u32,
    observers: usize,
    first: Option<jiff::civil::Date>,
    last: Option<jiff::civil::Date>,
    alike: f64,
}

#[derive(Serialize)]
struct Records<'a> {
    all: u64,
    counted: u64,
    of_animal: u64,
    uncertainty_unstated: u64,
    left_out: Vec<LeftOut<'a>>,
}

#[derive(Serialize)]
struct LeftOut<'a> {
    why: &'a str,
    records: u64,
    of_animal: u64,
}

#[derive(Serialize)]
struct Set<'a> {
    name: &'a str,
    license: &'a str,
    records: u64,
}

fn report<'a>(told: &'a Presence, about: About<'a>) -> Report<'a> {
    let question = &told.question;
    let (latitude_deg, longitude_deg, _) = position(told, about);
    let effort = &told.effort;
    let all = effort.visits();
    Report {
        demo: about.demo,
        place: Place {
            id: about.place_id,
            name: about.place,
            latitude_deg,
            longitude_deg,
            radius_km: question.radius_km,
            exact: about.exact,
        },
        animal: Animal {
            id: about.subject,
            name: about.animal,
            looked_for: &question.names,
        },
        present: told.year.wide().to_string(),
        known_present: told.year.narrow().to_string(),
        rule: Rule {
            interval: wrackline_gather::presence::LEVEL,
            threshold_of_best: question.threshold,
            threshold_share: told.year.threshold.map(thousandths),
            fewest_visits: question.fewest_visits,
            shortest_list: question.shortest_list,
            coarsest_m: question.coarsest_m,
            since: question.since,
        },
        half_months: rows(told),
        visits: Visits {
            all: all.visits,
            with: all.with,
            by_event: effort.by_event,
            by_observer: effort.by_observer,
            by_day: effort.by_day,
            with_effort: effort.with_effort,
            too_short: effort.too_short.visits,
            too_short_with: effort.too_short.with,
            observers: effort.observers,
            first: effort.days.map(|(first, _)| first),
            last: effort.days.map(|(_, last)| last),
            alike: thousandths(effort.alike),
        },
        records: Records {
            all: told.records,
            counted: told.counted,
            of_animal: told.of_animal,
            uncertainty_unstated: told.uncertainty_unstated,
            left_out: told
                .left_out
                .iter()
                .map(|(why, number)| LeftOut {
                    why: why.words(),
                    records: number.records,
                    of_animal: number.of_animal,
                })
                .collect(),
        },
        sources: told
            .sets
            .iter()
            .map(
                |DataSet {
                     name,
                     license,
                     records,
                 }| Set {
                    name,
                    license,
                    records: *records,
                },
            )
            .collect(),
        cautions: text::cautions(told),
    }
}
