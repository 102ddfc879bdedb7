//! Chances from visits: how often a rung of the ladder was reached, and how sure that is.

use std::fmt;

use wrackline_plan::experience::{self, Interval};

use super::ageing::Ageing;
use super::beta::Beta;
use crate::{Outcome, Record};

/// The probability that the printed intervals hold: nine in ten, our choice.
pub const LEVEL: f64 = 0.90;

/// How often visits reached a rung.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chance {
    /// Visits that reached it.
    pub hits: u32,
    /// All visits; those called off are not visits.
    pub visits: u32,
    /// What is known about the chance, older seasons counting less.
    pub posterior: Beta,
}

impl Chance {
    /// Nothing known yet.
    pub const UNKNOWN: Chance = Chance {
        hits: 0,
        visits: 0,
        posterior: Beta::UNIFORM,
    };

    /// The chance that a visit reaches `rung` or higher.
    pub fn of_reaching<'a>(
        rung: Outcome,
        records: impl IntoIterator<Item = &'a Record>,
        ageing: &Ageing,
    ) -> Chance {
        let visits: Vec<(bool, f64)> = records
            .into_iter()
            .map(|record| &record.entry)
            .filter(|entry| entry.outcome.visited())
            .map(|entry| (entry.outcome >= rung, ageing.share(entry.when)))
            .collect();
        let weighted = |wanted: bool| -> f64 {
            let counted = visits.iter().filter(|(hit, _)| *hit == wanted);
            counted.map(|(_, share)| share).sum()
        };
        let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Chance {
            hits: count(visits.iter().filter(|(hit, _)| *hit).count()),
            visits: count(visits.len()),
            posterior: Beta::UNIFORM.after(weighted(true), weighted(false)),
        }
    }

    /// The expected chance.
    pub fn mean(&self) -> f64 {
        self.posterior.mean()
    }

    /// The interval that holds the chance nine times in ten.
    pub fn interval(&self) -> Interval {
        self.posterior.interval(LEVEL)
    }

    /// The same as plain numbers, for a plan.
    pub fn plain(&self) -> experience::Chance {
        experience::Chance {
            hits: self.hits,
            visits: self.visits,
            mean: self.mean(),
            interval: self.interval(),
            sightings: 0.0,
        }
    }

    /// Whether the visits narrow the chance down enough to plan with.
    pub fn tells(&self) -> bool {
        self.plain().tells()
    }

    /// The chance as a reason for or against an outing: "in range on 8 of 9 visits in this band,
    /// 61-96 %".
    pub fn reason(&self, rung: Outcome, where_or_when: &str) -> String {
        let reached = match rung {
            Outcome::CalledOff | Outcome::Absent => "out",
            Outcome::OutOfRange => "present",
            Outcome::InRange => "in range",
            Outcome::Picture => "a picture",
            Outcome::Select => "a select",
        };
        self.plain().reason(reached, where_or_when)
    }
}

impl fmt::Display for Chance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.plain().fmt(f)
    }
}

/// The chances of the rungs, lowest first, of a set of visits.
#[derive(Debug, Clone, PartialEq)]
pub struct Ladder {
    /// The chance that a visit reaches each rung.
    pub reached: Vec<(Outcome, Chance)>,
    /// The chance that a visit which reached the rung below goes on to this one.
    pub climbed: Vec<(Outcome, Chance)>,
}

impl Ladder {
    /// The ladder of the visits.
    pub fn of(records: &[&Record], ageing: &Ageing) -> Ladder {
        let rungs = &Outcome::ALL[2..];
        let chance = |rung, floor: Outcome| {
            let above = records
                .iter()
                .copied()
                .filter(|record| record.entry.outcome >= floor);
            (rung, Chance::of_reaching(rung, above, ageing))
        };
        Ladder {
            reached: rungs
                .iter()
                .map(|rung| chance(*rung, Outcome::Absent))
                .collect(),
            climbed: Outcome::ALL
                .windows(2)
                .skip(1)
                .map(|pair| chance(pair[1], pair[0]))
                .collect(),
        }
    }
}
