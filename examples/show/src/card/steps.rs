//! The times of an outing in order, and what the water says about leaving.

use jiff::Timestamp;
use wrackline_solar::{Direction, Threshold};

use crate::clock::Clock;
use crate::limits::{Limit, Limits, Side, level_down};
use crate::told::length;
use wrackline_plan::scenario::{Contact, Scenario};
use wrackline_plan::season::Outing;

/// One time of the outing.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// When; `None` where the photographer must fill it in.
    pub at: Option<Timestamp>,
    /// The time as it is printed, rounded to the cautious side.
    pub clock: String,
    /// What to do, or what happens.
    pub what: String,
    /// What hangs on it.
    pub detail: String,
    /// What the eye must find first.
    pub strong: bool,
}

/// Whether the animals, the seat or the way to it depend on the water.
pub(super) fn water_matters(scenario: &Scenario, outing: &Outing<'_>) -> bool {
    outing.occasion.high_water.is_some()
        || outing.seat.ground_m.is_some()
        || scenario.way_in_of(outing.seat).is_some()
}

/// Every time of the outing, from leaving home to the overdue contact.
pub(super) fn steps(
    scenario: &Scenario,
    outing: &Outing<'_>,
    leave_home: Option<Timestamp>,
    clock: &Clock,
) -> Vec<Step> {
    let times = &outing.window.timetable;
    let limits = Limits::of(outing);
    let mut list = Steps {
        clock,
        list: Vec::new(),
    };
    let way_name = scenario
        .way_in_of(outing.seat)
        .map_or("the way in", |way| way.name.as_str());
    let dark = |dark: bool| if dark { "in the dark" } else { "" };

    if let Some(at) = leave_home {
        let side = Side::NotLater;
        list.add(Limit { at, side }, "leave home", "");
    }
    let parking = scenario.place_of(outing.seat).parking.as_deref();
    let at_the_road = [parking.unwrap_or_default(), dark(times.in_by_dark)];
    let at_the_road: Vec<&str> = at_the_road.into_iter().filter(|d| !d.is_empty()).collect();
    list.add(
        limits.set_out,
        "set out from the road",
        &at_the_road.join("; "),
    );
    if let Some(way) = limits.way {
        // Only if it has to be crossed before it closes; on the ebb it may be behind by then.
        if times.seated_by <= way.cross_by.at {
            let what = format!("across {way_name}");
            list.add(way.cross_by, &what, "at the latest");
        }
        list.add(way.cut, &format!("{way_name} cut"), "upper water");
        if times.latest_departure.is_none() {
            list.add(way.clear, &format!("{way_name} clear"), "upper water");
            let what = if times.stand_up == way.cross_from.at {
                "stand up, not before"
            } else {
                "not back across before"
            };
            list.strong(way.cross_from, what, "");
        }
    }
    list.add(limits.seated_by, "seated and still", "");
    if let Some(hw) = &outing.occasion.high_water {
        // With the forecast, which may bring them sooner and keep them longer.
        let by = |moved: bool| match scenario.weather() {
            Some(_) if moved => "push level, by the forecast",
            _ => "push level",
        };
        let (animals, expected) = (&hw.animals, &hw.roosting);
        let sooner = by(animals.start < expected.start);
        list.near(animals.start, "animals expected", sooner);
        let height = format!("{} m, predicted", level_down(hw.height_m));
        list.near(hw.at, "high water", &height);
        let later = by(animals.end > expected.end);
        list.near(animals.end, "animals leave", later);
    }
    let span = times.set_out..times.overdue;
    let observer = &outing.seat.observer;
    let crossings = observer.sun_crossings(Threshold::SUNRISE, span);
    // An outing is a span that holds time, so there is no error to tell.
    for event in crossings.iter().flat_map(|found| &found.events) {
        let what = match event.direction {
            Direction::Rising => "sunrise",
            Direction::Setting => "sunset",
        };
        let azimuth = format!("{:.0}°", event.azimuth_deg);
        list.near(event.at, what, &azimuth);
    }
    list.add(limits.pictures_from, "pictures from", "");
    list.add(limits.pictures_until, "pictures until", "");
    if let Some(latest) = limits.latest_departure {
        list.strong(latest, "LATEST DEPARTURE", dark(times.out_by_dark));
    }
    let told = |at| Some(at) == times.latest_departure;
    if !told(times.stand_up) && times.way.is_none_or(|way| way.cross_from != times.stand_up) {
        let detail = dark(times.out_by_dark);
        list.add(limits.stand_up, "stand up, go slowly", detail);
    }
    list.add(
        limits.back_by,
        "back at the road",
        &length(scenario, outing),
    );
    let contact = scenario.contact().map_or(String::new(), Contact::line);
    list.add(limits.overdue, "overdue: contact acts", &contact);

    let mut list = list.list;
    list.sort_by_key(|step| step.at);
    if leave_home.is_none() {
        let mut blank = Step {
            at: None,
            clock: String::new(),
            what: "leave home".to_owned(),
            detail: String::new(),
            strong: false,
        };
        blank.leave_to_the_pencil();
        list.insert(0, blank);
    }
    list
}

impl Step {
    fn leave_to_the_pencil(&mut self) {
        self.at = None;
        self.clock = "__:__".to_owned();
        self.detail = "fill in".to_owned();
    }
}

struct Steps<'c> {
    clock: &'c Clock,
    list: Vec<Step>,
}

impl Steps<'_> {
    fn add(&mut self, limit: Limit, what: &str, detail: &str) {
        self.list.push(Step {
            at: Some(limit.at),
            clock: self.clock.limit(limit),
            what: what.to_owned(),
            detail: detail.to_owned(),
            strong: false,
        });
    }

    /// What happens by itself, to the nearest minute.
    fn near(&mut self, at: Timestamp, what: &str, detail: &str) {
        let side = Side::Nearest;
        self.add(Limit { at, side }, what, detail);
    }

    fn strong(&mut self, limit: Limit, what: &str, detail: &str) {
        self.add(limit, what, detail);
        if let Some(step) = self.list.last_mut() {
            step.strong = true;
        }
    }
}
