//! The tides of one place over a span: the same from every seat, in every light, of every animal
//! there.

use super::almanac::Almanac;
use super::tide::{self, HighWater, PushedWater};
use crate::scenario::{Place, Scenario};

/// When the water pushes the animals of a place, worked out once for all that look at it from
/// there.
pub(crate) struct PlaceTides<'c> {
    pub(super) pushed: PushedWater<'c>,
    /// Those whose top lies in the span, in order of time.
    pub(super) high_waters: Vec<HighWater>,
}

impl<'c> PlaceTides<'c> {
    /// Over the span of an almanac; none where no tide plays a part.
    pub(crate) fn of(scenario: &Scenario, place: &Place, almanac: &'c Almanac) -> Option<Self> {
        let (push_m, curve) = (place.push_m?, almanac.water()?);
        let pushed = PushedWater::of(scenario, push_m, curve);
        let high_waters = tide::high_waters(scenario, place, &pushed, almanac.span(), curve);
        Some(Self {
            pushed,
            high_waters,
        })
    }
}
