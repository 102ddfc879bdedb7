//! Whether a seat can be reached and left again on a tide, judged on the upper water.

use crate::port::TideCurve;
use jiff::Timestamp;

use super::refusal::{Condition, Refusal};
use super::tide::HighWater;
use crate::scenario::{Access, Scenario, Seat, WayIn};
use crate::time::{Stretch, Stretches, minutes, shifted};

/// Longer than any single tide is over a level: the way then stays closed from one high water to the next.
const ONE_TIDE_MINUTES: f64 = 14.0 * 60.0;

/// When the photographer may be at the seat on one tide, and the levels behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct Stay {
    /// Times at which it is permissible to be in the seat, around the high water.
    pub allowed: Stretches,
    /// When the way in closes and clears; `None` when there is none or this tide never closes it.
    pub way: Option<Closing>,
    /// Latest instant to stand up and withdraw before the flood; only for that mode.
    pub latest_departure: Option<Timestamp>,
    /// Height of the seat's ground over the upper water at the top of the tide, metres, where the ground is known.
    pub freeboard_m: Option<f64>,
}

impl Stay {
    /// The part of another stretch around the same high water in which it is permissible to be in the seat.
    pub(super) fn allowed_over(&self, stretch: &Stretch) -> Stretches {
        let end = self.latest_departure.unwrap_or(stretch.end);
        Stretches::new([stretch.start..end.min(stretch.end)])
    }
}

/// When the tide closes a way in, at the upper water.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Closing {
    /// The upper water reaches the lowest point, or the lowest creek.
    pub cut: Timestamp,
    /// It falls below again.
    pub clear: Timestamp,
    /// Be across by then: the earlier of the margin in time and the margin in height.
    pub cross_by: Timestamp,
    /// Do not cross back before then: the later of the two margins.
    pub cross_from: Timestamp,
}

/// When the way to one seat is closed, over the whole of a prediction.
pub(super) struct WayInTide<'s> {
    way: &'s WayIn,
    /// At the upper water.
    closed: Stretches,
    /// At the upper water and the margin in height.
    with_height: Stretches,
}

impl<'s> WayInTide<'s> {
    /// `None` for a seat whose way in the tide cannot close.
    pub(super) fn of(scenario: &'s Scenario, seat: &Seat, predictor: &TideCurve) -> Option<Self> {
        let way = scenario.way_in_of(seat)?;
        let lost_at = way.cut_off_m() - scenario.water().upper_m();
        Some(Self {
            way,
            closed: Stretches::new(predictor.above(lost_at)),
            with_height: Stretches::new(predictor.above(lost_at - way.margin_m)),
        })
    }
}

impl WayInTide<'_> {
    /// When the tide around a high water closes the way; `None` when it stays clear of it by the margin in height.
    fn closing(&self, high_water_at: Timestamp) -> Result<Option<Closing>, Refusal> {
        let Some(with_height) = self.with_height.around(high_water_at) else {
            return Ok(None);
        };
        if minutes(with_height) > ONE_TIDE_MINUTES {
            return Err(Refusal::new(
                Condition::WayIn,
                minutes(with_height) - ONE_TIDE_MINUTES,
                format!(
                    "{} does not clear by its margin between this tide and the next",
                    self.way.name
                ),
            ));
        }
        // Water that comes into the margin without reaching the way itself counts as closing it all the same.
        let closed = self.closed.around(high_water_at).unwrap_or(with_height);
        // The margin in height and the margin in time guard against different things; the stricter of the two holds.
        let margin = self.way.margin_minutes;
        Ok(Some(Closing {
            cut: closed.start,
            clear: closed.end,
            cross_by: with_height.start.min(shifted(closed.start, -margin)),
            cross_from: with_height.end.max(shifted(closed.end, margin)),
        }))
    }
}

/// Judges the mode of access that a seat asks for, on one tide.
pub(super) fn stay(
    scenario: &Scenario,
    seat: &Seat,
    way_in: Option<&WayInTide<'_>>,
    high_water: &HighWater,
) -> Result<Stay, Refusal> {
    let around = &high_water.roosting;
    let upper_m = high_water.height_m + scenario.water().upper_m();
    let freeboard_m = seat.ground_m.map(|ground| ground - upper_m);
    let closing = match way_in {
        Some(tide) => tide.closing(high_water.at)?,
        None => None,
    };
    let latest_departure = way_in
        .zip(closing)
        .filter(|_| seat.access == Access::LeaveBeforeTheFlood)
        .map(|(tide, closing)| {
            let withdrawal = seat.withdrawal_minutes(scenario.habits());
            shifted(
                closing.cross_by,
                -(tide.way.loaded_dark_minutes + withdrawal),
            )
        });
    // Who leaves before the flood is not there when the water tops out; everybody else is.
    if let Some(freeboard) = freeboard_m
        && freeboard < seat.freeboard_m
        && latest_departure.is_none()
    {
        return Err(Refusal::new(
            Condition::Freeboard,
            seat.freeboard_m - freeboard,
            format!(
                "freeboard {freeboard:.2} of {:.2} m at the upper water",
                seat.freeboard_m
            ),
        ));
    }
    // Coming back on the ebb would mean walking up to animals that are there: not allowed.
    let until = latest_departure.map_or(around.end, |latest| latest.min(around.end));
    Ok(Stay {
        allowed: Stretches::new([around.start..until]),
        way: closing,
        latest_departure,
        freeboard_m,
    })
}

/// Why no tide whatever lets this seat be used when its animals are there; `None` when some tide may.
///
/// Leaving before the flood fails when the way is lost at a level that every tide passes before the animals are pushed.
/// Staying fails when a tide high enough to push them leaves too little freeboard.
pub(super) fn never(scenario: &Scenario, seat: &Seat) -> Option<Refusal> {
    let push = scenario.place_of(seat).push_m? - scenario.water().expected_m;
    let water = scenario.water();
    let highest_stay = seat
        .ground_m
        .map(|ground| ground - seat.freeboard_m - water.upper_m());
    match seat.access {
        Access::Dry => None,
        Access::StayTheTide => {
            let highest = highest_stay?;
            (highest < push).then(|| {
                Refusal::new(
                    Condition::Freeboard,
                    push - highest,
                    format!(
                        "no tide can work: staying needs a high water of at most {highest:.2} m, and the animals are pushed at {push:.2} m"
                    ),
                )
            })
        }
        Access::LeaveBeforeTheFlood => {
            let way = scenario.way_in_of(seat)?;
            let closing = way.cut_off_m() - water.upper_m();
            (closing <= push).then(|| {
                let staying = match highest_stay {
                    Some(highest) if highest < push => format!(
                        "; staying would need a high water of at most {highest:.2} m"
                    ),
                    _ => String::new(),
                };
                Refusal::new(
                    Condition::WayIn,
                    push - closing,
                    format!(
                        "no tide can work: the way out is lost at {:.2} m, before the animals are pushed at {push:.2} m{staying}",
                        way.cut_off_m()
                    ),
                )
            })
        }
    }
}
