//! One seat in one light over a span: the same for every animal that is looked for from there.

use super::almanac::{Almanac, LIGHT_MARGIN_HOURS, OUTING_MARGIN_HOURS};
use super::light::LightTimes;
use crate::outing::Refusal;
use crate::outing::ground::Ground;
use crate::scenario::{Light, Scenario, Seat};
use crate::time::widened;

/// When a seat has the wanted light, and when the water lets one be there.
pub(crate) struct SeatTimes<'s> {
    pub(super) light: LightTimes,
    /// Why the water cannot be judged, where it cannot.
    pub(super) ground: Result<Ground<'s>, Refusal>,
}

impl<'s> SeatTimes<'s> {
    /// Over the span of an almanac.
    pub(crate) fn of(
        scenario: &'s Scenario,
        seat: &'s Seat,
        light: &Light,
        almanac: &'s Almanac,
    ) -> Self {
        let wide = widened(almanac.span(), OUTING_MARGIN_HOURS);
        Self {
            light: light_times(seat, light, almanac),
            ground: Ground::new(scenario, seat, almanac.water(), &wide),
        }
    }

    /// The same of another seat on the same ground.
    pub(crate) fn on_same_ground<'t>(
        &'t self,
        seat: &'t Seat,
        light: &Light,
        almanac: &Almanac,
    ) -> SeatTimes<'t> {
        let ground = self.ground.as_ref();
        SeatTimes {
            light: light_times(seat, light, almanac),
            ground: ground
                .map(|ground| ground.under(seat))
                .map_err(Clone::clone),
        }
    }
}

/// When a seat has a light, over the span of an almanac.
pub(super) fn light_times(seat: &Seat, light: &Light, almanac: &Almanac) -> LightTimes {
    let lit = widened(almanac.span(), LIGHT_MARGIN_HOURS);
    LightTimes::of(seat, light, almanac.sky(), &lit)
}
