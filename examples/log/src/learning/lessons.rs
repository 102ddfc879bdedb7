//! Everything that a log teaches about the places of a scenario.

use jiff::civil::Date;

use super::ageing::{Ageing, Fading, newest_day};
use super::beta::Beta;
use super::bracket::Levels;
use super::by_condition::by_condition;
use super::chance::{Chance, LEVEL, Ladder};
use super::evidence::{Band, band};
use super::occupancy::{blanks_needed, still_used_given};
use super::pooled::{Pool, Tally};
use super::question::Question;
use super::tides_to_try::{TideToTry, tides_to_try};
use super::water::WaterLesson;
use crate::welfare::{alarmed_from_nowhere, farthest_alarm, rests};
use crate::{Outcome, Record};
use wrackline_plan::experience::{self, Alarm, Interval, LargerStandOff, Rest, larger_stand_off};
use wrackline_plan::scenario::{Place, Scenario, Subject};
use wrackline_plan::words::Unknown;

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

fn in_band<'r>(
    scenario: &Scenario,
    records: &'r [Record],
    place: &Place,
    subject: &Subject,
) -> Vec<&'r Record> {
    visits(records, place, subject)
        .filter(|record| band(scenario, record, place) == Band::Inside)
        .collect()
}

/// What is believed of a place before anything was seen there: used with this probability. Our
/// choice.
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
    /// The day from which coming tides were looked for.
    pub from: Date,
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
    /// The chance in the right water, informed by the subject's other places; `None` where there is
    /// only one.
    pub pooled: Option<(f64, Interval)>,
    /// Every rung, in the right water.
    pub ladder: Ladder,
    /// By wind, sky, people, frost and light, in the right water: the chance to come in range, and
    /// of a select.
    pub conditions: Vec<(String, Chance, Chance)>,
    /// The levels that push them and that drown the place.
    pub levels: Levels,
    /// The coming tides that would tell most about the one and the other level.
    pub tides: [Vec<TideToTry>; 2],
    /// Blank visits since they were last seen, in the right conditions.
    pub blanks: Blanks,
    /// The farthest distance at which a visit alarmed them.
    pub alarm: Option<Alarm>,
    /// Entries that alarmed them at a distance that neither they nor their seat tell.
    pub alarms_from_nowhere: Vec<String>,
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

/// Learns.
pub fn learn<'s>(
    scenario: &'s Scenario,
    records: &[Record],
    question: Question<'_>,
) -> Lessons<'s> {
    let water = WaterLesson::of(records);
    let fading = question.fading;
    let reference = newest_day(records, scenario.zone()).unwrap_or(question.from);
    let dates = records
        .iter()
        .map(|record| record.entry.when.date(scenario.zone()));
    let mut places = Vec::new();
    for subject in scenario
        .subjects()
        .iter()
        .filter(|subject| question.subject.is_none_or(|id| id == subject.id))
    {
        let chances = Chances::of(scenario, records, subject, fading, reference);
        for place in scenario
            .places()
            .iter()
            .filter(|place| question.place.is_none_or(|id| id == place.id))
        {
            if visits(records, place, subject).next().is_some() {
                places.push(lesson(
                    scenario, records, place, subject, &water, &chances, question,
                ));
            }
        }
    }
    Lessons {
        entries: records.len(),
        from: question.from,
        elsewhere: records
            .iter()
            .filter(|record| {
                scenario.place(&record.entry.place).is_none()
                    || scenario.subject(&record.entry.subject).is_none()
            })
            .count(),
        days: dates.clone().min().zip(dates.max()),
        places,
        water,
        rests: rests(scenario, records),
    }
}

/// The chances of one subject in the right water, at every place of the scenario, and what its
/// places say together.
#[derive(Debug, Clone)]
pub struct Chances<'s> {
    scenario: &'s Scenario,
    subject: &'s Subject,
    fading: Fading,
    reference: Date,
    /// The common distribution of the places; `None` with fewer than two that were visited.
    pool: Option<Pool>,
}

impl<'s> Chances<'s> {
    /// Learns. Visits of the season that holds `reference` count in full.
    pub fn of(
        scenario: &'s Scenario,
        records: &[Record],
        subject: &'s Subject,
        fading: Fading,
        reference: Date,
    ) -> Chances<'s> {
        let mut chances = Chances {
            scenario,
            subject,
            fading,
            reference,
            pool: None,
        };
        let tallies: Vec<Tally> = scenario
            .places()
            .iter()
            .map(|place| chances.alone(records, place))
            .filter(|chance| chance.visits > 0)
            .map(|chance| tally(&chance))
            .collect();
        chances.pool = (tallies.len() > 1).then(|| Pool::learn(&tallies));
        chances
    }

    fn ageing(&self, place: &Place) -> Ageing {
        Ageing::new(
            self.scenario,
            place,
            self.subject,
            self.fading,
            self.reference,
        )
    }

    /// The chance that a visit in the right water comes within range, by the place's own visits.
    /// Inland every visit counts.
    pub fn alone(&self, records: &[Record], place: &Place) -> Chance {
        let visits = in_band(self.scenario, records, place, self.subject);
        Chance::of_reaching(Outcome::InRange, visits, &self.ageing(place))
    }

    /// The same informed by the subject's other places; `None` where no two places were visited.
    pub fn together(&self, alone: &Chance) -> Option<(f64, Interval)> {
        let shrunk = self.pool.as_ref()?.at(tally(alone));
        Some((shrunk.mean(), shrunk.interval(LEVEL)))
    }

    /// How often a visit in the right water brought a select, by the place's own visits.
    pub fn of_a_select(&self, records: &[Record], place: &Place) -> experience::Successes {
        let visits = in_band(self.scenario, records, place, self.subject);
        let chance = Chance::of_reaching(Outcome::Select, visits, &self.ageing(place));
        experience::Successes {
            hits: chance.hits,
            visits: chance.visits,
            a: chance.posterior.a(),
            b: chance.posterior.b(),
            interval: chance.interval(),
        }
    }

    /// What a ranking of outings asks for, the one chance that everything else prints too: the
    /// visits counted, the chance informed by the other places where there are any.
    pub fn for_a_plan(&self, records: &[Record], place: &Place) -> experience::Chance {
        let alone = self.alone(records, place);
        let plain = alone.plain();
        match self.together(&alone) {
            None => plain,
            Some((mean, interval)) => experience::Chance {
                mean,
                interval,
                ..plain
            },
        }
    }
}

impl Chances<'_> {
    /// As [`Chances::for_a_plan`], in a half-month in which visits of others found the animal with
    /// a share and are held to be worth `weight` visits.
    pub fn with_sightings(
        &self,
        records: &[Record],
        place: &Place,
        share: f64,
        weight: f64,
    ) -> experience::Chance {
        let alone = self.alone(records, place);
        let known = Tally {
            hits: weight * share,
            misses: weight * (1.0 - share),
        };
        let (mean, interval) = match &self.pool {
            Some(pool) => {
                let shrunk = pool.at_with(tally(&alone), known);
                (shrunk.mean(), shrunk.interval(LEVEL))
            }
            None => {
                let posterior = alone.posterior.after(known.hits, known.misses);
                (posterior.mean(), posterior.interval(LEVEL))
            }
        };
        experience::Chance {
            mean,
            interval,
            sightings: weight,
            ..alone.plain()
        }
    }
}

fn tally(chance: &Chance) -> Tally {
    let prior = Beta::UNIFORM;
    Tally {
        hits: chance.posterior.a() - prior.a(),
        misses: chance.posterior.b() - prior.b(),
    }
}

fn lesson<'s>(
    scenario: &'s Scenario,
    records: &[Record],
    place: &'s Place,
    subject: &'s Subject,
    water: &WaterLesson,
    chances: &Chances<'s>,
    question: Question<'_>,
) -> Lesson<'s> {
    let ageing = chances.ageing(place);
    let inside_visits = in_band(scenario, records, place, subject);
    let of_band = |wanted| {
        let visits = visits(records, place, subject)
            .filter(|record| band(scenario, record, place) == wanted);
        Chance::of_reaching(Outcome::InRange, visits, &ageing)
    };
    let inside = of_band(Band::Inside);
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
    let alarm = farthest_alarm(scenario, records, &place.id, &subject.id);
    let from_nowhere = records.iter().map(|record| &record.entry).filter(|entry| {
        entry.place == place.id
            && entry.subject == subject.id
            && alarmed_from_nowhere(scenario, entry)
    });
    let larger = |stand_off_m| larger_stand_off(alarm.clone()?, stand_off_m);
    Lesson {
        place,
        subject,
        inside,
        outside: of_band(Band::Outside),
        unknown: of_band(Band::Unknown).visits,
        pooled: chances.together(&inside),
        ladder: Ladder::of(&inside_visits, &ageing),
        conditions: by_condition(&inside_visits, &ageing),
        blanks: blanks(&inside_visits, &ageing),
        levels,
        tides,
        larger: [
            larger(subject.stand_off_on_foot_m),
            larger(subject.stand_off_from_hide_m),
        ],
        alarm,
        alarms_from_nowhere: from_nowhere.map(|entry| entry.id.clone()).collect(),
    }
}

fn blanks(visits: &[&Record], ageing: &Ageing) -> Blanks {
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
    let detection = Chance::of_reaching(Outcome::OutOfRange, before, ageing);
    let in_a_row = u32::try_from(in_a_row).unwrap_or(u32::MAX);
    Blanks {
        in_a_row,
        still_used: still_used_given(PRIOR_USE, detection.posterior, in_a_row)
            .filter(|_| in_a_row > 0),
        needed: blanks_needed(detection.mean(), BELIEF).filter(|_| detection.visits > 0),
    }
}

/// The visits of a lesson as a chart needs them: against minutes from the push crossing, or against
/// the sun's altitude.
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
pub fn check(scenario: &Scenario, question: Question<'_>) -> Result<(), Unknown> {
    if let Some(id) = question.place {
        scenario.place_asked(id)?;
    }
    if let Some(id) = question.subject {
        scenario.subject_asked(id)?;
    }
    Ok(())
}
