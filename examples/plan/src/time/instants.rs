//! Instants as people write them: one reader for every file, flag and question.

use jiff::civil::{Date, DateTime};
use jiff::tz::{AmbiguousOffset, Offset, TimeZone};
use jiff::{Timestamp, ZonedDateTime};

/// What somebody wrote down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Moment {
    /// Only a civil day.
    Day(Date),
    /// An instant.
    At(Timestamp),
}

/// Why a text is no instant.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}; {}", self.what(), self.remedy())]
#[non_exhaustive]
pub enum Unread {
    /// Neither a date nor a time.
    Neither {
        /// What was written.
        text: String,
    },
    /// A civil time, and no zone to read it in.
    NoOffset {
        /// What was written.
        text: String,
    },
    /// A civil time over which the clocks went forward.
    Skipped {
        /// What was written.
        text: String,
    },
    /// A civil time that came twice because the clocks went back.
    Repeated {
        /// The time.
        civil: DateTime,
        /// The offset the first time.
        before: Offset,
        /// The offset the second time.
        after: Offset,
    },
}

impl Unread {
    /// What is wrong.
    pub fn what(&self) -> String {
        match self {
            Self::Neither { text } => format!("\"{text}\" is neither a date nor a time"),
            Self::NoOffset { text } => format!("the time \"{text}\" has no offset"),
            Self::Skipped { text } => {
                format!("\"{text}\" does not exist there: the clocks went forward over it")
            }
            Self::Repeated { civil, .. } => {
                format!("\"{civil}\" happened twice there: the clocks went back")
            }
        }
    }

    /// What to do about it.
    pub fn remedy(&self) -> String {
        match self {
            Self::Neither { .. } => {
                "write 2026-01-24T08:52Z, or 2026-01-24 08:52 in local time, or 2026-01-24"
                    .to_owned()
            }
            Self::NoOffset { .. } => "add one (Z for UTC), or give --zone".to_owned(),
            Self::Skipped { .. } => "write it with its offset, such as Z for UTC".to_owned(),
            Self::Repeated {
                civil,
                before,
                after,
            } => format!("write {civil}{before} or {civil}{after}"),
        }
    }
}

/// Reads a date, a civil date and time in `zone`, or an instant with its own offset (`Z`,
/// `+01:00`).
///
/// # Errors
/// A time that a change of the clocks skips or repeats is refused, and its offset asked for: a
/// guess would be wrong by an hour against the tide.
pub fn read_moment(text: &str, zone: Option<&TimeZone>) -> Result<Moment, Unread> {
    let text = text.trim();
    let neither = || Unread::Neither {
        text: text.to_owned(),
    };
    if let Ok(at) = text.parse::<Timestamp>() {
        return Ok(Moment::At(at));
    }
    if let Ok(zoned) = text.parse::<ZonedDateTime>() {
        return Ok(Moment::At(zoned.timestamp()));
    }
    // A time of day makes a text longer than the longest date.
    if text.len() <= "2026-01-24".len() {
        return text.parse().map(Moment::Day).map_err(|_| neither());
    }
    let civil: DateTime = text.parse().map_err(|_| neither())?;
    let zone = zone.ok_or_else(|| Unread::NoOffset {
        text: text.to_owned(),
    })?;
    let ambiguous = zone.to_ambiguous_timestamp(civil);
    match ambiguous.offset() {
        AmbiguousOffset::Unambiguous { .. } => ambiguous
            .compatible()
            .map(Moment::At)
            .map_err(|_| neither()),
        AmbiguousOffset::Gap { .. } => Err(Unread::Skipped {
            text: text.to_owned(),
        }),
        AmbiguousOffset::Fold { before, after } => Err(Unread::Repeated {
            civil,
            before,
            after,
        }),
    }
}

/// The same where an instant is needed: a bare date means the beginning of that day in `zone`.
///
/// # Errors
/// As [`read_moment`], and a date without a zone.
pub fn read_instant(text: &str, zone: Option<&TimeZone>) -> Result<Timestamp, Unread> {
    match read_moment(text, zone)? {
        Moment::At(at) => Ok(at),
        Moment::Day(day) => {
            let zone = zone.ok_or_else(|| Unread::NoOffset {
                text: text.trim().to_owned(),
            })?;
            // The first instant of the day, also where midnight is skipped or comes twice.
            day.to_zoned_datetime(zone.clone())
                .map(|at| at.timestamp())
                .map_err(|_| Unread::Neither {
                    text: text.trim().to_owned(),
                })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Clocks went back from 03:00 to 02:00 on 25 October 2026 and forward over 02:00 on 29 March
    /// 2026 (Directive 2000/84/EC: the last Sundays, at 01:00 UTC).
    #[test]
    fn a_repeated_hour_is_asked_about_and_a_skipped_one_refused() {
        let zone = TimeZone::get("Europe/Berlin").unwrap();
        let repeated = read_instant("2026-10-25T02:30", Some(&zone)).unwrap_err();
        assert!(matches!(repeated, Unread::Repeated { .. }));
        let told = repeated.to_string();
        assert!(told.contains("2026-10-25T02:30:00+02"), "{told}");
        assert!(told.contains("2026-10-25T02:30:00+01"), "{told}");
        let skipped = read_instant("2026-03-29 02:30", Some(&zone)).unwrap_err();
        assert!(matches!(skipped, Unread::Skipped { .. }));
        let at = |text| read_instant(text, Some(&zone)).unwrap().to_string();
        assert_eq!(at("2026-10-25T02:30+01:00"), "2026-10-25T01:30:00Z");
        assert_eq!(at("2026-10-25 04:30"), "2026-10-25T03:30:00Z");
        assert_eq!(at("2026-10-25"), "2026-10-24T22:00:00Z");
    }

    #[test]
    fn without_a_zone_an_offset_is_asked_for() {
        for text in ["2026-01-24T08:52", "2026-01-24"] {
            let refused = read_instant(text, None).unwrap_err();
            assert!(matches!(refused, Unread::NoOffset { .. }), "{refused}");
        }
        assert!(matches!(
            read_instant("noon", None),
            Err(Unread::Neither { .. })
        ));
    }
}
