//! Stretches between two thresholds: what the almanacs call day, twilight and night, and a disc
//! clear of a bank.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::body::Body;
use crate::crossing::Threshold;
use crate::error::Error;
use crate::observer::Observer;
use crate::sky::Sky;

/// From one threshold up to another, each with its own point of the disc and its own refraction.
///
/// ```
/// use wrackline_solar::{Observer, Site, Threshold, ThresholdBand};
///
/// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
/// let observer = Observer::new(site)?;
/// let day = "2026-12-29T00:00:00Z".parse()?.."2026-12-30T00:00:00Z".parse()?;
/// let civil = ThresholdBand { lowest: Threshold::CIVIL, highest: Threshold::SUNRISE };
/// // Morning and evening twilight.
/// assert_eq!(observer.sun_between_thresholds(civil, day)?.len(), 2);
/// # Ok::<(), Box<dyn core::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct ThresholdBand {
    /// Above this.
    pub lowest: Threshold,
    /// Not above this.
    pub highest: Threshold,
}

impl Observer {
    /// The stretches of a span in which the sun stands above one threshold and not above another,
    /// to the microsecond.
    ///
    /// Thresholds that leave nothing between them hold nothing.
    ///
    /// # Errors
    /// If the span holds no time.
    pub fn sun_between_thresholds(
        &self,
        band: ThresholdBand,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        Sky::searched(
            self,
            Body::Sun,
            span,
            |sky| Ok(sky.between_thresholds(band)),
        )
    }

    /// The stretches of a span in which the moon stands above one threshold and not above another.
    ///
    /// # Errors
    /// If the span holds no time.
    pub fn moon_between_thresholds(
        &self,
        band: ThresholdBand,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        Sky::searched(self, Body::Moon, span, |sky| {
            Ok(sky.between_thresholds(band))
        })
    }
}

impl Sky<'_> {
    pub(crate) fn between_thresholds(&self, band: ThresholdBand) -> Vec<(f64, f64)> {
        let mut cuts = Vec::new();
        for threshold in [band.lowest, band.highest] {
            self.threshold_passages(threshold, |ut1| cuts.push(ut1));
        }
        self.stretches(cuts, |m| {
            band.lowest.clearance_deg(m) >= 0.0 && band.highest.clearance_deg(m) <= 0.0
        })
    }
}
