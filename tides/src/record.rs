//! A gauge's record: readings in order of time, without those that stand for missing ones.

use alloc::borrow::Cow;
use alloc::vec::Vec;

use jiff::Timestamp;

use crate::convention::hours_between;
use crate::error::Error;

/// One reading of the water level.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Reading {
    /// When.
    pub at: Timestamp,
    /// Level above the gauge's zero, metres.
    pub height_m: f64,
}

/// Fewest readings that are analysed: a day of hours with both its ends.
const FEWEST: usize = 25;
/// A reading is far off if it stands farther from the median than this (metres) and six deviations
/// together. Surges at gauges stay below it, and so do the tides of the greatest ranges; the usual
/// stand-ins (99.99, -99.9, 999, -9999) do not. Our default.
const FAR_OFF_M: f64 = 6.0;
const FAR_OFF_DEVIATIONS: f64 = 6.0;
/// The median absolute deviation of a normal deviate is this share of its standard deviation.
pub(crate) const MEDIAN_SHARE: f64 = 0.6745;

/// Readings that can be analysed.
pub(crate) struct Record<'a> {
    pub(crate) readings: Cow<'a, [Reading]>,
    /// From first to last.
    pub(crate) hours: f64,
    /// Median of the time from one reading to the next, hours.
    pub(crate) step_h: f64,
    /// Share of the readings that follow the one before by that.
    pub(crate) evenness: f64,
}

impl<'a> Record<'a> {
    /// Checks the readings and takes out those that a gauge writes where it has none.
    pub(crate) fn new(readings: &'a [Reading], missing_m: &[f64]) -> Result<Self, Error> {
        let missing = |reading: &Reading| {
            missing_m
                .iter()
                .any(|mark| *mark == reading.height_m || mark.is_nan() && reading.height_m.is_nan())
        };
        let kept = if readings.iter().any(missing) {
            Cow::Owned(
                readings
                    .iter()
                    .filter(|reading| !missing(reading))
                    .copied()
                    .collect(),
            )
        } else {
            Cow::Borrowed(readings)
        };
        // Where a reading that was kept stands among those given.
        let place = |index: usize| {
            let given = readings.iter().enumerate().filter(|(_, it)| !missing(it));
            given.map(|(place, _)| place).nth(index).unwrap_or(index)
        };
        if kept.len() < FEWEST {
            return Err(Error::Readings {
                index: kept.len(),
                problem: "the record has fewer than 25 readings: give more",
            });
        }
        if let Some(wrong) = kept
            .iter()
            .position(|reading| !reading.height_m.is_finite())
        {
            return Err(Error::Readings {
                index: place(wrong),
                problem: "the level is not a number: drop the reading, or say that it stands for \
                 a missing one",
            });
        }
        for (index, pair) in kept.windows(2).enumerate() {
            if let [one, next] = pair
                && next.at <= one.at
            {
                return Err(Error::Readings {
                    index: place(index + 1),
                    problem: "the reading is not later than the one before: sort the readings and \
                     drop doubles",
                });
            }
        }
        let median_m = median(kept.iter().map(|reading| reading.height_m).collect());
        let deviation = median(
            kept.iter()
                .map(|reading| (reading.height_m - median_m).abs())
                .collect(),
        ) / MEDIAN_SHARE;
        let reach_m = FAR_OFF_M + FAR_OFF_DEVIATIONS * deviation;
        let far = |reading: &Reading| (reading.height_m - median_m).abs() > reach_m;
        if let Some(index) = kept.iter().position(far)
            && let Some(reading) = kept.get(index)
        {
            return Err(Error::FarOff {
                index: place(index),
                at: reading.at,
                height_m: reading.height_m,
                median_m,
                reach_m,
            });
        }
        let mut spacing: Vec<f64> = kept
            .windows(2)
            .map(|pair| {
                if let [a, b] = pair {
                    hours_between(a.at, b.at)
                } else {
                    0.0
                }
            })
            .collect();
        let intervals = spacing.len().max(1) as f64;
        let step_h = select_median(&mut spacing);
        let even = spacing
            .iter()
            .filter(|gap| (**gap - step_h).abs() < 1e-3 * step_h)
            .count();
        let hours = match (kept.first(), kept.last()) {
            (Some(first), Some(last)) => hours_between(first.at, last.at),
            _ => 0.0,
        };
        Ok(Self {
            readings: kept,
            hours,
            step_h,
            evenness: even as f64 / intervals,
        })
    }
}

/// The upper median.
pub(crate) fn median(mut values: Vec<f64>) -> f64 {
    select_median(&mut values)
}

fn select_median(values: &mut [f64]) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let middle = values.len() / 2;
    *values.select_nth_unstable_by(middle, f64::total_cmp).1
}
