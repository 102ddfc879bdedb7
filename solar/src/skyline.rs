//! The skyline around a place, as the eye sees it.

use alloc::vec::Vec;

use crate::angle::positive_deg;
use crate::error::{Error, within};

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
    /// If there is no point, if an azimuth or altitude lies outside its range or is not a number,
    /// or if two points share an azimuth.
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
                    what: "azimuth of the skyline",
                    lower: pair[0].azimuth_deg,
                    upper: pair[1].azimuth_deg,
                    unit: "deg",
                });
            }
        }
        Ok(Self { points })
    }

    /// The points, in the order of azimuth.
    #[must_use]
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
}

/// Azimuth from one point clockwise to the next; a full turn from a point to itself.
pub(crate) fn gap_deg(a: SkylinePoint, b: SkylinePoint) -> f64 {
    let gap = positive_deg(b.azimuth_deg - a.azimuth_deg);
    if gap > 0.0 { gap } else { 360.0 }
}
