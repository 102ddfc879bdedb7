//! The one error type of the library.

use core::fmt;
use core::ops::Range;

use jiff::Timestamp;

/// What can be wrong with the values handed to this library.
///
/// Each variant carries the offending value and its message says which range is valid.
#[non_exhaustive]
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Error {
    /// A value lies outside the range in which it has a meaning, or is not a number.
    #[error(
        "{what} {} is out of range: give {} to {}",
        Quantity(*value, unit),
        Figure(*lowest),
        Quantity(*highest, unit)
    )]
    OutOfRange {
        /// Which value.
        what: &'static str,
        /// The value as given.
        value: f64,
        /// The lowest valid value.
        lowest: f64,
        /// The highest valid value.
        highest: f64,
        /// The unit of all three, empty for a plain number.
        unit: &'static str,
    },
    /// Two limits that must rise do not.
    #[error(
        "{what}: {} and then {}: give rising values, none twice",
        Figure(*lower),
        Figure(*upper)
    )]
    NotRising {
        /// Which limits, with their unit.
        what: &'static str,
        /// The limit that should be lower.
        lower: f64,
        /// The limit that should be higher.
        upper: f64,
    },
    /// A time lies outside the span for which a path was prepared.
    #[error(
        "{at} lies outside the prepared span from {start} to {end}: prepare a path that covers it"
    )]
    OutsideSpan {
        /// The time as given.
        at: Timestamp,
        /// The start of the prepared span.
        start: Timestamp,
        /// Its end.
        end: Timestamp,
    },
    /// A span ends before it starts, or holds no time at all.
    #[error("the span from {start} to {end} holds no time: give an end after the start")]
    EmptySpan {
        /// The start as given.
        start: Timestamp,
        /// The end as given.
        end: Timestamp,
    },
    /// A word that has no meaning here.
    #[error("no such {what}: give one of {}", List(words))]
    UnknownWord {
        /// What the word was to name.
        what: &'static str,
        /// The words that are known.
        words: &'static [&'static str],
    },
    /// As many places as instants are wanted.
    #[error("{places} places for {instants} instants: give slices of one length")]
    LengthsDiffer {
        /// Number of instants.
        instants: usize,
        /// Room for places.
        places: usize,
    },
}

/// Whether a span holds any time: what a search needs before it can say anything.
pub(crate) fn not_empty(span: &Range<Timestamp>) -> Result<(), Error> {
    if span.start < span.end {
        Ok(())
    } else {
        Err(Error::EmptySpan {
            start: span.start,
            end: span.end,
        })
    }
}

/// The value itself if it lies in the closed range, else the error that names it.
pub(crate) fn within(
    what: &'static str,
    value: f64,
    lowest: f64,
    highest: f64,
    unit: &'static str,
) -> Result<f64, Error> {
    if (lowest..=highest).contains(&value) {
        Ok(value)
    } else {
        Err(Error::OutOfRange {
            what,
            value,
            lowest,
            highest,
            unit,
        })
    }
}

/// A number as a message shows it: in powers of ten where it would run to a line of digits.
struct Figure(f64);

impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let size = self.0.abs();
        if size != 0.0 && !(1e-6..1e9).contains(&size) && size.is_finite() {
            write!(f, "{:e}", self.0)
        } else {
            write!(f, "{}", self.0)
        }
    }
}

/// Words one after the other.
struct List<'a>(&'a [&'a str]);

impl fmt::Display for List<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, word) in self.0.iter().enumerate() {
            let gap = if i == 0 { "" } else { ", " };
            write!(f, "{gap}{word}")?;
        }
        Ok(())
    }
}

/// A number with its unit, if it has one.
struct Quantity<'a>(f64, &'a str);

impl fmt::Display for Quantity<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(value, unit) = self;
        let gap = if unit.is_empty() { "" } else { " " };
        write!(f, "{}{gap}{unit}", Figure(*value))
    }
}
