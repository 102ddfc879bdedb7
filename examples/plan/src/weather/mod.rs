//! The week's weather: what a forecast that the user brings changes about a plan.
//!
//! It may make a plan more careful and nothing else. The rule, in words:
//!
//! - **Where it speaks.** Two rows of the forecast at most 12 hours apart speak for all the time
//!   between them. A row without such a neighbour speaks for 6 hours on that side. Everywhere else
//!   there is no forecast, and the scenario's own allowances hold.
//! - **Upper water.** At a row it is the highest of three: the scenario's own; what the pressure of
//!   the row makes of it (the inverse barometer, in place of the scenario's pressure) with the
//!   scenario's upper allowance on top; and, where a log has taught how the water answers to
//!   pressure and wind, that answer with its error on top. Between two rows it is the higher of
//!   both, all the time: a constant over the prediction, so that the water still crosses a level
//!   where the prediction crosses another one, exactly. It is never below the scenario's own.
//! - **Lower water.** The same turned around: the lowest of the three, less allowance and error,
//!   the lower of two rows, never above the scenario's own.
//! - **When the animals come and leave** is judged by the scenario's expected water and by the
//!   forecast's: whoever would sit down among them comes before both and leaves after both. With a
//!   forecast or without, animals that the water lets go for less than half an hour have not gone.
//! - **Frost.** A civil day is taken for frozen when the air is forecast below 1 °C at any of its
//!   rows. Closures that hold from a number of frozen days on hold by that count, too; none that
//!   the user's own count brings about is lifted.
//! - **Cloud** marks a window and removes none.
//!
//! All of it is cautious towards one side, so a window that exists with a forecast exists without
//! it, as far as water and frost are concerned, and is at least as long.

mod cloud;
mod forecast;
mod frost;
mod read;
mod residual;
mod told;
mod water;

use jiff::Timestamp;

pub use cloud::{Cloud, CloudAt};
pub use forecast::{Forecast, Row, WindVector};
pub use read::{HEADS, read};
pub use residual::{LinearFit, Residual, TERMS, Taught};
pub use told::AtWindow;
pub(crate) use water::Shift;
use water::Shifts;

use crate::scenario::{Closure, FrozenDays, Scenario, Water};
use crate::time::Stretch;
use frost::Frost;
use jiff::civil::Date;

/// Rows farther apart than this do not speak for the time between them, hours; our default:
/// forecasts for a week come every 3 to 12 hours, and a gale comes and goes within a day.
pub const LONGEST_GAP_HOURS: i64 = 12;
/// How long a row speaks on a side on which it has no neighbour: half of that.
pub const ALONE_HOURS: i64 = LONGEST_GAP_HOURS / 2;

/// A forecast against one scenario.
#[derive(Clone, Debug, PartialEq)]
pub struct Weather {
    forecast: Forecast,
    taught: Option<Taught>,
    now: Timestamp,
    shifts: Shifts,
    frost: Frost,
}

impl Weather {
    /// What a forecast means for a scenario, with what a log has taught about its water.
    pub(crate) fn new(
        scenario: &Scenario,
        forecast: Forecast,
        taught: Option<Taught>,
        now: Timestamp,
    ) -> Self {
        // Inland there is no water to shift.
        let shifts = match scenario.tide() {
            Some(_) => Shifts::of(scenario.water(), &forecast, taught.as_ref()),
            None => Shifts::default(),
        };
        let frost = Frost::of(&forecast, scenario.zone(), scenario.habits().frozen_days);
        Self {
            forecast,
            taught,
            now,
            shifts,
            frost,
        }
    }

    /// The forecast as it was read.
    pub fn forecast(&self) -> &Forecast {
        &self.forecast
    }

    /// What a log has taught about the water's answer to the weather.
    pub fn taught(&self) -> Option<&Taught> {
        self.taught.as_ref()
    }

    /// The same against a scenario that has changed.
    pub(crate) fn again(self, scenario: &Scenario) -> Self {
        Self::new(scenario, self.forecast, self.taught, self.now)
    }

    pub(crate) fn shifts(&self) -> &Shifts {
        &self.shifts
    }

    /// The counts of frozen days that may bear on a day, the forecast's own.
    pub(crate) fn frozen_days_near(&self, day: Date) -> impl Iterator<Item = FrozenDays> + '_ {
        self.frost.near(day)
    }

    /// Whether a forecast of the water speaks for all of a stretch, for a part of it or for none.
    pub fn speaks_for(&self, stretch: &Stretch) -> Reach {
        self.shifts.reach(stretch)
    }
}

/// How much of a stretch a forecast speaks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Reach {
    /// All of it.
    Whole,
    /// A part.
    Part,
    /// Nothing.
    Nothing,
}

impl Scenario {
    /// How far the water may stand from its prediction at an instant: the scenario's own allowances,
    /// widened where a forecast asks for it.
    pub fn water_at(&self, at: Timestamp) -> Water {
        let own = *self.water();
        let Some(weather) = self.weather() else {
            return own;
        };
        let shift = weather.shifts.at(at);
        Water {
            upper_allowance_m: own.upper_allowance_m + shift.upper_m,
            lower_allowance_m: own.lower_allowance_m + shift.lower_m,
            ..own
        }
    }

    /// Whether a closure bears on a day, by its dates, by the user's own count of frozen days, or
    /// by the count that a forecast adds.
    pub fn closure_applies_on(&self, closure: &Closure, day: Date) -> bool {
        closure.applies_on(day, self.habits().frozen_days)
            || self.weather().is_some_and(|weather| {
                let mut counts = weather.frozen_days_near(day);
                counts.any(|count| closure.applies_on(day, Some(count)))
            })
    }
}
