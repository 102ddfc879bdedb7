//! Joins light, tide, stand-off, season and access into stretches of time in which an outing makes sense.
//!
//! For a seat, a subject and a kind of light, each tide of a span (each day, where no tide plays a part) is an
//! [`Occasion`]. It has windows, or the conditions that it fails, each with its shortfall. Nothing is sampled: windows are
//! intersections of stretches whose ends are roots of the tide's and the sun's own curves.
//!
//! Safety is judged on the upper water, the picture on the expected water, with the chance that it comes true.

mod access;
mod light;
mod refusal;
mod tide;
mod timetable;

use jiff::Timestamp;
use jiff::civil::Date;
use wrackline_tides::Predictor;

pub use access::{Closing, Stay};
pub use light::{SunOverView, side_name, sun_over};
pub use refusal::{Condition, Refusal};
pub use tide::HighWater;
pub use timetable::Timetable;

use crate::scenario::{ClosureRule, Light, Scenario, Seat, Subject};
use crate::stretches::{Stretch, Stretches, minutes};

/// What is looked for.
#[derive(Clone, Copy, Debug)]
pub struct Wish<'s> {
    /// From where.
    pub seat: &'s Seat,
    /// Of what.
    pub subject: &'s Subject,
    /// In what light.
    pub light: &'s Light,
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
    /// Whether there is enough of the wanted light while the animals are expected, whatever else fails.
    pub lit: bool,
    /// The conditions that it fails, in order; empty when it has windows.
    pub refusals: Vec<Refusal>,
    /// The windows.
    pub windows: Vec<Window>,
    /// Who must be asked first, and why.
    pub ask_first: Vec<String>,
}

/// A stretch of time for pictures, with the times of the outing around it.
#[derive(Clone, Debug, PartialEq)]
pub struct Window {
    /// Time for pictures: animals expected, light as wanted, seat permissible.
    pub stretch: Stretch,
    /// The part of it that remains if the water stays at its lower allowance; `None` if the animals are then not pushed.
    pub at_lower_water: Option<Stretch>,
    /// Chance that the water reaches the push level and stays below the overtop level; 1 where no tide plays a part.
    pub chance_of_water: f64,
    /// Chance that the water exceeds the upper level by which safety was judged, where that matters.
    pub chance_above_upper: Option<f64>,
    /// The times of the outing.
    pub timetable: Timetable,
    /// The sun at start, middle and end of the window.
    pub sun: [SunOverView; 3],
    /// Minutes of wanted light with animals that may be expected, weighted by the light: what the ranking goes by.
    pub score: f64,
}

/// Everything about one wish over a span.
#[derive(Clone, Debug)]
pub struct Outlook {
    /// What no date can mend, such as a seat inside the stand-off distance.
    pub never: Vec<Refusal>,
    /// Every tide, or every stretch of light, in order of time.
    pub occasions: Vec<Occasion>,
}

/// Hours by which tide and light are looked at beyond the span, so that a window at its edge is whole.
pub const MARGIN_HOURS: i64 = 36;

/// Finds every window of a wish whose high water (or first light) lies in the span.
///
/// `predictor` must cover the span and [`MARGIN_HOURS`] on either side; `None` where the scenario has no tide.
pub fn outlook(
    scenario: &Scenario,
    wish: Wish<'_>,
    span: &Stretch,
    predictor: Option<&Predictor>,
) -> Outlook {
    let never = never(scenario, wish);
    let margin = jiff::SignedDuration::from_hours(MARGIN_HOURS);
    let wide = span.start.checked_sub(margin).unwrap_or(Timestamp::MIN)
        ..span.end.checked_add(margin).unwrap_or(Timestamp::MAX);
    let lit = light::stretches(wish.seat, wish.light, &wide);
    let place = scenario.place_of(wish.seat);
    let occasions = match (place.push_m, predictor) {
        (Some(push_m), Some(predictor)) => {
            tide::high_waters(scenario, place, push_m, span, predictor)
                .into_iter()
                .map(|high_water| judge_tide(scenario, wish, high_water, &lit, predictor))
                .collect()
        }
        _ => lit
            .iter()
            .filter(|stretch| span.contains(&stretch.start))
            .map(|stretch| judge_daylight(scenario, wish, stretch))
            .collect(),
    };
    let occasions: Vec<Occasion> = occasions;
    let occasions = occasions
        .into_iter()
        .map(|mut occasion| {
            if !never.is_empty() {
                occasion.windows.clear();
            }
            occasion
        })
        .collect();
    Outlook { never, occasions }
}

/// What no date can mend.
fn never(scenario: &Scenario, wish: Wish<'_>) -> Vec<Refusal> {
    let stand_off = wish.subject.stand_off_m(wish.seat);
    let mut never = Vec::new();
    if wish.seat.distance_m < stand_off {
        never.push(Refusal::new(
            Condition::StandOff,
            stand_off - wish.seat.distance_m,
            format!(
                "{} m from the {}, inside its stand-off distance of {stand_off} m {}",
                wish.seat.distance_m,
                wish.subject.name,
                if wish.seat.hide {
                    "from a hide"
                } else {
                    "on foot"
                }
            ),
        ));
    }
    never.extend(access::never(scenario, wish.seat));
    never
}

fn judge_tide(
    scenario: &Scenario,
    wish: Wish<'_>,
    high_water: HighWater,
    lit: &Stretches,
    predictor: &Predictor,
) -> Occasion {
    let seat = wish.seat;
    let place = scenario.place_of(seat);
    let date = civil(scenario, high_water.at);
    let mut refusals = calendar_refusals(scenario, wish, date..=date);
    refusals.extend(tide::refusals(&high_water, place));

    let in_band = high_water.in_band;
    let light_there = lit.within(&high_water.roosting);
    let shortest = scenario.habits().shortest_minutes;
    let lit_minutes = light_there.longest().map_or(0.0, minutes);
    let is_lit = in_band && lit_minutes >= shortest;

    let stay = access::stay(scenario, seat, predictor, &high_water);
    let mut windows = Vec::new();
    match stay {
        Err(refusal) => refusals.push(refusal),
        Ok(_) if !in_band => {}
        Ok(_) if light_there.is_empty() => refusals.push(Refusal::new(
            Condition::Light,
            shortest,
            format!("no {} while the animals are expected", wish.light.name),
        )),
        Ok(stay) => {
            let usable = light_there.intersect(&stay.allowed);
            match usable.longest().map(minutes) {
                None => refusals.push(Refusal::new(
                    Condition::WayIn,
                    0.0,
                    "the seat must be left before the animals are there in that light".to_owned(),
                )),
                Some(longest) if longest < shortest => refusals.push(Refusal::new(
                    Condition::Duration,
                    shortest - longest,
                    format!("{longest:.0} of {shortest:.0} min"),
                )),
                Some(_) => {
                    for stretch in usable.iter().filter(|s| minutes(s) >= shortest) {
                        let timetable =
                            Timetable::for_tide(scenario, seat, &stay, &high_water, stretch);
                        let days =
                            civil(scenario, timetable.set_out)..=civil(scenario, timetable.back_by);
                        let closed = calendar_refusals(scenario, wish, days);
                        if !closed.is_empty() {
                            refusals.extend(closed);
                            continue;
                        }
                        windows.push(tide_window(
                            scenario,
                            seat,
                            &high_water,
                            stretch,
                            timetable,
                            lit,
                        ));
                    }
                }
            }
        }
    }
    tidy(&mut refusals);
    if !refusals.is_empty() {
        windows.clear();
    }
    Occasion {
        date,
        high_water: Some(high_water),
        in_band,
        lit: is_lit,
        refusals,
        windows,
        ask_first: ask_first(scenario, wish, date),
    }
}

fn tide_window(
    scenario: &Scenario,
    seat: &Seat,
    high_water: &HighWater,
    stretch: &Stretch,
    timetable: Timetable,
    lit: &Stretches,
) -> Window {
    let water = scenario.water();
    let at_lower_water = high_water
        .roosting_at_lower_water
        .as_ref()
        .and_then(|roosting| lit.within(roosting).within(stretch).longest().cloned());
    let chance_of_water = tide::chance_in_band(high_water, scenario.place_of(seat), water);
    let chance_above_upper = (seat.ground_m.is_some() || timetable.way.is_some())
        .then(|| tide::chance_above(water.upper_allowance_m, water.standard_deviation_m));
    window(
        seat,
        stretch,
        at_lower_water,
        chance_of_water,
        chance_above_upper,
        timetable,
    )
}

fn window(
    seat: &Seat,
    stretch: &Stretch,
    at_lower_water: Option<Stretch>,
    chance_of_water: f64,
    chance_above_upper: Option<f64>,
    timetable: Timetable,
) -> Window {
    let middle = crate::stretches::shifted(stretch.start, minutes(stretch) / 2.0);
    Window {
        sun: [stretch.start, middle, stretch.end].map(|at| sun_over(seat, at)),
        score: chance_of_water * good_minutes(seat, stretch),
        stretch: stretch.clone(),
        at_lower_water,
        chance_of_water,
        chance_above_upper,
        timetable,
    }
}

fn judge_daylight(scenario: &Scenario, wish: Wish<'_>, stretch: &Stretch) -> Occasion {
    let date = civil(scenario, stretch.start);
    let timetable = Timetable::by_day(scenario, wish.seat, stretch);
    let days = civil(scenario, timetable.set_out)..=civil(scenario, timetable.back_by);
    let mut refusals = calendar_refusals(scenario, wish, days);
    let shortest = scenario.habits().shortest_minutes;
    let length = minutes(stretch);
    if length < shortest {
        refusals.push(Refusal::new(
            Condition::Duration,
            shortest - length,
            format!("{length:.0} of {shortest:.0} min"),
        ));
    }
    tidy(&mut refusals);
    let windows = if refusals.is_empty() {
        vec![window(
            wish.seat,
            stretch,
            Some(stretch.clone()),
            1.0,
            None,
            timetable,
        )]
    } else {
        Vec::new()
    };
    Occasion {
        date,
        high_water: None,
        in_band: true,
        lit: length >= shortest,
        refusals,
        windows,
        ask_first: ask_first(scenario, wish, date),
    }
}

/// The civil day of an instant in the scenario's zone.
fn civil(scenario: &Scenario, at: Timestamp) -> Date {
    at.to_zoned_datetime(scenario.zone().clone()).date()
}

/// Closures, breeding and presence, over every day that an outing touches.
fn calendar_refusals(
    scenario: &Scenario,
    wish: Wish<'_>,
    days: std::ops::RangeInclusive<Date>,
) -> Vec<Refusal> {
    let place = scenario.place_of(wish.seat);
    let mut refusals = Vec::new();
    let mut day = *days.start();
    while day <= *days.end() {
        for closure in scenario.closures_of(place) {
            if closure.rule == ClosureRule::Closed
                && closure.applies_on(day, scenario.habits().frozen_days)
            {
                refusals.push(Refusal::new(
                    Condition::Closure,
                    0.0,
                    format!("{day} {}", closure.reason),
                ));
            }
        }
        if wish.subject.breeding.contains(day) {
            refusals.push(Refusal::new(
                Condition::Breeding,
                0.0,
                format!("the {} breeds on {day}", wish.subject.name),
            ));
        }
        if !wish.subject.present.contains(day) {
            refusals.push(Refusal::new(
                Condition::Presence,
                0.0,
                format!("the {} is not expected on {day}", wish.subject.name),
            ));
        }
        let Ok(next) = day.tomorrow() else { break };
        day = next;
    }
    refusals
}

fn ask_first(scenario: &Scenario, wish: Wish<'_>, date: Date) -> Vec<String> {
    let closures = scenario
        .closures_of(scenario.place_of(wish.seat))
        .filter(|closure| closure.rule == ClosureRule::AskFirst)
        .filter(|closure| closure.applies_on(date, scenario.habits().frozen_days))
        .map(|closure| closure.reason.clone());
    let permission = wish
        .seat
        .permission
        .as_ref()
        .map(|permission| format!("permission: {permission}"));
    closures.chain(permission).collect()
}

fn tidy(refusals: &mut Vec<Refusal>) {
    refusals.sort_by_key(|refusal| refusal.condition);
    refusals.dedup();
}

/// Minutes of a stretch, each weighted by the height of the sun. The weights are our defaults: low sun models an animal
/// and warms it, glow below the horizon is fine but dim, high sun is hard.
fn good_minutes(seat: &Seat, stretch: &Stretch) -> f64 {
    const STEPS: u32 = 8;
    let length = minutes(stretch);
    let total: f64 = (0..STEPS)
        .map(|step| {
            let middle_of_step = length * (f64::from(step) + 0.5) / f64::from(STEPS);
            let at = crate::stretches::shifted(stretch.start, middle_of_step);
            altitude_weight(seat.observer.sun(at).altitude_deg)
        })
        .sum();
    length * total / f64::from(STEPS)
}

fn altitude_weight(altitude_deg: f64) -> f64 {
    match altitude_deg {
        a if a < 0.0 => 0.7,
        a if a < 6.0 => 1.0,
        a if a < 12.0 => 0.9,
        a if a < 20.0 => 0.6,
        _ => 0.3,
    }
}
