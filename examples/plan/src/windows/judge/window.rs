//! From an outing that the water allows to a window: what the calendar and the free hours say, and
//! what stands in the window.

use jiff::civil::Date;

use super::Judge;
use super::water::Water;
use crate::outing::search::{Found, Outing};
use crate::outing::{Condition, Refusal, Timetable};
use crate::time::{Stretch, minutes, shifted};
use crate::windows::light::{SunNearView, moon_over, sun_over};
use crate::windows::{Window, calendar};

impl Judge<'_> {
    /// The windows of those outings that are long enough and that the calendar and the free hours
    /// allow.
    pub(super) fn permitted(
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
        if let Some(free) = self.free {
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

    pub(super) fn window(&self, outing: &Outing, water: Water) -> Window {
        let seat = self.wish.seat;
        let stretch = &outing.pictures;
        let middle = shifted(stretch.start, minutes(stretch) / 2.0);
        let instants = [stretch.start, middle, stretch.end];
        let by_moon = self.wish.light.moon.is_some();
        Window {
            sun: instants.map(|at| sun_over(seat, at)),
            moon: by_moon.then(|| instants.map(|at| moon_over(seat, at))),
            sun_near_view: SunNearView::over(seat, self.sky, stretch),
            terrain_takes: self.light.terrain_takes_around(stretch.start),
            score: water.chance_of_water * self.good_minutes(stretch),
            stretch: stretch.clone(),
            at_lower_water: water.at_lower_water,
            otherwise: water.otherwise,
            chance_of_water: water.chance_of_water,
            chance_above_upper: water.chance_above_upper,
            ask_first: calendar::ask_first(self.scenario, self.wish, self.days(&outing.times)),
            frost: calendar::frost(self.scenario, self.wish, self.days(&outing.times)),
            timetable: outing.times.clone(),
            weather: self
                .scenario
                .weather()
                .map(|weather| weather.at_window(self.wish.light, stretch, &outing.times.whole())),
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
