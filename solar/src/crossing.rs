//! When a body crosses an altitude, an azimuth or the meridian: all instants in a span, none missed.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::angle::positive_deg;
use crate::error::{Error, within};
use crate::jet::Jet;
use crate::observer::Observer;
use crate::search;
use crate::series::{Body, Moving, Piece};
use crate::time::{Instant, Ut1};

/// An altitude to be crossed: that of the centre of the disc, without the air.
///
/// ```
/// use wrackline_solar::Threshold;
///
/// assert_eq!(Threshold::CIVIL, Threshold::altitude_deg(-6.0)?);
/// assert!(Threshold::altitude_deg(f64::NAN).is_err());
/// # Ok::<(), wrackline_solar::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Threshold {
    altitude_deg: f64,
}

impl Threshold {
    /// Sunrise and sunset of the almanacs: 34' of refraction and 16' of semi-diameter below the horizontal.
    pub const SUNRISE: Self = Self {
        altitude_deg: -50.0 / 60.0,
    };
    /// Begin and end of civil twilight: -6°.
    pub const CIVIL: Self = Self { altitude_deg: -6.0 };
    /// Begin and end of nautical twilight: -12°.
    pub const NAUTICAL: Self = Self {
        altitude_deg: -12.0,
    };
    /// Begin and end of astronomical twilight: -18°.
    pub const ASTRONOMICAL: Self = Self {
        altitude_deg: -18.0,
    };

    /// Any airless altitude of the centre.
    ///
    /// # Errors
    /// If the altitude lies outside -90 to 90 degrees or is not a number.
    pub fn altitude_deg(altitude_deg: f64) -> Result<Self, Error> {
        let altitude_deg = within("the altitude in degrees", altitude_deg, -90.0, 90.0)?;
        Ok(Self { altitude_deg })
    }

    fn sine(self) -> f64 {
        libm::sin(self.altitude_deg.to_radians())
    }
}

/// Which way a threshold is crossed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// Upwards.
    Rising,
    /// Downwards.
    Setting,
}

/// One crossing of an altitude.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    /// When, in UTC.
    pub at: Timestamp,
    /// When, in UT1 and TT.
    pub instant: Instant,
    /// Upwards or downwards.
    pub direction: Direction,
    /// Azimuth of the centre in degrees, clockwise from true north.
    pub azimuth_deg: f64,
    /// How fast the altitude changes, degrees an hour.
    pub rate_deg_per_h: f64,
}

/// What a span holds of a threshold.
#[non_exhaustive]
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Outcome {
    /// The threshold is crossed at least once.
    Crosses,
    /// The body stays above the threshold, at the lowest by this many degrees.
    AlwaysAbove {
        /// The lowest altitude less the threshold, degrees.
        margin_deg: f64,
    },
    /// The body stays below the threshold, at the highest by this many degrees.
    AlwaysBelow {
        /// The threshold less the highest altitude, degrees.
        margin_deg: f64,
    },
}

/// All crossings of a threshold in a span, and what the span comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Crossings {
    /// The crossings in the order of time.
    pub events: Vec<Crossing>,
    /// Whether the threshold is crossed, and if not, by how much it is missed.
    pub outcome: Outcome,
}

/// A passage of the meridian.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Transit {
    /// When, in UTC.
    pub at: Timestamp,
    /// When, in UT1 and TT.
    pub instant: Instant,
    /// Airless altitude of the centre in degrees.
    pub altitude_deg: f64,
    /// Whether it is the upper transit (the highest stand but near the poles).
    pub upper: bool,
}

/// A band of airless altitudes of the centre, limits included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AltitudeBand {
    /// The lower limit in degrees.
    pub lowest_deg: f64,
    /// The upper limit in degrees.
    pub highest_deg: f64,
}

/// A band of azimuths, from one limit clockwise to the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AzimuthBand {
    /// Where the band begins, degrees clockwise from true north.
    pub from_deg: f64,
    /// Where it ends, going clockwise.
    pub to_deg: f64,
}

impl Observer {
    /// All instants of a span at which the sun crosses a threshold.
    pub fn sun_crossings(&self, threshold: Threshold, span: Range<Timestamp>) -> Crossings {
        let sky = Sky::new(self, Body::Sun, &span);
        let sine = threshold.sine();
        let height = |m: &Moving| m.up - Jet::constant(sine);
        let mut events = Vec::new();
        sky.roots(&height, |ut1, moving, rising| {
            let instant = Instant::from_ut1(Ut1(ut1));
            if let Some(at) = sky.clamped(instant) {
                events.push(Crossing {
                    at,
                    instant,
                    direction: if rising {
                        Direction::Rising
                    } else {
                        Direction::Setting
                    },
                    azimuth_deg: azimuth_deg(moving),
                    rate_deg_per_h: altitude_rate_deg_per_h(moving),
                });
            }
        });
        let outcome = if events.is_empty() {
            sky.missed(threshold.altitude_deg)
        } else {
            Outcome::Crosses
        };
        Crossings { events, outcome }
    }

    /// All passages of the sun through the meridian in a span, upper and lower.
    ///
    /// At a pole, where there is no meridian, the meridian of the given longitude is meant.
    pub fn sun_transits(&self, span: Range<Timestamp>) -> Vec<Transit> {
        let sky = Sky::new(self, Body::Sun, &span);
        let mut transits = Vec::new();
        sky.roots(&|m: &Moving| m.east, |ut1, moving, _| {
            let instant = Instant::from_ut1(Ut1(ut1));
            if let Some(at) = sky.clamped(instant) {
                // Towards the equator's meridian half: the component along the equator in the meridian's plane.
                let outward = self.cosine_latitude * moving.up.value
                    - self.sine_latitude * moving.north.value;
                transits.push(Transit {
                    at,
                    instant,
                    altitude_deg: altitude_deg(moving),
                    upper: outward > 0.0,
                });
            }
        });
        transits
    }

    /// The stretches of a span in which the sun's centre stands in a band of airless altitudes, to the microsecond.
    ///
    /// A band whose lower limit is above its upper one, or with a limit that is not a number, holds nothing.
    pub fn sun_between(&self, band: AltitudeBand, span: Range<Timestamp>) -> Vec<Range<Timestamp>> {
        let sky = Sky::new(self, Body::Sun, &span);
        let limits = [band.lowest_deg, band.highest_deg];
        if limits.iter().any(|limit| limit.is_nan()) {
            return Vec::new();
        }
        let mut cuts = Vec::new();
        for limit in limits {
            let sine = libm::sin(limit.clamp(-90.0, 90.0).to_radians());
            let height = |m: &Moving| m.up - Jet::constant(sine);
            sky.roots(&height, |ut1, _, _| cuts.push(ut1));
        }
        sky.stretches(cuts, |moving| {
            (band.lowest_deg..=band.highest_deg).contains(&altitude_deg(moving))
        })
    }

    /// The stretches of a span in which the azimuth of the sun's centre lies in a band, to the microsecond.
    ///
    /// The two limits may be any finite angles; a band of a full turn or more holds everything, one with a limit that is not finite nothing.
    pub fn sun_azimuth_within(
        &self,
        band: AzimuthBand,
        span: Range<Timestamp>,
    ) -> Vec<Range<Timestamp>> {
        let sky = Sky::new(self, Body::Sun, &span);
        if !(band.from_deg.is_finite() && band.to_deg.is_finite()) {
            return Vec::new();
        }
        let width = band.to_deg - band.from_deg;
        let full = width >= 360.0;
        let width = positive_deg(width);
        let mut cuts = Vec::new();
        if !full {
            for limit in [band.from_deg, band.to_deg] {
                let (sine, cosine) = libm::sincos(limit.to_radians());
                let across = |m: &Moving| m.east.times(cosine) - m.north.times(sine);
                sky.roots(&across, |ut1, m, _| {
                    // The other half of the vertical circle is passed too: no limit there.
                    if m.east.value * sine + m.north.value * cosine >= 0.0 {
                        cuts.push(ut1);
                    }
                });
            }
        }
        sky.stretches(cuts, |moving| {
            full || positive_deg(azimuth_deg(moving) - band.from_deg) <= width
        })
    }
}

pub(crate) fn azimuth_deg(m: &Moving) -> f64 {
    positive_deg(libm::atan2(m.east.value, m.north.value).to_degrees())
}

pub(crate) fn altitude_deg(m: &Moving) -> f64 {
    libm::atan2(m.up.value, libm::hypot(m.east.value, m.north.value)).to_degrees()
}

fn altitude_rate_deg_per_h(m: &Moving) -> f64 {
    let cosine = libm::hypot(m.east.value, m.north.value);
    // At the zenith itself the altitude has no rate.
    if cosine > 0.0 {
        (m.up.rate / cosine).to_degrees() / 24.0
    } else {
        0.0
    }
}

/// One body over one observer during one span.
pub(crate) struct Sky<'a> {
    observer: &'a Observer,
    body: Body,
    span: &'a Range<Timestamp>,
    start: f64,
    end: f64,
}

impl<'a> Sky<'a> {
    pub(crate) fn new(observer: &'a Observer, body: Body, span: &'a Range<Timestamp>) -> Self {
        let start = Instant::from_timestamp(span.start).ut1().0;
        let end = Instant::from_timestamp(span.end).ut1().0;
        Self {
            observer,
            body,
            span,
            start,
            end,
        }
    }

    /// The UTC of an instant found in the span; rounding must not carry it outside.
    fn clamped(&self, instant: Instant) -> Option<Timestamp> {
        let at = instant.to_timestamp()?;
        (self.start < self.end).then(|| at.clamp(self.span.start, self.span.end))
    }

    /// Walks the pieces of the span in order.
    fn walk(&self, mut visit: impl FnMut(&Piece, f64, f64)) {
        let mut from = self.start;
        while from < self.end {
            let piece = Piece::around(self.body, from);
            let to = piece.end().min(self.end);
            visit(&piece, from, to);
            from = to;
        }
    }

    /// All roots of a function of the moving direction, with the direction there and whether the function rises.
    pub(crate) fn roots(
        &self,
        function: &impl Fn(&Moving) -> Jet,
        mut found: impl FnMut(f64, &Moving, bool),
    ) {
        let mut carried = None;
        self.walk(|piece, from, to| {
            let jet = |t: f64| function(&piece.moving(self.observer, t));
            carried = Some(search::roots(&jet, from, to, carried, &mut |t, rising| {
                found(t, &piece.moving(self.observer, t), rising);
            }));
        });
    }

    /// What a span without crossings comes to.
    fn missed(&self, threshold_deg: f64) -> Outcome {
        let mut lowest = f64::INFINITY;
        let mut highest = f64::NEG_INFINITY;
        self.walk(|piece, from, to| {
            let moving = |t: f64| piece.moving(self.observer, t);
            search::turns(&|t| moving(t).up, from, to, &mut |t| {
                let altitude = altitude_deg(&moving(t));
                lowest = lowest.min(altitude);
                highest = highest.max(altitude);
            });
        });
        if lowest > highest {
            // An empty span: judge the instant itself.
            let piece = Piece::around(self.body, self.start);
            lowest = altitude_deg(&piece.moving(self.observer, self.start));
            highest = lowest;
        }
        if lowest >= threshold_deg {
            Outcome::AlwaysAbove {
                margin_deg: lowest - threshold_deg,
            }
        } else {
            Outcome::AlwaysBelow {
                margin_deg: (threshold_deg - highest).max(0.0),
            }
        }
    }

    /// The stretches between cuts in which a condition holds, judged in the middle of each.
    fn stretches(
        &self,
        mut cuts: Vec<f64>,
        holds: impl Fn(&Moving) -> bool,
    ) -> Vec<Range<Timestamp>> {
        let mut found: Vec<Range<Timestamp>> = Vec::new();
        if self.start >= self.end {
            return found;
        }
        cuts.sort_by(f64::total_cmp);
        cuts.push(self.end);
        let mut piece = Piece::around(self.body, self.start);
        let mut from = self.start;
        for to in cuts {
            let middle = 0.5 * (from + to);
            if middle >= piece.end() {
                piece = Piece::around(self.body, middle);
            }
            if to > from && holds(&piece.moving(self.observer, middle)) {
                let limits = [from, to].map(|t| self.edge(t));
                match found.last_mut() {
                    Some(last) if last.end >= limits[0] => last.end = limits[1],
                    _ => found.push(limits[0]..limits[1]),
                }
            }
            from = to;
        }
        found.retain(|stretch| stretch.start < stretch.end);
        found
    }

    /// The UTC of a cut, the ends of the span being themselves.
    fn edge(&self, ut1: f64) -> Timestamp {
        if ut1 <= self.start {
            self.span.start
        } else if ut1 >= self.end {
            self.span.end
        } else {
            Instant::from_ut1(Ut1(ut1))
                .to_timestamp()
                .map_or(self.span.end, |at| at.clamp(self.span.start, self.span.end))
        }
    }
}
