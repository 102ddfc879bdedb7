//! The one error type of the library.

use alloc::string::String;
use core::fmt;
use core::ops::Range;

use jiff::Timestamp;

/// What can be wrong with the values handed to this library.
///
/// Each variant carries the offending value and its message says which range is valid.
#[non_exhaustive]
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
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
        "{what} {} follows {}: give figures that rise",
        Quantity(*upper, unit),
        Quantity(*lower, unit)
    )]
    NotRising {
        /// Which figures.
        what: &'static str,
        /// The one that comes first.
        lower: f64,
        /// The one after it, which should be greater.
        upper: f64,
        /// Of both; empty for a plain number.
        unit: &'static str,
    },
    /// A time lies outside the span for which a path was prepared.
    #[error(
        "{at} lies outside the prepared span from {start} to {end}: prepare one that covers it"
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
    /// A word that stands for nothing.
    #[error("{given:?} is no {what}: give {expected}")]
    UnknownWord {
        /// What was looked for.
        what: &'static str,
        /// The word as given, its beginning if it is long.
        given: String,
        /// What would be understood.
        expected: &'static str,
    },
    /// A grid without an instant, or with more than there is time for.
    #[error(
        "the grid has {len} instants: give one at least, and no more than end before the year 9999"
    )]
    GridLength {
        /// How many.
        len: usize,
    },
    /// What goes into a batch and the room for what comes out differ in length.
    #[error("{given} are given and there is room for {room}: give as many of one as of the other")]
    Lengths {
        /// How many are given.
        given: usize,
        /// For how many there is room.
        room: usize,
    },
}

/// Refuses a batch whose two sides differ in length.
pub(crate) fn same_length(given: usize, room: usize) -> Result<(), Error> {
    if given == room {
        Ok(())
    } else {
        Err(Error::Lengths { given, room })
    }
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

/// A number with its unit, if it has one.
struct Quantity<'a>(f64, &'a str);

impl fmt::Display for Quantity<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(value, unit) = self;
        let gap = if unit.is_empty() { "" } else { " " };
        write!(f, "{}{gap}{unit}", Figure(*value))
    }
}
