//! The best choice among visits that could be made, proven.
//!
//! How much a set of visits is worth is concave in how many of each kind it holds: each further
//! visit adds less. So it is the lower edge of straight lines, and the best choice is that of a
//! linear program in whole numbers, solved by branch and bound over its relaxations (the library
//! `microlp`). Lines are added where the last answer lay until what the program promises is what
//! the answer is worth: then no other choice is worth more.

use std::collections::BTreeMap;

use super::program::Program;
use crate::experience::Successes;

/// A visit that could be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Choice {
    /// Only one visit is made on a day.
    pub(super) day: i32,
    /// Where and in which month it counts: a limit that it uses up.
    pub(super) limit: Option<usize>,
    /// What it can bring: a picture, and whose chances it has, in order of the pictures.
    pub(super) brings: Vec<(usize, usize)>,
}

/// What is to be allocated.
pub(super) struct Task<'t> {
    /// The better one first, among those that bring the same.
    pub(super) choices: &'t [Choice],
    /// The chances that visits have, by their position.
    pub(super) chances: &'t [Successes],
    /// What each picture is worth.
    pub(super) worth: &'t [f64],
    /// The most visits that use up each limit.
    pub(super) limits: &'t [u32],
    /// The most visits in all.
    pub(super) most: u32,
}

/// The visits to make.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Allocation {
    /// Their positions among the choices, in order.
    pub(super) chosen: Vec<usize>,
    /// What they are worth.
    pub(super) worth: f64,
    /// No choice is worth more than this.
    pub(super) bound: f64,
}

/// What no other choice can be worth more by, pictures: far below what a chance is known to.
/// Choices that differ by less are many, and telling them apart takes hours.
pub(super) const PROVEN: f64 = 1e-3;

/// What a visit takes, pictures: one that adds less is not worth the disturbance. Our default.
pub const TAKES: f64 = 0.01;

/// Beyond this sum of logarithms all visits fail once in a hundred thousand times, and a line would
/// lie flatter than the linear program can tell from level.
const LARGEST_SUM: f64 = 11.5;

/// Rounds of adding lines: each takes in the last answer, so that a few are enough.
const MOST_ROUNDS: usize = 40;

impl Task<'_> {
    /// What a choice of visits is worth: each picture's chance of at least one select, times its
    /// worth, less what the visits take.
    pub(super) fn worth_of(&self, chosen: &[usize]) -> f64 {
        let counts = self.counts(chosen);
        let each = self.worth.iter().enumerate();
        let brought: f64 = each
            .map(|(picture, worth)| worth * (1.0 - (-self.logs(picture, &counts)).exp()))
            .sum();
        brought - TAKES * chosen.len() as f64
    }

    /// How many visits bring each picture with whose chances.
    pub(super) fn counts(&self, chosen: &[usize]) -> BTreeMap<(usize, usize), u32> {
        let mut counts = BTreeMap::new();
        for pair in chosen.iter().flat_map(|&at| &self.choices[at].brings) {
            *counts.entry(*pair).or_default() += 1;
        }
        counts
    }

    /// Minus the logarithm of the chance that all visits for a picture miss.
    fn logs(&self, picture: usize, counts: &BTreeMap<(usize, usize), u32>) -> f64 {
        let range = (picture, 0)..(picture + 1, 0);
        let each = counts.range(range);
        each.map(|(&(_, whose), &count)| -self.chances[whose].misses_in_a_row(count).ln())
            .sum()
    }

    /// The choice that is worth most.
    pub(super) fn best(&self) -> Allocation {
        let mut best = Allocation {
            chosen: Vec::new(),
            worth: 0.0,
            bound: self.worth.iter().sum(),
        };
        if self.most == 0 || self.choices.is_empty() {
            return Allocation::default();
        }
        let mut lines = Lines::default();
        for _ in 0..MOST_ROUNDS {
            let Some((chosen, promised)) = Program::of(self, &lines).solve() else {
                break;
            };
            let worth = self.worth_of(&chosen);
            best.bound = f64::min(best.bound, promised);
            if worth > best.worth {
                (best.chosen, best.worth) = (chosen.clone(), worth);
            }
            let new = lines.take_in(self, &chosen);
            if best.bound - best.worth <= PROVEN || !new {
                break;
            }
        }
        best
    }
}

/// Where straight lines touch the curves: at a count of visits with the same chances, and at a sum
/// of logarithms.
#[derive(Default)]
pub(super) struct Lines {
    pub(super) counts: BTreeMap<(usize, usize), Vec<u32>>,
    pub(super) sums: BTreeMap<usize, Vec<f64>>,
}

impl Lines {
    /// Lines at an answer; whether any is new.
    fn take_in(&mut self, task: &Task<'_>, chosen: &[usize]) -> bool {
        let counts = task.counts(chosen);
        let mut new = false;
        for (&pair, &count) in &counts {
            // A whole number lies on two of them.
            for count in [count.saturating_sub(1), count] {
                let known = self.counts.entry(pair).or_default();
                if !known.contains(&count) {
                    known.push(count);
                    new = true;
                }
            }
        }
        for picture in 0..task.worth.len() {
            let sum = task.logs(picture, &counts).min(LARGEST_SUM);
            let known = self.sums.entry(picture).or_default();
            if known.iter().all(|known| (known - sum).abs() > 1e-9) {
                known.push(sum);
                new = true;
            }
        }
        new
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::experience::Interval;
    use proptest::prelude::*;

    fn chances(a: f64, b: f64) -> Successes {
        let interval = Interval {
            low: 0.0,
            high: 1.0,
        };
        Successes {
            hits: 0,
            visits: 0,
            a,
            b,
            interval,
        }
    }

    /// Every subset that keeps the rules, tried.
    fn by_brute_force(task: &Task<'_>) -> f64 {
        let mut best = 0.0;
        for subset in 0_u32..1 << task.choices.len() {
            let chosen: Vec<usize> = (0..task.choices.len())
                .filter(|at| subset & (1 << at) != 0)
                .collect();
            let mut days: Vec<i32> = chosen.iter().map(|&at| task.choices[at].day).collect();
            days.sort_unstable();
            let one_a_day = days.windows(2).all(|pair| pair[0] != pair[1]);
            let within = |limit: usize| {
                let uses = |at: &&usize| task.choices[**at].limit == Some(limit);
                chosen.iter().filter(uses).count() <= task.limits[limit] as usize
            };
            let kept = chosen.len() <= task.most as usize && (0..task.limits.len()).all(within);
            if one_a_day && kept {
                best = f64::max(best, task.worth_of(&chosen));
            }
        }
        best
    }

    prop_compose! {
        fn choice()(
            day in 0..9_i32,
            limit in prop::option::of(0..3_usize),
            brings in prop::collection::btree_map(0..3_usize, 0..3_usize, 1..=3),
        ) -> Choice {
            Choice { day, limit, brings: brings.into_iter().collect() }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

        #[test]
        fn no_subset_is_worth_more(
            choices in prop::collection::vec(choice(), 1..11),
            shapes in prop::collection::vec((0.3..6.0f64, 0.5..9.0f64), 3),
            worth in prop::collection::vec(0.1..1.0f64, 3),
            limits in prop::collection::vec(0..4_u32, 3),
            most in 0..8_u32,
        ) {
            let chances: Vec<_> = shapes.iter().map(|(a, b)| chances(*a, *b)).collect();
            let task = Task {
                choices: &choices,
                chances: &chances,
                worth: &worth,
                limits: &limits,
                most,
            };
            let found = task.best();
            let best = by_brute_force(&task);
            prop_assert!((found.worth - task.worth_of(&found.chosen)).abs() < 1e-12);
            // What counts as proven; the linear program's own tolerance of 1e-7 a line is lost in
            // it.
            prop_assert!((found.worth - best).abs() <= PROVEN, "{} of {best}", found.worth);
            prop_assert!(found.bound >= best - PROVEN);
        }
    }

    #[test]
    fn sixty_visits_over_a_winter_are_proven() {
        // Six places, eight months, six pictures: what each place can bring differs, and a visit
        // seldom succeeds.
        let shapes = [
            (1.0, 9.0),
            (2.0, 15.0),
            (1.0, 30.0),
            (3.0, 20.0),
            (1.0, 12.0),
            (2.0, 40.0),
        ];
        let chances: Vec<_> = shapes.iter().map(|(a, b)| chances(*a, *b)).collect();
        let mut choices = Vec::new();
        for day in 0..240_i32 {
            for place in 0..6_usize {
                if (day as usize * 7 + place * 5).is_multiple_of(4) {
                    let brings =
                        |picture: &usize| (day as usize / 3 + place + picture).is_multiple_of(4);
                    let brings = (0..6)
                        .filter(brings)
                        .map(|picture| (picture, place))
                        .collect();
                    let limit = Some(place * 8 + day as usize / 30);
                    choices.push(Choice { day, limit, brings });
                }
            }
        }
        let task = Task {
            choices: &choices,
            chances: &chances,
            worth: &[1.0, 1.0, 0.5, 1.0, 0.25, 1.0],
            limits: &[4; 48],
            most: 60,
        };
        let found = task.best();
        // The last of the sixty would add less than they take.
        assert!((50..=60).contains(&found.chosen.len()), "{found:?}");
        assert!(found.bound - found.worth <= PROVEN, "{found:?}");
    }
}
