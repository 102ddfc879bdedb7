//! Mean longitudes of the sun and the moon: the clockwork behind every constituent.
//!
//! The polynomials are those of the lunar theory ELP 2000-82 and of the sun's mean elements as
//! printed in J. Meeus, *Astronomical Algorithms* (1st ed., 1991, chapters 21, 24 and 45),
//! evaluated in UTC: official predictions are made without a correction from universal to dynamical
//! time, which at 69 s moves M2 by less than 0.001°.

use jiff::Timestamp;

use crate::error::{Error, in_range};

/// J2000.0, 2000-01-01 12:00, in seconds of the Unix epoch.
const J2000_UNIX_S: f64 = 946_728_000.0;
/// 1899-12-31 12:00 in seconds before the Unix epoch.
const NOON_1899_BEFORE_UNIX_S: f64 = 2_209_032_000.0;
const SECONDS_PER_CENTURY: f64 = 36_525.0 * 86_400.0;
const HOURS_PER_CENTURY: f64 = 36_525.0 * 24.0;

const FIRST_S: i64 = -11_676_096_000; // 1600-01-01
const LAST_S: i64 = 13_569_465_600; // 2400-01-01

/// Whether the theory covers an instant.
pub(crate) fn covers(at: Timestamp) -> bool {
    (FIRST_S..=LAST_S).contains(&at.as_second())
}

/// The slow angles of tidal theory at one instant, as plain numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct SlowAngles {
    /// T, the hour angle of the mean sun at Greenwich: 180° at midnight UTC, growing by 15° an
    /// hour.
    pub solar_time_deg: f64,
    /// s, the mean longitude of the moon.
    pub moon_deg: f64,
    /// h, the mean longitude of the sun.
    pub sun_deg: f64,
    /// p, the longitude of the moon's perigee.
    pub lunar_perigee_deg: f64,
    /// N, the longitude of the moon's ascending node (it moves backwards).
    pub node_deg: f64,
    /// p′ or p₁, the longitude of the sun's perigee.
    pub solar_perigee_deg: f64,
    /// Hours since 2000-01-01 00:00 UTC, for constituents that are defined by their speed alone.
    pub hours_since_2000: f64,
}

/// The slow angles of tidal theory at one instant, all of them numbers: degrees in [0, 360) where a
/// [series](LongitudeSeries) gave them.
///
/// ```
/// use wrackline_tides::Longitudes;
/// let new_year = Longitudes::at("2026-01-01T00:00:00Z".parse()?).angles();
/// // P1 stands at T - h + 90°; its argument for 2026 is printed as 349.3334°.
/// assert!((new_year.solar_time_deg - new_year.sun_deg + 90.0 - (349.3334 - 360.0)).abs() < 1e-4);
/// # Ok::<(), jiff::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "SlowAngles", into = "SlowAngles"))]
pub struct Longitudes {
    pub(crate) solar_time_deg: f64,
    pub(crate) moon_deg: f64,
    pub(crate) sun_deg: f64,
    pub(crate) lunar_perigee_deg: f64,
    pub(crate) node_deg: f64,
    pub(crate) solar_perigee_deg: f64,
    pub(crate) hours_since_2000: f64,
}

impl From<Longitudes> for SlowAngles {
    fn from(longitudes: Longitudes) -> Self {
        longitudes.angles()
    }
}

impl TryFrom<SlowAngles> for Longitudes {
    type Error = Error;

    fn try_from(angles: SlowAngles) -> Result<Self, Error> {
        Self::new(angles)
    }
}

/// Whose polynomials give the mean longitudes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum LongitudeSeries {
    /// Meeus 1991, which is what NOAA's predictions follow.
    #[default]
    Meeus,
    /// The five-figure series in radians from 1899-12-31 12:00 that Rijkswaterstaat publishes in
    /// its library hatyan: s stands 0.016° ahead, which moves M2 by 0.034°.
    Rijkswaterstaat,
    /// The Explanatory Supplement to the Astronomical Ephemeris (1961, pages 98 and 107) as T_TIDE
    /// and UTide carry it, with Foreman's table: it moves M2 by 0.005° against Meeus.
    ExplanatorySupplement,
}

/// Constant, and rates for days, squares and cubes of ten thousand days from 1899-12-31 12:00;
/// degrees.
const SUPPLEMENT: [[f64; 4]; 5] = [
    [270.434_164, 13.176_396_526_8, -0.000_085_0, 0.000_000_039],
    [279.696_678, 0.985_647_335_4, 0.000_022_67, 0.0],
    [334.329_556, 0.111_404_080_3, -0.000_773_9, -0.000_000_26],
    [259.183_275, -0.052_953_922_2, 0.000_155_7, 0.000_000_050],
    [281.220_844, 0.000_047_068_4, 0.000_033_9, 0.000_000_070],
];

impl Longitudes {
    /// Angles from elsewhere, such as a printed table.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an angle beyond ±720° or hours beyond ten million, and for what is
    /// not a number.
    pub fn new(angles: SlowAngles) -> Result<Self, Error> {
        let SlowAngles {
            solar_time_deg,
            moon_deg,
            sun_deg,
            lunar_perigee_deg,
            node_deg,
            solar_perigee_deg,
            hours_since_2000,
        } = angles;
        for (what, angle_deg) in [
            ("solar time", solar_time_deg),
            ("longitude of the moon", moon_deg),
            ("longitude of the sun", sun_deg),
            ("longitude of the moon's perigee", lunar_perigee_deg),
            ("longitude of the node", node_deg),
            ("longitude of the sun's perigee", solar_perigee_deg),
        ] {
            in_range(what, angle_deg, [-720.0, 720.0], "deg")?;
        }
        in_range("time since 2000", hours_since_2000, [-1e7, 1e7], "h")?;
        Ok(Self {
            solar_time_deg,
            moon_deg,
            sun_deg,
            lunar_perigee_deg,
            node_deg,
            solar_perigee_deg,
            hours_since_2000,
        })
    }

    /// The angles as plain numbers.
    #[must_use]
    pub fn angles(&self) -> SlowAngles {
        SlowAngles {
            solar_time_deg: self.solar_time_deg,
            moon_deg: self.moon_deg,
            sun_deg: self.sun_deg,
            lunar_perigee_deg: self.lunar_perigee_deg,
            node_deg: self.node_deg,
            solar_perigee_deg: self.solar_perigee_deg,
            hours_since_2000: self.hours_since_2000,
        }
    }

    /// The angles at an instant by one of the series.
    #[must_use]
    pub fn by(series: LongitudeSeries, instant: Timestamp) -> Self {
        let modern = Self::at(instant);
        let seconds = instant.as_second() as f64 + f64::from(instant.subsec_nanosecond()) * 1e-9;
        let since_1899 = seconds + NOON_1899_BEFORE_UNIX_S;
        match series {
            LongitudeSeries::Meeus => modern,
            LongitudeSeries::ExplanatorySupplement => {
                let days = since_1899 / 86_400.0;
                let ten_thousands = days * 1e-4;
                let [
                    moon_deg,
                    sun_deg,
                    lunar_perigee_deg,
                    node_deg,
                    solar_perigee_deg,
                ] = SUPPLEMENT.map(|[start, rate, square, cube]| {
                    let bent = ten_thousands * ten_thousands * (square + ten_thousands * cube);
                    wrap_360(start + days * rate + bent)
                });
                Self {
                    moon_deg,
                    sun_deg,
                    lunar_perigee_deg,
                    node_deg,
                    solar_perigee_deg,
                    ..modern
                }
            }
            LongitudeSeries::Rijkswaterstaat => {
                let centuries = since_1899 / SECONDS_PER_CENTURY;
                let angle = |[a, b, c]: [f64; 3]| {
                    wrap_360((a + centuries * (b + centuries * c)).to_degrees())
                };
                Self {
                    moon_deg: angle([4.720_008_9, 8_399.709_274_5, 0.000_034_6]),
                    sun_deg: angle([4.881_628_0, 628.331_950_0, 0.000_005_2]),
                    lunar_perigee_deg: angle([5.835_152_6, 71.018_041_2, -0.000_180_1]),
                    node_deg: angle([4.523_601_6, -33.757_146_3, 0.000_036_3]),
                    solar_perigee_deg: angle([4.908_229_5, 0.030_005_3, 0.000_007_9]),
                    ..modern
                }
            }
        }
    }

    /// The angles at an instant, by the first of the [series](LongitudeSeries).
    ///
    /// The polynomials hold to about 0.001° from 1600 to 2400; outside they stay finite and lose
    /// accuracy slowly.
    #[must_use]
    pub fn at(instant: Timestamp) -> Self {
        let second = instant.as_second();
        let fraction = f64::from(instant.subsec_nanosecond()) * 1e-9;
        let of_day = second.rem_euclid(86_400) as f64 + fraction;
        let centuries = (second as f64 - J2000_UNIX_S + fraction) / SECONDS_PER_CENTURY;
        Self {
            solar_time_deg: wrap_360(180.0 + of_day / 240.0),
            moon_deg: wrap_360(polynomial(&MOON, centuries)),
            sun_deg: wrap_360(polynomial(&SUN, centuries)),
            lunar_perigee_deg: wrap_360(polynomial(&LUNAR_PERIGEE, centuries)),
            node_deg: wrap_360(polynomial(&NODE, centuries)),
            solar_perigee_deg: wrap_360(polynomial(&SOLAR_PERIGEE, centuries)),
            hours_since_2000: (second as f64 - J2000_UNIX_S + fraction) / 3600.0 + 12.0,
        }
    }
}

const MOON: [f64; 5] = [
    218.316_459_1,
    481_267.881_342_36,
    -0.001_326_8,
    1.0 / 538_841.0,
    -1.0 / 65_194_000.0,
];
const SUN: [f64; 5] = [280.466_45, 36_000.769_83, 0.000_303_2, 0.0, 0.0];
const LUNAR_PERIGEE: [f64; 5] = [
    83.353_243_0,
    4_069.013_711_1,
    -0.010_323_8,
    -1.0 / 80_053.0,
    1.0 / 18_999_000.0,
];
const NODE: [f64; 5] = [
    125.044_555_0,
    -1_934.136_184_9,
    0.002_076_2,
    1.0 / 467_410.0,
    -1.0 / 60_616_000.0,
];
// The sun's mean longitude less its mean anomaly. The rate is that of the predictions checked
// against; Meeus's own elements give 1.71953, which moves T2 by 0.0001° in 2026.
const SOLAR_PERIGEE: [f64; 5] = [282.937_35, 1.719_02, 0.000_459_1, 0.000_000_48, 0.0];

fn polynomial(coefficients: &[f64; 5], centuries: f64) -> f64 {
    coefficients
        .iter()
        .rev()
        .fold(0.0, |sum, c| sum * centuries + c)
}

/// Speeds at J2000.0 in degrees an hour, in the order of [`Arguments`](crate::Arguments): T, s, h,
/// p, N, p₁.
pub(crate) const SPEEDS_DEG_PER_H: [f64; 6] = [
    15.0,
    MOON[1] / HOURS_PER_CENTURY,
    SUN[1] / HOURS_PER_CENTURY,
    LUNAR_PERIGEE[1] / HOURS_PER_CENTURY,
    NODE[1] / HOURS_PER_CENTURY,
    SOLAR_PERIGEE[1] / HOURS_PER_CENTURY,
];

/// An angle brought into [0, 360).
pub(crate) fn wrap_360(angle_deg: f64) -> f64 {
    let turned = angle_deg - 360.0 * libm::floor(angle_deg / 360.0);
    if turned >= 360.0 { 0.0 } else { turned }
}

/// An angle brought into [-180, 180).
pub(crate) fn wrap_180(angle_deg: f64) -> f64 {
    wrap_360(angle_deg + 180.0) - 180.0
}
