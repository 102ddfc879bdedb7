//! Choices as C makes them: whole numbers, each checked before it is believed.
//!
//! Those without a default begin at 1, so that a field left out, which is then zero, is refused.

use crate::refusal::Refusal;

/// A choice that stands as a number in a call.
pub(crate) trait Choice: Copy + 'static {
    /// Its name in the header.
    const NAME: &'static str;
    /// All there are, in the order of their numbers, without gaps.
    const ALL: &'static [Self];
    /// The number that the header gives it.
    fn number(self) -> i32;
}

/// The choice that a number stands for.
pub(crate) fn chosen<T: Choice>(value: i32) -> Result<T, Refusal> {
    let known = T::ALL.iter().copied().find(|known| known.number() == value);
    known.ok_or_else(|| Refusal::Choice {
        what: T::NAME,
        value,
        lowest: T::ALL.first().map_or(0, |known| known.number()),
        highest: T::ALL.last().map_or(0, |known| known.number()),
    })
}

/// A body in the sky.
#[repr(i32)]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Body {
    /// The sun.
    Sun = 1,
    /// The moon.
    Moon = 2,
}

impl Choice for Body {
    const NAME: &'static str = "wrackline_body";
    const ALL: &'static [Self] = &[Self::Sun, Self::Moon];
    fn number(self) -> i32 {
        self as i32
    }
}

/// An altitude that a body crosses.
#[repr(i32)]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ThresholdKind {
    /// Sunrise and sunset of the almanacs: the centre 50' below the horizontal.
    Sunrise = 1,
    /// Moonrise and moonset of the almanacs: the upper limb 34' below the horizontal.
    Moonrise = 2,
    /// Civil twilight: the centre at -6 degrees.
    Civil = 3,
    /// Nautical twilight: the centre at -12 degrees.
    Nautical = 4,
    /// Astronomical twilight: the centre at -18 degrees.
    Astronomical = 5,
    /// The centre at the altitude that is given beside it.
    Altitude = 6,
}

impl Choice for ThresholdKind {
    const NAME: &'static str = "wrackline_threshold_kind";
    const ALL: &'static [Self] = &[
        Self::Sunrise,
        Self::Moonrise,
        Self::Civil,
        Self::Nautical,
        Self::Astronomical,
        Self::Altitude,
    ];
    fn number(self) -> i32 {
        self as i32
    }
}

/// Which way a body crosses an altitude.
#[repr(i32)]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Upwards.
    Rising = 1,
    /// Downwards.
    Setting = 2,
}

/// What a span holds of a threshold.
#[repr(i32)]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutcomeKind {
    /// It is crossed.
    Crosses = 1,
    /// It is crossed, by so little that the weather's refraction decides.
    Grazes = 2,
    /// The body stays above it: polar day, for the sun.
    AlwaysAbove = 3,
    /// The body stays below it: polar night, for the sun.
    AlwaysBelow = 4,
}

/// How an office turns constants into heights. There is no default: ask whoever analysed them.
#[repr(i32)]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Convention {
    /// Schureman's factors held at the middle of each year, arguments from 1 January: NOAA CO-OPS.
    SchuremanAnnual = 1,
    /// Schureman's factors and the arguments at each instant.
    SchuremanInstant = 2,
    /// The IHO list's factors and the arguments at each instant.
    IhoInstant = 3,
    /// Schureman's factors held at the middle of each year, arguments at each instant.
    Rijkswaterstaat = 4,
    /// Foreman's satellite sums for the latitude that is given beside it.
    ForemanInstant = 5,
}

impl Choice for Convention {
    const NAME: &'static str = "wrackline_convention";
    const ALL: &'static [Self] = &[
        Self::SchuremanAnnual,
        Self::SchuremanInstant,
        Self::IhoInstant,
        Self::Rijkswaterstaat,
        Self::ForemanInstant,
    ];
    fn number(self) -> i32 {
        self as i32
    }
}

/// Whether the water stops rising or stops falling.
#[repr(i32)]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TurnKind {
    /// The water stops rising.
    HighWater = 1,
    /// The water stops falling.
    LowWater = 2,
}

/// A part of the tide. All of it unless something else is asked for.
#[repr(i32)]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// All of it.
    Both = 0,
    /// Until high water.
    Flood = 1,
    /// From high water.
    Ebb = 2,
}

impl Choice for Phase {
    const NAME: &'static str = "wrackline_phase";
    const ALL: &'static [Self] = &[Self::Both, Self::Flood, Self::Ebb];
    fn number(self) -> i32 {
        self as i32
    }
}
