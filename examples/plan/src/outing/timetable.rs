//! The times of one outing, in order, from the road and back to it, and what the water says about
//! leaving.

use jiff::Timestamp;

use super::ground::{Closing, Ground};
use crate::time::{Stretch, shifted};

/// Minutes after the latest return at which somebody who waits should act; our default.
const OVERDUE_MINUTES: f64 = 30.0;

/// Below this altitude of the sun, degrees, it is taken as dark: the end of civil twilight.
const DARK_BELOW_DEG: f64 = -6.0;

/// The times of one outing.
#[derive(Clone, Debug, PartialEq)]
pub struct Timetable {
    /// Leave the road by then.
    pub set_out: Timestamp,
    /// Sit still by then.
    pub seated_by: Timestamp,
    /// When the tide closes and clears the way in, if it does: while one sits, or next after it.
    pub way: Option<Closing>,
    /// A way in that the water does not reach during this outing.
    pub never_closes: Option<NeverCloses>,
    /// Height of the seat's ground over the highest upper water of the outing, metres; `None` where
    /// the water does not touch it.
    pub freeboard_m: Option<f64>,
    /// Latest instant to stand up, where the seat must be left before the way is lost or the ground
    /// drowns.
    pub latest_departure: Option<Timestamp>,
    /// When to stand up: when the animals have left or the way has cleared, or at the latest
    /// departure.
    pub stand_up: Timestamp,
    /// Back at the road.
    pub back_by: Timestamp,
    /// When somebody who waits should act.
    pub overdue: Timestamp,
    /// The way in is crossed in the dark.
    pub in_by_dark: bool,
    /// The way out is crossed in the dark.
    pub out_by_dark: bool,
}

/// A way in that stays above the water, told with its figures so that a wrong level is seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NeverCloses {
    /// Level at which it would be lost, metres above the datum.
    pub lost_at_m: f64,
    /// The highest upper water of the outing.
    pub upper_m: f64,
}

/// What the water says about leaving the seat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Departure {
    /// Leave by then at the latest: the way out is lost afterwards, or the ground drowns.
    Latest(Timestamp),
    /// Stay until the way has cleared.
    NotBefore {
        /// Be across by then.
        cross_by: Timestamp,
        /// Do not cross back before.
        cross_from: Timestamp,
    },
    /// The upper water reaches neither the seat nor the way.
    NotSetByWater {
        /// Height of the seat's ground over the highest upper water, metres.
        freeboard_m: f64,
    },
    /// No water plays a part.
    Inland,
}

impl Timetable {
    /// The times around a stay, from sitting down to standing up. `until_water` is when the water
    /// ends the time in which one can be at the seat and on the way, if it does so before anything
    /// else.
    pub(crate) fn around(
        ground: &Ground<'_>,
        stay: &Stretch,
        until_water: Option<Timestamp>,
    ) -> Self {
        let set_out = shifted(stay.start, -ground.walks.in_minutes);
        let back_by = shifted(stay.end, ground.walks.out_minutes);
        let longest = ground.scenario.habits().longest_minutes;
        let reach = shifted(set_out, longest);
        let way = ground.closing(stay, reach);
        let upper_m = ground.highest_upper_m(&(set_out..back_by));
        let way_in = ground.scenario.way_in_of(ground.seat);
        let never_closes = match (way, way_in, upper_m) {
            // Where a table ends before, it may close all the same.
            (None, Some(way_in), Some(upper_m)) if !ground.is_unknown_before(reach) => {
                Some(NeverCloses {
                    lost_at_m: way_in.cut_off_m(),
                    upper_m,
                })
            }
            _ => None,
        };
        let dark = |at: Timestamp| ground.seat.observer.sun(at).altitude_deg < DARK_BELOW_DEG;
        Self {
            set_out,
            seated_by: stay.start,
            way,
            never_closes,
            freeboard_m: ground
                .seat
                .ground_m
                .zip(upper_m)
                .map(|(ground, upper)| ground - upper),
            latest_departure: until_water
                .map(|end| shifted(end, -ground.walks.clear_minutes))
                .filter(|latest| *latest < reach),
            stand_up: stay.end,
            back_by,
            overdue: shifted(back_by, OVERDUE_MINUTES),
            in_by_dark: dark(set_out) || dark(stay.start),
            out_by_dark: dark(stay.end) || dark(back_by),
        }
    }

    /// The whole outing, from setting out to being back.
    pub fn whole(&self) -> Stretch {
        self.set_out..self.back_by
    }

    /// What the water says about leaving.
    pub fn departure(&self) -> Departure {
        if let Some(latest) = self.latest_departure {
            return Departure::Latest(latest);
        }
        match (self.way, self.freeboard_m) {
            (Some(way), _) => Departure::NotBefore {
                cross_by: way.cross_by,
                cross_from: way.cross_from,
            },
            (None, Some(freeboard_m)) => Departure::NotSetByWater { freeboard_m },
            (None, None) => Departure::Inland,
        }
    }
}
