//! Horizons that are not the horizontal: the sea from a height, and a ridge, a wood or a sea wall
//! before the sun.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::body::Body;
use crate::crossing::{Limb, Threshold};
use crate::edges::Edges;
use crate::error::{Error, within};
use crate::observer::Observer;
use crate::refraction::Atmosphere;
use crate::sky::Sky;
use crate::skyline::Skyline;

/// By how much the sea horizon lies below the horizontal for an eye at a height above the water, in
/// degrees, usual refraction included.
///
/// 1.76' times the square root of the height in metres: dip table of the Nautical Almanac. It
/// varies with the air over the water by some 0.05°.
///
/// # Errors
/// If the height lies outside 0 to 100,000 metres or is not a number.
pub fn dip_deg(eye_height_m: f64) -> Result<f64, Error> {
    let height = within("height of the eye", eye_height_m, 0.0, 100_000.0, "m")?;
    Ok(1.76 / 60.0 * libm::sqrt(height))
}

impl Threshold {
    /// The sea horizon, for an eye at a height above the water.
    ///
    /// # Errors
    /// If the height lies outside 0 to 100,000 metres or is not a number.
    pub fn sea_horizon(eye_height_m: f64, air: &Atmosphere) -> Result<Self, Error> {
        // Refraction at the horizontal, as the almanacs do: the formulas do not reach below it.
        Ok(Self::apparent_altitude_deg(0.0, air)?.lowered(dip_deg(eye_height_m)?))
    }
}

impl Observer {
    /// The stretches of a span in which a point of the sun's disc stands above the skyline: with
    /// [`Limb::Upper`] some direct light reaches the place, with [`Limb::Lower`] the whole disc
    /// does.
    ///
    /// Ask it with the subject's place and skyline for the light on the subject, and with the
    /// seat's for the light on the seat. Below an apparent altitude of zero refraction is not known
    /// to better than 0.2°; the skyline's own error is the larger one for most.
    ///
    /// # Errors
    /// If the span holds no time.
    pub fn sun_above_skyline(
        &self,
        skyline: &Skyline,
        limb: Limb,
        air: &Atmosphere,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        let edges = Edges::new(skyline, air);
        Sky::searched(self, Body::Sun, span, |sky| {
            Ok(sky.above_skyline(&edges, limb))
        })
    }

    /// The stretches of a span in which a point of the moon's disc stands above the skyline.
    ///
    /// # Errors
    /// If the span holds no time.
    pub fn moon_above_skyline(
        &self,
        skyline: &Skyline,
        limb: Limb,
        air: &Atmosphere,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        let edges = Edges::new(skyline, air);
        Sky::searched(self, Body::Moon, span, |sky| {
            Ok(sky.above_skyline(&edges, limb))
        })
    }
}
