//! All that the judge asks of the library: the windows of a scenario given as text.

use std::path::Path;

use jiff::Timestamp;
use jiff::civil::Date;
use wrackline_plan::experience::{Alarm, Experience, Rest};
use wrackline_plan::scenario::Scenario;
use wrackline_plan::season::{Request, season};
use wrackline_plan::windows::{self, Condition};

use super::plan::{Phase, Plan, Visits};
use super::table::date_of;

/// A window that the library proposes; instants in seconds since 1970.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Found {
    pub(crate) seat: String,
    pub(crate) subject: String,
    /// The civil day of its tide or light.
    pub(crate) day: Date,
    pub(crate) pictures: [f64; 2],
    pub(crate) set_out: f64,
    pub(crate) seated_by: f64,
    pub(crate) stand_up: f64,
    pub(crate) back_by: f64,
    /// What is left of the pictures at the lower water.
    pub(crate) at_lower_water: Option<[f64; 2]>,
}

/// What the library answers.
#[derive(Clone, Debug)]
pub(crate) struct Answer {
    pub(crate) windows: Vec<Found>,
    /// Seats of which it says that something is not known.
    pub(crate) unknown: Vec<String>,
}

/// Asks for all seats, all subjects, the scenario's first light.
///
/// # Errors
/// What the library says against the text.
pub(crate) fn ask(text: &str, from: Date, days: u32, phase: Phase) -> Result<Answer, String> {
    ask_with(text, from, days, phase, &Visits::default())
}

/// The same with what past visits tell of the place.
///
/// # Errors
/// What the library says against the text.
pub(crate) fn ask_with(
    text: &str,
    from: Date,
    days: u32,
    phase: Phase,
    visits: &Visits,
) -> Result<Answer, String> {
    let scenario = Scenario::parse("drawn.toml", text).map_err(|problems| problems.to_string())?;
    answer(&scenario, from, days, phase, visits)
}

/// Asks for the days of a plan, with all that it holds.
///
/// # Errors
/// What the library says against the text.
pub(crate) fn ask_plan(plan: &Plan, from: Date, days: u32) -> Result<Answer, String> {
    let text = plan.text();
    let table = plan.table();
    let scenario = Scenario::parse_with(Path::new("drawn.toml"), &|path| match path.to_str() {
        Some("drawn.toml") => Ok(text.clone()),
        Some("turns.csv") => table.clone().ok_or_else(|| "no table".to_owned()),
        _ => Err("no such file".to_owned()),
    })
    .map_err(|problems| problems.to_string())?;
    let scenario = match &plan.week {
        Some(week) => week.over(scenario)?,
        None => scenario,
    };
    answer(&scenario, from, days, plan.phase, &plan.visits)
}

fn answer(
    scenario: &Scenario,
    from: Date,
    days: u32,
    phase: Phase,
    visits: &Visits,
) -> Result<Answer, String> {
    let rest = |[since, until]: [i32; 2]| Rest {
        place: "p".to_owned(),
        since: date_of(since),
        until: date_of(until),
        flushes: Vec::new(),
    };
    let alarm = |(subject, distance_m): &(&str, f64)| {
        let alarm = Alarm {
            distance_m: *distance_m,
            id: "drawn".to_owned(),
            of_seat: false,
        };
        (("p".to_owned(), (*subject).to_owned()), alarm)
    };
    let told = Experience {
        rests: visits.rest.map(rest).into_iter().collect(),
        alarms: visits.alarms.iter().map(alarm).collect(),
        ..Experience::default()
    };
    let request = Request {
        phase: match phase {
            Phase::Both => windows::Phase::Both,
            Phase::Flood => windows::Phase::Flood,
            Phase::Ebb => windows::Phase::Ebb,
        },
        experience: Some(&told),
        ..Request::new(from, days)
    };
    let season = season(scenario, request).map_err(|error| error.to_string())?;
    let mut windows: Vec<Found> = season
        .outings
        .iter()
        .map(|outing| {
            let times = &outing.window.timetable;
            let pictures = &outing.window.stretch;
            Found {
                seat: outing.seat.id.clone(),
                subject: outing.subject.id.clone(),
                day: outing.occasion.date,
                pictures: [seconds(pictures.start), seconds(pictures.end)],
                set_out: seconds(times.set_out),
                seated_by: seconds(times.seated_by),
                stand_up: seconds(times.stand_up),
                back_by: seconds(times.back_by),
                at_lower_water: outing
                    .window
                    .at_lower_water
                    .as_ref()
                    .map(|left| [seconds(left.start), seconds(left.end)]),
            }
        })
        .collect();
    windows.sort_by(|a, b| {
        (&a.seat, &a.subject)
            .cmp(&(&b.seat, &b.subject))
            .then(a.pictures[0].total_cmp(&b.pictures[0]))
    });
    let lacking = season.seats.iter().filter(|report| {
        let mut never = report.never.iter();
        never.any(|refusal| refusal.condition == Condition::Unknown)
    });
    Ok(Answer {
        unknown: lacking.map(|report| report.seat.id.clone()).collect(),
        windows,
    })
}

fn seconds(at: Timestamp) -> f64 {
    at.as_second() as f64 + f64::from(at.subsec_nanosecond()) * 1e-9
}
