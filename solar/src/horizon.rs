//! Horizons that are not the horizontal: the sea from a height, and a ridge, a wood or a sea wall before the sun.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::angle::positive_deg;
use crate::body::Body;
use crate::crossing::{Limb, Threshold};
use crate::edges::{Edges, gap_deg};
use crate::error::{Error, within};
use crate::observer::Observer;
use crate::refraction::Atmosphere;
use crate::sky::Sky;

/// By how much the sea horizon lies below the horizontal for an eye at a height above the water, in degrees, usual refraction included.
///
/// 1.76' times the square root of the height in metres: dip table of the Nautical Almanac. It varies with the air over the water by some 0.05°.
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

/// A point of the skyline, as the eye sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct SkylinePoint {
    /// Azimuth in degrees, clockwise from true north, 0 to 360.
    pub azimuth_deg: f64,
    /// Apparent altitude in degrees, -10 to 80.
    pub altitude_deg: f64,
}

/// The skyline around a place: altitudes at given azimuths, straight lines between them.
///
/// ```
/// use wrackline_solar::{Skyline, SkylinePoint};
///
/// let skyline = Skyline::new(&[
///     SkylinePoint { azimuth_deg: 90.0, altitude_deg: 0.0 },
///     SkylinePoint { azimuth_deg: 135.0, altitude_deg: 6.0 },
///     SkylinePoint { azimuth_deg: 180.0, altitude_deg: 0.0 },
/// ])?;
/// assert_eq!(skyline.altitude_deg(112.5)?, 3.0);
/// # Ok::<(), wrackline_solar::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(
        try_from = "crate::record::SkylineRecord",
        into = "crate::record::SkylineRecord"
    )
)]
pub struct Skyline {
    /// In the order of azimuth, none twice.
    points: Vec<SkylinePoint>,
}

impl Skyline {
    /// A skyline through points in any order; one point makes a level skyline.
    ///
    /// # Errors
    /// If there is no point, if an azimuth or altitude lies outside its range or is not a number, or if two points share an azimuth.
    pub fn new(points: &[SkylinePoint]) -> Result<Self, Error> {
        within(
            "number of points of the skyline",
            points.len() as f64,
            1.0,
            100_000.0,
            "",
        )?;
        let mut points = points.to_vec();
        for point in &mut points {
            let azimuth = within(
                "azimuth of the skyline",
                point.azimuth_deg,
                0.0,
                360.0,
                "deg",
            )?;
            within(
                "altitude of the skyline",
                point.altitude_deg,
                -10.0,
                80.0,
                "deg",
            )?;
            point.azimuth_deg = positive_deg(azimuth);
        }
        points.sort_by(|a, b| a.azimuth_deg.total_cmp(&b.azimuth_deg));
        for pair in points.windows(2) {
            if pair[0].azimuth_deg >= pair[1].azimuth_deg {
                return Err(Error::NotRising {
                    what: "the azimuths of the skyline in degrees",
                    lower: pair[0].azimuth_deg,
                    upper: pair[1].azimuth_deg,
                });
            }
        }
        Ok(Self { points })
    }

    /// The points, in the order of azimuth.
    pub fn points(&self) -> &[SkylinePoint] {
        &self.points
    }

    /// The apparent altitude of the skyline at an azimuth in degrees.
    ///
    /// # Errors
    /// If the azimuth lies outside -360 to 720 degrees or is not a number.
    pub fn altitude_deg(&self, azimuth_deg: f64) -> Result<f64, Error> {
        let azimuth = positive_deg(within("azimuth", azimuth_deg, -360.0, 720.0, "deg")?);
        let after = self.points.partition_point(|p| p.azimuth_deg <= azimuth);
        let count = self.points.len();
        let [a, b] = [(after + count - 1) % count, after % count].map(|i| self.points[i]);
        let share = positive_deg(azimuth - a.azimuth_deg) / gap_deg(a, b);
        Ok(a.altitude_deg + share * (b.altitude_deg - a.altitude_deg))
    }

    /// The edges of the skyline in the airless sky.
    pub(crate) fn edges(&self, air: &Atmosphere) -> Edges {
        Edges::new(&self.points, air)
    }
}

impl Observer {
    /// The stretches of a span in which a point of the sun's disc stands above the skyline: with [`Limb::Upper`] some direct light reaches the
    /// place, with [`Limb::Lower`] the whole disc does.
    ///
    /// Ask it with the subject's place and skyline for the light on the subject, and with the seat's for the light on the seat. Below an apparent
    /// altitude of zero refraction is not known to better than 0.2°; the skyline's own error is the larger one for most.
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
        let edges = skyline.edges(air);
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
        let edges = skyline.edges(air);
        Sky::searched(self, Body::Moon, span, |sky| {
            Ok(sky.above_skyline(&edges, limb))
        })
    }
}
