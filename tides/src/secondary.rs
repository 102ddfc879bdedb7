//! Secondary ports: turning points from those of a standard port by printed differences.
//!
//! The method is that of the national tide tables: each table gives, for two pairs of clock hours
//! of high (low) water at the standard port, the time difference; between them it runs straight
//! with the clock. Height differences are given at mean springs and mean neaps; between and beyond
//! them they run straight with the height at the standard port.

use alloc::vec::Vec;

use jiff::{SignedDuration, Timestamp};

use crate::error::{Error, in_range};
use crate::turning::{Turn, TurnKind};

/// Mean heights at springs and neaps: of the standard port, or the differences to be applied at
/// them, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct SpringNeapHeights {
    /// Mean high water springs.
    pub mhws_m: f64,
    /// Mean high water neaps.
    pub mhwn_m: f64,
    /// Mean low water neaps.
    pub mlwn_m: f64,
    /// Mean low water springs.
    pub mlws_m: f64,
}

/// The time difference for turns of the standard port at one clock hour, and twelve hours later.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct ClockDifference {
    /// Clock hour at the standard port in the table's zone, 0 to 24; the same difference holds
    /// twelve hours away.
    pub hour: f64,
    /// Minutes to add for the secondary port, -360 to 360.
    pub minutes: f64,
}

/// The printed differences of a secondary port.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct SecondarySpec {
    /// Mean heights at the standard port.
    pub standard: SpringNeapHeights,
    /// What to add to them for the secondary port.
    pub differences: SpringNeapHeights,
    /// Time differences of high water at two clock hours.
    pub high_water: [ClockDifference; 2],
    /// Time differences of low water at two clock hours.
    pub low_water: [ClockDifference; 2],
    /// The table's zone, hours east of UTC, -14 to 14.
    pub utc_offset_h: f64,
}

/// A secondary port whose differences have been checked.
///
/// ```
/// use wrackline_tides::{
///     ClockDifference, SecondaryPort, SecondarySpec, SpringNeapHeights, Turn, TurnKind,
/// };
/// let difference = |(hour, minutes)| ClockDifference { hour, minutes };
/// let hours = |a, b| [(0.0, a), (6.0, b)].map(difference);
/// let port = SecondaryPort::new(SecondarySpec {
///     standard: SpringNeapHeights { mhws_m: 5.0, mhwn_m: 4.0, mlwn_m: 2.0, mlws_m: 1.0 },
///     differences: SpringNeapHeights { mhws_m: -0.4, mhwn_m: -0.2, mlwn_m: 0.0, mlws_m: 0.1 },
///     high_water: hours(10.0, 40.0),
///     low_water: hours(0.0, 0.0),
///     utc_offset_h: 0.0,
/// })?;
/// let at = "2026-05-01T03:00:00Z".parse()?;
/// let there = Turn { at, height_m: 4.5, kind: TurnKind::HighWater };
/// let here = port.turn(there)?;
/// assert_eq!(here.at, "2026-05-01T03:25:00Z".parse()?);
/// assert!((here.height_m - 4.2).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "SecondarySpec", into = "SecondarySpec")
)]
pub struct SecondaryPort(SecondarySpec);

impl From<SecondaryPort> for SecondarySpec {
    fn from(port: SecondaryPort) -> Self {
        port.0
    }
}

impl TryFrom<SecondarySpec> for SecondaryPort {
    type Error = Error;

    fn try_from(spec: SecondarySpec) -> Result<Self, Error> {
        Self::new(spec)
    }
}

impl SecondaryPort {
    /// Checks the differences.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] with the figure, its value and its range.
    pub fn new(spec: SecondarySpec) -> Result<Self, Error> {
        let check = |what, value, lowest, highest, unit| {
            in_range(what, value, [lowest, highest], unit).map(|_| ())
        };
        let levels = spec.standard;
        check(
            "mean high water springs less neaps",
            levels.mhws_m - levels.mhwn_m,
            0.01,
            20.0,
            "m",
        )?;
        check(
            "mean low water neaps less springs",
            levels.mlwn_m - levels.mlws_m,
            0.01,
            20.0,
            "m",
        )?;
        for value in [levels.mhws_m, levels.mhwn_m, levels.mlwn_m, levels.mlws_m] {
            check(
                "mean height at the standard port",
                value,
                -1_000.0,
                10_000.0,
                "m",
            )?;
        }
        let added = spec.differences;
        for value in [added.mhws_m, added.mhwn_m, added.mlwn_m, added.mlws_m] {
            check("height difference", value, -20.0, 20.0, "m")?;
        }
        for pair in [spec.high_water, spec.low_water] {
            for difference in pair {
                check("clock hour", difference.hour, 0.0, 24.0, "h")?;
                check("time difference", difference.minutes, -360.0, 360.0, "min")?;
            }
            let apart = half_day(pair[1].hour - pair[0].hour);
            check(
                "hours between the two clock hours, twelve taken off",
                apart,
                0.5,
                11.5,
                "h",
            )?;
        }
        check("zone", spec.utc_offset_h, -14.0, 14.0, "h")?;
        Ok(Self(spec))
    }

    /// The differences it was made from.
    #[must_use]
    pub fn spec(&self) -> SecondarySpec {
        self.0
    }

    /// The turn at the secondary port that belongs to one at the standard port, whose height is
    /// above the datum of the table.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a height that is not a number or no water's;
    /// [`Error::OutsideYears`] for a turn at the end of the calendar.
    pub fn turn(&self, standard: Turn) -> Result<Turn, Error> {
        let range_m = [-1_000.0, 10_000.0];
        in_range(
            "height at the standard port",
            standard.height_m,
            range_m,
            "m",
        )?;
        let spec = &self.0;
        let (times, neaps, springs, at_neaps, at_springs) = match standard.kind {
            TurnKind::HighWater => (
                spec.high_water,
                spec.standard.mhwn_m,
                spec.standard.mhws_m,
                spec.differences.mhwn_m,
                spec.differences.mhws_m,
            ),
            TurnKind::LowWater => (
                spec.low_water,
                spec.standard.mlwn_m,
                spec.standard.mlws_m,
                spec.differences.mlwn_m,
                spec.differences.mlws_m,
            ),
        };
        let share = (standard.height_m - neaps) / (springs - neaps);
        let difference = at_neaps + share * (at_springs - at_neaps);
        let minutes = between_hours(times, self.clock_hour(standard.at));
        let later = SignedDuration::from_millis(libm::rint(minutes * 60_000.0) as i64);
        let Ok(at) = standard.at.checked_add(later) else {
            return Err(Error::OutsideYears { at: standard.at });
        };
        Ok(Turn {
            at,
            height_m: standard.height_m + difference,
            kind: standard.kind,
        })
    }

    /// All turns at the secondary port, in order of time.
    ///
    /// # Errors
    /// As [`SecondaryPort::turn`].
    pub fn turns(&self, standard: &[Turn]) -> Result<Vec<Turn>, Error> {
        let turns = standard.iter().map(|turn| self.turn(*turn));
        let mut turns: Vec<Turn> = turns.collect::<Result<_, Error>>()?;
        turns.sort_by_key(|turn| turn.at);
        Ok(turns)
    }

    fn clock_hour(&self, at: Timestamp) -> f64 {
        let of_day =
            at.as_second().rem_euclid(86_400) as f64 + f64::from(at.subsec_nanosecond()) * 1e-9;
        of_day / 3600.0 + self.0.utc_offset_h
    }
}

/// An hour on a clock of twelve.
fn half_day(hour: f64) -> f64 {
    hour - 12.0 * libm::floor(hour / 12.0)
}

fn between_hours([first, second]: [ClockDifference; 2], hour: f64) -> f64 {
    let apart = half_day(second.hour - first.hour);
    let since = half_day(hour - first.hour);
    if since <= apart {
        first.minutes + since / apart * (second.minutes - first.minutes)
    } else {
        second.minutes + (since - apart) / (12.0 - apart) * (first.minutes - second.minutes)
    }
}
