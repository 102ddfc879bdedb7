//! Judges each occasion of a wish, condition by condition.

use jiff::civil::Date;
use wrackline_solar::SunAndMoon;

use super::almanac::{Almanac, LIGHT_MARGIN_HOURS, OUTING_MARGIN_HOURS};
use super::light::{LightTimes, SunNearView, moon_over, sun_over};
use super::tide::{self, HighWater, OFFSETS_CM, PushedWater};
use super::{Occasion, Otherwise, Phase, Step, Window, Wish, calendar, free};
use crate::levels::Standing;
use crate::outing::ground::{self, Ground};
use crate::outing::search::{self, Found, Outing};
use crate::outing::{Condition, Refusal, Timetable};
use crate::port::TideCurve;
use crate::scenario::{Access, Scenario};
use crate::time::{Stretch, Stretches, minutes, shifted, widened};

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

/// What is the same for every occasion of a wish.
pub(super) struct Judge<'s> {
    scenario: &'s Scenario,
    wish: Wish<'s>,
    light: LightTimes,
    free: Option<Stretches>,
    shortest: f64,
    /// The water at the seat and on the way; why it cannot be judged, where it cannot.
    ground: Result<Ground<'s>, Refusal>,
    sky: &'s SunAndMoon,
}

impl<'s> Judge<'s> {
    pub(super) fn new(scenario: &'s Scenario, wish: Wish<'s>, almanac: &'s Almanac) -> Self {
        let lit = widened(almanac.span(), LIGHT_MARGIN_HOURS);
        let wide = widened(almanac.span(), OUTING_MARGIN_HOURS);
        Self {
            scenario,
            wish,
            light: LightTimes::of(wish.seat, wish.light, almanac.sky(), &lit),
            free: free::stretches(scenario, &wide),
            shortest: scenario.habits().shortest_minutes,
            ground: Ground::new(scenario, wish.seat, almanac.water(), &wide),
            sky: almanac.sky(),
        }
    }

    /// Every tide whose high water lies in the span.
    pub(super) fn tides(&self, push_m: f64, span: &Stretch, curve: &TideCurve) -> Vec<Occasion> {
        let pushed = PushedWater::of(self.scenario.water(), push_m, curve);
        let place = self.scenario.place_of(self.wish.seat);
        tide::high_waters(self.scenario, place, &pushed, span, curve)
            .into_iter()
            .map(|high_water| self.tide(high_water, &pushed))
            .collect()
    }

    /// Every stretch of light that begins in the span. Light that lasts for more than a day, as in
    /// a polar day, is told day by day; shorter light across midnight is one stretch.
    pub(super) fn daylight(&self, span: &Stretch) -> Vec<Occasion> {
        const DAY_MINUTES: f64 = 24.0 * 60.0;
        let mut out = Vec::new();
        for stretch in self.light.all.iter() {
            if minutes(stretch) > DAY_MINUTES {
                let within = stretch.start.max(span.start)..stretch.end.min(span.end);
                let days = calendar::by_civil_day(self.scenario, &within);
                out.extend(days.iter().map(|day| self.daylight_stretch(day)));
            } else if span.contains(&stretch.start) {
                out.push(self.daylight_stretch(stretch));
            }
        }
        out
    }

    fn tide(&self, high_water: HighWater, pushed: &PushedWater) -> Occasion {
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
        let is_lit = high_water.in_band && lit.longest().map_or(0.0, minutes) >= self.shortest;
        let mut windows = Vec::new();
        if !roosting.is_empty() {
            // Water that never lets the animals go has been refused; its parts tell of the light
            // alone.
            let whole = high_water.endless_minutes.is_none();
            let found = self.outings(&lit, &mut refusals, whole, |ground, light| {
                search::with_animals(ground, light, &roosting)
            });
            self.tell_access(&found, &lit, &mut steps);
            if whole
                && let Ok(ground) = &self.ground
                && found.outings.is_empty()
            {
                let in_time = high_water.in_band && !lit.is_empty() && found.too_long_by.is_none();
                let late = || {
                    let reason = "the seat must be left before the animals are there in that light";
                    Refusal::new(Condition::WayIn, 0.0, reason.to_owned())
                };
                refusals.extend(ground.why_not(&roosting).or_else(|| in_time.then(late)));
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
        if let Ok(ground) = &self.ground
            && found.outings.is_empty()
            && found.too_long_by.is_none()
        {
            refusals.push(ground.why_not_in_light());
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
        search: impl Fn(&Ground<'s>, &Stretch) -> Found,
    ) -> Found {
        let mut found = Found::default();
        match &self.ground {
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
                format!("{longest:.0} of {:.0} min", self.shortest),
            ));
        }
    }

    /// The windows of those outings that are long enough and that the calendar and the free hours
    /// allow.
    fn permitted(
        &self,
        found: Found,
        refusals: &mut Vec<Refusal>,
        window: impl Fn(&Outing) -> Window,
    ) -> Vec<Window> {
        let mut windows = Vec::new();
        let long = |outing: &&Outing| minutes(&outing.pictures) >= self.shortest;
        for outing in found.outings.iter().filter(long) {
            let refused = self.refused(&outing.times);
            if refused.is_empty() {
                windows.push(window(outing));
            }
            refusals.extend(refused);
        }
        windows
    }

    /// What the calendar and the free hours have against an outing, from setting out to being back.
    /// The way from home and back counts among the free hours.
    fn refused(&self, times: &Timetable) -> Vec<Refusal> {
        let mut refusals = calendar::refusals(self.scenario, self.wish, self.days(times));
        if let Some(free) = &self.free {
            let home = self.scenario.place_of(self.wish.seat).from_home_minutes;
            let home = home.unwrap_or(0.0);
            let away = shifted(times.set_out, -home)..shifted(times.back_by, home);
            let busy = minutes(&away) - free.within(&away).minutes();
            if busy > 0.0 {
                refusals.push(Refusal::new(
                    Condition::FreeHours,
                    busy,
                    format!(
                        "{busy:.0} of {:.0} min lie outside the free hours",
                        minutes(&away)
                    ),
                ));
            }
        }
        refusals
    }

    /// Every civil day that an outing touches.
    fn days(&self, times: &Timetable) -> std::ops::RangeInclusive<Date> {
        let day = |at| calendar::civil(self.scenario, at);
        day(times.set_out)..=day(times.back_by)
    }

    /// What the water means for an outing on a tide.
    fn water_of(&self, high_water: &HighWater, pushed: &PushedWater, outing: &Outing) -> Water {
        let water = self.scenario.water();
        let place = self.scenario.place_of(self.wish.seat);
        let times = &outing.times;
        let lit_part = |roosting: &Stretch| {
            let wanted = on_phase(roosting, high_water, self.wish.phase);
            let end = times.latest_departure.unwrap_or(wanted.end).min(wanted.end);
            let seated = wanted.start.max(times.seated_by);
            self.light.all.within(&(seated..end.max(seated)))
        };
        let at_lower_water = high_water
            .roosting_at_lower_water
            .as_ref()
            .and_then(|roosting| {
                let left = lit_part(roosting).within(&outing.pictures);
                left.longest().cloned()
            });
        let otherwise = OFFSETS_CM
            .iter()
            .enumerate()
            .map(|(index, &offset_cm)| {
                let roosting = pushed.at_offset(index, high_water.at);
                let ended_by = self.ended_by(high_water, offset_cm, roosting.is_some());
                let left = roosting.filter(|_| ended_by.is_none()).map(lit_part);
                let minutes = left
                    .and_then(|left| left.longest().map(minutes))
                    .unwrap_or(0.0);
                Otherwise {
                    offset_cm,
                    minutes,
                    ended_by: ended_by.or((minutes <= 0.0).then_some(Condition::Light)),
                }
            })
            .collect();
        Water {
            at_lower_water,
            otherwise,
            chance_of_water: tide::chance_in_band(high_water, place, water),
            chance_above_upper: self.chance_above_upper(times),
        }
    }

    /// The chance that the water exceeds the level by which an outing was judged, where the water
    /// can reach it.
    fn chance_above_upper(&self, times: &Timetable) -> Option<f64> {
        let water = self.scenario.water();
        let matters = times.freeboard_m.is_some() || times.way.is_some();
        matters.then(|| tide::chance_above(water.upper_allowance_m, water.standard_deviation_m))
    }

    /// What makes a tide fail when the water differs by an offset from what is expected.
    fn ended_by(&self, high_water: &HighWater, offset_cm: i32, pushed: bool) -> Option<Condition> {
        let seat = self.wish.seat;
        let level = high_water.expected_m + f64::from(offset_cm) / 100.0;
        if !pushed {
            return Some(Condition::PushLevel);
        }
        if self.scenario.place_of(seat).levels().standing(level) == Standing::Over {
            return Some(Condition::OvertopLevel);
        }
        let freeboard = seat.ground_m.map(|ground| ground - level);
        let drowned = freeboard.is_some_and(|freeboard| freeboard < seat.freeboard_m);
        (drowned && seat.access != Access::LeaveBeforeTheFlood).then_some(Condition::Freeboard)
    }

    fn window(&self, outing: &Outing, water: Water) -> Window {
        let seat = self.wish.seat;
        let stretch = &outing.pictures;
        let middle = shifted(stretch.start, minutes(stretch) / 2.0);
        let instants = [stretch.start, middle, stretch.end];
        let by_moon = self.wish.light.moon.is_some();
        Window {
            sun: instants.map(|at| sun_over(seat, at)),
            moon: by_moon.then(|| instants.map(|at| moon_over(seat, at))),
            sun_near_view: SunNearView::over(seat, self.sky, stretch),
            score: water.chance_of_water * self.good_minutes(stretch),
            stretch: stretch.clone(),
            at_lower_water: water.at_lower_water,
            otherwise: water.otherwise,
            chance_of_water: water.chance_of_water,
            chance_above_upper: water.chance_above_upper,
            ask_first: calendar::ask_first(self.scenario, self.wish, self.days(&outing.times)),
            frost: calendar::frost(self.scenario, self.wish, self.days(&outing.times)),
            timetable: outing.times.clone(),
        }
    }

    /// Minutes of a stretch, each weighted by the height of the sun, by the middle rule over eight
    /// parts: the weights are steps, and an eighth of a window is finer than they are known.
    fn good_minutes(&self, stretch: &Stretch) -> f64 {
        const PARTS: u32 = 8;
        let length = minutes(stretch);
        let weights = &self.scenario.habits().light_weights;
        let total: f64 = (0..PARTS)
            .map(|part| {
                let middle = length * (f64::from(part) + 0.5) / f64::from(PARTS);
                let at = shifted(stretch.start, middle);
                weights.at_altitude(self.wish.seat.observer.sun(at).altitude_deg)
            })
            .sum();
        length * total / f64::from(PARTS)
    }
}

/// What the water means for a window.
struct Water {
    at_lower_water: Option<Stretch>,
    otherwise: Vec<Otherwise>,
    chance_of_water: f64,
    chance_above_upper: Option<f64>,
}

/// The wanted part of the time that the animals are there.
fn on_phase(roosting: &Stretch, high_water: &HighWater, phase: Phase) -> Stretch {
    match phase {
        Phase::Both => roosting.clone(),
        Phase::Flood => roosting.start..roosting.end.min(high_water.at),
        Phase::Ebb => roosting.start.max(high_water.at)..roosting.end,
    }
}
