//! Joins light, tide, stand-off, season and access into stretches of time in which an outing makes
//! sense.
//!
//! For a seat, a subject and a kind of light, each tide of a span (each stretch of light, where no
//! tide plays a part) is an [`Occasion`]. It has windows, or the conditions that it fails, each
//! with its shortfall. Nothing is sampled: windows are intersections of stretches whose ends are
//! roots of the tide's and the sun's own curves.
//!
//! Safety is judged on the upper water, the picture on the expected water, with the chance that it
//! comes true.

mod almanac;
mod calendar;
mod free;
mod judge;
mod light;
mod place_tides;
mod seat_times;
mod tide;

use jiff::civil::Date;

pub use almanac::{Almanac, AlmanacError};
pub use calendar::refusals as calendar_refusals;
pub use light::{OverView, SunNearView, TerrainTakes, moon_over, side_name, sun_over};
pub(crate) use place_tides::PlaceTides;
pub(crate) use seat_times::SeatTimes;
pub use tide::{HighWater, OFFSETS_CM};

pub use crate::outing::{Closing, Condition, Departure, NeverCloses, Refusal, Timetable};
pub use crate::port::Phase;

use crate::experience::Experience;
use crate::scenario::{Light, Scenario, Seat, Subject};
use crate::time::{Stretch, Stretches};
use crate::weather::AtWindow;

/// What is looked for.
#[derive(Clone, Copy, Debug)]
pub struct Wish<'s> {
    /// From where.
    pub seat: &'s Seat,
    /// Of what.
    pub subject: &'s Subject,
    /// In what light.
    pub light: &'s Light,
    /// On which part of the tide.
    pub phase: Phase,
    /// What past visits tell of the animals' peace; `None` where nobody has kept a log.
    pub experience: Option<&'s Experience>,
}

impl<'s> Wish<'s> {
    /// A wish for the whole of the tide, without a log.
    pub fn new(seat: &'s Seat, subject: &'s Subject, light: &'s Light) -> Self {
        Self {
            seat,
            subject,
            light,
            phase: Phase::Both,
            experience: None,
        }
    }
}

/// One chance for an outing: a tide, or a stretch of light where no tide plays a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Occasion {
    /// Its civil day in the scenario's zone.
    pub date: Date,
    /// The high water, where one plays a part.
    pub high_water: Option<HighWater>,
    /// Whether the water is in the place's height band; `true` where no tide plays a part.
    pub in_band: bool,
    /// Whether there is enough of the wanted light while the animals are expected, whatever else
    /// fails.
    pub lit: bool,
    /// What each condition in turn leaves of the occasion.
    pub steps: Vec<Step>,
    /// The conditions that it fails, in order; empty when it has windows.
    pub refusals: Vec<Refusal>,
    /// The windows.
    pub windows: Vec<Window>,
}

/// What is left of an occasion after one more condition.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// The condition.
    pub condition: Condition,
    /// What of it, in words.
    pub part: &'static str,
    /// What is left.
    pub left: Stretches,
}

/// A stretch of time for pictures, with the times of the outing around it.
#[derive(Clone, Debug, PartialEq)]
pub struct Window {
    /// Time for pictures: animals expected, light as wanted, seat permissible.
    pub stretch: Stretch,
    /// The part of it that remains if the water stays at its lower allowance; `None` if the animals
    /// are then not pushed.
    pub at_lower_water: Option<Stretch>,
    /// What is left of it when the water differs from what is expected; empty where no tide plays a
    /// part.
    pub otherwise: Vec<Otherwise>,
    /// Chance that the water reaches the push level and stays below the overtop level; 1 where no
    /// tide plays a part.
    pub chance_of_water: f64,
    /// Chance that the water exceeds the upper level by which safety was judged, where that
    /// matters.
    pub chance_above_upper: Option<f64>,
    /// The times of the outing.
    pub timetable: Timetable,
    /// Who must be asked first for any day from setting out to being back, and why.
    pub ask_first: Vec<String>,
    /// What frost would change: closures of these days that hold only from a number of frozen days
    /// on, with the count.
    pub frost: Vec<String>,
    /// What the forecast means for it, where one was brought.
    pub weather: Option<AtWindow>,
    /// The sun at start, middle and end of the window.
    pub sun: [OverView; 3],
    /// The moon at the same instants, where its light is wanted.
    pub moon: Option<[OverView; 3]>,
    /// When the sun comes near the view while pictures are taken.
    pub sun_near_view: SunNearView,
    /// What the terrain takes of the stretch of light that the window lies in; `None` where the
    /// terrain plays no part.
    pub terrain_takes: Option<TerrainTakes>,
    /// Minutes of wanted light with animals that may be expected, weighted by the light: what the
    /// ranking goes by.
    pub score: f64,
}

/// What is left of a window if the water differs from what is expected.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Otherwise {
    /// Difference of the water from what is expected, centimetres.
    pub offset_cm: i32,
    /// Minutes left.
    #[serde(serialize_with = "crate::rounding::to_thousandths")]
    pub minutes: f64,
    /// What ends it, when nothing is left.
    pub ended_by: Option<Condition>,
}

/// Everything about one wish over a span.
#[derive(Clone, Debug)]
pub struct Outlook {
    /// What no date can mend, such as a seat inside the stand-off distance.
    pub never: Vec<Refusal>,
    /// Every tide, or every stretch of light, in order of time.
    pub occasions: Vec<Occasion>,
    /// What the terrain takes of the wanted light of the span; `None` where it plays no part.
    pub terrain_takes: Option<TerrainTakes>,
}

impl Window {
    /// The light of the window at its start, middle and end: the moon where its light is wanted,
    /// else the sun.
    pub fn light(&self) -> &[OverView; 3] {
        self.moon.as_ref().unwrap_or(&self.sun)
    }
}

/// Finds every window of a wish whose high water (or first light) lies in the span of an almanac.
///
/// What the span is never changes what is judged: the almanac knows enough around it.
pub fn outlook(scenario: &Scenario, wish: Wish<'_>, almanac: &Almanac) -> Outlook {
    let tides = PlaceTides::of(scenario, scenario.place_of(wish.seat), almanac);
    let times = SeatTimes::of(scenario, wish.seat, wish.light, almanac);
    outlook_on(scenario, wish, almanac, (tides.as_ref(), &times))
}

/// The same on the tides of the wish's place and the times of its seat in its light, over the
/// almanac's span: for whoever looks at them more than once.
pub(crate) fn outlook_on(
    scenario: &Scenario,
    wish: Wish<'_>,
    almanac: &Almanac,
    (tides, times): (Option<&PlaceTides<'_>>, &SeatTimes<'_>),
) -> Outlook {
    let never = judge::never(scenario, wish);
    let judge = judge::Judge::new(scenario, wish, almanac, times);
    let mut occasions = match tides {
        Some(tides) => judge.tides(tides),
        None => judge.daylight(almanac.span()),
    };
    if !never.is_empty() {
        for occasion in &mut occasions {
            occasion.windows.clear();
        }
    }
    Outlook {
        never,
        occasions,
        terrain_takes: times.light.terrain_takes(almanac.span()),
    }
}

/// How many occasions of a wish meet enough of its light: [`Outlook::occasions`] that are `lit`,
/// without all else that is judged of them.
pub(crate) fn lit(
    scenario: &Scenario,
    wish: Wish<'_>,
    almanac: &Almanac,
    tides: Option<&PlaceTides<'_>>,
) -> usize {
    let light = seat_times::light_times(wish.seat, wish.light, almanac);
    judge::lit(scenario, wish, &light, tides, almanac.span())
}
