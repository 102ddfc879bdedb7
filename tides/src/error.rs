//! What can be wrong with what a caller hands in.

use alloc::boxed::Box;
use alloc::string::String;
use alloc::vec::Vec;
use jiff::Timestamp;

/// Everything that this library refuses, with the offending value, the valid range and the remedy.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A constituent that is in no list and whose name cannot be derived from its parts.
    #[error("unknown constituent `{name}`{}", Suggestions(nearest))]
    UnknownConstituent {
        /// The name as given.
        name: String,
        /// Known names that look alike, best first.
        nearest: Vec<String>,
    },
    /// A name that offices give to different lines, where the convention does not settle which is
    /// meant.
    #[error(
        "constituent `{name}` means different lines to different offices: write {}",
        Choice(meanings)
    )]
    AmbiguousName {
        /// The name as given.
        name: String,
        /// What it may mean, written so that it means nothing else, with whose it is and degrees an
        /// hour.
        meanings: Vec<String>,
    },
    /// The same constituent twice in one set of constants, perhaps under two names.
    #[error(
        "constituent `{second}` repeats `{first}`{}: keep one of the two, or add their amplitudes \
         as vectors",
        Same(first, second)
    )]
    RepeatedConstituent {
        /// The name met first, as spelt there.
        first: String,
        /// The name met second, as spelt there.
        second: String,
    },
    /// The mean level given as a constituent that does not move.
    #[error(
        "`{name}` ({amplitude_m} m) does not move, it is a mean level: give it as the mean level \
         and take it out of the constituents"
    )]
    MeanLevelAsLine {
        /// The constituent.
        name: String,
        /// Its amplitude as given, metres.
        amplitude_m: f64,
    },
    /// An amplitude that is negative, too large or not a number.
    #[error(
        "the amplitude of {name} is {amplitude_m} m: give a finite amplitude from 0 to 50 m (are \
         the units centimetres or feet?)"
    )]
    Amplitude {
        /// The constituent.
        name: String,
        /// The amplitude as given, metres.
        amplitude_m: f64,
    },
    /// A phase lag that is not an angle.
    #[error("the phase lag of {name} is {phase_lag_deg}°: give a finite lag from -720° to 720°")]
    PhaseLag {
        /// The constituent.
        name: String,
        /// The lag as given, degrees.
        phase_lag_deg: f64,
    },
    /// A mean level that is not a number or far outside any sea.
    #[error(
        "the mean level is {mean_level_m} m above the datum: give a finite level from -1000 to \
         10000 m"
    )]
    MeanLevel {
        /// The level as given, metres.
        mean_level_m: f64,
    },
    /// A span that ends before or when it starts.
    #[error("the span from {start} to {end} holds no time: give an end after the start")]
    EmptySpan {
        /// The start as given.
        start: Timestamp,
        /// The end as given.
        end: Timestamp,
    },
    /// A span too long to be prepared in one piece, or outside the years the theory covers.
    #[error(
        "the span from {start} to {end} is outside what can be prepared: stay within the years \
         1600 to 2400 and 100 years a span"
    )]
    Span {
        /// The start as given.
        start: Timestamp,
        /// The end as given.
        end: Timestamp,
    },
    /// An instant outside the years the theory covers.
    #[error("{at} is outside the theory: stay within the years 1600 to 2400")]
    OutsideYears {
        /// The instant as given.
        at: Timestamp,
    },
    /// A period without enough turning points to speak of.
    #[error(
        "the period from {start} to {end} has too few turning points: give a month at least, \
         better 19 years, and a port with a tide"
    )]
    NoTurns {
        /// Start of the period.
        start: Timestamp,
        /// End of the period.
        end: Timestamp,
    },
    /// A line of a table of constants that cannot be used.
    #[error("line {line}: {problem}")]
    Table {
        /// The line, counted from 1; 0 where there is no table.
        line: usize,
        /// What is wrong and what to do.
        problem: String,
    },
    /// A line of a table of constants whose entry cannot be.
    #[error("line {line}: {error}")]
    TableEntry {
        /// The line, counted from 1.
        line: usize,
        /// What is wrong with the entry.
        error: Box<Error>,
    },
    /// A record that cannot be analysed.
    #[error("reading {index}: {problem}")]
    Readings {
        /// Which reading, counted from 0.
        index: usize,
        /// What is wrong and what to do.
        problem: &'static str,
    },
    /// A reading that no water reaches.
    #[error(
        "reading {index} at {at} is {height_m:.2} m, more than {reach_m:.1} m from the median of \
         {median_m:.2} m: if it stands for a missing one, say so; else drop it"
    )]
    FarOff {
        /// Which reading, counted from 0.
        index: usize,
        /// When.
        at: Timestamp,
        /// The level as given, metres.
        height_m: f64,
        /// Median level of the record, metres.
        median_m: f64,
        /// How far from it a level may stand, metres.
        reach_m: f64,
    },
    /// No more readings than unknowns.
    #[error(
        "{readings} readings cannot give {unknowns} unknowns: give a longer record or ask for \
         fewer constituents"
    )]
    TooFewReadings {
        /// How many readings.
        readings: usize,
        /// Unknowns: the mean level, the trend, two for each constituent.
        unknowns: usize,
    },
    /// Two constituents that the record cannot tell apart.
    #[error(
        "{first} and {second} cannot be told apart in this record of {record_days:.1} days{}",
        Why(*cause, *needed_days)
    )]
    NotSeparable {
        /// One of the two.
        first: String,
        /// The other.
        second: String,
        /// Length of the record, days.
        record_days: f64,
        /// Length of record that would do by Rayleigh's criterion, days; none if their speeds are
        /// the same.
        needed_days: Option<f64>,
        /// Why.
        cause: Likeness,
    },
    /// An inference with an impossible ratio or lag.
    #[error(
        "{inferred} cannot be inferred with ratio {amplitude_ratio} and lag difference \
         {lag_difference_deg}°: give a ratio above 0 and at most 10, and a difference within \
         ±720°"
    )]
    Inference {
        /// The constituent to infer.
        inferred: String,
        /// The ratio as given.
        amplitude_ratio: f64,
        /// The difference as given, degrees.
        lag_difference_deg: f64,
    },
    /// A defined constituent with an impossible speed.
    #[error(
        "{name} would run at {speed_deg_per_h} degrees an hour: give a definition that runs at 0 \
         to 1000"
    )]
    Speed {
        /// The constituent.
        name: String,
        /// The speed that follows from the definition.
        speed_deg_per_h: f64,
    },
    /// A reduction of a node factor that is not a plausible share.
    #[error("the share {share} for {name} is not a reduction: give a number from -2 to 2")]
    Share {
        /// The constituent.
        name: String,
        /// The share as given.
        share: f64,
    },
    /// A constituent that is known but not among the constants at hand.
    #[error("{name} is not among the constants: leave it out or add it to them")]
    NotAmongConstants {
        /// The constituent.
        name: String,
    },
    /// A figure out of its range.
    #[error(
        "{what} {} is out of range: give {lowest} to {}",
        Quantity(*value, unit),
        Quantity(*highest, unit)
    )]
    OutOfRange {
        /// Which figure.
        what: &'static str,
        /// As given.
        value: f64,
        /// Least allowed.
        lowest: f64,
        /// Greatest allowed.
        highest: f64,
        /// Of all three; empty for a plain number.
        unit: &'static str,
    },
    /// Figures that must rise do not.
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
    /// An instant outside the span for which a curve was prepared.
    #[error(
        "{at} lies outside the prepared span from {start} to {end}: prepare one that covers it"
    )]
    OutsideSpan {
        /// The instant as given; of several the first.
        at: Timestamp,
        /// Start of the prepared span.
        start: Timestamp,
        /// End of the prepared span.
        end: Timestamp,
    },
    /// What goes into a batch and the room for what comes out differ in length.
    #[error("{given} are given and there is room for {room}: give as many of one as of the other")]
    Lengths {
        /// How many are given.
        given: usize,
        /// For how many there is room.
        room: usize,
    },
    /// A port without a single constituent.
    #[error("the port has no constituents: give at least one")]
    NoConstituents,
}

/// Writes the list of names that an unknown one may have been meant for.
struct Suggestions<'a>(&'a [String]);

impl core::fmt::Display for Suggestions<'_> {
    fn fmt(&self, out: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self.0 {
            [] => out.write_str(": define it by its Doodson numbers, or leave it out"),
            [only] => write!(out, ": did you mean {only}?"),
            [first, rest @ ..] => {
                write!(out, ": did you mean {first}")?;
                for name in rest {
                    write!(out, ", {name}")?;
                }
                out.write_str("?")
            }
        }
    }
}

/// Refuses a batch whose two sides differ in length.
pub(crate) fn same_length(given: usize, room: usize) -> Result<(), Error> {
    if given == room {
        Ok(())
    } else {
        Err(Error::Lengths { given, room })
    }
}

/// Hands a figure on if it is in its range.
pub(crate) fn in_range(
    what: &'static str,
    value: f64,
    [lowest, highest]: [f64; 2],
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

/// Writes a number with its unit, in powers of ten where it would run to a line of digits.
struct Quantity(f64, &'static str);

impl core::fmt::Display for Quantity {
    fn fmt(&self, out: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let Self(value, unit) = *self;
        if value == 0.0 || !value.is_finite() || (1e-6..1e9).contains(&value.abs()) {
            write!(out, "{value}")?;
        } else {
            write!(out, "{value:e}")?;
        }
        if unit.is_empty() {
            Ok(())
        } else {
            write!(out, " {unit}")
        }
    }
}

/// Writes what a name may be meant for.
struct Choice<'a>(&'a [String]);

impl core::fmt::Display for Choice<'_> {
    fn fmt(&self, out: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        for (index, meaning) in self.0.iter().enumerate() {
            let between = match index {
                0 => "",
                _ if index + 1 == self.0.len() => " or ",
                _ => ", ",
            };
            write!(out, "{between}{meaning}")?;
        }
        Ok(())
    }
}

/// Writes that two spellings mean one constituent.
struct Same<'a>(&'a str, &'a str);

impl core::fmt::Display for Same<'_> {
    fn fmt(&self, out: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        if self.0 == self.1 {
            Ok(())
        } else {
            out.write_str(" (two names of one constituent)")
        }
    }
}

/// Why two constituents look alike in a record.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Likeness {
    /// They run at the same speed.
    SameSpeed,
    /// They have not drifted a turn apart.
    ShortRecord,
    /// From one reading to the next they turn by the same angle, but for whole turns or the sign.
    Sampling {
        /// From one reading to the next, hours.
        step_h: f64,
    },
    /// There are hardly more readings than unknowns.
    FewReadings {
        /// How many readings.
        readings: usize,
        /// How many unknowns.
        unknowns: usize,
    },
    /// The readings cover too little of the time.
    Gaps,
}

/// Writes why two constituents look alike, and what to do about it.
struct Why(Likeness, Option<f64>);

impl core::fmt::Display for Why {
    fn fmt(&self, out: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let ending = match (self.0, self.1) {
            (Likeness::ShortRecord, Some(days)) => {
                write!(out, ", {days:.1} days would do it")?;
                "leave one out, or infer it"
            }
            (Likeness::SameSpeed | Likeness::ShortRecord, _) => {
                out.write_str(", nor in any other: their speeds are the same")?;
                "leave one out, or infer it"
            }
            (Likeness::Sampling { step_h }, _) => {
                write!(
                    out,
                    ", where a reading every {step_h:.2} hours shows both the same"
                )?;
                "give readings at other hours, leave one out, or infer it"
            }
            (Likeness::FewReadings { readings, unknowns }, _) => {
                write!(out, ", with {readings} readings for {unknowns} unknowns")?;
                "give more readings, or ask for fewer constituents"
            }
            (Likeness::Gaps, _) => {
                out.write_str(", which is long enough, but its gaps leave too few readings")?;
                "fill the gaps, leave one out, or infer it"
            }
        };
        write!(out, ": {ending}")
    }
}
