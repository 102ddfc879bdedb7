//! The highest stand of a body in a span.

use core::ops::Range;

use jiff::Timestamp;

use crate::body::Body;
use crate::error::Error;
use crate::moving::Moving;
use crate::observer::Observer;
use crate::sky::Sky;
use crate::time::Instant;

/// The highest stand of a body in a span.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Highest {
    /// When, in UTC.
    pub at: Timestamp,
    /// When, in UT1 and TT.
    pub instant: Instant,
    /// Airless altitude of the centre in degrees.
    pub altitude_deg: f64,
    /// Azimuth of the centre in degrees, clockwise from true north.
    pub azimuth_deg: f64,
}

impl Observer {
    /// The highest stand of the sun in a span: in a day near the upper transit, but for a few
    /// seconds by which the sun's own motion moves it; in a shorter span it may be at one of the
    /// ends.
    ///
    /// ```
    /// use wrackline_solar::{Observer, Site};
    ///
    /// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
    /// let observer = Observer::new(site)?;
    /// let day = "2026-06-21T00:00:00Z".parse()?.."2026-06-22T00:00:00Z".parse()?;
    /// let noon = observer.sun_highest(day)?;
    /// assert!((noon.altitude_deg - 59.43).abs() < 0.02);
    /// # Ok::<(), Box<dyn core::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// If the span holds no time.
    pub fn sun_highest(&self, span: Range<Timestamp>) -> Result<Highest, Error> {
        Ok(Sky::new(self, Body::Sun, span)?.highest())
    }

    /// The highest stand of the moon in a span.
    ///
    /// # Errors
    /// If the span holds no time.
    pub fn moon_highest(&self, span: Range<Timestamp>) -> Result<Highest, Error> {
        Ok(Sky::new(self, Body::Moon, span)?.highest())
    }
}

impl Sky<'_> {
    pub(crate) fn highest(&self) -> Highest {
        let (mut best, mut when) = (self.at_start(), self.start());
        let mut note = |moving: Moving, ut1: f64| {
            if moving.up.value > best.up.value {
                (best, when) = (moving, ut1);
            }
        };
        // A component of a unit vector is never further from zero than this: all turning points
        // matter.
        const ANYWHERE: f64 = 2.0;
        let across = self.observer.cosine_latitude;
        self.turns(&|m| m.up, across, ANYWHERE, |ut1, moving| {
            note(*moving, ut1)
        });
        note(self.at_end(), self.end());
        let (instant, at) = self.instant(when);
        Highest {
            at,
            instant,
            altitude_deg: best.altitude_deg(),
            azimuth_deg: best.azimuth_deg(),
        }
    }
}
