//! Judges each occasion of a wish, condition by condition.

use super::access::{self, Stay, WayInTide};
use super::light::{LightTimes, sun_over};
use super::refusal::{Condition, Refusal};
use super::tide::{self, HighWater, OFFSETS_CM, PushedWater};
use super::timetable::Timetable;
use super::{Occasion, Otherwise, Phase, Step, Window, Wish, calendar, free};
use crate::port::TideCurve;
use crate::scenario::{Access, Scenario};
use crate::time::{Stretch, Stretches, minutes, shifted};

/// What no date can mend.
pub(super) fn never(scenario: &Scenario, wish: Wish<'_>) -> Vec<Refusal> {
    let stand_off = wish.subject.stand_off_m(wish.seat);
    let mut never = Vec::new();
    if wish.seat.distance_m < stand_off {
        let how = if wish.seat.hide {
            "from a hide"
        } else {
            "on foot"
        };
        never.push(Refusal::new(
            Condition::StandOff,
            stand_off - wish.seat.distance_m,
            format!(
                "{} m from the {}, inside its stand-off distance of {stand_off} m {how}",
                wish.seat.distance_m, wish.subject.name,
            ),
        ));
    }
    never.extend(access::never(scenario, wish.seat));
    never
}

/// What is the same for every occasion of a wish.
pub(super) struct Judge<'s> {
    scenario: &'s Scenario,
    wish: Wish<'s>,
    light: LightTimes,
    free: Option<Stretches>,
    shortest: f64,
}

/// What is the same for every tide at a place.
struct TideThere<'s> {
    pushed: PushedWater,
    way_in: Option<WayInTide<'s>>,
}

impl<'s> Judge<'s> {
    pub(super) fn new(scenario: &'s Scenario, wish: Wish<'s>, wide: &Stretch) -> Self {
        Self {
            scenario,
            wish,
            light: LightTimes::of(wish.seat, wish.light, wide),
            free: free::stretches(scenario, wide),
            shortest: scenario.habits().shortest_minutes,
        }
    }

    /// Every tide whose high water lies in the span.
    pub(super) fn tides(
        &self,
        push_m: f64,
        span: &Stretch,
        predictor: &TideCurve,
    ) -> Vec<Occasion> {
        let (scenario, seat) = (self.scenario, self.wish.seat);
        let there = TideThere {
            pushed: PushedWater::of(scenario.water(), push_m, predictor),
            way_in: WayInTide::of(scenario, seat, predictor),
        };
        let place = scenario.place_of(seat);
        tide::high_waters(scenario, place, &there.pushed, span, predictor)
            .into_iter()
            .map(|high_water| self.tide(high_water, &there))
            .collect()
    }

    /// Every stretch of light that begins in the span. Light that lasts for more than a day, as in a polar day, is told day by
    /// day; shorter light across midnight is one stretch.
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

    fn tide(&self, high_water: HighWater, there: &TideThere<'_>) -> Occasion {
        let (scenario, seat) = (self.scenario, self.wish.seat);
        let date = calendar::civil(scenario, high_water.at);
        let mut refusals = calendar::refusals(scenario, self.wish, date..=date);
        refusals.extend(tide::refusals(&high_water, scenario.place_of(seat)));

        let wanted = on_phase(&high_water.roosting, &high_water, self.wish.phase);
        let mut steps = vec![Step {
            condition: "water over the push level",
            left: Stretches::new([wanted.clone()]),
        }];
        let lit = self.through_light(&wanted, &mut steps);
        let is_lit = high_water.in_band && lit.longest().map_or(0.0, minutes) >= self.shortest;
        let in_band = high_water.in_band;
        let mut windows = Vec::new();
        match access::stay(scenario, seat, there.way_in.as_ref(), &high_water) {
            Err(refusal) => refusals.push(refusal),
            Ok(stay) => {
                let reachable = lit.intersect(&stay.allowed);
                steps.push(Step {
                    condition: "seat reachable",
                    left: reachable.clone(),
                });
                if in_band && !lit.is_empty() && reachable.is_empty() {
                    refusals.push(Refusal::new(
                        Condition::WayIn,
                        0.0,
                        "the seat must be left before the animals are there in that light"
                            .to_owned(),
                    ));
                } else if in_band && !reachable.is_empty() {
                    self.refuse_short(&reachable, &mut refusals);
                }
                let long = reachable.iter().filter(|s| minutes(s) >= self.shortest);
                for stretch in long.filter(|_| in_band) {
                    let timetable =
                        Timetable::for_tide(scenario, seat, &stay, &high_water, stretch);
                    match self.permitted(&timetable) {
                        Err(refused) => refusals.extend(refused),
                        Ok(()) => windows.push(self.tide_window(
                            &high_water,
                            there,
                            &stay,
                            stretch,
                            timetable,
                        )),
                    }
                }
            }
        }
        let light_at_all = if wanted.start < wanted.end {
            !lit.is_empty()
        } else {
            // A tide that pushes nothing still has its light or not: it tells what a higher tide would have met.
            self.light.all.around(high_water.at).is_some()
        };
        if !light_at_all {
            refusals.push(Refusal::new(
                Condition::Light,
                self.shortest,
                format!("no {} while the animals are expected", self.wish.light.name),
            ));
        }
        self.occasion(date, Some(high_water), is_lit, steps, refusals, windows)
    }

    fn daylight_stretch(&self, stretch: &Stretch) -> Occasion {
        let (scenario, seat) = (self.scenario, self.wish.seat);
        let date = calendar::civil(scenario, stretch.start);
        let mut refusals = Vec::new();
        let light = Stretches::new([stretch.clone()]);
        self.refuse_short(&light, &mut refusals);
        let timetable = Timetable::by_day(scenario, seat, stretch);
        refusals.extend(self.permitted(&timetable).err().unwrap_or_default());
        let windows = vec![self.window(
            stretch,
            timetable,
            Water {
                at_lower_water: Some(stretch.clone()),
                otherwise: Vec::new(),
                chance_of_water: 1.0,
                chance_above_upper: None,
            },
        )];
        let steps = vec![Step {
            condition: "wanted light",
            left: light,
        }];
        let lit = minutes(stretch) >= self.shortest;
        self.occasion(date, None, lit, steps, refusals, windows)
    }

    fn occasion(
        &self,
        date: jiff::civil::Date,
        high_water: Option<HighWater>,
        lit: bool,
        steps: Vec<Step>,
        mut refusals: Vec<Refusal>,
        mut windows: Vec<Window>,
    ) -> Occasion {
        refusals.sort_by_key(|refusal| refusal.condition);
        refusals.dedup();
        // A window may survive beside one that a closed day or a busy hour removed; a tide that fails does not.
        let whole = |refusal: &Refusal| refusal.condition != Condition::FreeHours;
        if windows.is_empty() || refusals.iter().any(whole) {
            windows.clear();
        } else {
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
            ask_first: calendar::ask_first(self.scenario, self.wish, date),
        }
    }

    /// What the light leaves of a stretch, noting each of its conditions.
    fn through_light(&self, stretch: &Stretch, steps: &mut Vec<Step>) -> Stretches {
        let mut left = Stretches::new([stretch.clone()]);
        for (condition, part) in &self.light.parts {
            left = left.intersect(&part.within(stretch));
            steps.push(Step {
                condition,
                left: left.clone(),
            });
        }
        left
    }

    fn refuse_short(&self, left: &Stretches, refusals: &mut Vec<Refusal>) {
        let longest = left.longest().map_or(0.0, minutes);
        if longest < self.shortest {
            refusals.push(Refusal::new(
                Condition::Duration,
                self.shortest - longest,
                format!("{longest:.0} of {:.0} min", self.shortest),
            ));
        }
    }

    /// Whether the calendar and the free hours allow an outing, from setting out to being back.
    fn permitted(&self, timetable: &Timetable) -> Result<(), Vec<Refusal>> {
        let day = |at| calendar::civil(self.scenario, at);
        let days = day(timetable.set_out)..=day(timetable.back_by);
        let mut refusals = calendar::refusals(self.scenario, self.wish, days);
        if let Some(free) = &self.free {
            let outing = timetable.set_out..timetable.back_by;
            let inside: f64 = free.within(&outing).minutes();
            let busy = minutes(&outing) - inside;
            if busy > 0.0 {
                refusals.push(Refusal::new(
                    Condition::FreeHours,
                    busy,
                    format!(
                        "{busy:.0} of {:.0} min lie outside the free hours",
                        minutes(&outing)
                    ),
                ));
            }
        }
        if refusals.is_empty() {
            Ok(())
        } else {
            Err(refusals)
        }
    }

    fn tide_window(
        &self,
        high_water: &HighWater,
        there: &TideThere<'_>,
        stay: &Stay,
        stretch: &Stretch,
        timetable: Timetable,
    ) -> Window {
        let water = self.scenario.water();
        let place = self.scenario.place_of(self.wish.seat);
        let lit_part = |roosting: &Stretch| {
            let wanted = on_phase(roosting, high_water, self.wish.phase);
            self.light
                .all
                .within(&wanted)
                .intersect(&stay.allowed_over(&wanted))
        };
        let at_lower_water = high_water
            .roosting_at_lower_water
            .as_ref()
            .and_then(|roosting| lit_part(roosting).within(stretch).longest().cloned());
        let otherwise = OFFSETS_CM
            .iter()
            .enumerate()
            .map(|(index, &offset_cm)| {
                let roosting = there.pushed.at_offset(index, high_water.at);
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
        let matters = self.wish.seat.ground_m.is_some() || timetable.way.is_some();
        let beyond = || tide::chance_above(water.upper_allowance_m, water.standard_deviation_m);
        self.window(
            stretch,
            timetable,
            Water {
                at_lower_water,
                otherwise,
                chance_of_water: tide::chance_in_band(high_water, place, water),
                chance_above_upper: matters.then(beyond),
            },
        )
    }

    /// What makes a tide fail when the water differs by an offset from what is expected.
    fn ended_by(&self, high_water: &HighWater, offset_cm: i32, pushed: bool) -> Option<Condition> {
        let seat = self.wish.seat;
        let level = high_water.expected_m + f64::from(offset_cm) / 100.0;
        let overtop = self.scenario.place_of(seat).overtop_m;
        if !pushed {
            return Some(Condition::PushLevel);
        }
        if overtop.is_some_and(|overtop| level > overtop) {
            return Some(Condition::OvertopLevel);
        }
        let freeboard = seat.ground_m.map(|ground| ground - level);
        let drowned = freeboard.is_some_and(|freeboard| freeboard < seat.freeboard_m);
        (drowned && seat.access != Access::LeaveBeforeTheFlood).then_some(Condition::Freeboard)
    }

    fn window(&self, stretch: &Stretch, timetable: Timetable, water: Water) -> Window {
        let seat = self.wish.seat;
        let middle = shifted(stretch.start, minutes(stretch) / 2.0);
        Window {
            sun: [stretch.start, middle, stretch.end].map(|at| sun_over(seat, at)),
            score: water.chance_of_water * self.good_minutes(stretch),
            stretch: stretch.clone(),
            at_lower_water: water.at_lower_water,
            otherwise: water.otherwise,
            chance_of_water: water.chance_of_water,
            chance_above_upper: water.chance_above_upper,
            timetable,
        }
    }

    /// Minutes of a stretch, each weighted by the height of the sun, by the middle rule over eight parts: the weights are
    /// steps, and an eighth of a window is finer than they are known.
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
