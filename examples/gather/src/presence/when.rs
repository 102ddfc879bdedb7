//! The days of an event as the standard writes them: ISO 8601-1:2019 dates, dates with a time, and
//! intervals of both.

use jiff::ToSpan;
use jiff::civil::{Date, date};

/// The days of an event, first and last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Days {
    pub(super) first: Date,
    pub(super) last: Date,
}

impl Days {
    fn of(first: Date, last: Date) -> Option<Self> {
        (first <= last).then_some(Self { first, last })
    }

    /// The days from a year, a month and a day that stand in columns of their own.
    pub(super) fn of_parts(year: &str, month: Option<&str>, day: Option<&str>) -> Option<Self> {
        let year = number(year, 4)?;
        match (month, day) {
            (None, None) => of_year(year),
            (Some(month), None) => of_month(year, number(month, 2)?),
            (Some(month), Some(day)) => {
                let day = Date::new(year, number(month, 2)? as i8, number(day, 2)? as i8).ok()?;
                Days::of(day, day)
            }
            (None, Some(_)) => None,
        }
    }
}

/// Reads an event's date: `2026`, `2026-03`, `2026-03-14`, any of them with a time of day behind a
/// `T` or a blank, and two of them with a `/` between, of which the second may leave out what it
/// shares with the first (`2026-03-14/15`). The day is the one that is written, in whatever zone.
impl core::str::FromStr for Days {
    type Err = ();

    fn from_str(text: &str) -> Result<Self, ()> {
        let days = match text.split_once('/') {
            None => one(text),
            Some((from, to)) => (|| {
                let from = one(from)?;
                let to = one(to).or_else(|| shortened(from.first, to))?;
                Days::of(from.first, to.last)
            })(),
        };
        days.ok_or(())
    }
}

fn one(text: &str) -> Option<Days> {
    let text = text.trim();
    let (day, time) = match text.split_once(['T', ' ']) {
        Some((day, time)) => (day, Some(time)),
        None => (text, None),
    };
    if time.is_some_and(|time| !is_a_time(time)) {
        return None;
    }
    let mut parts = day.split('-');
    let year = parts.next().filter(|year| year.len() == 4)?;
    let (month, day) = (parts.next(), parts.next());
    let two = |part: Option<&str>| part.is_none_or(|part| part.len() == 2);
    // A time belongs to a day.
    if parts.next().is_some() || !two(month) || !two(day) || (time.is_some() && day.is_none()) {
        return None;
    }
    Days::of_parts(year, month, day)
}

/// The end of an interval that leaves out its year, or its year and month; or that is a time of the
/// day on which the interval began.
fn shortened(from: Date, text: &str) -> Option<Days> {
    let text = text.trim();
    let (year, month) = (from.year(), from.month());
    let day = match text.split_once(['T', ' ']) {
        Some((day, time)) if is_a_time(time) => day,
        Some(_) => return None,
        None => text,
    };
    if day.contains(':') {
        return is_a_time(day).then(|| Days::of(from, from))?;
    }
    let (month, day) = match day.split_once('-') {
        Some((month, day)) => (number(month, 2)? as i8, day),
        None => (month, day),
    };
    let last = Date::new(year, month, number(day, 2)? as i8).ok()?;
    Days::of(last, last)
}

/// Whether a text looks like a time of day with or without its zone. Which one it is does not
/// matter: a visit belongs to its day.
fn is_a_time(text: &str) -> bool {
    let digits = text.starts_with(|c: char| c.is_ascii_digit());
    digits
        && text
            .chars()
            .all(|c| c.is_ascii_digit() || ":.,+-Z".contains(c))
}

fn number(text: &str, most: usize) -> Option<i16> {
    let text = text.trim();
    let digits = !text.is_empty() && text.len() <= most;
    let digits = digits && text.bytes().all(|byte| byte.is_ascii_digit());
    digits.then(|| text.parse().ok())?
}

fn of_year(year: i16) -> Option<Days> {
    (1..=9_998)
        .contains(&year)
        .then(|| Days::of(date(year, 1, 1), date(year, 12, 31)))?
}

fn of_month(year: i16, month: i16) -> Option<Days> {
    let first = Date::new(year, i8::try_from(month).ok()?, 1).ok()?;
    Days::of(first, first.checked_add(1.month()).ok()?.yesterday().ok()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_forms_of_the_standard() {
        // The first twelve are the examples of the term eventDate and of ISO 8601-1:2019.
        for (text, first, last) in [
            ("1963-03-08T14:07-06:00", "1963-03-08", "1963-03-08"),
            ("2009-02-20T08:40Z", "2009-02-20", "2009-02-20"),
            ("2018-08-29T15:19", "2018-08-29", "2018-08-29"),
            ("1809-02-12", "1809-02-12", "1809-02-12"),
            ("1906-06", "1906-06-01", "1906-06-30"),
            ("1971", "1971-01-01", "1971-12-31"),
            (
                "2007-03-01T13:00:00Z/2008-05-11T15:30:00Z",
                "2007-03-01",
                "2008-05-11",
            ),
            ("1900/1909", "1900-01-01", "1909-12-31"),
            ("2007-11-13/15", "2007-11-13", "2007-11-15"),
            ("2007-11-13/12-02", "2007-11-13", "2007-12-02"),
            ("2018-08-29T15:19/16:40", "2018-08-29", "2018-08-29"),
            ("2024-02", "2024-02-01", "2024-02-29"),
            ("2024-02-29 07:15:00.5+01:00", "2024-02-29", "2024-02-29"),
        ] {
            let days: Days = text.parse().unwrap_or_else(|()| unreachable!("{text}"));
            assert_eq!(
                (
                    days.first.to_string().as_str(),
                    days.last.to_string().as_str()
                ),
                (first, last)
            );
        }
        for text in [
            "",
            "/",
            "14/03/2026",
            "2026-3-14",
            "2026-13",
            "2026-02-30",
            "2026-03-14/2026-03-13",
            "March 2026",
            "26-03-14",
            "2026-03-14T",
            "2026-03-14Tnoon",
            "2026-03T10:00",
            "0000",
            "2026-03-14-15",
            "2026-03-14/abc",
            "-2026",
            "20260314",
        ] {
            assert_eq!(text.parse::<Days>(), Err(()), "{text}");
        }
    }

    #[test]
    fn parts_make_a_day() {
        let days = |year, month, day| Days::of_parts(year, month, day);
        assert_eq!(
            days("2026", Some("3"), Some("7")),
            "2026-03-07".parse().ok()
        );
        assert_eq!(days("2026", Some("03"), None), "2026-03".parse().ok());
        assert_eq!(days("2026", None, Some("7")), None);
        assert_eq!(days("2026", Some("13"), None), None);
        assert_eq!(days("2026", Some("2"), Some("30")), None);
    }
}
