//! The times of an outing in order, and what the water says about leaving.

use jiff::Timestamp;
use wrackline_solar::{Direction, Threshold};

use super::{Clock, Side};
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
    let window = &outing.window;
    let mut list = Steps {
        clock,
        list: Vec::new(),
    };
    let (by, from) = (Side::NotLater, Side::NotEarlier);
    let way_name = scenario
        .way_in_of(outing.seat)
        .map_or("the way in", |way| way.name.as_str());
    let dark = |dark: bool| if dark { "in the dark" } else { "" };

    if let Some(at) = leave_home {
        list.add(at, by, "leave home", "");
    }
    let parking = scenario.place_of(outing.seat).parking.as_deref();
    let at_the_road = [parking.unwrap_or_default(), dark(times.in_by_dark)];
    let at_the_road: Vec<&str> = at_the_road.into_iter().filter(|d| !d.is_empty()).collect();
    list.add(
        times.set_out,
        by,
        "set out from the road",
        &at_the_road.join("; "),
    );
    if let Some(way) = times.way {
        // Only if it has to be crossed before it closes; on the ebb it may be behind by then.
        if times.seated_by <= way.cross_by {
            list.add(
                way.cross_by,
                by,
                &format!("across {way_name}"),
                "at the latest",
            );
        }
        list.add(way.cut, by, &format!("{way_name} cut"), "upper water");
        if times.latest_departure.is_none() {
            list.add(way.clear, from, &format!("{way_name} clear"), "upper water");
            let what = if times.stand_up == way.cross_from {
                "stand up, not before"
            } else {
                "not back across before"
            };
            list.strong(way.cross_from, from, what, "");
        }
    }
    list.add(times.seated_by, by, "seated and still", "");
    if let Some(hw) = &outing.occasion.high_water {
        list.add(
            hw.roosting.start,
            Side::Nearest,
            "animals expected",
            "push level",
        );
        let height = format!("{:.2} m, predicted", hw.height_m);
        list.add(hw.at, Side::Nearest, "high water", &height);
        list.add(
            hw.roosting.end,
            Side::Nearest,
            "animals leave",
            "push level",
        );
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
        list.add(event.at, Side::Nearest, what, &azimuth);
    }
    list.add(window.stretch.start, from, "pictures from", "");
    list.add(window.stretch.end, by, "pictures until", "");
    if let Some(latest) = times.latest_departure {
        list.strong(latest, by, "LATEST DEPARTURE", dark(times.out_by_dark));
    }
    let told = |at| Some(at) == times.latest_departure;
    if !told(times.stand_up) && times.way.is_none_or(|way| way.cross_from != times.stand_up) {
        let detail = dark(times.out_by_dark);
        list.add(times.stand_up, from, "stand up, go slowly", detail);
    }
    list.add(times.back_by, from, "back at the road", "");
    let contact = scenario.contact().map_or(String::new(), Contact::line);
    list.add(times.overdue, from, "overdue: contact acts", &contact);

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
    fn add(&mut self, at: Timestamp, side: Side, what: &str, detail: &str) {
        self.list.push(Step {
            at: Some(at),
            clock: self.clock.time(at, side),
            what: what.to_owned(),
            detail: detail.to_owned(),
            strong: false,
        });
    }

    fn strong(&mut self, at: Timestamp, side: Side, what: &str, detail: &str) {
        self.add(at, side, what, detail);
        if let Some(step) = self.list.last_mut() {
            step.strong = true;
        }
    }
}
