//! When a body crosses an altitude, an azimuth or the meridian: all instants in a span, none
//! missed.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::angle::positive_deg;
use crate::body::Body;
use crate::error::{Error, within};
use crate::jet::Jet;
use crate::moving::Moving;
use crate::observer::Observer;
use crate::refraction::Atmosphere;
use crate::search::Found;
use crate::sky::Sky;
use crate::time::Instant;

/// Which point of the disc crosses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
pub enum Limb {
    /// The centre.
    #[default]
    Centre,
    /// The highest point: the first to rise, the last to set.
    Upper,
    /// The lowest point.
    Lower,
}

/// An altitude to be crossed by a point of the disc.
///
/// ```
/// use wrackline_solar::{Atmosphere, Limb, Threshold};
///
/// assert_eq!(Threshold::CIVIL, Threshold::altitude_deg(-6.0)?);
/// // The sun clears the top of a bank that stands 2° high.
/// let bank = Threshold::apparent_altitude_deg(2.0, &Atmosphere::STANDARD)?.with_limb(Limb::Lower);
/// assert!(bank.airless_altitude_deg() < 2.0);
/// assert!(Threshold::altitude_deg(f64::NAN).is_err());
/// # Ok::<(), wrackline_solar::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(
        try_from = "crate::record::ThresholdRecord",
        into = "crate::record::ThresholdRecord"
    )
)]
pub struct Threshold {
    altitude_deg: f64,
    limb: Limb,
    /// What refraction is taken to be in it, which is the part that the weather changes.
    refraction_deg: f64,
}

impl Threshold {
    /// Sunrise and sunset of the almanacs: the centre 34' (refraction) and 16' (semi-diameter)
    /// below the horizontal.
    pub const SUNRISE: Self = Self {
        altitude_deg: -50.0 / 60.0,
        limb: Limb::Centre,
        refraction_deg: 34.0 / 60.0,
    };
    /// Moonrise and moonset of the almanacs: the upper limb 34' below the horizontal.
    pub const MOONRISE: Self = Self {
        altitude_deg: -34.0 / 60.0,
        limb: Limb::Upper,
        refraction_deg: 34.0 / 60.0,
    };
    /// Begin and end of civil twilight: the centre at -6°.
    pub const CIVIL: Self = Self::centre(-6.0);
    /// Begin and end of nautical twilight: the centre at -12°.
    pub const NAUTICAL: Self = Self::centre(-12.0);
    /// Begin and end of astronomical twilight: the centre at -18°.
    pub const ASTRONOMICAL: Self = Self::centre(-18.0);

    const fn centre(altitude_deg: f64) -> Self {
        Self {
            altitude_deg,
            limb: Limb::Centre,
            refraction_deg: 0.0,
        }
    }

    /// Any airless altitude, of the centre unless [`Threshold::with_limb`] says otherwise.
    ///
    /// # Errors
    /// If the altitude lies outside -90 to 90 degrees or is not a number.
    pub fn altitude_deg(altitude_deg: f64) -> Result<Self, Error> {
        within("altitude", altitude_deg, -90.0, 90.0, "deg").map(Self::centre)
    }

    /// An altitude as the air shows it.
    ///
    /// # Errors
    /// If the altitude lies outside -90 to 90 degrees or is not a number.
    pub fn apparent_altitude_deg(altitude_deg: f64, air: &Atmosphere) -> Result<Self, Error> {
        let apparent = within("apparent altitude", altitude_deg, -90.0, 90.0, "deg")?;
        let airless = air.airless_deg(apparent);
        Ok(Self {
            refraction_deg: apparent - airless,
            ..Self::centre(airless.clamp(-90.0, 90.0))
        })
    }

    /// The same altitude for another point of the disc.
    #[must_use]
    pub fn with_limb(mut self, limb: Limb) -> Self {
        self.limb = limb;
        self
    }

    /// The same threshold, so many degrees lower.
    pub(crate) fn lowered(mut self, by_deg: f64) -> Self {
        self.altitude_deg -= by_deg;
        self
    }

    /// The airless altitude that the point of the disc must have.
    #[must_use]
    pub fn airless_altitude_deg(&self) -> f64 {
        self.altitude_deg
    }

    /// The point of the disc.
    #[must_use]
    pub fn limb(&self) -> Limb {
        self.limb
    }

    /// What refraction is taken to be in the threshold, degrees: zero for a geometric altitude.
    #[must_use]
    pub fn refraction_deg(&self) -> f64 {
        self.refraction_deg
    }

    /// From all three parts, for those who stored them.
    #[cfg(feature = "serde")]
    pub(crate) fn of_parts(
        altitude_deg: f64,
        limb: Limb,
        refraction_deg: f64,
    ) -> Result<Self, Error> {
        // A sea horizon lies below the horizontal by its dip, which is below 10 degrees.
        within("altitude", altitude_deg, -100.0, 90.0, "deg")?;
        within("refraction", refraction_deg, 0.0, 3.0, "deg")?;
        Ok(Self {
            altitude_deg,
            limb,
            refraction_deg,
        })
    }

    /// By how much the weather may change the altitude at which the crossing happens, in degrees:
    /// 30 % of the refraction in it.
    ///
    /// At the sea horizon that is 0.17°; observed sunsets scatter by 0.16° rms (Schaefer, B. E. &
    /// Liller, W. (1990), Publications of the Astronomical Society of the Pacific 102, 796; figure
    /// from memory). Zero where no refraction is in the threshold.
    #[must_use]
    pub fn uncertainty_deg(&self) -> f64 {
        0.3 * self.refraction_deg.abs()
    }

    /// How far the point of the disc stands above the threshold, as a sine: zero at the crossing.
    fn height(&self) -> impl Fn(&Moving) -> Jet + use<> {
        let (sine, cosine) = libm::sincos(self.altitude_deg.to_radians());
        let side = match self.limb {
            Limb::Centre => None,
            Limb::Upper => Some(-cosine),
            Limb::Lower => Some(cosine),
        };
        move |m| match side {
            None => m.up - Jet::constant(sine),
            // Sine of the altitude that the centre must have, one semi-diameter off.
            Some(side) => {
                let radius = m.radius;
                let radius_cosine = (Jet::constant(1.0) - radius * radius).square_root();
                m.up - radius_cosine.times(sine) - radius.times(side)
            }
        }
    }

    /// How far the point of the disc stands above the threshold, degrees.
    pub(crate) fn clearance_deg(&self, m: &Moving) -> f64 {
        let semi_diameter = libm::asin(m.radius.value).to_degrees();
        let point = match self.limb {
            Limb::Centre => 0.0,
            Limb::Upper => semi_diameter,
            Limb::Lower => -semi_diameter,
        };
        m.altitude_deg() + point - self.altitude_deg
    }
}

/// Which way a threshold is crossed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
pub enum Direction {
    /// Upwards.
    Rising,
    /// Downwards.
    Setting,
}

/// One crossing of an altitude.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Crossing {
    /// When, in UTC.
    pub at: Timestamp,
    /// When, in UT1 and TT.
    pub instant: Instant,
    /// Upwards or downwards.
    pub direction: Direction,
    /// Azimuth of the centre in degrees, clockwise from true north.
    pub azimuth_deg: f64,
    /// How fast the altitude of the centre changes, degrees an hour.
    pub rate_deg_per_h: f64,
    /// What the weather's refraction, an unknown UT1-UTC and the theory of the body (0.05" for the
    /// sun, 1.5" for the moon, against the ephemeris DE440 over 1900-2100) leave open, seconds
    /// either way.
    pub uncertainty_s: f64,
}

/// What a span holds of a threshold.
#[non_exhaustive]
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
pub enum Outcome {
    /// The threshold is crossed at least once, and passed by clearly more than the weather's
    /// refraction can change.
    Crosses,
    /// The threshold is crossed, but passed by so little that the weather decides whether it
    /// happens: by no more than [`Threshold::uncertainty_deg`], or by a hundredth of a degree if
    /// that is more.
    Grazes {
        /// The least by which a highest or lowest stand passes the threshold, degrees.
        margin_deg: f64,
    },
    /// The body stays above the threshold, at the lowest by this many degrees: polar day, for the
    /// sun.
    AlwaysAbove {
        /// The lowest altitude of the point less the threshold, degrees, not negative.
        margin_deg: f64,
    },
    /// The body stays below the threshold, at the highest by this many degrees: polar night, for
    /// the sun.
    AlwaysBelow {
        /// The threshold less the highest altitude of the point, degrees, not negative.
        margin_deg: f64,
    },
}

impl Outcome {
    /// Whether the outcome would stay the same if the threshold lay off by as much as given, in
    /// degrees.
    #[must_use]
    pub fn is_certain_within(&self, uncertainty_deg: f64) -> bool {
        match *self {
            Self::Crosses => true,
            Self::Grazes { margin_deg }
            | Self::AlwaysAbove { margin_deg }
            | Self::AlwaysBelow { margin_deg } => margin_deg > uncertainty_deg,
        }
    }
}

/// All crossings of a threshold in a span, and what the span comes to.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Crossings {
    /// The crossings in the order of time.
    pub events: Vec<Crossing>,
    /// Whether the threshold is crossed, and if not, by how much it is missed.
    pub outcome: Outcome,
}

/// A passage of the meridian.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Transit {
    /// When, in UTC.
    pub at: Timestamp,
    /// When, in UT1 and TT.
    pub instant: Instant,
    /// Airless altitude of the centre in degrees.
    pub altitude_deg: f64,
    /// Near which end of its daily circle.
    pub culmination: Culmination,
}

/// Which of the two passages of the meridian.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Culmination {
    /// Hour angle 0: near it the body stands highest.
    Upper,
    /// Hour angle 180°: near it the body stands lowest.
    Lower,
}

/// A band of airless altitudes of the centre, limits included.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct AltitudeBand {
    /// The lower limit in degrees, -90 to 90.
    pub lowest_deg: f64,
    /// The upper limit in degrees, not below the lower one, to 90.
    pub highest_deg: f64,
}

impl AltitudeBand {
    /// The band itself if it can hold something.
    fn checked(self) -> Result<Self, Error> {
        let Self {
            lowest_deg,
            highest_deg,
        } = self;
        within(
            "lower limit of the altitude band",
            lowest_deg,
            -90.0,
            90.0,
            "deg",
        )?;
        within(
            "upper limit of the altitude band",
            highest_deg,
            -90.0,
            90.0,
            "deg",
        )?;
        if lowest_deg > highest_deg {
            return Err(Error::NotRising {
                what: "limit of the altitude band",
                lower: lowest_deg,
                upper: highest_deg,
                unit: "deg",
            });
        }
        Ok(self)
    }
}

/// A band of azimuths, from one limit clockwise to the other.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct AzimuthBand {
    /// Where the band begins, degrees clockwise from true north, -360 to 720.
    pub from_deg: f64,
    /// Where it ends, going clockwise, -360 to 720.
    pub to_deg: f64,
}

impl Observer {
    /// All instants of a span at which the sun crosses a threshold.
    ///
    /// Instants agree with the ephemeris DE440 within 0.03 s where the altitude changes by more
    /// than 2° an hour. Of two spans that adjoin, each crossing belongs to one.
    ///
    /// ```
    /// use wrackline_solar::{Observer, Outcome, Site, Threshold};
    ///
    /// let site = Site { latitude_deg: 70.0, longitude_deg: 25.0, elevation_m: 0.0 };
    /// let north = Observer::new(site)?;
    /// let day = "2026-06-21T00:00:00Z".parse()?.."2026-06-22T00:00:00Z".parse()?;
    /// let found = north.sun_crossings(Threshold::SUNRISE, day)?;
    /// assert!(matches!(found.outcome, Outcome::AlwaysAbove { margin_deg } if margin_deg > 4.0));
    /// # Ok::<(), Box<dyn core::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// If the span holds no time.
    pub fn sun_crossings(
        &self,
        threshold: Threshold,
        span: Range<Timestamp>,
    ) -> Result<Crossings, Error> {
        Ok(Sky::new(self, Body::Sun, span)?.crossings(threshold))
    }

    /// All instants of a span at which the moon crosses a threshold; days without moonrise or
    /// moonset are ordinary.
    ///
    /// Instants agree with the ephemeris DE440 within 0.2 s where the altitude changes by more than
    /// 2° an hour.
    ///
    /// # Errors
    /// If the span holds no time.
    pub fn moon_crossings(
        &self,
        threshold: Threshold,
        span: Range<Timestamp>,
    ) -> Result<Crossings, Error> {
        Ok(Sky::new(self, Body::Moon, span)?.crossings(threshold))
    }

    /// All passages of the sun through the meridian in a span, upper and lower.
    ///
    /// At a pole, where there is no meridian, that of the given longitude is meant.
    ///
    /// # Errors
    /// If the span holds no time.
    pub fn sun_transits(&self, span: Range<Timestamp>) -> Result<Vec<Transit>, Error> {
        Ok(Sky::new(self, Body::Sun, span)?.transits())
    }

    /// All passages of the moon through the meridian in a span, upper and lower.
    ///
    /// # Errors
    /// If the span holds no time.
    pub fn moon_transits(&self, span: Range<Timestamp>) -> Result<Vec<Transit>, Error> {
        Ok(Sky::new(self, Body::Moon, span)?.transits())
    }

    /// The stretches of a span in which the sun's centre stands in a band of airless altitudes, to
    /// the microsecond.
    ///
    /// # Errors
    /// If a limit of the band lies outside -90 to 90 degrees, if the limits are in falling order,
    /// or if the span holds no time.
    pub fn sun_between(
        &self,
        band: AltitudeBand,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        Sky::searched(self, Body::Sun, span, |sky| sky.between(band))
    }

    /// The stretches of a span in which the moon's centre stands in a band of airless altitudes.
    ///
    /// # Errors
    /// As [`Observer::sun_between`].
    pub fn moon_between(
        &self,
        band: AltitudeBand,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        Sky::searched(self, Body::Moon, span, |sky| sky.between(band))
    }

    /// The stretches of a span in which the azimuth of the sun's centre lies in a band, to the
    /// microsecond.
    ///
    /// A band of a full turn or more holds everything.
    ///
    /// # Errors
    /// If a limit of the band lies outside -360 to 720 degrees, or if the span holds no time.
    pub fn sun_azimuth_within(
        &self,
        band: AzimuthBand,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        Sky::searched(self, Body::Sun, span, |sky| sky.azimuth_within(band))
    }

    /// The stretches of a span in which the azimuth of the moon's centre lies in a band.
    ///
    /// # Errors
    /// As [`Observer::sun_azimuth_within`].
    pub fn moon_azimuth_within(
        &self,
        band: AzimuthBand,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        Sky::searched(self, Body::Moon, span, |sky| sky.azimuth_within(band))
    }
}

impl Sky<'_> {
    pub(crate) fn crossings(&self, threshold: Threshold) -> Crossings {
        let graze_deg = threshold.uncertainty_deg().max(0.01);
        let mut events = Vec::new();
        let mut margin_deg = f64::INFINITY;
        let across = self.observer.cosine_latitude;
        // Turning points matter within the grazing margin; a sine changes by no more than its
        // angle.
        let far = graze_deg.to_radians();
        self.walk(
            &threshold.height(),
            across,
            far,
            |found, moving| match found {
                Found::Root { time, rising } => {
                    events.push(self.crossing(threshold, time, rising, moving));
                }
                Found::Turn { .. } => {
                    margin_deg = margin_deg.min(threshold.clearance_deg(moving).abs());
                }
            },
        );
        let outcome = if events.is_empty() {
            self.missed(threshold)
        } else if margin_deg <= graze_deg {
            Outcome::Grazes { margin_deg }
        } else {
            Outcome::Crosses
        };
        Crossings { events, outcome }
    }

    fn crossing(&self, threshold: Threshold, ut1: f64, rising: bool, moving: &Moving) -> Crossing {
        let (instant, at) = self.instant(ut1);
        let (rate, bend) = moving.altitude_rates_deg();
        // How long a shift of the altitude moves the crossing: along the tangent, or near a turning
        // point along the parabola.
        let shift = threshold.uncertainty_deg() + self.body.uncertainty_deg();
        let slope = rate.abs() + libm::sqrt(rate * rate + 2.0 * bend.abs() * shift);
        // Where neither rate nor bend is left, in the middle of a graze at a pole, the day is.
        let days = if slope > 0.0 {
            2.0 * shift / slope
        } else {
            1.0
        };
        Crossing {
            at,
            instant,
            direction: if rising {
                Direction::Rising
            } else {
                Direction::Setting
            },
            azimuth_deg: moving.azimuth_deg(),
            rate_deg_per_h: rate / 24.0,
            uncertainty_s: days * 86_400.0 + self.ut1_uncertainty_s(at),
        }
    }

    /// What a span without crossings comes to.
    fn missed(&self, threshold: Threshold) -> Outcome {
        let at_start = threshold.clearance_deg(&self.at_start());
        let (mut lowest, mut highest) = (at_start, at_start);
        let mut note = |moving: &Moving| {
            let clearance = threshold.clearance_deg(moving);
            lowest = lowest.min(clearance);
            highest = highest.max(clearance);
        };
        let height = threshold.height();
        self.walk(&height, self.observer.cosine_latitude, 2.0, |_, moving| {
            note(moving)
        });
        if !self.is_empty() {
            note(&self.at_end());
        }
        // Without a crossing the sign is the same everywhere, but for rounding.
        if at_start >= 0.0 {
            Outcome::AlwaysAbove {
                margin_deg: lowest.max(0.0),
            }
        } else {
            Outcome::AlwaysBelow {
                margin_deg: (-highest).max(0.0),
            }
        }
    }

    pub(crate) fn transits(&self) -> Vec<Transit> {
        let mut transits = Vec::new();
        self.roots(&|m| m.east, 1.0, |ut1, moving, _| {
            let (instant, at) = self.instant(ut1);
            let observer = self.observer;
            // Away from the Earth's axis on the observer's side of it.
            let outward = observer.cosine_latitude * moving.up.value
                - observer.sine_latitude * moving.north.value;
            transits.push(Transit {
                at,
                instant,
                altitude_deg: moving.altitude_deg(),
                culmination: if outward > 0.0 {
                    Culmination::Upper
                } else {
                    Culmination::Lower
                },
            });
        });
        transits
    }

    /// The stretches in a band of airless altitudes of the centre, as days of UT1.
    pub(crate) fn between(&self, band: AltitudeBand) -> Result<Vec<(f64, f64)>, Error> {
        Ok(self.between_limits(band.checked()?))
    }

    /// The same for limits in rising order; those beyond the zenith and the nadir bound nothing.
    pub(crate) fn between_limits(&self, band: AltitudeBand) -> Vec<(f64, f64)> {
        let limits = [band.lowest_deg, band.highest_deg];
        let mut cuts = Vec::new();
        // Whoever reaches the zenith or the nadir itself turns back there, within the band.
        for limit in limits.into_iter().filter(|limit| limit.abs() < 90.0) {
            if let Ok(threshold) = Threshold::altitude_deg(limit) {
                self.threshold_passages(threshold, |ut1| cuts.push(ut1));
            }
        }
        self.stretches(cuts, |m| {
            (limits[0]..=limits[1]).contains(&m.altitude_deg())
        })
    }

    /// All instants at which the point of the disc passes a threshold, as days of UT1.
    pub(crate) fn threshold_passages(&self, threshold: Threshold, mut found: impl FnMut(f64)) {
        let height = threshold.height();
        self.roots(&height, self.observer.cosine_latitude, |ut1, _, _| {
            found(ut1)
        });
    }

    /// The stretches in a band of azimuths, as days of UT1.
    pub(crate) fn azimuth_within(&self, band: AzimuthBand) -> Result<Vec<(f64, f64)>, Error> {
        within(
            "start of the azimuth band",
            band.from_deg,
            -360.0,
            720.0,
            "deg",
        )?;
        within("end of the azimuth band", band.to_deg, -360.0, 720.0, "deg")?;
        let turn = band.to_deg - band.from_deg;
        let full = turn >= 360.0;
        let width = positive_deg(turn);
        let mut cuts = Vec::new();
        if !full {
            for limit in [band.from_deg, band.to_deg] {
                self.azimuth_passages(limit, |ut1, _| cuts.push(ut1));
            }
        }
        Ok(self.stretches(cuts, |m| {
            full || positive_deg(m.azimuth_deg() - band.from_deg) <= width
        }))
    }

    /// All instants at which the centre passes an azimuth, as days of UT1.
    pub(crate) fn azimuth_passages(&self, azimuth_deg: f64, mut found: impl FnMut(f64, &Moving)) {
        let (sine, cosine) = libm::sincos(azimuth_deg.to_radians());
        let side = |m: &Moving| m.east.times(cosine) - m.north.times(sine);
        self.roots(&side, 1.0, |ut1, m, _| {
            // The other half of the vertical circle is passed too: that is the opposite azimuth.
            if m.east.value * sine + m.north.value * cosine >= 0.0 {
                found(ut1, m);
            }
        });
    }
}
