//! Phases of the moon and beginnings of the seasons: when an apparent longitude reaches a multiple
//! of a quarter turn.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::angle::signed_deg;
use crate::error::{Error, not_empty};
use crate::moon_light::moon_light_at;
use crate::sun::sun_at;
use crate::time::{EarthTime, Instant, Tt};

/// A principal phase of the moon.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
pub enum MoonPhase {
    /// Moon and sun have the same ecliptic longitude.
    New,
    /// The moon stands 90° east of the sun.
    FirstQuarter,
    /// The moon stands 180° from the sun.
    Full,
    /// The moon stands 270° east of the sun.
    LastQuarter,
}

/// When a principal phase happens.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct PhaseEvent {
    /// When, in UTC.
    pub at: Timestamp,
    /// When, in UT1 and TT.
    pub instant: Instant,
    /// Which phase.
    pub phase: MoonPhase,
}

/// The beginning of a season.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
pub enum Season {
    /// The sun's longitude is 0°: spring in the north.
    MarchEquinox,
    /// 90°: summer in the north.
    JuneSolstice,
    /// 180°: autumn in the north.
    SeptemberEquinox,
    /// 270°: winter in the north.
    DecemberSolstice,
}

/// When a season begins.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct SeasonEvent {
    /// When, in UTC.
    pub at: Timestamp,
    /// When, in UT1 and TT.
    pub instant: Instant,
    /// Which season.
    pub season: Season,
}

/// The principal phases of the moon in a span, for the centre of the Earth; within 3 s of the
/// ephemeris DE440 in TT.
///
/// ```
/// use wrackline_solar::{MoonPhase, moon_phases};
///
/// let phases = moon_phases("2026-12-01T00:00:00Z".parse()?.."2027-01-01T00:00:00Z".parse()?)?;
/// assert_eq!(phases.len(), 5);
/// assert_eq!(phases[1].phase, MoonPhase::New);
/// # Ok::<(), Box<dyn core::error::Error>>(())
/// ```
///
/// # Errors
/// If the span holds no time.
pub fn moon_phases(span: Range<Timestamp>) -> Result<Vec<PhaseEvent>, Error> {
    not_empty(&span)?;
    const KINDS: [MoonPhase; 4] = [
        MoonPhase::New,
        MoonPhase::FirstQuarter,
        MoonPhase::Full,
        MoonPhase::LastQuarter,
    ];
    Ok(quarters(span, MOON_RATE_DEG, |instant| {
        moon_light_at(instant).longitude_from_sun_deg
    })
    .map(|(at, instant, quarter)| PhaseEvent {
        at,
        instant,
        phase: KINDS[quarter],
    })
    .collect())
}

/// The moon's age in days: the time since the last new moon, 0 to 29.8.
///
/// ```
/// use wrackline_solar::moon_age_days;
///
/// // New moon was on 9 December 2026 at 00:52.
/// let age = moon_age_days("2026-12-10T00:52:00Z".parse()?);
/// assert!((age - 1.0).abs() < 0.001);
/// # Ok::<(), jiff::Error>(())
/// ```
#[must_use]
pub fn moon_age_days(at: Timestamp) -> f64 {
    let now = Instant::from_timestamp(at);
    let from_sun_deg = moon_light_at(now).longitude_from_sun_deg;
    // Backwards along the true rate, which stays within 25 % of the mean one: the full turn before
    // is never reached.
    let mut tt = now.tt().0 - from_sun_deg / MOON_RATE_DEG;
    for _ in 0..STEPS {
        let miss = signed_deg(moon_light_at(Instant::from_tt(Tt(tt))).longitude_from_sun_deg);
        tt -= miss / MOON_RATE_DEG;
        if (miss / MOON_RATE_DEG).abs() < 1e-8 {
            break;
        }
    }
    (now.tt().0 - tt).max(0.0)
}

/// 360° in a synodic month, degrees a day.
const MOON_RATE_DEG: f64 = 12.190_749;
/// How many steps a search for a phase takes at most.
const STEPS: u32 = 50;

/// The equinoxes and solstices in a span; within 2 s of the ephemeris DE440 in TT.
///
/// ```
/// use wrackline_solar::{Season, seasons};
///
/// let seasons = seasons("2026-12-01T00:00:00Z".parse()?.."2027-01-01T00:00:00Z".parse()?)?;
/// assert_eq!(seasons[0].season, Season::DecemberSolstice);
/// # Ok::<(), Box<dyn core::error::Error>>(())
/// ```
///
/// # Errors
/// If the span holds no time.
pub fn seasons(span: Range<Timestamp>) -> Result<Vec<SeasonEvent>, Error> {
    not_empty(&span)?;
    const KINDS: [Season; 4] = [
        Season::MarchEquinox,
        Season::JuneSolstice,
        Season::SeptemberEquinox,
        Season::DecemberSolstice,
    ];
    // 360° in a tropical year.
    Ok(quarters(span, 0.985_647_4, |instant| {
        sun_at(instant).ecliptic_longitude_deg
    })
    .map(|(at, instant, quarter)| SeasonEvent {
        at,
        instant,
        season: KINDS[quarter],
    })
    .collect())
}

/// The instants of a span at which an angle that always grows, at a known mean rate in degrees a
/// day, reaches 0, 90, 180 or 270 degrees.
fn quarters(
    span: Range<Timestamp>,
    rate_deg: f64,
    angle_deg: impl Fn(Instant) -> f64,
) -> impl Iterator<Item = (Timestamp, Instant, usize)> {
    let start = Instant::from_timestamp(span.start);
    let angle = angle_deg(start);
    // Begin a quarter early: near the start the mean rate alone does not tell on which side of it a
    // quarter lies.
    let mut quarter = libm::floor(angle / 90.0) as i64;
    let mut near = start.tt().0 - (angle - 90.0 * quarter as f64) / rate_deg;
    core::iter::from_fn(move || {
        loop {
            let target_deg = 90.0 * quarter as f64;
            let mut tt = near;
            for _ in 0..STEPS {
                let miss = signed_deg(angle_deg(Instant::from_tt(Tt(tt))) - target_deg);
                let step = miss / rate_deg;
                tt -= step;
                // The true rate stays within 25 % of the mean one, so each step leaves a quarter of
                // the miss at most: 1e-8 of a day is 1 ms.
                if step.abs() < 1e-8 {
                    break;
                }
            }
            near = tt + 90.0 / rate_deg;
            let kind = quarter.rem_euclid(4) as usize;
            quarter += 1;
            let instant = Instant::from_tt(Tt(tt));
            match EarthTime::Observed.timestamp(instant) {
                Some(at) if at < span.start => {}
                Some(at) if at < span.end => return Some((at, instant, kind)),
                // The quarter before the span may lie before the first time that the calendar
                // holds.
                None if tt < start.tt().0 => {}
                _ => return None,
            }
        }
    })
}
