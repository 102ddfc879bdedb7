//! Clock times as somebody in the field reads them: one clock for text, card and calendar.

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, Unit};

use wrackline_plan::scenario::Scenario;
use wrackline_plan::season::Outing;
use wrackline_plan::time::{Stretch, Stretches, shifted};
use wrackline_plan::windows::{Occasion, Step};

use crate::limits::{Limit, Side};

/// Prints instants in the zone of a scenario, and says the day where it is not that of the outing.
#[derive(Clone, Debug)]
pub struct Clock {
    zone: TimeZone,
    date: Date,
    with_offset: bool,
}

impl Clock {
    /// For instants of `date` between two others. Where the clocks change between them, every time
    /// carries its offset.
    pub(crate) fn new(scenario: &Scenario, date: Date, from: Timestamp, to: Timestamp) -> Self {
        let zone = scenario.zone().clone();
        let with_offset = zone.to_offset(from) != zone.to_offset(to);
        Self {
            zone,
            date,
            with_offset,
        }
    }

    /// For all that is printed of an outing, from leaving home to the overdue contact.
    pub fn of(scenario: &Scenario, outing: &Outing<'_>) -> Self {
        let times = &outing.window.timetable;
        let home = scenario.place_of(outing.seat).from_home_minutes;
        let mut from = shifted(times.set_out, -home.unwrap_or(0.0));
        let mut to = times.overdue;
        // The way and the animals may have times before one comes and after one has gone.
        if let Some(way) = times.way {
            from = from.min(way.cross_by);
            to = to.max(way.cross_from);
        }
        if let Some(tide) = &outing.occasion.high_water {
            from = from.min(tide.animals.start);
            to = to.max(tide.animals.end);
        }
        Self::new(scenario, outing.occasion.date, from, to)
    }

    /// For what is told of an occasion, step by step.
    pub(crate) fn of_steps(scenario: &Scenario, occasion: &Occasion) -> Self {
        let left = |step: &Step| {
            step.left
                .iter()
                .map(|s| (s.start, s.end))
                .collect::<Vec<_>>()
        };
        let tide = occasion.high_water.as_ref().map(|tide| (tide.at, tide.at));
        let told = occasion.steps.iter().flat_map(left).chain(tide);
        let whole = told.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
        let (from, to) = whole.unwrap_or((Timestamp::UNIX_EPOCH, Timestamp::UNIX_EPOCH));
        Self::new(scenario, occasion.date, from, to)
    }

    /// Hours and minutes.
    pub fn time(&self, at: Timestamp, side: Side) -> String {
        let local = side
            .rounded(at, Unit::Minute)
            .to_zoned_datetime(self.zone.clone());
        let clock = if self.with_offset {
            local.strftime("%H:%M %:z").to_string()
        } else {
            local.strftime("%H:%M").to_string()
        };
        if local.date() == self.date {
            clock
        } else {
            format!("{} {clock}", local.strftime("%a"))
        }
    }

    /// Hours and minutes of a limit, on its cautious side.
    pub fn limit(&self, limit: Limit) -> String {
        self.time(limit.at, limit.side)
    }

    /// Hours and minutes to the nearest minute.
    pub fn near(&self, at: Timestamp) -> String {
        self.time(at, Side::Nearest)
    }

    /// From and until of time that can be used: the first not earlier, the last not later.
    pub fn usable(&self, stretch: &Stretch) -> [String; 2] {
        [
            self.time(stretch.start, Side::NotEarlier),
            self.time(stretch.end, Side::NotLater),
        ]
    }

    /// Stretches of time that can be used.
    pub(crate) fn stretches(&self, stretches: &Stretches) -> String {
        if stretches.is_empty() {
            return "nothing is left".to_owned();
        }
        let each = stretches
            .iter()
            .map(|stretch| self.usable(stretch).join("-"));
        each.collect::<Vec<_>>().join(", ")
    }

    /// Whether the clock shows a full hour, and which.
    pub(crate) fn full_hour(&self, at: Timestamp) -> Option<i8> {
        let local = at.to_zoned_datetime(self.zone.clone());
        (local.minute() == 0).then(|| local.hour())
    }

    /// The offset from UTC at an instant, such as "+01:00".
    pub(crate) fn offset(&self, at: Timestamp) -> String {
        at.to_zoned_datetime(self.zone.clone())
            .strftime("%:z")
            .to_string()
    }
}
