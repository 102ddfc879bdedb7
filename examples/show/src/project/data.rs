//! A project for programs: the columns of the CSV and the fields of the JSON.

use std::io::{self, Write};

use jiff::Timestamp;
use jiff::civil::Date;

use crate::limits::{Limit, Limits};
use wrackline_plan::cautions;
use wrackline_plan::project::{Outlook, Picture, Project, Visit};
use wrackline_plan::rfc4180;
use wrackline_plan::scenario::Warning;
use wrackline_plan::windows::Condition;

/// One row for each visit of the plan.
pub(super) fn csv(project: &Project<'_>, out: &mut dyn Write) -> io::Result<()> {
    let mut csv = rfc4180::writer(out);
    for visit in &project.plan {
        csv.serialize(VisitRow::of(project, visit))
            .map_err(io::Error::other)?;
    }
    csv.flush()
}

/// One object with pictures, the plan and cautions.
pub(super) fn json(project: &Project<'_>, demo: bool, out: &mut dyn Write) -> io::Result<()> {
    let report = Report {
        scenario: project.scenario.title(),
        demo,
        from: project.from,
        last: project.last,
        warnings: project.scenario.warnings(),
        visits_left: project.visits_left,
        visits_made: project.visits_made,
        visits_in_all: project.visits_in_all,
        proven: project.proven,
        learned: project.learned,
        pictures: project.pictures.iter().map(PictureRow::of).collect(),
        plan: project
            .plan
            .iter()
            .map(|visit| VisitRow::of(project, visit))
            .collect(),
        places_at_their_limit: project
            .at_limit
            .iter()
            .map(|place| place.id.as_str())
            .collect(),
        cautions: cautions::ALL,
    };
    serde_json::to_writer_pretty(&mut *out, &report).map_err(io::Error::other)?;
    writeln!(out)
}

#[derive(serde::Serialize)]
struct Report<'p> {
    scenario: &'p str,
    /// Whether it is the invented demo, because no scenario was given.
    demo: bool,
    from: Date,
    last: Date,
    warnings: &'p [Warning],
    visits_left: u32,
    visits_made: u32,
    visits_in_all: usize,
    proven: bool,
    learned: bool,
    pictures: Vec<PictureRow<'p>>,
    plan: Vec<VisitRow<'p>>,
    places_at_their_limit: Vec<&'p str>,
    cautions: [&'static str; 5],
}

/// One wanted picture; chances to four digits.
#[derive(serde::Serialize)]
struct PictureRow<'p> {
    picture: &'p str,
    taken: u32,
    windows: usize,
    visits: usize,
    planned: usize,
    chance: f64,
    chance_low: f64,
    chance_high: f64,
    best_place: Option<&'p str>,
    selects: Option<u32>,
    selects_of_visits: Option<u32>,
    chance_a_visit: Option<f64>,
    visits_for_50_percent: Option<u32>,
    visits_for_80_percent: Option<u32>,
    visits_for_95_percent: Option<u32>,
    outlook: &'static str,
    first_later: Option<Date>,
    limit: Option<Condition>,
    other_light: Option<&'p str>,
}

impl<'p> PictureRow<'p> {
    fn of(picture: &'p Picture<'_>) -> Self {
        let best = picture.best_place.as_ref();
        let needed = |level: usize| best.and_then(|best| best.visits_for[level]);
        let (first_later, limit, other_light) = match &picture.outlook {
            Outlook::Later { first, limit, .. } => (Some(*first), *limit, None),
            Outlook::Never { limit, other_light } => {
                (None, *limit, other_light.map(|(name, _)| name))
            }
            _ => (None, None, None),
        };
        Self {
            picture: &picture.wanted.picture,
            taken: picture.taken,
            windows: picture.windows,
            visits: picture.visits,
            planned: picture.planned,
            chance: four_digits(picture.chance),
            chance_low: four_digits(picture.range.low),
            chance_high: four_digits(picture.range.high),
            best_place: best.map(|best| best.place.id.as_str()),
            selects: best.map(|best| best.selects.hits),
            selects_of_visits: best.map(|best| best.selects.visits),
            chance_a_visit: best.map(|best| four_digits(best.selects.mean())),
            visits_for_50_percent: needed(0),
            visits_for_80_percent: needed(1),
            visits_for_95_percent: needed(2),
            outlook: word(&picture.outlook),
            first_later,
            limit,
            other_light,
        }
    }
}

fn four_digits(chance: f64) -> f64 {
    (chance * 1e4).round() / 1e4
}

fn word(outlook: &Outlook<'_>) -> &'static str {
    match outlook {
        Outlook::Likely => "likely",
        Outlook::Even => "even",
        Outlook::Unlikely => "unlikely",
        Outlook::GivenUp => "given up",
        Outlook::Later { .. } => "later",
        Outlook::Never { .. } => "never",
    }
}

/// One visit of the plan. Instants are UTC, on their cautious side; pictures are set apart by `; `.
#[derive(serde::Serialize)]
struct VisitRow<'p> {
    date: Date,
    place: &'p str,
    seat: &'p str,
    set_out_utc: Timestamp,
    seated_by_utc: Timestamp,
    stand_up_utc: Timestamp,
    back_by_utc: Timestamp,
    set_out_local: String,
    back_by_local: String,
    lights: String,
    pictures: String,
    ask_first: String,
}

impl<'p> VisitRow<'p> {
    fn of(project: &'p Project<'_>, visit: &'p Visit<'_>) -> Self {
        let outing = &visit.outing;
        let limits = Limits::of(outing);
        let second = |limit: Limit| limit.to_second();
        let zone = project.scenario.zone();
        let local = |at: Timestamp| {
            let at = at.to_zoned_datetime(zone.clone());
            at.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
        };
        Self {
            date: visit.date,
            place: &project.scenario.place_of(visit.seat).id,
            seat: &visit.seat.id,
            set_out_utc: second(limits.set_out),
            seated_by_utc: second(limits.seated_by),
            stand_up_utc: second(limits.stand_up),
            back_by_utc: second(limits.back_by),
            set_out_local: local(second(limits.set_out)),
            back_by_local: local(second(limits.back_by)),
            lights: visit.lights.join("; "),
            pictures: pictures(project, visit).join("; "),
            ask_first: visit.ask_first.join("; "),
        }
    }
}

/// The names of the pictures that a visit can bring.
fn pictures<'p>(project: &'p Project<'_>, visit: &Visit<'_>) -> Vec<&'p str> {
    let wanted = project.scenario.wanted();
    let brings = visit.brings.keys();
    brings.map(|&at| wanted[at].picture.as_str()).collect()
}
