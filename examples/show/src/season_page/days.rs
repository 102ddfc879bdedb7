//! The rows of a calendar: civil days in the scenario's zone, and where on them an instant falls.

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use wrackline_plan::scenario::Scenario;
use wrackline_plan::season::{self, civil_span};
use wrackline_plan::time::{Stretch, Stretches};

/// One civil day.
#[derive(Clone, Debug)]
pub(super) struct Day {
    pub(super) date: Date,
    pub(super) stretch: Stretch,
}

impl Day {
    /// Saturday or Sunday.
    pub(super) fn is_weekend(&self) -> bool {
        is_weekend(self.date)
    }
}

pub(super) fn is_weekend(date: Date) -> bool {
    use jiff::civil::Weekday::{Saturday, Sunday};
    matches!(date.weekday(), Saturday | Sunday)
}

/// All days of a season, in order.
#[derive(Clone, Debug)]
pub(super) struct Days {
    zone: TimeZone,
    pub(super) all: Vec<Day>,
}

/// A part of one day, its ends by the clock of that day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Piece {
    /// Which day, counted from the first of those that were asked for.
    pub(super) row: usize,
    pub(super) from_minute: f64,
    pub(super) to_minute: f64,
}

impl Days {
    pub(super) fn of(scenario: &Scenario, from: Date, last: Date) -> Result<Self, season::Error> {
        let mut all = Vec::new();
        let mut date = from;
        while date <= last {
            let stretch = civil_span(scenario, date, date)?;
            all.push(Day { date, stretch });
            let Ok(next) = date.tomorrow() else { break };
            date = next;
        }
        Ok(Self {
            zone: scenario.zone().clone(),
            all,
        })
    }

    /// Positions of the first and past the last day of each month.
    pub(super) fn months(&self) -> Vec<std::ops::Range<usize>> {
        let mut months: Vec<std::ops::Range<usize>> = Vec::new();
        for (at, day) in self.all.iter().enumerate() {
            match months.last_mut() {
                Some(month) if self.all[month.start].date.month() == day.date.month() => {
                    month.end = at + 1;
                }
                _ => months.push(at..at + 1),
            }
        }
        months
    }

    /// The parts of stretches on some of the days. Where the clocks go back inside a part, its end
    /// may lie before its beginning by the clock: such a part runs from the earlier to the later of
    /// the two.
    pub(super) fn pieces(&self, days: &[Day], stretches: &Stretches) -> Vec<Piece> {
        let mut pieces = Vec::new();
        for (row, day) in days.iter().enumerate() {
            for part in stretches.within(&day.stretch).iter() {
                let from = self.minute_of_day(part.start);
                let to = if part.end == day.stretch.end {
                    MINUTES_OF_DAY
                } else {
                    self.minute_of_day(part.end)
                };
                pieces.push(Piece {
                    row,
                    from_minute: from.min(to),
                    to_minute: from.max(to),
                });
            }
        }
        pieces
    }

    /// Minutes that the clock shows past midnight.
    pub(super) fn minute_of_day(&self, at: Timestamp) -> f64 {
        let local = at.to_zoned_datetime(self.zone.clone());
        f64::from(local.hour()) * 60.0
            + f64::from(local.minute())
            + f64::from(local.second()) / 60.0
    }
}

/// Minutes on the clock of a day.
pub(super) const MINUTES_OF_DAY: f64 = 1440.0;
