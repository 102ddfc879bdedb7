//! The visits of a season as the allocation sees them.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::allocate::Choice;
use super::{BestPlace, LEVELS, MOST_NEEDED, Request, Visit};
use crate::experience::{Experience, Successes};
use crate::scenario::{Place, Scenario};

/// The visits as the allocation sees them.
pub(super) struct Pool {
    pub(super) choices: Vec<Choice>,
    pub(super) chances: Vec<Successes>,
    /// The place and subject that each of the chances is of.
    of: Vec<(usize, String)>,
    pub(super) limits: Vec<u32>,
    /// The place of each limit.
    limited: Vec<usize>,
}

impl Pool {
    pub(super) fn of(scenario: &Scenario, request: Request<'_>, visits: &[Visit<'_>]) -> Self {
        let mut pool = Self {
            choices: Vec::with_capacity(visits.len()),
            chances: Vec::new(),
            of: Vec::new(),
            limits: Vec::new(),
            limited: Vec::new(),
        };
        let mut known: BTreeMap<(usize, &str), usize> = BTreeMap::new();
        let mut months: BTreeMap<(usize, i16, i8), usize> = BTreeMap::new();
        let nothing = Experience::default();
        let told = request.experience.unwrap_or(&nothing);
        for visit in visits {
            let place = scenario.place_of(visit.seat);
            let at = scenario.places().iter().position(|one| one.id == place.id);
            let at = at.unwrap_or_default();
            let mut brings = Vec::new();
            for (&picture, &subject) in &visit.brings {
                let whose = *known.entry((at, subject)).or_insert_with(|| {
                    pool.chances.push(told.selects(&place.id, subject));
                    pool.of.push((at, subject.to_owned()));
                    pool.chances.len() - 1
                });
                brings.push((picture, whose));
            }
            let month = (at, visit.date.year(), visit.date.month());
            let limit = place.most_visits_a_month.map(|most| {
                *months.entry(month).or_insert_with(|| {
                    let made = told.visits.iter().filter(|made| {
                        made.place == place.id
                            && (made.date.year(), made.date.month()) == (month.1, month.2)
                    });
                    // Two subjects on one day are one visit to the place.
                    let days: BTreeSet<Date> = made.map(|made| made.date).collect();
                    pool.limits.push(most.saturating_sub(days.len() as u32));
                    pool.limited.push(at);
                    pool.limits.len() - 1
                })
            });
            let epoch = Date::constant(1970, 1, 1);
            let day = visit.date.since(epoch).map_or(0, |span| span.get_days());
            pool.choices.push(Choice { day, limit, brings });
        }
        pool
    }

    /// Where a picture's chance a visit is best, among the places that have a visit for it.
    pub(super) fn best_place<'s>(
        &self,
        scenario: &'s Scenario,
        picture: usize,
    ) -> Option<BestPlace<'s>> {
        let brought = self.choices.iter().flat_map(|choice| &choice.brings);
        let of_picture = brought
            .filter(|(one, _)| *one == picture)
            .map(|pair| pair.1);
        let mean = |whose: usize| self.chances[whose].mean();
        let best = of_picture.max_by(|&a, &b| mean(a).total_cmp(&mean(b)).then(b.cmp(&a)))?;
        let selects = self.chances[best];
        Some(BestPlace {
            place: &scenario.places()[self.of[best].0],
            selects,
            visits_for: LEVELS.map(|chance| selects.visits_for(chance, MOST_NEEDED)),
        })
    }

    /// The places one of whose months the plan fills, while there would be more visits in it.
    pub(super) fn at_limit<'s>(&self, scenario: &'s Scenario, chosen: &[usize]) -> Vec<&'s Place> {
        let full = |limit: usize| {
            let of_limit = |choice: &Choice| choice.limit == Some(limit);
            let used = chosen
                .iter()
                .filter(|&&at| of_limit(&self.choices[at]))
                .count();
            let there = self
                .choices
                .iter()
                .filter(|choice| of_limit(choice))
                .count();
            used >= self.limits[limit] as usize && there > used
        };
        let places: BTreeSet<usize> = (0..self.limits.len())
            .filter(|&limit| full(limit))
            .map(|limit| self.limited[limit])
            .collect();
        places
            .into_iter()
            .map(|at| &scenario.places()[at])
            .collect()
    }
}
