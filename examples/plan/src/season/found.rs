//! The windows of a season, and what stood against the rest.

use jiff::civil::Date;

use crate::experience::Chance;
use crate::framing::Framed;
use crate::scenario::{Light, Scenario, Seat, Subject, Wanted};
use crate::windows::{Condition, Occasion, Refusal, TerrainTakes, Window};

/// The windows of a season.
#[derive(Clone, Debug)]
pub struct Season<'s> {
    /// The scenario it was computed for.
    pub scenario: &'s Scenario,
    /// First civil day.
    pub from: Date,
    /// Last civil day.
    pub last: Date,
    /// The light that was asked for.
    pub light: &'s Light,
    /// The number of windows there are, also of those not kept.
    pub windows_in_all: usize,
    /// The windows, best first.
    pub outings: Vec<Outing<'s>>,
    /// One report for each seat and subject that was looked at.
    pub seats: Vec<SeatReport<'s>>,
}

/// One window at one seat.
#[derive(Clone, Debug)]
pub struct Outing<'s> {
    /// Where.
    pub seat: &'s Seat,
    /// Of what.
    pub subject: &'s Subject,
    /// The tide or the light it belongs to, without its windows.
    pub occasion: Occasion,
    /// The window.
    pub window: Window,
    /// Pictures wanted for the project that it may bring, the rarest first.
    pub brings: Vec<&'s Wanted>,
    /// The score that the ranking goes by: the window's own, times the learned chance where there
    /// is a log.
    pub score: f64,
    /// The learned chance that a visit in this water, at this time of the year where the sightings
    /// of others count, comes within range; `None` without a log and without them.
    pub learned: Option<Chance>,
    /// Kept in the list to find out, in place of a better one: least is known here.
    pub to_find_out: bool,
    /// Its place among the windows that were kept, the best 1.
    pub rank: usize,
}

/// How one seat fares for one subject.
#[derive(Clone, Debug)]
pub struct SeatReport<'s> {
    /// Where.
    pub seat: &'s Seat,
    /// Of what.
    pub subject: &'s Subject,
    /// What no date can mend.
    pub never: Vec<Refusal>,
    /// How many tides (or stretches of light) passed which conditions.
    pub tally: Tally,
    /// What the terrain around the seat takes of the wanted light; `None` where it plays no part.
    pub terrain_takes: Option<TerrainTakes>,
    /// The first condition that each tide without a window fails, and how many fail it, most first.
    pub obstacles: Vec<(Condition, usize)>,
    /// What giving way in one condition alone would open; never a condition that guards animals or
    /// people.
    pub relaxations: Vec<Relaxation>,
    /// Where no tide meets the wanted light: how many would meet each other light of the scenario.
    pub other_lights: Vec<(&'s str, usize)>,
    /// What each kit makes of the subject from there, largest share first.
    pub framings: Vec<Framed>,
    /// The chance that visits alone have taught.
    pub learned: Option<Chance>,
    /// Tides or stretches of light without a window, in order of time, when they were asked for.
    pub refused: Vec<Occasion>,
}

/// What giving way in one condition would open.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Relaxation {
    /// The condition.
    pub condition: Condition,
    /// Tides that fail in nothing else.
    pub opens: usize,
    /// The day of the one that misses by least.
    pub nearest: Date,
    /// By how much that one misses, in the unit of the condition.
    #[serde(serialize_with = "crate::rounding::to_thousandths")]
    pub shortfall: f64,
    /// The same in words.
    pub reason: String,
}

/// Counts of tides, or of stretches of light where no tide plays a part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize)]
pub struct Tally {
    /// All in the span.
    pub all: usize,
    /// With the water in the place's height band.
    pub in_band: usize,
    /// In band, and with enough of the wanted light while the animals are expected.
    pub in_band_and_light: usize,
    /// With at least one window.
    pub open: usize,
    /// Windows in all.
    pub windows: usize,
}
