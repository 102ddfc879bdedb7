//! When a visit was.

use jiff::civil::{Date, DateTime};
use jiff::tz::{AmbiguousOffset, TimeZone};
use jiff::{Timestamp, ZonedDateTime};

/// When a visit was.
///
/// The instant that mattered (the birds came in, the picture was made) is what conditions are worked out for. A note
/// that only gives a day keeps that honesty: it is counted, but joined with no conditions.
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

    /// The year in which its winter began. A winter runs from July to June.
    pub fn winter(self, zone: &TimeZone) -> i16 {
        let date = self.date(zone);
        if date.month() >= 7 {
            date.year()
        } else {
            date.year() - 1
        }
    }

    /// The instant, where one is known.
    pub const fn instant(self) -> Option<Timestamp> {
        match self {
            When::Day(_) => None,
            When::At(at) => Some(at),
        }
    }

    /// Reads a date, a local date and time in `zone`, or an instant with its own offset (`Z`, `+01:00`).
    ///
    /// # Errors
    /// A time that the clock change skips or repeats is refused, with the offset asked for: guessing would move the
    /// visit by an hour against the tide.
    pub fn parse(text: &str, zone: &TimeZone) -> Result<When, String> {
        let text = text.trim();
        if let Ok(at) = text.parse::<Timestamp>() {
            return Ok(When::At(at));
        }
        if let Ok(zoned) = text.parse::<ZonedDateTime>() {
            return Ok(When::At(zoned.timestamp()));
        }
        if text.len() <= 10 {
            return text
                .parse::<Date>()
                .map(When::Day)
                .map_err(|_| when_help(text));
        }
        let civil: DateTime = text.parse().map_err(|_| when_help(text))?;
        let ambiguous = zone.to_ambiguous_timestamp(civil);
        match ambiguous.offset() {
            AmbiguousOffset::Unambiguous { .. } => ambiguous
                .compatible()
                .map(When::At)
                .map_err(|_| when_help(text)),
            AmbiguousOffset::Gap { .. } => Err(format!(
                "'{text}' does not exist where the visit was: the clocks went forward over it; write the time with its offset, like {}+00:00",
                civil
            )),
            AmbiguousOffset::Fold { before, after } => Err(format!(
                "'{text}' happened twice where the visit was: the clocks went back; write {civil}{before} or {civil}{after}"
            )),
        }
    }
}

fn when_help(text: &str) -> String {
    format!(
        "'{text}' is neither a date nor a time; write 2026-01-24, or 2026-01-24 08:52 in the place's own time, or 2026-01-24T08:52Z"
    )
}

impl std::fmt::Display for When {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            When::Day(date) => write!(f, "{date}"),
            When::At(at) => write!(f, "{at}"),
        }
    }
}
