//! What the water means for a window: which part is left at the lower water, what other water would
//! do, and the chances of either.

use super::Judge;
use crate::levels::Standing;
use crate::outing::search::Outing;
use crate::outing::{Condition, Timetable};
use crate::scenario::Access;
use crate::time::{Stretch, minutes};
use crate::windows::tide::{self, HighWater, OFFSETS_CM, PushedWater};
use crate::windows::{Otherwise, Phase};

/// What the water means for a window.
pub(super) struct Water {
    pub(super) at_lower_water: Option<Stretch>,
    pub(super) otherwise: Vec<Otherwise>,
    pub(super) chance_of_water: f64,
    pub(super) chance_above_upper: Option<f64>,
}

/// The wanted part of the time that the animals are there.
pub(super) fn on_phase(roosting: &Stretch, high_water: &HighWater, phase: Phase) -> Stretch {
    match phase {
        Phase::Both => roosting.clone(),
        Phase::Flood => roosting.start..roosting.end.min(high_water.at),
        Phase::Ebb => roosting.start.max(high_water.at)..roosting.end,
    }
}

impl Judge<'_> {
    /// What the water means for an outing on a tide.
    pub(super) fn water_of(
        &self,
        high_water: &HighWater,
        pushed: &PushedWater<'_>,
        outing: &Outing,
    ) -> Water {
        let place = self.scenario.place_of(self.wish.seat);
        let times = &outing.times;
        let lit_part = |roosting: &Stretch| {
            let wanted = on_phase(roosting, high_water, self.wish.phase);
            let end = times.latest_departure.unwrap_or(wanted.end).min(wanted.end);
            let seated = wanted.start.max(times.seated_by);
            self.light.all.within(&(seated..end.max(seated)))
        };
        let at_lower_water = high_water
            .roosting_at_lower_water
            .as_ref()
            .and_then(|roosting| {
                let left = lit_part(roosting).within(&outing.pictures);
                left.longest().cloned()
            });
        let otherwise = OFFSETS_CM
            .iter()
            .map(|&offset_cm| {
                let roosting = pushed.at_offset(offset_cm, high_water.at);
                let ended_by = self.ended_by(high_water, offset_cm, roosting.is_some());
                let left = roosting.filter(|_| ended_by.is_none());
                let left = left.as_ref().map(lit_part);
                let minutes = left
                    .and_then(|left| left.longest().map(minutes))
                    .unwrap_or(0.0);
                Otherwise {
                    offset_cm,
                    minutes,
                    ended_by: ended_by.or((minutes <= 0.0).then_some(Condition::Light)),
                }
            })
            .collect();
        Water {
            at_lower_water,
            otherwise,
            chance_of_water: tide::chance_in_band(high_water, place, self.scenario),
            chance_above_upper: self.chance_above_upper(times),
        }
    }

    /// The chance that the water exceeds the level by which an outing was judged, where the water
    /// can reach it.
    pub(super) fn chance_above_upper(&self, times: &Timetable) -> Option<f64> {
        let matters = times.freeboard_m.is_some() || times.way.is_some();
        matters.then(|| tide::chance_above_upper(self.scenario, &times.whole()))
    }

    /// What makes a tide fail when the water differs by an offset from what is expected.
    fn ended_by(&self, high_water: &HighWater, offset_cm: i32, pushed: bool) -> Option<Condition> {
        let seat = self.wish.seat;
        let level = high_water.expected_m + f64::from(offset_cm) / 100.0;
        if !pushed {
            return Some(Condition::PushLevel);
        }
        if self.scenario.place_of(seat).levels().standing(level) == Standing::Over {
            return Some(Condition::OvertopLevel);
        }
        let freeboard = seat.ground_m.map(|ground| ground - level);
        let drowned = freeboard.is_some_and(|freeboard| freeboard < seat.freeboard_m);
        (drowned && seat.access != Some(Access::LeaveBeforeTheFlood))
            .then_some(Condition::Freeboard)
    }
}
