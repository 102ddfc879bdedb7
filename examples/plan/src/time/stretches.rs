//! Stretches of time and what can be done with them: the windows are intersections of these and
//! nothing else.

use std::ops::Range;

use jiff::{SignedDuration, Timestamp};

/// A stretch of time, its end excluded.
pub type Stretch = Range<Timestamp>;

/// Stretches in order of time, none empty, none touching the next.
///
/// ```
/// use jiff::Timestamp;
/// use wrackline_plan::time::Stretches;
/// let at = |hour: i64| Timestamp::from_second(hour * 3600).unwrap();
/// let hour = |from, to| at(from)..at(to);
/// let light = Stretches::new([hour(8, 12), hour(30, 34)]);
/// let tide = Stretches::new([hour(10, 32)]);
/// assert_eq!(light.intersect(&tide), Stretches::new([hour(10, 12), hour(30, 32)]));
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stretches(Vec<Stretch>);

impl Stretches {
    /// From stretches in any order; those that overlap or touch become one, empty ones vanish.
    pub fn new(stretches: impl IntoIterator<Item = Stretch>) -> Self {
        let mut all: Vec<Stretch> = stretches.into_iter().filter(|s| s.start < s.end).collect();
        all.sort_by_key(|s| s.start);
        let mut merged: Vec<Stretch> = Vec::with_capacity(all.len());
        for stretch in all {
            match merged.last_mut() {
                Some(last) if stretch.start <= last.end => last.end = last.end.max(stretch.end),
                _ => merged.push(stretch),
            }
        }
        Self(merged)
    }

    /// The instants that are in both.
    #[must_use]
    pub fn intersect(&self, other: &Self) -> Self {
        let (mut a, mut b) = (self.0.iter().peekable(), other.0.iter().peekable());
        let mut out = Vec::new();
        while let (Some(x), Some(y)) = (a.peek(), b.peek()) {
            let both = x.start.max(y.start)..x.end.min(y.end);
            if both.start < both.end {
                out.push(both);
            }
            if x.end < y.end {
                a.next();
            } else {
                b.next();
            }
        }
        Self(out)
    }

    /// The instants of a stretch that are in none of them.
    #[must_use]
    pub fn gaps_in(&self, stretch: &Stretch) -> Self {
        let mut from = stretch.start;
        let mut out = Vec::new();
        for taken in self.within(stretch).0 {
            out.push(from..taken.start);
            from = taken.end;
        }
        out.push(from..stretch.end);
        Self::new(out)
    }

    /// Each of them made longer at both ends; those that then overlap become one.
    #[must_use]
    pub fn widened(&self, minutes: f64) -> Self {
        self.iter()
            .map(|s| shifted(s.start, -minutes)..shifted(s.end, minutes))
            .collect()
    }

    /// With those that are less than so many minutes apart made one.
    #[must_use]
    pub fn joined(&self, minutes: f64) -> Self {
        let mut out: Vec<Stretch> = Vec::with_capacity(self.0.len());
        for stretch in &self.0 {
            match out.last_mut() {
                Some(last) if minutes_between(last.end, stretch.start) < minutes => {
                    last.end = stretch.end;
                }
                _ => out.push(stretch.clone()),
            }
        }
        Self(out)
    }

    /// The instants that are in either.
    #[must_use]
    pub fn union(&self, other: &Self) -> Self {
        self.iter().chain(other.iter()).cloned().collect()
    }

    /// The part that lies in one stretch.
    #[must_use]
    pub fn within(&self, stretch: &Stretch) -> Self {
        let first = self.0.partition_point(|s| s.end <= stretch.start);
        Self(
            self.0[first..]
                .iter()
                .take_while(|s| s.start < stretch.end)
                .map(|s| s.start.max(stretch.start)..s.end.min(stretch.end))
                .filter(|s| s.start < s.end)
                .collect(),
        )
    }

    /// The stretch that contains an instant.
    pub fn around(&self, at: Timestamp) -> Option<&Stretch> {
        let after = self.0.partition_point(|s| s.end <= at);
        self.0.get(after).filter(|s| s.start <= at)
    }

    /// The stretches.
    pub fn iter(&self) -> std::slice::Iter<'_, Stretch> {
        self.0.iter()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The longest of them; the earlier of two that are equal.
    pub fn longest(&self) -> Option<&Stretch> {
        self.0
            .iter()
            .rev()
            .max_by_key(|s| s.end.duration_since(s.start))
    }

    /// Their lengths added up, in minutes.
    pub fn minutes(&self) -> f64 {
        self.0.iter().map(minutes).sum()
    }
}

impl FromIterator<Stretch> for Stretches {
    fn from_iter<I: IntoIterator<Item = Stretch>>(stretches: I) -> Self {
        Self::new(stretches)
    }
}

/// A span with a number of hours added at both ends, as far as the calendar goes.
pub fn widened(span: &Stretch, hours: i64) -> Stretch {
    let margin = SignedDuration::from_hours(hours);
    span.start.checked_sub(margin).unwrap_or(Timestamp::MIN)
        ..span.end.checked_add(margin).unwrap_or(Timestamp::MAX)
}

/// The length of a stretch in minutes.
pub fn minutes(stretch: &Stretch) -> f64 {
    minutes_between(stretch.start, stretch.end)
}

/// Minutes from one instant to another, negative when the second is earlier.
pub fn minutes_between(from: Timestamp, to: Timestamp) -> f64 {
    to.duration_since(from).as_secs_f64() / 60.0
}

/// An instant a number of minutes later, or earlier when negative. An instant outside of what can
/// be represented stays at the end of it, nine thousand years from any outing.
pub fn shifted(at: Timestamp, minutes: f64) -> Timestamp {
    let limit = if minutes < 0.0 {
        Timestamp::MIN
    } else {
        Timestamp::MAX
    };
    SignedDuration::try_from_secs_f64(minutes * 60.0)
        .ok()
        .and_then(|by| at.checked_add(by).ok())
        .unwrap_or(limit)
}
