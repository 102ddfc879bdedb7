//! The side of the light as it moves round through a day.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::angle::signed_deg;
use crate::body::Body;
use crate::crossing::Threshold;
use crate::error::{Error, within};
use crate::light::{LightSide, SideLimits};
use crate::observer::Observer;
use crate::sky::Sky;
use crate::span::between_cuts;

/// A stretch of time with the light from one side.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct SideStretch {
    /// From the start to the end, which is excluded.
    pub stretch: Range<Timestamp>,
    /// The side.
    pub side: LightSide,
}

impl Observer {
    /// From which side the sun lights a view while it is above a threshold, stretch by stretch, to
    /// the microsecond.
    ///
    /// ```
    /// use wrackline_solar::{LightSide, Observer, SideLimits, Site, Threshold};
    ///
    /// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
    /// let observer = Observer::new(site)?;
    /// let day = "2026-12-29T00:00:00Z".parse()?.."2026-12-30T00:00:00Z".parse()?;
    /// let sides = observer.sun_sides(330.0, &SideLimits::default(), Threshold::SUNRISE, day)?;
    /// // Towards the north-west the midwinter sun begins behind the camera and goes over the
    /// // right shoulder.
    /// assert_eq!(sides[0].side, LightSide::Front);
    /// assert!(sides.windows(2).all(|pair| pair[0].stretch.end == pair[1].stretch.start));
    /// # Ok::<(), Box<dyn core::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// If the bearing lies outside -360 to 720 degrees or is not a number, or if the span holds no
    /// time.
    pub fn sun_sides(
        &self,
        bearing_deg: f64,
        limits: &SideLimits,
        threshold: Threshold,
        span: Range<Timestamp>,
    ) -> Result<Vec<SideStretch>, Error> {
        Sky::new(self, Body::Sun, span)?.sides(bearing_deg, limits, threshold)
    }

    /// From which side the moon lights a view while it is above a threshold.
    ///
    /// # Errors
    /// As [`Observer::sun_sides`].
    pub fn moon_sides(
        &self,
        bearing_deg: f64,
        limits: &SideLimits,
        threshold: Threshold,
        span: Range<Timestamp>,
    ) -> Result<Vec<SideStretch>, Error> {
        Sky::new(self, Body::Moon, span)?.sides(bearing_deg, limits, threshold)
    }
}

impl Sky<'_> {
    pub(crate) fn sides(
        &self,
        bearing_deg: f64,
        limits: &SideLimits,
        threshold: Threshold,
    ) -> Result<Vec<SideStretch>, Error> {
        let behind = 180.0 + within("bearing of the view", bearing_deg, -360.0, 720.0, "deg")?;
        let mut cuts = Vec::new();
        for limit in limits.angles_deg() {
            for azimuth in [behind - limit, behind + limit] {
                self.azimuth_passages(azimuth, |ut1, _| cuts.push(ut1));
            }
        }
        self.threshold_passages(threshold, |ut1| cuts.push(ut1));
        let mut found: Vec<SideStretch> = Vec::new();
        for wanted in LightSide::ALL {
            let days = between_cuts((self.start(), self.end()), cuts.clone(), |middle| {
                let m = self.moving(middle);
                let angle = signed_deg(m.azimuth_deg() - behind).abs();
                threshold.clearance_deg(&m) >= 0.0 && limits.side(angle) == wanted
            });
            let stretches = self.timed(days).into_iter();
            found.extend(stretches.map(|stretch| SideStretch {
                stretch,
                side: wanted,
            }));
        }
        found.sort_by_key(|one| one.stretch.start);
        Ok(found)
    }
}
