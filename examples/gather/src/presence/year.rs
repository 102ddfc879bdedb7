//! What the visits say of each half-month, and the `present` of a scenario that follows from it.

use wrackline_plan::scenario::{HALF_MONTHS, HalfMonths};

use super::cyclic::{Share, smooth};
use super::question::Question;
use super::visits::{Count, Effort};

/// What is known of an animal in a half-month.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// The whole interval of its share lies at or above the threshold.
    Present,
    /// The visits are too few, or leave it open.
    Unknown,
    /// The whole interval of its share lies below the threshold.
    Absent,
}

/// A half-month.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HalfMonth {
    /// Visits, and those with the animal.
    pub count: Count,
    /// The smoothed share of visits with the animal.
    pub share: Share,
    /// What follows.
    pub state: State,
    /// Whether a sighting that could not be counted may have been one of the animal here.
    pub seen_otherwise: bool,
}

/// The year of an animal at a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Year {
    /// From early January.
    pub half_months: [HalfMonth; HALF_MONTHS],
    /// The share of visits from which the animal counts as present; `None` where no half-month has
    /// enough visits.
    pub threshold: Option<f64>,
}

impl Year {
    pub(super) fn of(effort: &Effort, seen: &[bool; HALF_MONTHS], question: &Question) -> Self {
        let curve = smooth(&effort.tallies());
        let shares: [Share; HALF_MONTHS] = std::array::from_fn(|half| curve.share(half));
        let enough = |half: &usize| effort.half_months[*half].visits >= question.fewest_visits;
        let best = (0..HALF_MONTHS)
            .filter(enough)
            .map(|half| shares[half].mean);
        let best = best
            .max_by(f64::total_cmp)
            .filter(|_| effort.visits().with > 0);
        let threshold = best.map(|best| best * question.threshold);
        let half_months = std::array::from_fn(|half| {
            let share = shares[half];
            let state = match threshold {
                Some(threshold) if enough(&half) => {
                    if share.interval.low >= threshold {
                        State::Present
                    } else if share.interval.high < threshold {
                        State::Absent
                    } else {
                        State::Unknown
                    }
                }
                _ => State::Unknown,
            };
            HalfMonth {
                count: effort.half_months[half],
                share,
                state,
                seen_otherwise: seen[half],
            }
        });
        Self {
            half_months,
            threshold,
        }
    }

    /// Every half-month in which the animal is known to be present, in which that is not known, or
    /// in which anybody ever saw it: the reading for animals that are to be guarded, since one that
    /// is taken for absent is guarded by nothing.
    pub fn wide(&self) -> HalfMonths {
        let wide = self.wide_by_half_month();
        HalfMonths::of(|half| wide[half])
    }

    /// The same, from early January.
    pub fn wide_by_half_month(&self) -> [bool; HALF_MONTHS] {
        let seen = |half: &HalfMonth| half.count.with > 0 || half.seen_otherwise;
        std::array::from_fn(|half| {
            let half = &self.half_months[half];
            half.state != State::Absent || seen(half)
        })
    }

    /// The half-months in which the animal is known to be present. As `present` of an animal that
    /// others wait for, it leaves out whatever is not known.
    pub fn narrow(&self) -> HalfMonths {
        HalfMonths::of(|half| self.half_months[half].state == State::Present)
    }
}
