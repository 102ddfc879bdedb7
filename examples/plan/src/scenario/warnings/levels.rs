//! Levels of places, seats and ways against the highest and the lowest water of the port, and
//! margins of nothing.

use std::cell::OnceCell;

use wrackline_tides::Turn;

use super::super::draft::Marks;
use super::super::port::{Basis, Constants, Tide};
use super::super::source::Mark;
use super::super::whole::Scenario;
use super::port::from_mean_level;

/// How far the extremes of two years may fall short of those of all years, metres.
const SHORT_M: f64 = 0.1;
/// Ground so far above the highest water is no concern of the tide, or was measured from another
/// datum.
const FAR_M: f64 = 5.0;

pub(super) fn look(scenario: &Scenario, marks: &Marks<'_>) {
    margins(scenario, marks);
    if let Some(tide) = scenario.tide() {
        against_the_tide(scenario, marks, tide);
    }
    for (seat, mark) in scenario.seats().iter().zip(&marks.seats) {
        if let (Some(way), Some(ground_m)) = (scenario.way_in_of(seat), seat.ground_m)
            && way.low_point_m > ground_m
        {
            mark.warn(
                "ground_m",
                format!(
                    "{ground_m} m, below the low point of {}, {} m",
                    way.name, way.low_point_m
                ),
                "check both and their datum: the seat drowns before its way does",
            );
        }
    }
}

fn margins(scenario: &Scenario, marks: &Marks<'_>) {
    let remedy =
        "leave something for what the prediction does not know: surge, wind, waves, a slip";
    for (way, mark) in scenario.ways_in.iter().zip(&marks.ways_in) {
        for (key, margin) in [
            ("margin_m", way.margin_m),
            ("margin_minutes", way.margin_minutes),
        ] {
            if margin == 0.0 {
                mark.warn(key, "leaves no margin", remedy);
            }
        }
    }
    for (seat, mark) in scenario.seats().iter().zip(&marks.seats) {
        if seat.ground_m.is_some() && seat.freeboard_m == 0.0 {
            mark.warn("freeboard_m", "leaves no margin", remedy);
        }
    }
    let Some(mark) = &marks.water else { return };
    let water = scenario.water();
    if water.upper_allowance_m == 0.0 {
        mark.warn("upper_allowance_m", "leaves no margin", remedy);
    }
    if water.upper_m() < 0.0 {
        mark.warn(
            "upper_allowance_m",
            format!(
                "{} m leaves the upper water {:.2} m below the prediction",
                water.upper_allowance_m,
                -water.upper_m()
            ),
            "check the signs of `bias_m` and `surge_m`: observed less predicted; nobody walks by \
             a tide \
             that stays below its prediction",
        );
    }
}

/// The highest and the lowest water that a port's tide comes to: in all years by its constants, in
/// the days of a printed table by that.
struct Extremes<'t> {
    tide: &'t Tide,
    /// Waters that surely come: levels between them need no more, and that is most of them.
    some: Option<LowAndHigh>,
    all: OnceCell<Option<LowAndHigh>>,
}

/// The lowest and the highest of some waters, metres.
#[derive(Clone, Copy)]
struct LowAndHigh {
    lowest_m: f64,
    highest_m: f64,
}

impl LowAndHigh {
    /// No tide at all has no turns, and then nothing can be said of levels.
    fn of(mut heights_m: impl Iterator<Item = f64>) -> Option<Self> {
        let first_m = heights_m.next()?;
        let first = Self {
            lowest_m: first_m,
            highest_m: first_m,
        };
        Some(heights_m.fold(first, |found, height_m| Self {
            lowest_m: found.lowest_m.min(height_m),
            highest_m: found.highest_m.max(height_m),
        }))
    }
}

impl<'t> Extremes<'t> {
    fn of(tide: &'t Tide) -> Self {
        Self {
            tide,
            some: match &tide.basis {
                Basis::Constants(constants) => turns_of(constants, constants.two_months()),
                Basis::Printed(_) => None,
            },
            all: OnceCell::new(),
        }
    }

    fn all(&self) -> Option<LowAndHigh> {
        *self.all.get_or_init(|| {
            let waters = match &self.tide.basis {
                Basis::Constants(constants) => turns_of(constants, constants.two_years()),
                Basis::Printed(table) => {
                    LowAndHigh::of(table.turns().iter().map(|turn| turn.height_m))
                }
            }?;
            Some(LowAndHigh {
                lowest_m: waters.lowest_m - SHORT_M,
                highest_m: waters.highest_m + SHORT_M,
            })
        })
    }

    /// The highest water, where a level lies above it.
    fn highest_below(&self, level_m: f64) -> Option<f64> {
        if self.some.is_some_and(|some| level_m <= some.highest_m) {
            return None;
        }
        let highest_m = self.all()?.highest_m;
        (level_m > highest_m).then_some(highest_m)
    }

    /// The lowest water, where a level lies below it.
    fn lowest_above(&self, level_m: f64) -> Option<f64> {
        if self.some.is_some_and(|some| level_m >= some.lowest_m) {
            return None;
        }
        let lowest_m = self.all()?.lowest_m;
        (level_m < lowest_m).then_some(lowest_m)
    }

    /// Other years may bring higher and lower water than those that are printed.
    fn of_which(&self) -> &'static str {
        match self.tide.basis {
            Basis::Constants(_) => "",
            Basis::Printed(_) => " of the printed table",
        }
    }

    /// What to do about a level above the highest water.
    fn remedy(&self) -> String {
        match self.tide.constants() {
            Some(constants) if from_mean_level(self.tide) => format!(
                "the port's heights are measured from \"{}\", with the mean level at {} m: the \
                 level looks like one above chart datum; measure all from one datum",
                self.tide.datum,
                constants.port.mean_level_m()
            ),
            _ => "check the level and its datum: it must be the port's".to_owned(),
        }
    }

    fn above(&self, mark: &Mark<'_>, key: &str, level_m: f64, water_m: f64, then: &str) {
        if let Some(highest_m) = self.highest_below(level_m - water_m) {
            mark.warn(
                key,
                format!(
                    "{level_m} m lies above the highest water{}, about {:.1} m: {then}",
                    self.of_which(),
                    highest_m + water_m - SHORT_M
                ),
                self.remedy(),
            );
        }
    }

    fn below(&self, mark: &Mark<'_>, key: &str, level_m: f64, water_m: f64, then: &str) {
        if let Some(lowest_m) = self.lowest_above(level_m - water_m) {
            mark.warn(
                key,
                format!(
                    "{level_m} m lies below the lowest water{}, about {:.1} m: {then}",
                    self.of_which(),
                    lowest_m + water_m + SHORT_M
                ),
                "check the level and its datum: it must be the port's",
            );
        }
    }
}

/// The lowest and the highest of the port's turns, by its differences where it is a secondary port.
fn turns_of(constants: &Constants, turns: [Vec<Turn>; 2]) -> Option<LowAndHigh> {
    let turns = turns.into_iter().flatten();
    let here = turns.filter_map(|turn| match &constants.secondary {
        Some(secondary) => secondary.turn(turn).ok(),
        None => Some(turn),
    });
    LowAndHigh::of(here.map(|turn| turn.height_m))
}

fn against_the_tide(scenario: &Scenario, marks: &Marks<'_>, tide: &Tide) {
    let water = scenario.water();
    let extremes = Extremes::of(tide);
    for (place, mark) in scenario.places().iter().zip(&marks.places) {
        if let Some(push_m) = place.push_m {
            let (key, expected_m) = ("push_m", water.expected_m);
            extremes.above(mark, key, push_m, expected_m, "no tide brings the animals");
            extremes.below(mark, key, push_m, expected_m, "they are always pushed");
        }
        if let Some(overtop_m) = place.overtop_m {
            let then = "the place is always drowned";
            extremes.below(mark, "overtop_m", overtop_m, water.expected_m, then);
        }
    }
    for (way, mark) in scenario.ways_in.iter().zip(&marks.ways_in) {
        let (key, lost_at_m) = ("low_point_m", way.cut_off_m());
        extremes.above(
            mark,
            key,
            lost_at_m,
            water.upper_m(),
            "the way never closes",
        );
        extremes.below(
            mark,
            key,
            lost_at_m - way.margin_m,
            water.upper_m(),
            "with its margin the way is never open",
        );
    }
    for (seat, mark) in scenario.seats().iter().zip(&marks.seats) {
        let Some(ground_m) = seat.ground_m else {
            continue;
        };
        let key = "ground_m";
        extremes.below(
            mark,
            key,
            ground_m,
            water.upper_m(),
            "it is always under water",
        );
        if let Some(highest_m) = extremes.highest_below(ground_m - FAR_M) {
            mark.warn(
                key,
                format!(
                    "{ground_m} m lies {:.0} m above the highest water",
                    ground_m - highest_m
                ),
                extremes.remedy(),
            );
        }
    }
}
