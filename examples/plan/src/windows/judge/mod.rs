//! Judges each occasion of a wish, condition by condition.

mod water;
mod window;

use jiff::civil::Date;
use wrackline_solar::SunAndMoon;

use self::water::{Water, on_phase};
use super::almanac::Almanac;
use super::light::LightTimes;
use super::place_tides::PlaceTides;
use super::seat_times::SeatTimes;
use super::tide::{self, HighWater, PushedWater};
use super::{Occasion, Step, Window, Wish, calendar};
use crate::outing::ground::{self, Ground};
use crate::outing::search::{self, Found};
use crate::outing::{Condition, Refusal};
use crate::scenario::Scenario;
use crate::time::{Stretch, Stretches, minutes};

/// What no date can mend.
pub(super) fn never(scenario: &Scenario, wish: Wish<'_>) -> Vec<Refusal> {
    let mut never = Vec::new();
    let place = scenario.place_of(wish.seat);
    never.extend(calendar::too_near(
        wish.seat,
        wish.subject,
        place,
        wish.experience,
    ));
    never.extend(ground::missing(scenario, wish.seat));
    never.extend(ground::never(scenario, wish.seat));
    never
}

/// How many tides, or stretches of light where no tide plays a part, meet enough of the wanted light
/// by its times at the seat.
pub(super) fn lit(
    scenario: &Scenario,
    wish: Wish<'_>,
    light: &LightTimes,
    tides: Option<&PlaceTides<'_>>,
    span: &Stretch,
) -> usize {
    let shortest = scenario.habits().shortest_minutes;
    let Some(tides) = tides else {
        let stretches = daylight_stretches(scenario, light, span).into_iter();
        return stretches.filter(|lit| minutes(lit) >= shortest).count();
    };
    let meets = |high_water: &&HighWater| {
        let wanted = on_phase(&high_water.roosting, high_water, wish.phase);
        is_lit(high_water, &light.all.within(&wanted), shortest)
    };
    tides.high_waters.iter().filter(meets).count()
}

/// Whether enough of the wanted light is left of a tide.
fn is_lit(high_water: &HighWater, left: &Stretches, shortest: f64) -> bool {
    high_water.in_band && left.longest().map_or(0.0, minutes) >= shortest
}

/// Every stretch of light that begins in the span. Light that lasts for more than a day, as in a
/// polar day, is told day by day; shorter light across midnight is one stretch.
fn daylight_stretches(scenario: &Scenario, light: &LightTimes, span: &Stretch) -> Vec<Stretch> {
    const DAY_MINUTES: f64 = 24.0 * 60.0;
    let mut out = Vec::new();
    for stretch in light.all.iter() {
        if minutes(stretch) > DAY_MINUTES {
            let within = stretch.start.max(span.start)..stretch.end.min(span.end);
            out.extend(calendar::by_civil_day(scenario, &within));
        } else if span.contains(&stretch.start) {
            out.push(stretch.clone());
        }
    }
    out
}

/// What is the same for every occasion of a wish.
pub(super) struct Judge<'j> {
    scenario: &'j Scenario,
    wish: Wish<'j>,
    light: &'j LightTimes,
    free: Option<&'j Stretches>,
    shortest: f64,
    /// The water at the seat and on the way; why it cannot be judged, where it cannot.
    ground: Result<&'j Ground<'j>, &'j Refusal>,
    sky: &'j SunAndMoon,
}

impl<'j> Judge<'j> {
    pub(super) fn new(
        scenario: &'j Scenario,
        wish: Wish<'j>,
        almanac: &'j Almanac,
        times: &'j SeatTimes<'j>,
    ) -> Self {
        Self {
            scenario,
            wish,
            light: &times.light,
            free: almanac.free(),
            shortest: scenario.habits().shortest_minutes,
            ground: times.ground.as_ref(),
            sky: almanac.sky(),
        }
    }

    /// Every tide whose high water lies in the span.
    pub(super) fn tides(&self, tides: &PlaceTides<'_>) -> Vec<Occasion> {
        let high_waters = tides.high_waters.iter().cloned();
        high_waters
            .map(|high_water| self.tide(high_water, &tides.pushed))
            .collect()
    }

    /// Every stretch of light that begins in the span.
    pub(super) fn daylight(&self, span: &Stretch) -> Vec<Occasion> {
        let stretches = daylight_stretches(self.scenario, self.light, span);
        let judged = stretches.iter().map(|lit| self.daylight_stretch(lit));
        judged.collect()
    }

    fn tide(&self, high_water: HighWater, pushed: &PushedWater<'_>) -> Occasion {
        let scenario = self.scenario;
        let place = scenario.place_of(self.wish.seat);
        let date = calendar::civil(scenario, high_water.at);
        // What the day itself has against it is told where no outing is left; an outing is judged
        // by the days that it touches.
        let mut refusals = calendar::refusals(scenario, self.wish, date..=date);
        let longest = scenario.habits().longest_minutes;
        refusals.extend(tide::refusals(&high_water, place, longest));

        let roosting = high_water.roosting.clone();
        let wanted = on_phase(&roosting, &high_water, self.wish.phase);
        let mut steps = vec![Step {
            condition: Condition::PushLevel,
            part: "water over the push level",
            left: Stretches::new([wanted.clone()]),
        }];
        let lit = self.through_light(&wanted, &mut steps);
        let is_lit = is_lit(&high_water, &lit, self.shortest);
        let mut windows = Vec::new();
        if !roosting.is_empty() {
            // Water that never lets the animals go has been refused; its parts tell of the light
            // alone.
            let whole = high_water.endless_minutes.is_none();
            let animals = high_water.animals.clone();
            let found = self.outings(&lit, &mut refusals, whole, |ground, light| {
                search::with_animals(ground, light, &animals)
            });
            self.tell_access(&found, &lit, &mut steps);
            if whole
                && let Ok(ground) = self.ground
                && found.outings.is_empty()
            {
                let in_time = high_water.in_band && !lit.is_empty() && found.too_long_by.is_none();
                let late = || {
                    let reason = "the seat must be left before the animals are there in that light";
                    Refusal::new(Condition::WayIn, 0.0, reason.to_owned())
                };
                refusals.extend(ground.unknown_about(&animals));
                refusals.extend(ground.why_not(&animals).or_else(|| in_time.then(late)));
            } else if high_water.in_band {
                self.refuse_short(&found, &mut refusals);
            }
            if high_water.in_band {
                windows = self.permitted(found, &mut refusals, |outing| {
                    let water = self.water_of(&high_water, pushed, outing);
                    self.window(outing, water)
                });
            }
        }
        let light_at_all = if wanted.start < wanted.end {
            !lit.is_empty()
        } else {
            // A tide that pushes nothing still has its light or not: it tells what a higher tide
            // would have met.
            self.light.all.around(high_water.at).is_some()
        };
        if !light_at_all {
            refusals.push(Refusal::new(
                Condition::Light,
                self.shortest,
                format!("no {} while the animals are expected", self.wish.light.name),
            ));
        }
        Self::occasion(date, Some(high_water), is_lit, steps, refusals, windows)
    }

    fn daylight_stretch(&self, stretch: &Stretch) -> Occasion {
        let scenario = self.scenario;
        let date = calendar::civil(scenario, stretch.start);
        let mut refusals = Vec::new();
        let lit = Stretches::new([stretch.clone()]);
        let mut steps = vec![Step {
            condition: Condition::Light,
            part: "wanted light",
            left: lit.clone(),
        }];
        let found = self.outings(&lit, &mut refusals, true, search::in_light);
        self.tell_access(&found, &lit, &mut steps);
        if let Ok(ground) = self.ground
            && found.outings.is_empty()
            && found.too_long_by.is_none()
        {
            let unknown = ground.unknown_about(stretch);
            refusals.push(unknown.unwrap_or_else(|| ground.why_not_in_light()));
        }
        self.refuse_short(&found, &mut refusals);
        let windows = self.permitted(found, &mut refusals, |outing| {
            let water = Water {
                at_lower_water: Some(outing.pictures.clone()),
                otherwise: Vec::new(),
                chance_of_water: 1.0,
                chance_above_upper: self.chance_above_upper(&outing.times),
            };
            self.window(outing, water)
        });
        let lit = minutes(stretch) >= self.shortest;
        Self::occasion(date, None, lit, steps, refusals, windows)
    }

    /// The outings to each stretch of light that the water allows, and what it refuses whole.
    fn outings(
        &self,
        lit: &Stretches,
        refusals: &mut Vec<Refusal>,
        whole: bool,
        search: impl Fn(&Ground<'_>, &Stretch) -> Found,
    ) -> Found {
        let mut found = Found::default();
        match self.ground {
            // Told once, among what no date can mend.
            Err(_) => {}
            Ok(_) if !whole => {}
            Ok(ground) => {
                for light in lit.iter() {
                    found.join(search(ground, light));
                }
            }
        }
        if let (true, Some(by)) = (found.outings.is_empty(), found.too_long_by) {
            let longest = self.scenario.habits().longest_minutes;
            refusals.push(Refusal::new(
                Condition::LongestOuting,
                by,
                format!(
                    "from setting out to being back it would take {:.1} h of at most {:.1} h",
                    (longest + by) / 60.0,
                    longest / 60.0
                ),
            ));
        }
        found
    }

    /// Notes what the water leaves of the light, where it can take some of it away.
    fn tell_access(&self, found: &Found, lit: &Stretches, steps: &mut Vec<Step>) {
        let left: Stretches = found
            .outings
            .iter()
            .map(|outing| outing.pictures.clone())
            .collect();
        let touched = ground::touched(self.scenario, self.wish.seat);
        if touched || left != *lit {
            steps.push(Step {
                condition: Condition::WayIn,
                part: "seat reachable",
                left,
            });
        }
    }

    fn occasion(
        date: Date,
        high_water: Option<HighWater>,
        lit: bool,
        steps: Vec<Step>,
        mut refusals: Vec<Refusal>,
        windows: Vec<Window>,
    ) -> Occasion {
        refusals.sort_by_key(|refusal| refusal.condition);
        refusals.dedup();
        // Each window has been judged by itself: one may stand beside another that a closed day or
        // a busy hour removed.
        if !windows.is_empty() {
            refusals.clear();
        }
        Occasion {
            date,
            in_band: high_water.as_ref().is_none_or(|tide| tide.in_band),
            high_water,
            lit,
            steps,
            refusals,
            windows,
        }
    }

    /// What the light leaves of a stretch, noting each of its conditions.
    fn through_light(&self, stretch: &Stretch, steps: &mut Vec<Step>) -> Stretches {
        let mut left = Stretches::new([stretch.clone()]);
        for (part, times) in &self.light.parts {
            left = left.intersect(&times.within(stretch));
            steps.push(Step {
                condition: Condition::Light,
                part,
                left: left.clone(),
            });
        }
        left
    }

    fn refuse_short(&self, found: &Found, refusals: &mut Vec<Refusal>) {
        let lengths = found.outings.iter().map(|outing| minutes(&outing.pictures));
        let longest = lengths.fold(0.0, f64::max);
        if longest < self.shortest && !found.outings.is_empty() {
            refusals.push(Refusal::new(
                Condition::Duration,
                self.shortest - longest,
                format!("{:.0} of {:.0} min", longest.floor(), self.shortest.ceil()),
            ));
        }
    }
}
