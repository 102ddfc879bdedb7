//! When a place, a seat or an animal is to be left alone, and why.

use jiff::civil::{Date, Weekday, date};

use super::days::weekdays;
use super::habits::FrozenDays;
use super::reader::Table;

/// The dates of a closure, both ends included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClosureDates {
    /// The same dates every year, as month and day; they may run over the new year.
    EveryYear {
        /// First month and day.
        from: (i8, i8),
        /// Last month and day.
        to: (i8, i8),
    },
    /// One stretch of dates.
    Once {
        /// First day.
        from: Date,
        /// Last day.
        to: Date,
    },
}

impl ClosureDates {
    /// Whether `date` is among them.
    pub fn contains(&self, date: Date) -> bool {
        match *self {
            Self::Once { from, to } => (from..=to).contains(&date),
            Self::EveryYear { from, to } => {
                let day = (date.month(), date.day());
                if from <= to {
                    (from..=to).contains(&day)
                } else {
                    day >= from || day <= to
                }
            }
        }
    }
}

/// How binding a closure is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClosureRule {
    /// Never proposed.
    Closed,
    /// Proposed with the note that somebody must be asked first.
    AskFirst,
}

/// When a place, a seat or an animal is to be left alone, and why. It bears where all that it names
/// comes together; an animal is guarded at every place where it is listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Closure {
    /// The dates it covers.
    pub dates: ClosureDates,
    /// On these days of the week only; empty for every day.
    pub weekdays: Vec<Weekday>,
    /// Only from this many frozen days in a row.
    pub frozen_days: Option<u16>,
    /// Why.
    pub reason: String,
    /// Who decided it.
    pub authority: Option<String>,
    /// How binding it is.
    pub rule: ClosureRule,
    pub(super) place: Option<usize>,
    pub(super) seat: Option<usize>,
    pub(super) subject: Option<usize>,
}

/// Days after the last count within which a spell of frost is taken to go on: three days of thaw
/// end it (JNCC severe weather scheme), so a count older than that says nothing about today.
pub(crate) const FROST_LASTS_DAYS: i32 = 3;

impl Closure {
    /// Whether it bears on `date`, as far as the dates, the days of the week and the user's own
    /// count of frozen days tell.
    pub fn applies_on(&self, date: Date, frost: Option<FrozenDays>) -> bool {
        self.dates.contains(date)
            && (self.weekdays.is_empty() || self.weekdays.contains(&date.weekday()))
            && self.frozen_days.is_none_or(|limit| {
                frost.is_some_and(|frost| {
                    let since = date
                        .since(frost.on)
                        .map_or(i32::MAX, |span| span.get_days());
                    frost.days >= limit && (0..=FROST_LASTS_DAYS).contains(&since)
                })
            })
    }
}

pub(super) fn read(table: Table<'_, '_>) -> Option<Closure> {
    if !["place", "seat", "subject"]
        .iter()
        .any(|key| table.has(key))
    {
        table.report(
            "place",
            "is missing",
            "add `place = ...`, \"*\" for all of them, or name a `seat` or a `subject`",
        );
    }
    let from = day(&table, "from");
    let to = day(&table, "to");
    let weekdays = weekdays(&table);
    let frozen_days = table.integer("frozen_days", 1..=60).map(|days| days as u16);
    let reason = table.text("reason");
    let authority = table.optional_text("authority");
    if !table.has("rule") {
        table.report("rule", "is missing", "give \"closed\" or \"ask first\"");
    }
    let rule = table.choice(
        "rule",
        &[
            ("closed", ClosureRule::Closed),
            ("ask first", ClosureRule::AskFirst),
        ],
    );
    let dates = match (from, to) {
        (Some(Day::Yearly(from)), Some(Day::Yearly(to))) => {
            Some(ClosureDates::EveryYear { from, to })
        }
        (Some(Day::Dated(from)), Some(Day::Dated(to))) => {
            if to < from {
                table.report(
                    "to",
                    format!("{to} is before the start, {from}"),
                    "give an end on or after the start",
                );
            }
            Some(ClosureDates::Once { from, to })
        }
        (Some(_), Some(_)) => {
            table.report(
                "to",
                "mixes a date in one year with a date in every year",
                "write both as \"MM-DD\" or both as \"YYYY-MM-DD\"",
            );
            None
        }
        _ => None,
    };
    table.finish();
    Some(Closure {
        dates: dates?,
        weekdays,
        frozen_days,
        reason,
        authority,
        rule: rule?,
        place: None,
        seat: None,
        subject: None,
    })
}

#[derive(Clone, Copy)]
enum Day {
    Yearly((i8, i8)),
    Dated(Date),
}

fn day(table: &Table<'_, '_>, key: &'static str) -> Option<Day> {
    let remedy = "give a day such as \"03-15\" for every year or \"2027-03-15\" for one";
    if !table.has(key) {
        table.report(key, "is missing", remedy);
        return None;
    }
    let text = table.optional_text(key)?;
    // 2028 is a leap year, so that the 29th of February can be named.
    let yearly = || format!("2028-{text}").parse::<Date>().ok();
    if let Ok(date) = text.parse::<Date>() {
        Some(Day::Dated(date))
    } else if let Some(day) = yearly() {
        Some(Day::Yearly((day.month(), day.day())))
    } else {
        table.report(
            key,
            format!("\"{text}\" is not a day of the calendar"),
            remedy,
        );
        None
    }
}

pub(super) fn covers_every_day(closure: &Closure) -> bool {
    let always = closure.rule == ClosureRule::Closed
        && closure.weekdays.is_empty()
        && closure.frozen_days.is_none();
    always
        && matches!(closure.dates, ClosureDates::EveryYear { .. })
        && date(2028, 1, 1)
            .series(jiff::Span::new().days(1))
            .take(366)
            .all(|day| closure.dates.contains(day))
}
