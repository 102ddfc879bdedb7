//! The searches of an observer on a path prepared before.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::aim::Aim;
use crate::crossing::{AltitudeBand, AzimuthBand, Crossings, Limb, Threshold, Transit};
use crate::error::Error;
use crate::horizon::Skyline;
use crate::light::LightBounds;
use crate::observer::Observer;
use crate::refraction::Atmosphere;
use crate::series::Path;
use crate::sky::Sky;

/// The searches of an [`Observer`] on what was prepared; parts of a span that the path does not cover are worked out anew.
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
        Ok(sky.timed(sky.above_skyline(&skyline.edges(air), limb)))
    }
}
