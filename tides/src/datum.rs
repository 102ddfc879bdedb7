//! Tidal datums over the moon's node cycle, springs and neaps, mean intervals.
//!
//! Definitions: HAT and LAT, the highest and lowest predicted tides of the period (IHO Resolution
//! 3/1919 as amended: at least 18.6 years); MHHW, MHW, MLW, MLLW and the mean intervals of *Tide
//! and Current Glossary* (US NOAA): means of the higher high, all high, all low and lower low
//! waters of each tidal day; MHWS, MHWN, MLWS, MLWN: mean of two successive high (low) waters in
//! the twenty-four hours in which the range is greatest or least, about every 14.77 days.
//!
//! NOAA does not count a turn of less than 0.1 ft or 2 h from its neighbour when it tabulates
//! observed tides; that is an option here ([`Shallow`]), off by default.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::astro::Longitudes;
use crate::constants::Port;
use crate::convention::{hours_after, hours_between};
use crate::error::{Error, in_range};
use crate::turning::{Turn, TurnKind};

/// A lunar day, hours: from one upper transit of the moon to the next, in the mean.
pub const TIDAL_DAY_H: f64 = 24.841_202_3;
/// From one spring to the next, hours: half the moon's phases.
const SPRING_CYCLE_H: f64 = 354.367_056;

/// Pairs of neighbouring turns that are not to be counted as tides. A tide either moves the water
/// or it does not; leaving pairs out loses real turns, so nothing is left out unless the caller
/// asks.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Shallow {
    /// Pairs with less between them, metres.
    pub range_m: f64,
    /// Pairs closer together, hours.
    pub interval_h: f64,
}

impl Shallow {
    /// What NOAA's tabulation leaves out: under 0.1 ft or under 2 hours.
    pub const NOAA: Self = Self {
        range_m: 0.03048,
        interval_h: 2.0,
    };
}

/// Takes out pairs of neighbouring turns that are too shallow or too close, the shallowest first,
/// until none is left.
///
/// # Errors
/// [`Error::OutOfRange`] for a height, a range or an interval that is not a number or far from any
/// tide's.
pub fn without_shallow(turns: &[Turn], shallow: Shallow) -> Result<Vec<Turn>, Error> {
    in_range(
        "range of a shallow pair",
        shallow.range_m,
        [0.0, 100.0],
        "m",
    )?;
    let interval_h = [0.0, 1_000.0];
    in_range(
        "interval of a close pair",
        shallow.interval_h,
        interval_h,
        "h",
    )?;
    heights_of_water(turns)?;
    let mut kept: Vec<Turn> = turns.to_vec();
    loop {
        let pair = kept
            .windows(2)
            .enumerate()
            .filter_map(|(index, pair)| {
                let [one, next] = pair else { return None };
                let range = (one.height_m - next.height_m).abs();
                let close = hours_between(one.at, next.at) < shallow.interval_h;
                (range < shallow.range_m || close).then_some((index, range))
            })
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let Some((index, _)) = pair else {
            return Ok(kept);
        };
        kept.drain(index..index + 2);
        // High and low still alternate, but the one kept must be the more extreme where the pair
        // stood at an end.
    }
}

/// Turns come from anywhere, such as a printed table: refuses heights that are none.
fn heights_of_water(turns: &[Turn]) -> Result<(), Error> {
    for turn in turns {
        in_range("height of a turn", turn.height_m, [-1_000.0, 10_000.0], "m")?;
    }
    Ok(())
}

/// Datums above the port's own datum, metres, and the mean intervals.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Datums {
    /// Highest astronomical tide.
    pub hat_m: f64,
    /// When it comes.
    pub hat_at: Timestamp,
    /// Lowest astronomical tide.
    pub lat_m: f64,
    /// When it comes.
    pub lat_at: Timestamp,
    /// Mean higher high water.
    pub mhhw_m: f64,
    /// Mean high water.
    pub mhw_m: f64,
    /// Mean sea level.
    pub msl_m: f64,
    /// Mean low water.
    pub mlw_m: f64,
    /// Mean lower low water.
    pub mllw_m: f64,
    /// Mean high water springs.
    pub mhws_m: f64,
    /// Mean high water neaps.
    pub mhwn_m: f64,
    /// Mean low water neaps.
    pub mlwn_m: f64,
    /// Mean low water springs.
    pub mlws_m: f64,
    /// Mean high-water interval: hours from the moon's transit over Greenwich, upper or lower, to
    /// the next high water; none where the tide is not semidiurnal enough for the interval to mean
    /// anything.
    pub high_water_interval_h: Option<f64>,
    /// Mean low-water interval, likewise.
    pub low_water_interval_h: Option<f64>,
}

impl Port {
    /// The datums over a period, usually 19 years: NOAA's epoch is 1983 to 2001.
    ///
    /// ```
    /// # use wrackline_tides::{Convention, Harmonic, Port, PortSpec};
    /// # let line = |name: &str, amplitude_m, phase_lag_deg| Harmonic {
    /// #     name: name.into(), amplitude_m, phase_lag_deg,
    /// # };
    /// # let port = Port::new(PortSpec {
    /// #     mean_level_m: 4.4,
    /// #     harmonics: &[line("M2", 2.5, 171.0), line("S2", 0.9, 219.0)],
    /// #     convention: Convention::IhoInstant,
    /// # })?;
    /// let period = "2020-01-01T00:00:00Z".parse()?.."2021-01-01T00:00:00Z".parse()?;
    /// let datums = port.datums(period, None)?;
    /// assert!(datums.hat_m > datums.mhws_m && datums.mhws_m > datums.mhwn_m);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// As [`Port::predictor`]; [`Error::NoTurns`] if the period is shorter than a month or the port
    /// has no tide.
    pub fn datums(
        &self,
        period: Range<Timestamp>,
        shallow: Option<Shallow>,
    ) -> Result<Datums, Error> {
        let turns = self.predictor(period.clone())?.turns();
        let counted = match shallow {
            Some(shallow) => without_shallow(&turns, shallow)?,
            None => turns.clone(),
        };
        let short = hours_between(period.start, period.end) < 2.0 * SPRING_CYCLE_H;
        let highest = extreme(&turns, TurnKind::HighWater);
        let lowest = extreme(&turns, TurnKind::LowWater);
        let (false, Some(highest), Some(lowest)) = (short, highest, lowest) else {
            return Err(Error::NoTurns {
                start: period.start,
                end: period.end,
            });
        };
        let highs = of_kind(&counted, TurnKind::HighWater);
        let lows = of_kind(&counted, TurnKind::LowWater);
        let springs = spring_and_neap_means(&counted, &period)?;
        let (mhw_m, mlw_m) = (mean_height(&highs), mean_height(&lows));
        Ok(Datums {
            hat_m: highest.height_m,
            hat_at: highest.at,
            lat_m: lowest.height_m,
            lat_at: lowest.at,
            mhhw_m: mean_of_days(&highs, &period, f64::max),
            mhw_m,
            msl_m: self.mean_level_m(),
            mlw_m,
            mllw_m: mean_of_days(&lows, &period, f64::min),
            mhws_m: springs.map_or(mhw_m, |means| means.high_springs_m),
            mhwn_m: springs.map_or(mhw_m, |means| means.high_neaps_m),
            mlwn_m: springs.map_or(mlw_m, |means| means.low_neaps_m),
            mlws_m: springs.map_or(mlw_m, |means| means.low_springs_m),
            high_water_interval_h: mean_interval(&highs),
            low_water_interval_h: mean_interval(&lows),
        })
    }
}

fn extreme(turns: &[Turn], kind: TurnKind) -> Option<Turn> {
    let sign = if kind == TurnKind::HighWater {
        1.0
    } else {
        -1.0
    };
    turns
        .iter()
        .filter(|turn| turn.kind == kind)
        .max_by(|a, b| (sign * a.height_m).total_cmp(&(sign * b.height_m)))
        .copied()
}

fn of_kind(turns: &[Turn], kind: TurnKind) -> Vec<Turn> {
    turns
        .iter()
        .filter(|turn| turn.kind == kind)
        .copied()
        .collect()
}

fn mean_height(turns: &[Turn]) -> f64 {
    turns.iter().map(|turn| turn.height_m).sum::<f64>() / turns.len().max(1) as f64
}

/// Mean over tidal days of each day's most extreme turn.
fn mean_of_days(turns: &[Turn], period: &Range<Timestamp>, pick: fn(f64, f64) -> f64) -> f64 {
    let (mut sum, mut days) = (0.0, 0.0);
    let mut current: Option<(i64, f64)> = None;
    for turn in turns {
        let day = libm::floor(hours_between(period.start, turn.at) / TIDAL_DAY_H) as i64;
        current = match current {
            Some((same, height)) if same == day => Some((same, pick(height, turn.height_m))),
            finished => {
                if let Some((_, height)) = finished {
                    sum += height;
                    days += 1.0;
                }
                Some((day, turn.height_m))
            }
        };
    }
    if let Some((_, height)) = current {
        sum += height;
        days += 1.0;
    }
    if days > 0.0 { sum / days } else { 0.0 }
}

/// Whether the range is at its greatest or at its least.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Spring {
    /// The greatest.
    Springs,
    /// The least.
    Neaps,
}

/// When the tide is greatest and least in each half of the moon's phases.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct SpringOrNeap {
    /// Middle of the two successive tides.
    pub at: Timestamp,
    /// Mean of the two high waters, metres.
    pub high_m: f64,
    /// Mean of the two low waters, metres.
    pub low_m: f64,
    /// Springs, or neaps.
    pub kind: Spring,
}

/// Springs and neaps by definition: in each half lunation, the pair of successive tides with the
/// greatest and the least mean range.
///
/// Turns must be in order and alternate, as [`Predictor::turns`](crate::Predictor::turns) gives
/// them.
///
/// # Errors
/// [`Error::OutOfRange`] for a height that is not a number or no water's.
pub fn springs_and_neaps(turns: &[Turn]) -> Result<Vec<SpringOrNeap>, Error> {
    heights_of_water(turns)?;
    let Some(first) = turns.first() else {
        return Ok(Vec::new());
    };
    // Two highs and two lows in a row: one tidal day of a semidiurnal tide.
    let days: Vec<SpringOrNeap> = turns
        .windows(4)
        .filter_map(|four| {
            let [a, b, c, d] = four else { return None };
            let (high, low) = if a.kind == TurnKind::HighWater {
                ((a, c), (b, d))
            } else {
                ((b, d), (a, c))
            };
            Some(SpringOrNeap {
                at: hours_after(a.at, 0.5 * hours_between(a.at, d.at)),
                high_m: 0.5 * (high.0.height_m + high.1.height_m),
                low_m: 0.5 * (low.0.height_m + low.1.height_m),
                kind: Spring::Neaps,
            })
        })
        .collect();
    let mut found = Vec::new();
    // A day is a spring if none within a quarter of the cycle either side has more range, a neap if
    // none has less.
    let reach = 0.45 * 0.5 * SPRING_CYCLE_H;
    let range = |day: &SpringOrNeap| day.high_m - day.low_m;
    let time: Vec<f64> = days
        .iter()
        .map(|day| hours_between(first.at, day.at))
        .collect();
    let (mut low, mut high) = (0, 0);
    for (index, day) in days.iter().enumerate() {
        let Some(now) = time.get(index).copied() else {
            continue;
        };
        low += time
            .iter()
            .skip(low)
            .take_while(|t| **t < now - reach)
            .count();
        high += time
            .iter()
            .skip(high)
            .take_while(|t| **t <= now + reach)
            .count();
        let near = days.get(low..high).unwrap_or_default();
        let whole = time.first().is_some_and(|t| now - reach >= *t)
            && time.last().is_some_and(|t| now + reach <= *t);
        let at = index - low;
        let most = near
            .iter()
            .enumerate()
            .all(|(k, other)| range(other) < range(day) || (range(other) == range(day) && k >= at));
        let least = near
            .iter()
            .enumerate()
            .all(|(k, other)| range(other) > range(day) || (range(other) == range(day) && k >= at));
        if whole && (most || least) {
            found.push(SpringOrNeap {
                kind: if most { Spring::Springs } else { Spring::Neaps },
                ..*day
            });
        }
    }
    Ok(found)
}

#[derive(Clone, Copy)]
struct SpringMeans {
    high_springs_m: f64,
    high_neaps_m: f64,
    low_neaps_m: f64,
    low_springs_m: f64,
}

fn spring_and_neap_means(
    turns: &[Turn],
    period: &Range<Timestamp>,
) -> Result<Option<SpringMeans>, Error> {
    // A diurnal tide has no springs in this sense.
    let tides_a_day = turns.len() as f64 / (hours_between(period.start, period.end) / TIDAL_DAY_H);
    if tides_a_day < 3.5 {
        return Ok(None);
    }
    Ok(means_of(&springs_and_neaps(turns)?))
}

fn means_of(days: &[SpringOrNeap]) -> Option<SpringMeans> {
    let mean = |kind: Spring, value: fn(&SpringOrNeap) -> f64| {
        let values: Vec<f64> = days
            .iter()
            .filter(|day| day.kind == kind)
            .map(value)
            .collect();
        (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
    };
    Some(SpringMeans {
        high_springs_m: mean(Spring::Springs, |day| day.high_m)?,
        high_neaps_m: mean(Spring::Neaps, |day| day.high_m)?,
        low_neaps_m: mean(Spring::Neaps, |day| day.low_m)?,
        low_springs_m: mean(Spring::Springs, |day| day.low_m)?,
    })
}

/// Mean of the intervals on their circle of half a lunar day; none if they point everywhere.
fn mean_interval(turns: &[Turn]) -> Option<f64> {
    let half_day = 0.5 * TIDAL_DAY_H;
    let (mut cosine, mut sine) = (0.0, 0.0);
    for turn in turns {
        // Twice the moon's hour angle over Greenwich, τ = T - s + h counted from the transit.
        let longitudes = Longitudes::at(turn.at);
        let hour_angle = longitudes.solar_time_deg - longitudes.moon_deg + longitudes.sun_deg;
        let angle = (2.0 * hour_angle).to_radians();
        cosine += libm::cos(angle);
        sine += libm::sin(angle);
    }
    let n = turns.len().max(1) as f64;
    // A resultant of under a half: no rhythm of half lunar days.
    if libm::hypot(cosine, sine) / n < 0.5 {
        return None;
    }
    let angle = crate::astro::wrap_360(libm::atan2(sine, cosine).to_degrees());
    Some(angle / 360.0 * half_day)
}

/// How springs stand to the moon and the clock at a port, from its two great semidiurnal
/// constituents.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct SpringClock {
    /// Age of the tide: days from new and full moon to springs, (G of S2 - G of M2) over the
    /// difference of their speeds.
    pub age_of_tide_days: f64,
    /// Hour (UTC, 0 to 24) of one of the day's high waters at springs, the mean of the year: the
    /// other comes half a day before or after. It hardly changes, because at springs the sun's tide
    /// and the moon's agree: S2 stands at its high water then.
    pub high_water_hour: f64,
}

impl Port {
    /// Age of the tide and the clock hour of spring high water; none if the port lacks M2 or S2.
    ///
    /// The hour is that of S2's own high water: G of S2 over 30° an hour, within about half an hour
    /// of the port's spring high waters where M4 is small.
    #[must_use]
    pub fn spring_clock(&self) -> Option<SpringClock> {
        let find = |name| {
            self.lines()
                .iter()
                .find(|line| line.constituent.name() == name)
        };
        let (m2, s2) = (find("M2")?, find("S2")?);
        let apart = crate::astro::wrap_180(s2.lag_deg - m2.lag_deg);
        let speed = s2.constituent.speed_deg_per_h() - m2.constituent.speed_deg_per_h();
        let hour = crate::astro::wrap_360(s2.lag_deg) / 30.0;
        Some(SpringClock {
            age_of_tide_days: apart / speed / 24.0,
            high_water_hour: hour,
        })
    }
}
