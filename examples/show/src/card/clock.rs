//! Clock times as somebody in the field reads them.

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{RoundMode, Timestamp, TimestampRound, Unit};

use wrackline_plan::scenario::Scenario;

/// To which side an instant is rounded to a minute. A limit is never rounded to its far side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The nearest minute, where nothing depends on it.
    Nearest,
    /// Not later: for "by then at the latest".
    NotLater,
    /// Not earlier: for "not before".
    NotEarlier,
}

/// Prints instants in the zone of a scenario, and says the day where it is not that of the card.
#[derive(Clone, Debug)]
pub struct Clock {
    zone: TimeZone,
    date: Date,
    with_offset: bool,
}

impl Clock {
    /// For an outing on `date` between two instants. Where the clocks change between them, every time carries its offset.
    pub(crate) fn new(scenario: &Scenario, date: Date, from: Timestamp, to: Timestamp) -> Self {
        let zone = scenario.zone().clone();
        let with_offset = zone.to_offset(from) != zone.to_offset(to);
        Self {
            zone,
            date,
            with_offset,
        }
    }

    /// Hours and minutes.
    pub fn time(&self, at: Timestamp, side: Side) -> String {
        let mode = match side {
            Side::Nearest => RoundMode::HalfExpand,
            Side::NotLater => RoundMode::Floor,
            Side::NotEarlier => RoundMode::Ceil,
        };
        let to_minute = TimestampRound::new().smallest(Unit::Minute).mode(mode);
        let local = at
            .round(to_minute)
            .unwrap_or(at)
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

    /// Hours and minutes to the nearest minute.
    pub fn near(&self, at: Timestamp) -> String {
        self.time(at, Side::Nearest)
    }

    /// Whether the clock shows a full hour, and which.
    pub(super) fn full_hour(&self, at: Timestamp) -> Option<i8> {
        let local = at.to_zoned_datetime(self.zone.clone());
        (local.minute() == 0).then(|| local.hour())
    }

    /// The offset from UTC at an instant, such as "+01:00".
    pub(super) fn offset(&self, at: Timestamp) -> String {
        at.to_zoned_datetime(self.zone.clone())
            .strftime("%:z")
            .to_string()
    }
}
