//! What a plan may ask of the log: chances as reasons, distances and rests as constraints.

use jiff::civil::Date;

use super::beta::Interval;
use super::chance::{Chance, Fading};
use super::explore::{Pick, pick};
use super::lessons::chance;
use crate::fieldlog::welfare::{LargerStandOff, Rest, farthest_alarm, larger_stand_off, rests};
use crate::fieldlog::{Outcome, Record};
use crate::scenario::{Place, Scenario, Seat, Subject};

/// The log as a plan sees it.
#[derive(Debug, Clone)]
pub struct Learnt<'s> {
    scenario: &'s Scenario,
    records: Vec<Record>,
    rests: Vec<Rest>,
    fading: Fading,
}

/// What the log says for or against an outing.
#[derive(Debug, Clone, PartialEq)]
pub struct Reason {
    /// The chance to come in range.
    pub chance: Chance,
    /// Its interval, nine times in ten.
    pub interval: Interval,
    /// "in range on 8 of 9 visits in this band, 61-96 %".
    pub text: String,
}

impl<'s> Learnt<'s> {
    /// Takes the log's records in.
    pub fn new(scenario: &'s Scenario, records: Vec<Record>, fading: Fading) -> Learnt<'s> {
        let rests = rests(&records, scenario.zone());
        Learnt {
            scenario,
            records,
            rests,
            fading,
        }
    }

    /// The chance to come in range of a subject at a place in the right water.
    pub fn reason(&self, place: &Place, subject: &Subject) -> Reason {
        let chance = chance(self.scenario, &self.records, place, subject, self.fading);
        let what = if place.push_m.is_some() {
            "in this band"
        } else {
            "here"
        };
        Reason {
            chance,
            interval: chance.interval(),
            text: chance.reason(Outcome::InRange, what),
        }
    }

    /// The larger stand-off distance that the log asks for at a seat, where the scenario's is not enough.
    pub fn larger_stand_off(&self, seat: &Seat, subject: &Subject) -> Option<LargerStandOff> {
        let place = self.scenario.place_of(seat);
        let alarm = farthest_alarm(&self.records, &place.id, &subject.id)?;
        larger_stand_off(alarm, subject.stand_off_m(seat))
    }

    /// The rest that a day falls into, if the place needs it.
    pub fn rest(&self, place: &Place, date: Date) -> Option<&Rest> {
        self.rests
            .iter()
            .rev()
            .find(|rest| rest.place == place.id && rest.covers(date))
    }

    /// Picks outings from a ranking, keeping a share for places and subjects of which little is known. The indices are
    /// those of `ranked`, in its order.
    pub fn pick(
        &self,
        ranked: &[(&Place, &Subject)],
        visits: usize,
        share: f64,
    ) -> Vec<(usize, Pick)> {
        let widths: Vec<f64> = ranked
            .iter()
            .map(|(place, subject)| self.reason(place, subject).interval.width())
            .collect();
        pick(&widths, visits, share)
    }
}
