//! The instants of a table: equal steps, or a list.

use std::ops::Range;

use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

use super::error::Error;

/// Instants in rising order, at least one, each on a whole millisecond: what the columns of
/// instants resolve.
#[derive(Clone, Debug, PartialEq)]
pub enum Instants {
    /// Equal steps.
    Regular {
        /// The first instant, in milliseconds since 1970.
        start_ms: i64,
        /// From each to the next.
        step_ms: i64,
        /// How many there are.
        count: usize,
    },
    /// A list, in milliseconds since 1970.
    Listed(Vec<i64>),
}

impl Instants {
    /// All instants of a span at equal steps, from its start; its end is excluded.
    ///
    /// # Errors
    /// An empty span, a step that is not positive, or fractions of a millisecond.
    pub fn regular(span: Range<Timestamp>, step: SignedDuration) -> Result<Self, Error> {
        let step_ms = i64::try_from(step.as_millis()).unwrap_or(0);
        if step_ms <= 0 || step.as_nanos() % 1_000_000 != 0 {
            return Err(Error::option(
                "--step",
                format!("{step:#} is not a whole number of milliseconds above zero"),
                "give a step such as 10m or 30s",
            ));
        }
        let start_ms = whole("--from", span.start)?;
        let end_ms = span.end.as_millisecond();
        if span.end <= span.start {
            return Err(Error::option(
                "--to",
                format!("{} is not after the start at {}", span.end, span.start),
                "give a later end",
            ));
        }
        let count = usize::try_from((end_ms - start_ms + step_ms - 1) / step_ms).unwrap_or(0);
        Ok(Self::Regular {
            start_ms,
            step_ms,
            count: count.max(1),
        })
    }

    /// How many there are, at least one.
    #[allow(clippy::len_without_is_empty)] // Never empty.
    pub fn len(&self) -> usize {
        match self {
            Self::Regular { count, .. } => *count,
            Self::Listed(list) => list.len(),
        }
    }

    /// One of them, in milliseconds since 1970.
    pub fn at_ms(&self, index: usize) -> i64 {
        match self {
            Self::Regular {
                start_ms, step_ms, ..
            } => start_ms + step_ms * index as i64,
            Self::Listed(list) => list[index],
        }
    }

    /// Appends a range of them.
    pub(super) fn append_ms(&self, range: Range<usize>, out: &mut Vec<i64>) {
        match self {
            Self::Regular { .. } => out.extend(range.map(|index| self.at_ms(index))),
            Self::Listed(list) => out.extend_from_slice(&list[range]),
        }
    }

    /// The step, if it is the same between all.
    pub(super) fn step_ms(&self) -> Option<i64> {
        match self {
            Self::Regular { step_ms, .. } => Some(*step_ms),
            Self::Listed(_) => None,
        }
    }
}

/// The instant of a count of milliseconds; the ends of time for counts beyond them, which no
/// [`Instants`] holds.
pub(super) fn timestamp(ms: i64) -> Timestamp {
    Timestamp::from_millisecond(ms).unwrap_or(if ms < 0 {
        Timestamp::MIN
    } else {
        Timestamp::MAX
    })
}

fn whole(option: &'static str, at: Timestamp) -> Result<i64, Error> {
    if at.subsec_nanosecond() % 1_000_000 == 0 {
        Ok(at.as_millisecond())
    } else {
        Err(Error::option(
            option,
            format!("{at} has a fraction of a millisecond"),
            "round it",
        ))
    }
}

/// The instants of a block on the clock of one zone.
#[derive(Debug, Default)]
pub(super) struct LocalTimes {
    zone: Option<usize>,
    pub(super) utc_ms: Vec<i64>,
    pub(super) local_ms: Vec<i64>,
    pub(super) offset_s: Vec<i32>,
}

impl LocalTimes {
    pub(super) fn of(&mut self, number: usize, zone: &TimeZone, instants: &[Timestamp]) {
        if self.zone.replace(number) == Some(number) {
            return;
        }
        self.utc_ms.clear();
        self.local_ms.clear();
        self.offset_s.clear();
        let Some(first) = instants.first() else {
            return;
        };
        let mut offset = zone.to_offset(*first).seconds();
        let mut transitions = zone.following(*first).peekable();
        for at in instants {
            while let Some(next) = transitions.next_if(|next| next.timestamp() <= *at) {
                offset = next.offset().seconds();
            }
            let utc_ms = at.as_millisecond();
            self.utc_ms.push(utc_ms);
            self.local_ms.push(utc_ms + i64::from(offset) * 1000);
            self.offset_s.push(offset);
        }
    }
}
