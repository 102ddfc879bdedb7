//! Everything that a log teaches about the places of a scenario.

use jiff::civil::Date;

use super::beta::Beta;
use super::bracket::Levels;
use super::by_condition::by_condition;
use super::chance::{Chance, Fading, LEVEL, Ladder};
use super::diary::{self, Fit, Line};
use super::evidence::{Band, band};
use super::occupancy::{blanks_needed, still_used_given};
use super::pooled::{Pool, Tally};
use super::tides_to_try::{TideToTry, tides_to_try};
use crate::welfare::{farthest_alarm, rests};
use crate::{Outcome, Record, join};
use wrackline_plan::experience::{Alarm, Interval, LargerStandOff, Rest, larger_stand_off};
use wrackline_plan::scenario::{Place, Scenario, Subject};

/// The chance that a visit in the right water comes within range of a subject at a place: what a ranking of outings asks
/// for. Inland every visit counts.
pub fn chance(
    scenario: &Scenario,
    records: &[Record],
    place: &Place,
    subject: &Subject,
    fading: Fading,
) -> Chance {
    let visits = in_band(records, place, subject);
    Chance::of_reaching(Outcome::InRange, visits, fading, scenario.zone())
}

/// The visits to a place for a subject.
fn visits<'r>(
    records: &'r [Record],
    place: &Place,
    subject: &Subject,
) -> impl Iterator<Item = &'r Record> + Clone {
    let (place, subject) = (place.id.clone(), subject.id.clone());
    records.iter().filter(move |record| {
        record.entry.outcome.visited()
            && record.entry.place == place
            && record.entry.subject == subject
    })
}

fn in_band<'r>(records: &'r [Record], place: &Place, subject: &Subject) -> Vec<&'r Record> {
    visits(records, place, subject)
        .filter(|record| band(record, place) == Band::Inside)
        .collect()
}

/// What is believed of a place before anything was seen there: used with this probability. Our choice.
const PRIOR_USE: f64 = 0.8;

/// How sure absence has to be before a place is given up: our choice.
const BELIEF: f64 = 0.95;

/// What the log teaches.
#[derive(Debug, Clone)]
pub struct Lessons<'s> {
    /// Entries that were read, visits called off included.
    pub entries: usize,
    /// Entries at places, or of subjects, that the scenario does not have.
    pub elsewhere: usize,
    /// First and last day.
    pub days: Option<(Date, Date)>,
    /// One lesson for each place and subject that was visited.
    pub places: Vec<Lesson<'s>>,
    /// The water's residuals.
    pub water: WaterLesson,
    /// Places to be left in peace, the past ones included.
    pub rests: Vec<Rest>,
}

/// What the log teaches about a subject at a place.
#[derive(Debug, Clone)]
pub struct Lesson<'s> {
    /// Where.
    pub place: &'s Place,
    /// Of what.
    pub subject: &'s Subject,
    /// Visits in the right water.
    pub inside: Chance,
    /// Visits in the wrong water.
    pub outside: Chance,
    /// Visits of which nobody knows the water; they count nowhere else.
    pub unknown: u32,
    /// The chance in the right water, informed by the subject's other places; `None` where there is only one.
    pub pooled: Option<(f64, Interval)>,
    /// Every rung, in the right water.
    pub ladder: Ladder,
    /// By wind, sky, people, frost and light, in the right water: the chance to come in range, and of a select.
    pub conditions: Vec<(String, Chance, Chance)>,
    /// The levels that push them and that drown the place.
    pub levels: Levels,
    /// The coming tides that would tell most about the one and the other level.
    pub tides: [Vec<TideToTry>; 2],
    /// Blank visits since they were last seen, in the right conditions.
    pub blanks: Blanks,
    /// The farthest distance at which a visit alarmed them.
    pub alarm: Option<Alarm>,
    /// The larger distance that the log asks for, on foot and from a hide.
    pub larger: [Option<LargerStandOff>; 2],
}

/// Blank visits, and what they mean.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Blanks {
    /// In a row, up to the newest visit; other people about do not count.
    pub in_a_row: u32,
    /// The probability that the place is still used.
    pub still_used: Option<f64>,
    /// How many in a row it takes to give the place up.
    pub needed: Option<u32>,
}

/// What the log teaches about the water.
#[derive(Debug, Clone)]
pub struct WaterLesson {
    /// The diary's lines.
    pub lines: Vec<Line>,
    /// Mean and standard deviation of the residual, metres.
    pub spread: Option<(f64, f64)>,
    /// Against pressure and wind.
    pub fit: Option<Fit>,
}

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct Question<'q> {
    /// One place only, by its id.
    pub place: Option<&'q str>,
    /// One subject only, by its id.
    pub subject: Option<&'q str>,
    /// How much older winters count.
    pub fading: Fading,
    /// The day from which coming tides are looked for.
    pub from: Date,
    /// Over how many days.
    pub days: u32,
}

/// Learns.
pub fn learn<'s>(
    scenario: &'s Scenario,
    records: &[Record],
    question: Question<'_>,
) -> Lessons<'s> {
    let lines = diary::lines(records);
    let water = WaterLesson {
        spread: diary::spread(&lines),
        fit: Fit::of(&lines),
        lines,
    };
    let dates = records
        .iter()
        .map(|record| record.entry.when.date(scenario.zone()));
    let mut places = Vec::new();
    for subject in scenario
        .subjects()
        .iter()
        .filter(|subject| question.subject.is_none_or(|id| id == subject.id))
    {
        let pool = pool(scenario, records, subject, question.fading);
        for place in scenario
            .places()
            .iter()
            .filter(|place| question.place.is_none_or(|id| id == place.id))
        {
            if visits(records, place, subject).next().is_some() {
                places.push(lesson(
                    scenario,
                    records,
                    place,
                    subject,
                    &water,
                    pool.as_ref(),
                    question,
                ));
            }
        }
    }
    Lessons {
        entries: records.len(),
        elsewhere: records
            .iter()
            .filter(|record| {
                join::place(scenario, &record.entry.place).is_none()
                    || join::subject(scenario, &record.entry.subject).is_none()
            })
            .count(),
        days: dates.clone().min().zip(dates.max()),
        places,
        water,
        rests: rests(scenario, records),
    }
}

fn tally(chance: &Chance) -> Tally {
    let prior = Beta::UNIFORM;
    Tally {
        hits: chance.posterior.a() - prior.a(),
        misses: chance.posterior.b() - prior.b(),
    }
}

/// The common distribution of a subject's places; `None` with fewer than two.
fn pool(
    scenario: &Scenario,
    records: &[Record],
    subject: &Subject,
    fading: Fading,
) -> Option<Pool> {
    let tallies: Vec<Tally> = scenario
        .places()
        .iter()
        .map(|place| chance(scenario, records, place, subject, fading))
        .filter(|chance| chance.visits > 0)
        .map(|chance| tally(&chance))
        .collect();
    (tallies.len() > 1).then(|| Pool::learn(&tallies))
}

fn lesson<'s>(
    scenario: &'s Scenario,
    records: &[Record],
    place: &'s Place,
    subject: &'s Subject,
    water: &WaterLesson,
    pool: Option<&Pool>,
    question: Question<'_>,
) -> Lesson<'s> {
    let zone = scenario.zone();
    let inside_visits = in_band(records, place, subject);
    let of_band = |wanted| {
        let visits = visits(records, place, subject).filter(|record| band(record, place) == wanted);
        Chance::of_reaching(Outcome::InRange, visits, question.fading, zone)
    };
    let inside = of_band(Band::Inside);
    let shrunk = pool
        .filter(|_| inside.visits > 0)
        .map(|pool| pool.at(tally(&inside)));
    let levels = if place.push_m.is_some() {
        Levels::learn(visits(records, place, subject))
    } else {
        Levels::default()
    };
    let tides = [&levels.push, &levels.overtop].map(|bracket| {
        tides_to_try(
            scenario,
            place,
            subject,
            bracket,
            water,
            &rests(scenario, records),
            question,
        )
    });
    let alarm = farthest_alarm(records, &place.id, &subject.id);
    let larger = |stand_off_m| larger_stand_off(alarm.clone()?, stand_off_m);
    Lesson {
        place,
        subject,
        inside,
        outside: of_band(Band::Outside),
        unknown: of_band(Band::Unknown).visits,
        pooled: shrunk.map(|shrunk| (shrunk.mean(), shrunk.interval(LEVEL))),
        ladder: Ladder::of(&inside_visits, question.fading, zone),
        conditions: by_condition(&inside_visits, question.fading, scenario),
        blanks: blanks(&inside_visits, question.fading, scenario),
        levels,
        tides,
        larger: [
            larger(subject.stand_off_on_foot_m),
            larger(subject.stand_off_from_hide_m),
        ],
        alarm,
    }
}

fn blanks(visits: &[&Record], fading: Fading, scenario: &Scenario) -> Blanks {
    let undisturbed: Vec<&Record> = visits
        .iter()
        .copied()
        .filter(|record| record.entry.people.unwrap_or(0) == 0)
        .collect();
    let blank = |record: &&&Record| record.entry.outcome == Outcome::Absent;
    let in_a_row = undisturbed.iter().rev().take_while(blank).count();
    // What the blanks are held against is how easily they were found before.
    let before = undisturbed
        .iter()
        .copied()
        .take(undisturbed.len() - in_a_row);
    let detection = Chance::of_reaching(Outcome::OutOfRange, before, fading, scenario.zone());
    let in_a_row = u32::try_from(in_a_row).unwrap_or(u32::MAX);
    Blanks {
        in_a_row,
        still_used: still_used_given(PRIOR_USE, detection.posterior, in_a_row)
            .filter(|_| in_a_row > 0),
        needed: blanks_needed(detection.mean(), BELIEF).filter(|_| detection.visits > 0),
    }
}

/// The visits of a lesson as a chart needs them: against minutes from the push crossing, or against the sun's altitude.
pub fn chart_visits<'r>(
    records: &'r [Record],
    place: &Place,
    subject: &Subject,
) -> impl Iterator<Item = &'r Record> + Clone {
    visits(records, place, subject)
}

/// Names that a question may ask for, checked against the scenario.
///
/// # Errors
/// A place or subject that the scenario does not have.
pub fn check(scenario: &Scenario, question: Question<'_>) -> Result<(), String> {
    if let Some(id) = question.place
        && join::place(scenario, id).is_none()
    {
        let known: Vec<&str> = scenario
            .places()
            .iter()
            .map(|place| place.id.as_str())
            .collect();
        return Err(format!(
            "there is no place '{id}' in the scenario{}",
            crate::closest(id, &known)
        ));
    }
    if let Some(id) = question.subject
        && join::subject(scenario, id).is_none()
    {
        let known: Vec<&str> = scenario
            .subjects()
            .iter()
            .map(|subject| subject.id.as_str())
            .collect();
        return Err(format!(
            "there is no subject '{id}' in the scenario{}",
            crate::closest(id, &known)
        ));
    }
    Ok(())
}
