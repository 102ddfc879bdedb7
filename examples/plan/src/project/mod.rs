//! A body of work: which wanted pictures the coming season can bring, and which visits to make for
//! them.

mod ahead;
mod allocate;
mod pool;
mod program;
mod visits;

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use self::ahead::Ahead;
pub use self::allocate::TAKES;
use self::allocate::Task;
use self::pool::Pool;
pub use self::visits::Visit;
use crate::experience::{Experience, Interval, Successes};
use crate::scenario::{Place, Scenario, Wanted};
pub use crate::season::error::MOST_VISITS;
use crate::season::{self, EVERY_SUBJECT, Error, Season, season};
use crate::windows::Condition;

/// What a project is asked for.
#[derive(Clone, Copy, Debug)]
pub struct Request<'r> {
    /// First civil day in the scenario's zone.
    pub from: Date,
    /// Number of days, at least 1.
    pub days: u32,
    /// Visits that are left to make; what the scenario plans, less those that the log holds of this
    /// season, when left out.
    pub visits: Option<u32>,
    /// What past visits tell; `None` where nobody has kept a log.
    pub experience: Option<&'r Experience>,
    /// Selects that there are of a picture beyond the scenario's own count, by its name.
    pub taken: &'r BTreeMap<String, u32>,
}

/// How many visits the allocation is made for where nobody said how many: our default.
const OUR_VISITS: u32 = 12;

/// Days after the season that are looked through for pictures that it cannot bring.
const LOOK_AHEAD_DAYS: u32 = 365;

/// The chances for which the visits needed are told.
pub const LEVELS: [f64; 3] = [0.5, 0.8, 0.95];

/// A project over a season.
#[derive(Clone, Debug)]
pub struct Project<'s> {
    /// The scenario it was computed for.
    pub scenario: &'s Scenario,
    /// First civil day.
    pub from: Date,
    /// Last civil day.
    pub last: Date,
    /// Visits that are left to make.
    pub visits_left: u32,
    /// Those of this season that the log holds already.
    pub visits_made: u32,
    /// The visits to make, in order of time.
    pub plan: Vec<Visit<'s>>,
    /// Visits that there could be, one or none a place and day.
    pub visits_in_all: usize,
    /// Each wanted picture, in the order of the scenario.
    pub pictures: Vec<Picture<'s>>,
    /// Places whose limit of visits a month keeps the plan from more.
    pub at_limit: Vec<&'s Place>,
    /// Places without a limit of visits a month, each with the most that the plan makes in one.
    pub unlimited: Vec<(&'s Place, usize)>,
    /// Whether no other choice of visits is worth more.
    pub proven: bool,
    /// Whether the chances come from a log.
    pub learned: bool,
}

/// One wanted picture.
#[derive(Clone, Debug)]
pub struct Picture<'s> {
    /// The picture.
    pub wanted: &'s Wanted,
    /// Selects that there are.
    pub taken: u32,
    /// Windows left in the season that can bring it.
    pub windows: usize,
    /// Visits that can bring it.
    pub visits: usize,
    /// Visits of the plan that can bring it.
    pub planned: usize,
    /// The chance of at least one select in the visits of the plan.
    pub chance: f64,
    /// Its range: with chances at the ends of what the log leaves open, nine times in ten at one
    /// place and more often over several.
    pub range: Interval,
    /// Where its chance a visit is best.
    pub best_place: Option<BestPlace<'s>>,
    /// What to do about it.
    pub outlook: Outlook<'s>,
}

/// Where a picture's chance a visit is best.
#[derive(Clone, Debug)]
pub struct BestPlace<'s> {
    /// The place.
    pub place: &'s Place,
    /// What is known of a visit there.
    pub selects: Successes,
    /// Visits there of which at least one brings a select with each of [`LEVELS`]; `None` where a
    /// thousand are not enough.
    pub visits_for: [Option<u32>; 3],
}

/// What the season holds for a picture.
#[derive(Clone, Debug, PartialEq)]
pub enum Outlook<'s> {
    /// At least four in five that the plan brings a select.
    Likely,
    /// At least one in two.
    Even,
    /// Less: more visits than are left would be needed, or than the season has.
    Unlikely,
    /// The season has visits for it, and the plan none: others are worth more.
    GivenUp,
    /// No window in this season, but later.
    Later {
        /// The first day with one.
        first: Date,
        /// Windows in the year after the season.
        windows: usize,
        /// What is in the way this season.
        limit: Option<Condition>,
    },
    /// No window in this season or in the year after it.
    Never {
        /// What is in the way at most tides, or stretches of light.
        limit: Option<Condition>,
        /// A light that the picture is not wanted in, and the windows that it would have this
        /// season.
        other_light: Option<(&'s str, usize)>,
    },
}

/// Most visits that a place bears are found for each of them.
const MOST_NEEDED: u32 = 1000;

/// Computes a project.
///
/// # Errors
/// A scenario without wanted pictures, more visits than [`MOST_VISITS`], or what a season refuses.
pub fn project<'s>(scenario: &'s Scenario, request: Request<'_>) -> Result<Project<'s>, Error> {
    if scenario.wanted().is_empty() {
        return Err(Error::NothingWanted);
    }
    let visits_made = visits_made(scenario, request);
    let planned = scenario.project_visits().unwrap_or(OUR_VISITS);
    let visits_left = request
        .visits
        .unwrap_or_else(|| planned.saturating_sub(visits_made).min(MOST_VISITS));
    if visits_left > MOST_VISITS {
        return Err(Error::Visits {
            visits: visits_left,
        });
    }
    let seasons = seasons(scenario, request, request.from, request.days)?;
    let last = seasons
        .first()
        .map_or(request.from, |(_, season)| season.last);
    let windows = windows_of(scenario, &seasons);
    let limits = limits_of(scenario, &seasons);
    let outings = seasons.into_iter().flat_map(|(_, season)| {
        let light = season.light;
        let outings = season.outings.into_iter();
        outings.map(move |outing| (light, outing))
    });
    let visits = visits::visits(scenario, outings);

    let taken: Vec<u32> = scenario
        .wanted()
        .iter()
        .map(|wanted| wanted.taken + request.taken.get(&wanted.picture).copied().unwrap_or(0))
        .collect();
    let pool = Pool::of(scenario, request, &visits);
    // A picture that is there is worth less than one that is missing: our default.
    let worth: Vec<f64> = taken
        .iter()
        .map(|taken| 1.0 / f64::from(1 + taken))
        .collect();
    let task = Task {
        choices: &pool.choices,
        chances: &pool.chances,
        worth: &worth,
        limits: &pool.limits,
        most: visits_left,
    };
    let allocation = task.best();
    let counts = task.counts(&allocation.chosen);

    let ahead = Ahead::of(scenario, request, last, &windows)?;
    let pictures = scenario.wanted().iter().enumerate().map(|(at, wanted)| {
        let mut misses = [1.0; 3];
        for (&(_, whose), &count) in counts.range((at, 0)..(at + 1, 0)) {
            let chances = &pool.chances[whose];
            let ends = chances.interval;
            misses[0] *= chances.misses_in_a_row(count);
            misses[1] *= (1.0 - ends.low).powf(f64::from(count));
            misses[2] *= (1.0 - ends.high).powf(f64::from(count));
        }
        let planned = allocation
            .chosen
            .iter()
            .filter(|&&one| visits[one].brings.contains_key(&at))
            .count();
        let can = visits.iter().filter(|visit| visit.brings.contains_key(&at));
        let chance = 1.0 - misses[0];
        let outlook = if windows[at] == 0 {
            ahead.outlook(at, limits[at], wanted)
        } else if planned == 0 {
            Outlook::GivenUp
        } else if chance >= LEVELS[1] {
            Outlook::Likely
        } else if chance >= LEVELS[0] {
            Outlook::Even
        } else {
            Outlook::Unlikely
        };
        Picture {
            wanted,
            taken: taken[at],
            windows: windows[at],
            visits: can.count(),
            planned,
            chance,
            range: Interval {
                low: 1.0 - misses[1],
                high: 1.0 - misses[2],
            },
            best_place: pool.best_place(scenario, at),
            outlook,
        }
    });
    let pictures = pictures.collect();
    let at_limit = pool.at_limit(scenario, &allocation.chosen);
    let proven = allocation.bound - allocation.worth <= allocate::PROVEN;
    let chosen: BTreeSet<usize> = allocation.chosen.into_iter().collect();
    let visits_in_all = visits.len();
    let mut plan: Vec<Visit<'s>> = visits
        .into_iter()
        .enumerate()
        .filter(|(at, _)| chosen.contains(at))
        .map(|(_, visit)| visit)
        .collect();
    plan.sort_by_key(|visit| visit.outing.window.timetable.set_out);
    let unlimited = unlimited(scenario, &plan);
    Ok(Project {
        scenario,
        from: request.from,
        last,
        visits_left,
        visits_made,
        plan,
        visits_in_all,
        pictures,
        at_limit,
        unlimited,
        proven,
        learned: request.experience.is_some(),
    })
}

/// Visits to the project's subject (to any, where it has none) in the subject's year that holds the
/// first day.
fn visits_made(scenario: &Scenario, request: Request<'_>) -> u32 {
    let Some(told) = request.experience else {
        return 0;
    };
    let made = told.visits.iter().filter(|visit| {
        let (Some(subject), Some(place)) = (
            scenario.subject(&visit.subject),
            scenario.place(&visit.place),
        ) else {
            return false;
        };
        let of_project = scenario
            .project_subject()
            .is_none_or(|one| one.id == subject.id);
        let year = |date| subject.present.year_of(date, place.latitude_deg);
        of_project && visit.date < request.from && year(visit.date) == year(request.from)
    });
    u32::try_from(made.count()).unwrap_or(u32::MAX)
}

/// The places of a plan whose visits nobody has limited, each with the most of them in one month.
fn unlimited<'s>(scenario: &'s Scenario, plan: &[Visit<'s>]) -> Vec<(&'s Place, usize)> {
    let places = scenario.places().iter();
    let most = |place: &Place| {
        let mut months: BTreeMap<(i16, i8), usize> = BTreeMap::new();
        let here = plan
            .iter()
            .filter(|visit| scenario.place_of(visit.seat).id == place.id);
        for visit in here {
            *months
                .entry((visit.date.year(), visit.date.month()))
                .or_default() += 1;
        }
        months.into_values().max().unwrap_or(0)
    };
    places
        .filter(|place| place.most_visits_a_month.is_none())
        .map(|place| (place, most(place)))
        .filter(|(_, most)| *most > 0)
        .collect()
}

/// A season for each light in which a picture is wanted, with the position of the light.
fn seasons<'s>(
    scenario: &'s Scenario,
    request: Request<'_>,
    from: Date,
    days: u32,
) -> Result<Vec<(usize, Season<'s>)>, Error> {
    let wanted = scenario.wanted().iter();
    let lights: BTreeSet<usize> = wanted
        .flat_map(|wanted| wanted.lights.iter().copied())
        .collect();
    seasons_in(scenario, request, lights, from, days)
}

/// A season for each of some lights, for every subject, with the position of the light.
fn seasons_in<'s>(
    scenario: &'s Scenario,
    request: Request<'_>,
    lights: impl IntoIterator<Item = usize>,
    from: Date,
    days: u32,
) -> Result<Vec<(usize, Season<'s>)>, Error> {
    lights
        .into_iter()
        .map(|light| {
            let of_light = season::Request {
                light: Some(&scenario.lights()[light].name),
                subject: Some(EVERY_SUBJECT),
                keep_refused: false,
                experience: request.experience,
                ..season::Request::new(from, days)
            };
            Ok((light, season(scenario, of_light)?))
        })
        .collect()
}

/// Windows that can bring each picture.
fn windows_of(scenario: &Scenario, seasons: &[(usize, Season<'_>)]) -> Vec<usize> {
    let count = |wanted: &Wanted| {
        let outings = seasons.iter().flat_map(|(_, season)| &season.outings);
        outings
            .filter(|outing| outing.brings.contains(&wanted))
            .count()
    };
    scenario.wanted().iter().map(count).collect()
}

/// What is most in the way of each picture in the light that it is wanted in.
fn limits_of(scenario: &Scenario, seasons: &[(usize, Season<'_>)]) -> Vec<Option<Condition>> {
    let most = |wanted: &Wanted| {
        let mut counts: BTreeMap<Condition, usize> = BTreeMap::new();
        let in_light = seasons
            .iter()
            .filter(|(light, _)| wanted.lights.contains(light));
        for report in in_light.flat_map(|(_, season)| &season.seats) {
            let subject = scenario.subject_of(wanted);
            if subject.is_some_and(|subject| subject.id != report.subject.id) {
                continue;
            }
            if let Some(refusal) = report.never.first() {
                *counts.entry(refusal.condition).or_default() += report.tally.all;
            }
            if report.never.is_empty() {
                for (condition, count) in &report.obstacles {
                    *counts.entry(*condition).or_default() += count;
                }
            }
        }
        let most = counts.into_iter().max_by_key(|(_, count)| *count);
        most.map(|(condition, _)| condition)
    };
    scenario.wanted().iter().map(most).collect()
}
