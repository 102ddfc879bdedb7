//! How long the walks of an outing take.

use crate::scenario::{Scenario, Seat};

/// Minutes that the walks to a seat and back take.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Walks {
    /// From the road to the seat. A way that takes longer to cross than the whole walk is said to
    /// take is believed.
    pub(crate) in_minutes: f64,
    /// From standing up to the road.
    pub(crate) out_minutes: f64,
    /// From standing up for which the way must be open: a slow withdrawal and then the crossing,
    /// loaded and in the dark, as though none of it were part of the walk to the road.
    pub(crate) clear_minutes: f64,
}

impl Walks {
    pub(super) fn of(scenario: &Scenario, seat: &Seat) -> Self {
        let withdrawal = seat.withdrawal_minutes(scenario.habits());
        let crossing = scenario
            .way_in_of(seat)
            .map_or(0.0, |way| way.loaded_dark_minutes);
        Self {
            in_minutes: seat.in_minutes.max(crossing),
            out_minutes: withdrawal.max(crossing),
            clear_minutes: withdrawal + crossing,
        }
    }
}
