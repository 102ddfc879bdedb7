//! Time scales: UTC as the caller has it, UT1 that turns the Earth, TT that moves the bodies.

use jiff::Timestamp;

use crate::angle::whole_below;
use crate::error::{Error, within};
use crate::observed::{
    DAY_S, J2000_POSIX_S, TABLE_END_DAYS, TABLE_START_DAYS, TABLE_STEP_DAYS, TABLE_UNIT_S,
    TT_MINUS_TAI_S, UTC_BEGINS_DAYS, observed, ut1_minus_tai_s, ut1_minus_utc_abreast_s,
    ut1_minus_utc_at_ut1_s, ut1_minus_utc_s,
};
use crate::tables::earth_rotation::{DELTA_T_PIECES, UT1_MINUS_TAI};

/// Julian date of the epoch J2000.
const J2000: f64 = 2_451_545.0;
/// Julian dates around the first and the last time that a [`Timestamp`] holds, in the years -9999
/// and 9999.
const EARLIEST_JD: f64 = -1_931_000.0;
const LATEST_JD: f64 = 5_373_484.5;
/// How far TT and UT1 may lie apart, days: in the year -9999 the long-term parabola gives 5.3.
const FURTHEST_APART_DAYS: f64 = 10.0;
/// Days in a second.
const SECOND_DAYS: f64 = 1.0 / DAY_S;

/// UT1, the angle through which the Earth has turned, as days from J2000 (UT1).
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub(crate) struct Ut1(pub(crate) f64);

/// Terrestrial Time, the uniform scale of the theories, as days from J2000 (TT).
///
/// TDB, in which the theories are written, differs by less than 2 ms: 0.0001" for the sun, 0.001"
/// for the moon.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub(crate) struct Tt(pub(crate) f64);

impl Tt {
    /// Julian centuries from J2000.
    pub(crate) fn centuries(self) -> f64 {
        self.0 / 36_525.0
    }
}

/// An instant given by its two Julian dates.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct JulianDates {
    /// Julian date in UT1, the time scale of the Earth's rotation.
    pub ut1_jd: f64,
    /// Julian date in Terrestrial Time.
    pub tt_jd: f64,
}

/// An instant in the two time scales that the sky needs: UT1 for the rotation of the Earth, TT for
/// the motion of the bodies.
///
/// ```
/// use wrackline_solar::Instant;
///
/// let instant = Instant::from_timestamp("2017-01-01T00:00:00Z".parse()?);
/// // IERS: UT1-UTC was +0.59 s after the leap second, TAI-UTC 37 s.
/// assert!((instant.delta_t_s() - 68.59).abs() < 0.01);
/// # Ok::<(), jiff::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(
        try_from = "crate::record::InstantRecord",
        into = "crate::record::InstantRecord"
    )
)]
pub struct Instant {
    ut1: Ut1,
    tt: Tt,
}

impl Instant {
    /// From a time in UTC, with the rotation of the Earth as observed: see [`EarthTime::Observed`].
    #[must_use]
    pub fn from_timestamp(at: Timestamp) -> Self {
        EarthTime::Observed.instant(at)
    }

    /// From Julian dates in UT1 and TT.
    ///
    /// A Julian date in one number resolves 40 µs, in which the sky turns by 0.0006".
    ///
    /// # Errors
    /// If a date lies outside -1,931,000 to 5,373,484.5 (the years -9999 to 9999), or if the two
    /// differ by more than ten days.
    pub fn from_julian_dates(dates: JulianDates) -> Result<Self, Error> {
        let ut1 = within(
            "Julian date in UT1",
            dates.ut1_jd,
            EARLIEST_JD,
            LATEST_JD,
            "",
        )?;
        let (low, high) = (ut1 - FURTHEST_APART_DAYS, ut1 + FURTHEST_APART_DAYS);
        let tt = within("Julian date in TT", dates.tt_jd, low, high, "")?;
        Ok(Self {
            ut1: Ut1(ut1 - J2000),
            tt: Tt(tt - J2000),
        })
    }

    /// The Julian dates of the instant.
    #[must_use]
    pub fn julian_dates(self) -> JulianDates {
        JulianDates {
            ut1_jd: self.ut1.0 + J2000,
            tt_jd: self.tt.0 + J2000,
        }
    }

    /// From days of UT1 and TT since J2000, for those who stored them.
    #[cfg(feature = "serde")]
    pub(crate) fn of_days(ut1_days: f64, tt_days: f64) -> Result<Self, Error> {
        let (low, high) = (EARLIEST_JD - J2000, LATEST_JD - J2000);
        let ut1 = within("time from J2000 in UT1", ut1_days, low, high, "d")?;
        let (low, high) = (ut1 - FURTHEST_APART_DAYS, ut1 + FURTHEST_APART_DAYS);
        let tt = within("time from J2000 in TT", tt_days, low, high, "d")?;
        Ok(Self {
            ut1: Ut1(ut1),
            tt: Tt(tt),
        })
    }

    /// TT-UT1 in seconds.
    #[must_use]
    pub fn delta_t_s(self) -> f64 {
        (self.tt.0 - self.ut1.0) * DAY_S
    }

    pub(crate) fn ut1(self) -> Ut1 {
        self.ut1
    }

    pub(crate) fn tt(self) -> Tt {
        self.tt
    }

    /// From TT alone, with delta T as observed.
    pub(crate) fn from_tt(tt: Tt) -> Self {
        // ΔT changes by less than 1e-7 of the time that passes.
        let near = tt.0 - delta_t_s(tt.0) / DAY_S;
        Self {
            ut1: Ut1(tt.0 - delta_t_s(near) / DAY_S),
            tt,
        }
    }
}

/// How UT1, the rotation of the Earth, lies to UTC and TT.
///
/// ```
/// use wrackline_solar::{EarthTime, EarthTimeSpec};
///
/// // As a bulletin gives it for the week.
/// let given = EarthTime::given(EarthTimeSpec { ut1_minus_utc_s: -0.021, delta_t_s: 69.2 })?;
/// let at = "2026-12-29T09:33:00Z".parse()?;
/// assert!((given.instant(at).delta_t_s() - 69.2).abs() < 1e-5);
/// assert!(EarthTime::Observed.ut1_uncertainty_s(at) <= 0.9);
/// # Ok::<(), Box<dyn core::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
pub enum EarthTime {
    /// As observed, or modelled outside the observations.
    ///
    /// Before 1972 a time in UTC is taken as UT1, which civil time followed then. From 1972 UT1-UTC
    /// comes from the observed values of the IERS (interpolated to 0.8 ms rms, 3.3 ms at most);
    /// after their end it stays at its last value. ΔT comes from the observed values from 1962 on,
    /// before from Morrison et al. (2021), later from a cubic that runs into the long-term parabola
    /// of Stephenson et al. (2016).
    #[default]
    Observed,
    /// As given: for every instant the same.
    Given(GivenEarthTime),
}

/// UT1-UTC and ΔT as somebody gives them.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct EarthTimeSpec {
    /// UT1-UTC in seconds, -1 to 1.
    pub ut1_minus_utc_s: f64,
    /// TT-UT1 in seconds, -1,000 to 100,000.
    pub delta_t_s: f64,
}

/// An [`EarthTimeSpec`] whose values lie in their ranges.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "EarthTimeSpec", into = "EarthTimeSpec")
)]
pub struct GivenEarthTime {
    spec: EarthTimeSpec,
}

impl GivenEarthTime {
    pub(crate) fn new(spec: EarthTimeSpec) -> Result<Self, Error> {
        within("UT1-UTC", spec.ut1_minus_utc_s, -1.0, 1.0, "s")?;
        within("TT-UT1", spec.delta_t_s, -1_000.0, 100_000.0, "s")?;
        Ok(Self { spec })
    }

    /// The values themselves.
    #[must_use]
    pub fn spec(&self) -> EarthTimeSpec {
        self.spec
    }
}

impl EarthTime {
    /// Fixed values in place of the observed ones.
    ///
    /// # Errors
    /// If a value lies outside its range or is not a number.
    pub fn given(spec: EarthTimeSpec) -> Result<Self, Error> {
        GivenEarthTime::new(spec).map(Self::Given)
    }

    /// The instant of a time in UTC.
    #[must_use]
    pub fn instant(self, at: Timestamp) -> Instant {
        let utc = posix_days(at);
        let (ut1_minus_utc_s, delta_t_s) = match self {
            Self::Observed => match observed(utc) {
                Some(both) => both,
                None => (ut1_minus_utc_s(utc), delta_t_s(utc)),
            },
            Self::Given(given) => (given.spec.ut1_minus_utc_s, given.spec.delta_t_s),
        };
        let ut1 = utc + ut1_minus_utc_s * SECOND_DAYS;
        Instant {
            ut1: Ut1(ut1),
            tt: Tt(ut1 + delta_t_s * SECOND_DAYS),
        }
    }

    /// UT1 alone.
    #[inline(always)]
    pub(crate) fn ut1(self, at: Timestamp) -> Ut1 {
        let utc = posix_days(at);
        let ut1_minus_utc_s = match self {
            Self::Observed => ut1_minus_utc_s(utc),
            Self::Given(given) => given.spec.ut1_minus_utc_s,
        };
        Ut1(utc + ut1_minus_utc_s * SECOND_DAYS)
    }

    /// UT1 at many instants, to the same bits: step by step, so that most steps fill vector
    /// registers.
    #[inline(always)]
    pub(crate) fn ut1_abreast<const N: usize>(self, instants: &[Timestamp; N]) -> [f64; N] {
        let mut utc = [0.0; N];
        for (days, at) in utc.iter_mut().zip(instants) {
            *days = posix_days(*at);
        }
        let excess_s = match self {
            Self::Observed => ut1_minus_utc_abreast_s(&utc),
            Self::Given(given) => [given.spec.ut1_minus_utc_s; N],
        };
        core::array::from_fn(|i| utc[i] + excess_s[i] * SECOND_DAYS)
    }

    /// The time in UTC of an instant, rounded to a microsecond; `None` outside the years -9999 to
    /// 9999.
    #[must_use]
    pub fn timestamp(self, instant: Instant) -> Option<Timestamp> {
        let ut1 = instant.ut1.0;
        let ut1_minus_utc_s = match self {
            Self::Observed => ut1_minus_utc_at_ut1_s(ut1),
            Self::Given(given) => given.spec.ut1_minus_utc_s,
        };
        let utc = ut1 - ut1_minus_utc_s * SECOND_DAYS;
        let day = whole_below(utc);
        let microseconds = ((utc - day) * DAY_S * 1e6 + 0.5) as i64;
        let seconds = (day as i64)
            .checked_mul(86_400)?
            .checked_add(J2000_POSIX_S)?;
        Timestamp::from_microsecond(seconds.checked_mul(1_000_000)?.checked_add(microseconds)?).ok()
    }

    /// By how much UT1 may be off at a time in UTC, in seconds; the sky turns by 15" in each.
    ///
    /// 0.003 s where UT1-UTC was observed (the error of the interpolation); 0.9 s, the bound that
    /// leap seconds keep, after the observations; before 1972 zero if UTC is taken as UT1, which is
    /// what is done; zero for values given.
    #[must_use]
    pub fn ut1_uncertainty_s(self, at: Timestamp) -> f64 {
        let utc = posix_days(at);
        match self {
            Self::Given(_) => 0.0,
            Self::Observed if utc < UTC_BEGINS_DAYS => 0.0,
            Self::Observed if utc <= TABLE_END_DAYS => 0.003,
            // UT1 drifts by less than a millisecond a day from its last observed value until a leap
            // second becomes possible.
            Self::Observed => (0.003 + (utc - TABLE_END_DAYS) * 0.001).min(0.9),
        }
    }

    pub(crate) fn instant_of_ut1(self, ut1: Ut1) -> Instant {
        let delta_t_s = match self {
            Self::Observed => delta_t_s(ut1.0),
            Self::Given(given) => given.spec.delta_t_s,
        };
        Instant {
            ut1,
            tt: Tt(ut1.0 + delta_t_s * SECOND_DAYS),
        }
    }
}

/// Days of POSIX time from J2000.
#[inline(always)]
fn posix_days(at: Timestamp) -> f64 {
    // Whole days and the rest apart, so that no digit is lost before the sum.
    let seconds = at.as_second() - J2000_POSIX_S;
    let day = seconds.div_euclid(86_400);
    let rest = seconds.rem_euclid(86_400) as f64 + f64::from(at.subsec_nanosecond()) * 1e-9;
    day as f64 + rest * SECOND_DAYS
}

/// TT-UT1 in seconds at a number of days (UT1) from J2000.
pub(crate) fn delta_t_s(ut1_days: f64) -> f64 {
    // The table's argument is UTC, within a second of UT1: ΔT changes by 3e-8 s in that time.
    if let Some(ut1_minus_tai) = ut1_minus_tai_s(ut1_days) {
        return TT_MINUS_TAI_S - ut1_minus_tai;
    }
    let year = 2000.0 + ut1_days / 365.25;
    if ut1_days > TABLE_END_DAYS {
        return after_table_s(year, 2000.0 + TABLE_END_DAYS / 365.25);
    }
    spline_s(year) + into_table_s(year)
}

/// From the spline before the observed values.
fn spline_s(year: f64) -> f64 {
    DELTA_T_PIECES
        .iter()
        .find(|piece| (piece[0]..piece[1]).contains(&year))
        .map_or_else(
            || long_term_s(year),
            |&[first, last, a0, a1, a2, a3]| {
                let u = (year - first) / (last - first);
                ((a3 * u + a2) * u + a1) * u + a0
            },
        )
}

/// What leads the spline into the first observed value, over the two years before it: a jump of
/// time would be one of the moon.
fn into_table_s(year: f64) -> f64 {
    const YEARS: f64 = 2.0;
    let table_start_year = 2000.0 + TABLE_START_DAYS / 365.25;
    let u = (year - (table_start_year - YEARS)) / YEARS;
    if u <= 0.0 {
        return 0.0;
    }
    let first = TT_MINUS_TAI_S - f64::from(UT1_MINUS_TAI[0]) * TABLE_UNIT_S;
    (first - spline_s(table_start_year)) * u * u * (3.0 - 2.0 * u)
}

/// The long run: tides slow the Earth.
///
/// Stephenson, F. R., Morrison, L. V. & Hohenkerk, C. Y. (2016), Proceedings of the Royal Society A
/// 472, section 5.
fn long_term_s(year: f64) -> f64 {
    let centuries = (year - 1825.0) / 100.0;
    -320.0 + 32.5 * centuries * centuries
}

/// From the last observed value, with its rate, along a cubic into the long-term parabola eight
/// centuries later.
fn after_table_s(year: f64, table_end_year: f64) -> f64 {
    const JOIN_YEAR: f64 = 2800.0;
    if year >= JOIN_YEAR {
        return long_term_s(year);
    }
    let last = UT1_MINUS_TAI.len() - 1;
    // Five years back (1830 days), so that the season does not show in the rate.
    let back = 183;
    let value = |i: usize| TT_MINUS_TAI_S - f64::from(UT1_MINUS_TAI[i]) * TABLE_UNIT_S;
    let width = JOIN_YEAR - table_end_year;
    let rate = (value(last) - value(last - back)) / (back as f64 * TABLE_STEP_DAYS / 365.25);
    let (y0, y1) = (value(last), long_term_s(JOIN_YEAR));
    let (d0, d1) = (rate * width, 65.0 * (JOIN_YEAR - 1825.0) / 1e4 * width);
    let u = (year - table_end_year) / width;
    let (a2, a3) = (3.0 * (y1 - y0) - 2.0 * d0 - d1, 2.0 * (y0 - y1) + d0 + d1);
    ((a3 * u + a2) * u + d0) * u + y0
}
