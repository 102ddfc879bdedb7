//! When a visit was.

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use wrackline_plan::time::{Moment, Unread, read_moment};

/// When a visit was.
///
/// The instant that mattered (the birds came in, the picture was made) is what conditions are
/// worked out for. A note that only gives a day keeps that honesty: it is counted, but joined with
/// no conditions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// Only the local date is known.
    Day(Date),
    /// The instant that mattered.
    At(Timestamp),
}

impl When {
    /// The local date in `zone`.
    pub fn date(self, zone: &TimeZone) -> Date {
        match self {
            When::Day(date) => date,
            When::At(at) => at.to_zoned_datetime(zone.clone()).date(),
        }
    }

    /// The instant, where one is known.
    pub const fn instant(self) -> Option<Timestamp> {
        match self {
            When::Day(_) => None,
            When::At(at) => Some(at),
        }
    }

    /// Reads a date, a local date and time in `zone`, or an instant with its own offset (`Z`,
    /// `+01:00`).
    ///
    /// # Errors
    /// A time that the clock change skips or repeats is refused, with the offset asked for:
    /// guessing would move the visit by an hour against the tide.
    pub fn parse(text: &str, zone: &TimeZone) -> Result<When, Unread> {
        Ok(match read_moment(text, Some(zone))? {
            Moment::Day(day) => When::Day(day),
            Moment::At(at) => When::At(at),
        })
    }
}

impl std::fmt::Display for When {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            When::Day(date) => write!(f, "{date}"),
            When::At(at) => write!(f, "{at}"),
        }
    }
}
