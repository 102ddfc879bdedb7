//! Axes of drawings: where a value falls, and the round numbers and instants that are marked.

use jiff::Timestamp;
use jiff::civil::{DateTime, Time};
use jiff::tz::Offset;
use jiff::{Span, ToSpan};

use wrackline_plan::time::{Stretch, minutes, minutes_between};

/// A straight axis: values from `low` to `high`, drawn from `start` to `end`.
#[derive(Clone, Copy, Debug)]
pub struct Axis {
    low: f64,
    high: f64,
    start: f64,
    end: f64,
}

impl Axis {
    /// An axis of values that are not all the same.
    pub const fn new([low, high]: [f64; 2], [start, end]: [f64; 2]) -> Self {
        Self {
            low,
            high,
            start,
            end,
        }
    }

    /// Where a value falls, also beyond the ends.
    pub fn at(&self, value: f64) -> f64 {
        self.start + (self.end - self.start) * (value - self.low) / (self.high - self.low)
    }

    /// Where a value falls, or the end that it lies beyond.
    pub fn within(&self, value: f64) -> f64 {
        self.at(value.clamp(self.low, self.high))
    }

    /// The highest value.
    pub fn high(&self) -> f64 {
        self.high
    }

    /// The lowest value.
    pub fn low(&self) -> f64 {
        self.low
    }

    /// A round step of which the axis holds a number at the most.
    pub fn step(&self, most: u32) -> f64 {
        round_up((self.high - self.low) / f64::from(most))
    }

    /// The multiples of a step that lie on the axis.
    pub fn marks(&self, step: f64) -> impl Iterator<Item = f64> + use<> {
        let of = |value: f64| value / step;
        let first = (of(self.low) - GRAIN).ceil() as i64;
        let last = (of(self.high) + GRAIN).floor() as i64;
        (first..=last).map(move |number| number as f64 * step)
    }
}

/// An axis of instants.
#[derive(Clone, Copy, Debug)]
pub(crate) struct TimeAxis {
    from: Timestamp,
    minutes: Axis,
}

impl TimeAxis {
    /// An axis of a span that holds time.
    pub(crate) fn new(span: &Stretch, ends: [f64; 2]) -> Self {
        Self {
            from: span.start,
            minutes: Axis::new([0.0, minutes(span)], ends),
        }
    }

    /// Where an instant falls, or the end that it lies beyond.
    pub(crate) fn within(&self, at: Timestamp) -> f64 {
        self.minutes.within(minutes_between(self.from, at))
    }
}

/// What a division may be off by and still count as whole.
const GRAIN: f64 = 1e-9;

/// The digits of round numbers.
const DIGITS: [f64; 4] = [1.0, 2.0, 5.0, 10.0];

/// The power of ten that a number above zero begins with.
fn power(rough: f64) -> f64 {
    10_f64.powf(rough.log10().floor())
}

/// The least of 1, 2 and 5 times a power of ten that is not below a number above zero.
pub(crate) fn round_up(rough: f64) -> f64 {
    let steps = DIGITS.map(|digit| digit * power(rough));
    let found = steps.into_iter().find(|step| step * (1.0 + GRAIN) >= rough);
    found.unwrap_or(rough)
}

/// The largest of 1, 2 and 5 times a power of ten that is not above a number above zero.
pub(crate) fn round_down(rough: f64) -> f64 {
    let steps = DIGITS.map(|digit| digit * power(rough));
    let found = steps
        .into_iter()
        .rfind(|step| *step <= rough * (1.0 + GRAIN));
    found.unwrap_or(rough)
}

/// The decimals that tell the multiples of a step apart.
pub fn decimals(step: f64) -> usize {
    (0..6)
        .find(|places| (step * 10_f64.powi(*places)).fract() < GRAIN)
        .unwrap_or(6) as usize
}

/// What a calendar counts in.
#[derive(Clone, Copy, Debug)]
enum Unit {
    Hour,
    Day,
    Month,
    Year,
}

/// Steps of a calendar that mark round instants: how many of a unit, and about how many hours.
const STEPS: [(i16, Unit, f64); 17] = [
    (1, Unit::Hour, 1.0),
    (2, Unit::Hour, 2.0),
    (3, Unit::Hour, 3.0),
    (6, Unit::Hour, 6.0),
    (12, Unit::Hour, 12.0),
    (1, Unit::Day, 24.0),
    (2, Unit::Day, 48.0),
    (5, Unit::Day, 120.0),
    (10, Unit::Day, 240.0),
    (1, Unit::Month, 730.0),
    (2, Unit::Month, 1_460.0),
    (3, Unit::Month, 2_190.0),
    (6, Unit::Month, 4_380.0),
    (1, Unit::Year, 8_766.0),
    (2, Unit::Year, 17_532.0),
    (5, Unit::Year, 43_830.0),
    (10, Unit::Year, 87_660.0),
];

impl Unit {
    /// One of it, and its beginning at or before a time.
    fn from(self, at: DateTime) -> (Span, DateTime) {
        let midnight = at.date().to_datetime(Time::midnight());
        match self {
            Self::Hour => (1.hour(), midnight),
            Self::Day => (1.day(), midnight),
            Self::Month => (1.month(), midnight.first_of_month()),
            Self::Year => (1.year(), midnight.first_of_year()),
        }
    }

    /// Whether the beginning of one is marked where every so many are. Days begin anew with each
    /// month; its 31st would crowd the next first.
    fn is_marked(self, at: DateTime, every: i16) -> bool {
        match self {
            Self::Hour => i16::from(at.hour()) % every == 0,
            Self::Day => (i16::from(at.day()) - 1) % every == 0 && (every == 1 || at.day() < 31),
            Self::Month => (i16::from(at.month()) - 1) % every == 0,
            Self::Year => at.year() % every == 0,
        }
    }
}

/// The round instants of UTC in a span: about `most` of them, or fewer.
pub(crate) fn round_instants(span: &Stretch, most: u32) -> Vec<Timestamp> {
    let hours = minutes(span) / 60.0;
    let fits = |(_, _, step): &&(i16, Unit, f64)| hours <= step * f64::from(most);
    let (every, unit, _) = *STEPS.iter().find(fits).unwrap_or(&STEPS[STEPS.len() - 1]);
    let (one, first) = unit.from(Offset::UTC.to_datetime(span.start));
    first
        .series(one)
        .filter(|at| unit.is_marked(*at, every))
        .filter_map(|at| Offset::UTC.to_timestamp(at).ok())
        .skip_while(|at| *at < span.start)
        .take_while(|at| *at <= span.end)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_one_two_or_five() {
        for (rough, up, down) in [
            (0.83, 1.0, 0.5),
            (1.0, 1.0, 1.0),
            (3.0, 5.0, 2.0),
            (0.011, 0.02, 0.01),
            (70.0, 100.0, 50.0),
        ] {
            assert!((round_up(rough) - up).abs() < 1e-12, "{rough}");
            assert!((round_down(rough) - down).abs() < 1e-12, "{rough}");
        }
        assert_eq!([0.01, 0.5, 2.0, 50.0].map(decimals), [2, 1, 0, 0]);
    }

    #[test]
    fn marks_are_multiples_between_the_ends() {
        let axis = Axis::new([-0.41, 0.6], [100.0, 0.0]);
        let marks: Vec<String> = axis.marks(0.2).map(|mark| format!("{mark:.1}")).collect();
        assert_eq!(marks, ["-0.4", "-0.2", "0.0", "0.2", "0.4", "0.6"]);
        assert_eq!([axis.at(0.6), axis.within(2.0)], [0.0, 0.0]);
    }

    #[test]
    fn instants_are_round_at_every_length() {
        let told = |from: &str, to: &str| {
            let span = from.parse().unwrap()..to.parse().unwrap();
            round_instants(&span, 6)
                .iter()
                .map(|at| at.strftime("%y-%m-%d %H").to_string())
                .collect::<Vec<_>>()
        };
        assert_eq!(
            told("2026-01-24T07:10Z", "2026-01-24T16:00Z"),
            [
                "26-01-24 08",
                "26-01-24 10",
                "26-01-24 12",
                "26-01-24 14",
                "26-01-24 16"
            ]
        );
        assert_eq!(
            told("2026-01-24T07:10Z", "2026-02-12T00:00Z"),
            ["26-01-26 00", "26-02-01 00", "26-02-06 00", "26-02-11 00"]
        );
        assert_eq!(
            told("2025-11-25T07:10Z", "2026-11-26T00:00Z"),
            ["26-01-01 00", "26-04-01 00", "26-07-01 00", "26-10-01 00"]
        );
        // At the end of the calendar there is no next.
        assert!(told("9999-12-29T00:00Z", "9999-12-30T22:00Z").len() > 3);
    }
}
