//! The searches of an observer on a path prepared before.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::aim::Aim;
use crate::crossing::{AltitudeBand, AzimuthBand, Crossings, Limb, Threshold, Transit};
use crate::edges::Edges;
use crate::error::Error;
use crate::highest::Highest;
use crate::light::{LightBounds, SideLimits};
use crate::observer::Observer;
use crate::refraction::Atmosphere;
use crate::series::Path;
use crate::sides::SideStretch;
use crate::sky::Sky;
use crate::skyline::Skyline;
use crate::threshold_band::ThresholdBand;

/// The searches of an [`Observer`] on what was prepared; parts of a span that the path does not
/// cover are worked out anew.
impl Path {
    fn sky<'a>(&'a self, observer: &'a Observer, span: Range<Timestamp>) -> Result<Sky<'a>, Error> {
        let pieces = (self.pieces(), self.first());
        Sky::prepared(observer, self.body(), span, self.earth_time(), pieces)
    }

    /// As [`Observer::sun_crossings`], for the body of this path.
    ///
    /// # Errors
    /// As there.
    pub fn crossings(
        &self,
        observer: &Observer,
        threshold: Threshold,
        span: Range<Timestamp>,
    ) -> Result<Crossings, Error> {
        Ok(self.sky(observer, span)?.crossings(threshold))
    }

    /// As [`Observer::sun_transits`].
    ///
    /// # Errors
    /// As there.
    pub fn transits(
        &self,
        observer: &Observer,
        span: Range<Timestamp>,
    ) -> Result<Vec<Transit>, Error> {
        Ok(self.sky(observer, span)?.transits())
    }

    /// As [`Observer::sun_between`].
    ///
    /// # Errors
    /// As there.
    pub fn between(
        &self,
        observer: &Observer,
        band: AltitudeBand,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        let sky = self.sky(observer, span)?;
        Ok(sky.timed(sky.between(band)?))
    }

    /// As [`Observer::sun_highest`].
    ///
    /// # Errors
    /// As there.
    pub fn highest(&self, observer: &Observer, span: Range<Timestamp>) -> Result<Highest, Error> {
        Ok(self.sky(observer, span)?.highest())
    }

    /// As [`Observer::sun_between_thresholds`].
    ///
    /// # Errors
    /// As there.
    pub fn between_thresholds(
        &self,
        observer: &Observer,
        band: ThresholdBand,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        let sky = self.sky(observer, span)?;
        Ok(sky.timed(sky.between_thresholds(band)))
    }

    /// As [`Observer::sun_sides`].
    ///
    /// # Errors
    /// As there.
    pub fn sides(
        &self,
        observer: &Observer,
        bearing_deg: f64,
        limits: &SideLimits,
        threshold: Threshold,
        span: Range<Timestamp>,
    ) -> Result<Vec<SideStretch>, Error> {
        self.sky(observer, span)?
            .sides(bearing_deg, limits, threshold)
    }

    /// As [`Observer::sun_azimuth_within`].
    ///
    /// # Errors
    /// As there.
    pub fn azimuth_within(
        &self,
        observer: &Observer,
        band: AzimuthBand,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        let sky = self.sky(observer, span)?;
        Ok(sky.timed(sky.azimuth_within(band)?))
    }

    /// As [`Observer::sun_light_within`].
    ///
    /// ```
    /// use wrackline_solar::{AltitudeBand, Body, LightBounds, Observer, Path, Site};
    ///
    /// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
    /// let observer = Observer::new(site)?;
    /// let week = "2026-12-22T00:00:00Z".parse()?.."2026-12-29T00:00:00Z".parse()?;
    /// let sun = Path::new(Body::Sun, week.clone())?;
    /// let low_behind = LightBounds {
    ///     altitude: AltitudeBand { lowest_deg: 0.0, highest_deg: 12.0 },
    ///     bearing_deg: 330.0,
    ///     least_side_deg: 0.0,
    ///     greatest_side_deg: 30.0,
    /// };
    /// let found = sun.light_within(&observer, low_behind, week.clone())?;
    /// assert_eq!(found, observer.sun_light_within(low_behind, week)?);
    /// assert_eq!(found.len(), 7);
    /// # Ok::<(), Box<dyn core::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// As there.
    pub fn light_within(
        &self,
        observer: &Observer,
        bounds: LightBounds,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        let sky = self.sky(observer, span)?;
        Ok(sky.timed(sky.light_within(bounds)?))
    }

    /// As [`Observer::sun_near_view`].
    ///
    /// # Errors
    /// As there.
    pub fn near_view(
        &self,
        observer: &Observer,
        aim: Aim,
        near_deg: f64,
        air: &Atmosphere,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        let sky = self.sky(observer, span)?;
        Ok(sky.timed(sky.near_view(aim, near_deg, air)?))
    }

    /// As [`Observer::sun_above_skyline`].
    ///
    /// ```
    /// use wrackline_solar::{
    ///     Atmosphere, Body, Limb, Observer, Path, Site, Skyline, SkylinePoint,
    /// };
    ///
    /// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
    /// let observer = Observer::new(site)?;
    /// let day = "2026-12-29T00:00:00Z".parse()?.."2026-12-30T00:00:00Z".parse()?;
    /// let sun = Path::new(Body::Sun, day.clone())?;
    /// let point = |azimuth_deg| SkylinePoint { azimuth_deg, altitude_deg: 5.0 };
    /// let wood = [140.0, 220.0].map(point);
    /// let (wood, air) = (Skyline::new(&wood)?, Atmosphere::STANDARD);
    /// let seen = sun.above_skyline(&observer, &wood, Limb::Upper, &air, day)?;
    /// assert_eq!(seen.len(), 1);
    /// # Ok::<(), Box<dyn core::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// As there.
    pub fn above_skyline(
        &self,
        observer: &Observer,
        skyline: &Skyline,
        limb: Limb,
        air: &Atmosphere,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        let sky = self.sky(observer, span)?;
        Ok(sky.timed(sky.above_skyline(&Edges::new(skyline, air), limb)))
    }

    /// As [`Path::above_skyline`] in several spans, for which the skyline is prepared once: for
    /// whoever asks for a few minutes of many days.
    ///
    /// ```
    /// use jiff::{SignedDuration, Timestamp};
    /// use wrackline_solar::{
    ///     Atmosphere, Body, Limb, Observer, Path, Site, Skyline, SkylinePoint,
    /// };
    ///
    /// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
    /// let observer = Observer::new(site)?;
    /// let from: Timestamp = "2026-12-22T00:00:00Z".parse()?;
    /// let sun = Path::new(Body::Sun, from..from + SignedDuration::from_hours(7 * 24))?;
    /// let wood = Skyline::new(&[SkylinePoint { azimuth_deg: 140.0, altitude_deg: 5.0 }])?;
    /// let mornings = (0..7).map(|day| {
    ///     let midnight = from + SignedDuration::from_hours(24 * day);
    ///     midnight..midnight + SignedDuration::from_hours(12)
    /// });
    /// let (limb, air) = (Limb::Upper, Atmosphere::STANDARD);
    /// let seen = sun.above_skyline_during(&observer, &wood, limb, &air, mornings)?;
    /// let all_week = sun.above_skyline(&observer, &wood, limb, &air, sun.span())?;
    /// assert_eq!(seen.len(), 7);
    /// assert!(seen.iter().zip(&all_week).all(|(part, day)| part.start == day.start));
    /// # Ok::<(), Box<dyn core::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// As there, for any of the spans.
    pub fn above_skyline_during(
        &self,
        observer: &Observer,
        skyline: &Skyline,
        limb: Limb,
        air: &Atmosphere,
        spans: impl IntoIterator<Item = Range<Timestamp>>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        let edges = Edges::new(skyline, air);
        let mut found = Vec::new();
        for span in spans {
            let sky = self.sky(observer, span)?;
            found.extend(sky.timed(sky.above_skyline(&edges, limb)));
        }
        Ok(found)
    }
}
