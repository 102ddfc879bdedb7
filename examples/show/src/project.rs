//! A project for people and for programs.

use std::io::{self, Write};

use jiff::Timestamp;
use jiff::civil::Date;

use crate::clock::Clock;
use crate::columns::Columns;
use crate::limits::{Limit, Limits};
use crate::report::{DEMO, Style};
use crate::told;
use wrackline_plan::cautions;
use wrackline_plan::experience::Interval;
use wrackline_plan::project::{LEVELS, Outlook, Picture, Project, TAKES, Visit};
use wrackline_plan::rfc4180;
use wrackline_plan::scenario::Warning;
use wrackline_plan::windows::Condition;

/// How a project is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Format {
    /// Aligned text for people.
    #[default]
    Text,
    /// One row for each visit of the plan (RFC 4180).
    Csv,
    /// One object with pictures, the plan and cautions.
    Json,
}

/// Writes a project.
///
/// # Errors
/// What the writer refuses.
pub fn write(
    project: &Project<'_>,
    format: Format,
    style: Style,
    out: &mut dyn Write,
) -> io::Result<()> {
    match format {
        Format::Text => text(project, style, out),
        Format::Csv => {
            let mut csv = rfc4180::writer(out);
            for visit in &project.plan {
                csv.serialize(VisitRow::of(project, visit))
                    .map_err(io::Error::other)?;
            }
            csv.flush()
        }
        Format::Json => {
            let report = Report {
                scenario: project.scenario.title(),
                demo: style.demo,
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
    }
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

fn text(project: &Project<'_>, style: Style, out: &mut dyn Write) -> io::Result<()> {
    let scenario = project.scenario;
    let mut told = |first: &str, text: &str| out.write_all(style.wrapped(first, text).as_bytes());
    if style.demo {
        told("", DEMO)?;
    }
    let day = |date: Date| date.strftime("%a %-d %b %Y").to_string();
    let title = format!(
        "{}: {} wanted pictures, {} visits left to make ({} made this season), {} to {}",
        scenario.title(),
        project.pictures.len(),
        project.visits_left,
        project.visits_made,
        day(project.from),
        day(project.last),
    );
    told("", &title)?;
    told("", basis(project))?;
    writeln!(out)?;
    writeln!(out, "{}", picture_table(project, style.columns()))?;
    for (whose, said) in said_of(project) {
        let numbers: Vec<String> = whose.iter().map(|at| (at + 1).to_string()).collect();
        let numbers = numbers.join(" ");
        out.write_all(style.wrapped(&format!("   {numbers}  "), &said).as_bytes())?;
    }
    writeln!(out)?;
    if project.plan.is_empty() {
        let none = "No visit to plan: nothing that is wanted can be brought, or no visit is left.";
        out.write_all(style.wrapped("", none).as_bytes())?;
    } else {
        writeln!(out, "{}", visit_table(project))?;
    }
    for note in notes(project) {
        out.write_all(style.wrapped("", &note).as_bytes())?;
    }
    writeln!(out)?;
    for caution in [
        cautions::WATER,
        cautions::SUN,
        cautions::LAW,
        cautions::WELFARE,
    ] {
        out.write_all(style.wrapped("  ", caution).as_bytes())?;
    }
    Ok(())
}

/// What there is to say of the pictures, once for those of which it is the same: their positions,
/// and what is said.
pub(crate) fn said_of(project: &Project<'_>) -> Vec<(Vec<usize>, String)> {
    let mut all: Vec<(Vec<usize>, String)> = Vec::new();
    for (at, picture) in project.pictures.iter().enumerate() {
        let said = said(project, picture);
        match all.iter_mut().find(|(_, known)| *known == said) {
            Some((whose, _)) => whose.push(at),
            None => all.push((vec![at], said)),
        }
    }
    all
}

/// What to do about a picture, and where.
fn said(project: &Project<'_>, picture: &Picture<'_>) -> String {
    let outlook = outlook(project, picture);
    best(picture).map_or(outlook.clone(), |best| format!("{outlook}; {best}"))
}

/// A range in whole per cent, never certain either way.
pub(crate) fn range(range: Interval) -> String {
    let whole = |end: f64| (end * 100.0).round().clamp(1.0, 99.0);
    let (low, high) = (whole(range.low), whole(range.high));
    if range.low > 0.99 {
        "over 99 %".to_owned()
    } else {
        format!("{low}-{high} %")
    }
}

/// What the chances come from.
pub(crate) fn basis(project: &Project<'_>) -> &'static str {
    if project.learned {
        "Chances are those of at least one select, from the log's own visits in the right water. \
         A visit that can bring several pictures counts for each of them."
    } else {
        "Without a log every chance of a visit is taken to be equally likely, so the ranges are \
         wide: give --log FILE."
    }
}

fn picture_table(project: &Project<'_>, room: usize) -> String {
    let heading = [
        "", "picture", "taken", "windows", "planned", "chance", "range",
    ];
    let mut table = Columns::headed(heading);
    for column in [0, 2, 3, 4, 5, 6] {
        table = table.right(column);
    }
    for (number, picture) in project.pictures.iter().enumerate() {
        let none = picture.planned == 0;
        let dash = |told: String| if none { "-".to_owned() } else { told };
        table.push([
            (number + 1).to_string(),
            shortened(&picture.wanted.picture, room.saturating_sub(FIGURES)),
            picture.taken.to_string(),
            picture.windows.to_string(),
            format!("{} of {}", picture.planned, picture.visits),
            dash(told::percent(picture.chance)),
            dash(range(picture.range)),
        ]);
    }
    table.to_string()
}

/// Columns that a row of the table of pictures takes beside the name.
const FIGURES: usize = 52;

/// A name cut to its room; what it is called in full stands in the data formats.
fn shortened(name: &str, room: usize) -> String {
    let room = room.max(12);
    if name.chars().count() <= room {
        return name.to_owned();
    }
    let kept: String = name.chars().take(room - 1).collect();
    format!("{}\u{2026}", kept.trim_end())
}

/// Where a picture's chance a visit is best, and how many visits there it takes.
fn best(picture: &Picture<'_>) -> Option<String> {
    let best = picture.best_place.as_ref()?;
    let of = best.selects;
    let seen = if of.visits == 0 {
        "no visit in the right water yet".to_owned()
    } else {
        let plural = if of.visits == 1 { "visit" } else { "visits" };
        format!("selects on {} of {} {plural}", of.hits, of.visits)
    };
    let needed = LEVELS.iter().zip(best.visits_for).map(|(level, visits)| {
        let visits = visits.map_or("more than can be told".to_owned(), |n| n.to_string());
        format!("{visits} for {:.0} %", level * 100.0)
    });
    Some(format!(
        "best at {}, {} a visit ({seen}): visits needed there {}",
        best.place.name,
        told::percent(of.mean()),
        needed.collect::<Vec<_>>().join(", ")
    ))
}

/// What there is to say of a picture, in a line.
fn outlook(project: &Project<'_>, picture: &Picture<'_>) -> String {
    let limit = |limit: &Option<Condition>| {
        limit.map_or(String::new(), |limit| format!("; most is lost to: {limit}"))
    };
    match &picture.outlook {
        Outlook::Likely => "likely".to_owned(),
        Outlook::Even => "as likely as not".to_owned(),
        Outlook::Unlikely => {
            let why = if picture.visits > picture.planned {
                "others are worth more in the visits left"
            } else {
                "the season has no more visits for it"
            };
            format!("unlikely: {why}")
        }
        Outlook::GivenUp if project.visits_left == 0 => "no visit is left for it".to_owned(),
        Outlook::GivenUp => format!(
            "given up in this plan: its {} visits are worth more to other pictures, or their \
             place is at its limit",
            picture.visits
        ),
        Outlook::Later {
            first,
            windows,
            limit: lost,
        } => format!(
            "not in this season{}. Another one: {windows} windows in the year after it, the first \
             on {}",
            limit(lost),
            first.strftime("%a %-d %b %Y")
        ),
        Outlook::Never {
            limit: lost,
            other_light,
        } => {
            let other = other_light.map_or(String::new(), |(light, windows)| {
                format!("; in {light} there would be {windows} windows in this season")
            });
            format!(
                "not from these seats{}{other}. Another seat may: try `sweep`",
                limit(lost)
            )
        }
    }
}

fn visit_table(project: &Project<'_>) -> String {
    let mut table =
        Columns::headed(["", "day", "seat", "set out", "back by", "can bring"]).right(0);
    for (number, visit) in project.plan.iter().enumerate() {
        let outing = &visit.outing;
        let clock = Clock::of(project.scenario, outing);
        let limits = Limits::of(outing);
        let mut brings: Vec<String> = Vec::new();
        for &at in visit.brings.keys() {
            brings.push((at + 1).to_string());
        }
        let ask = if visit.ask_first.is_empty() {
            ""
        } else {
            ", ask first"
        };
        table.push([
            (number + 1).to_string(),
            visit.date.strftime("%a %-d %b %Y").to_string(),
            format!("{} {}", visit.seat.id, visit.seat.name),
            clock.limit(limits.set_out),
            clock.limit(limits.back_by),
            format!("{}{ask}", brings.join(" ")),
        ]);
    }
    table.to_string()
}

fn notes(project: &Project<'_>) -> Vec<String> {
    let mut notes = Vec::new();
    let serving = project.plan.iter().filter(|visit| visit.brings.len() > 1);
    notes.push(format!(
        "{} of {} visits that there could be are planned, at most one a day; {} of them can bring \
         several pictures. Planned: the visits of the plan that can bring a picture, of all that \
         could. `season --why DAY` and `card` tell the rest of each.",
        project.plan.len(),
        project.visits_in_all,
        serving.count()
    ));
    if !project.at_limit.is_empty() {
        let names: Vec<&str> = project
            .at_limit
            .iter()
            .map(|place| place.name.as_str())
            .collect();
        notes.push(format!(
            "At their limit of visits a month, for the animals' peace: {}.",
            names.join(", ")
        ));
    }
    for (place, most) in &project.unlimited {
        notes.push(format!(
            "Nobody has said how many visits a month {} bears, and this plan makes up to {most}: \
             set `most_visits_a_month` there, for the animals' peace.",
            place.name
        ));
    }
    if project.plan.len() < project.visits_left as usize {
        notes.push(format!(
            "A visit that adds less than {TAKES} of a picture is not planned: it is not worth the \
             disturbance."
        ));
    }
    notes.push(if project.proven {
        "Chosen by branch and bound: no other choice of visits brings a thousandth of a picture \
         more."
            .to_owned()
    } else {
        "The search for the best choice was ended early: another choice may bring a little more."
            .to_owned()
    });
    notes
}
