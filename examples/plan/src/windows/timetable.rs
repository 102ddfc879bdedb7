//! The times of one outing, in order, from the road and back to it.

use jiff::Timestamp;

use super::access::{Closing, Stay};
use super::tide::HighWater;
use crate::scenario::{Scenario, Seat};
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
    /// When the tide closes and clears the way in, if it does.
    pub way: Option<Closing>,
    /// Latest instant to stand up, where the seat must be left before the flood.
    pub latest_departure: Option<Timestamp>,
    /// When to stand up: when the animals have left or the way has cleared, or at the latest departure.
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

impl Timetable {
    /// For an outing on a tide: seated before the animals are due and before the way closes; up again when the water has
    /// let them go and the way has cleared.
    pub(super) fn for_tide(
        scenario: &Scenario,
        seat: &Seat,
        stay: &Stay,
        high_water: &HighWater,
        window: &Stretch,
    ) -> Self {
        let settled = shifted(high_water.roosting.start, -scenario.habits().settle_minutes);
        let seated_by = stay.way.map_or(settled, |way| settled.min(way.cross_by));
        let animals_gone = window.end.max(high_water.roosting.end);
        let stand_up = match (stay.latest_departure, stay.way) {
            (Some(latest), _) => latest,
            (None, Some(way)) => animals_gone.max(way.cross_from),
            (None, None) => animals_gone,
        };
        Self::around(scenario, seat, seated_by, stand_up, stay)
    }

    /// For an outing without a tide.
    pub(super) fn by_day(scenario: &Scenario, seat: &Seat, window: &Stretch) -> Self {
        let seated_by = shifted(window.start, -scenario.habits().settle_minutes);
        let free = Stay {
            allowed: [window.clone()].into_iter().collect(),
            way: None,
            latest_departure: None,
            freeboard_m: None,
        };
        Self::around(scenario, seat, seated_by, window.end, &free)
    }

    fn around(
        scenario: &Scenario,
        seat: &Seat,
        seated_by: Timestamp,
        stand_up: Timestamp,
        stay: &Stay,
    ) -> Self {
        let back_by = shifted(stand_up, seat.withdrawal_minutes(scenario.habits()));
        let dark = |at: Timestamp| seat.observer.sun(at).altitude_deg < DARK_BELOW_DEG;
        Self {
            set_out: shifted(seated_by, -seat.in_minutes),
            seated_by,
            way: stay.way,
            latest_departure: stay.latest_departure,
            stand_up,
            back_by,
            overdue: shifted(back_by, OVERDUE_MINUTES),
            in_by_dark: dark(seated_by),
            out_by_dark: dark(stand_up),
        }
    }
}
