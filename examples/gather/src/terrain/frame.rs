//! The frames in which the posts of a grid stand: degrees, or metres of a transverse Mercator.

use proj4rs::Proj;
use proj4rs::transform::transform;

use super::earth::{AXIS_M, FLATTENING};

/// A transverse Mercator projection of the ellipsoid of WGS84 and ETRS89.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct TransverseMercator {
    pub(super) latitude_deg: f64,
    pub(super) longitude_deg: f64,
    pub(super) scale: f64,
    pub(super) false_easting_m: f64,
    pub(super) false_northing_m: f64,
}

impl TransverseMercator {
    /// A zone of the universal transverse Mercator grid.
    pub(super) fn of_zone(zone: u16, south: bool) -> Self {
        Self {
            latitude_deg: 0.0,
            longitude_deg: f64::from(zone) * 6.0 - 183.0,
            scale: 0.9996,
            false_easting_m: 500_000.0,
            false_northing_m: if south { 10_000_000.0 } else { 0.0 },
        }
    }
}

/// What the coordinates of a grid mean.
#[derive(Debug)]
pub(super) enum Frame {
    /// Degrees east and north.
    Degrees,
    /// Metres of a projection; multiples of a metre where its unit is another one.
    Metres {
        mercator: TransverseMercator,
        metres_per_unit: f64,
        from: Box<Proj>,
        to: Box<Proj>,
    },
}

/// So far from its middle meridian a transverse Mercator is still told to a millimetre, and any
/// map in use is nearer.
const WIDEST_DEG: f64 = 20.0;

impl Frame {
    /// The frame of a projection; `None` where its figures are no projection.
    pub(super) fn projected(mercator: TransverseMercator, metres_per_unit: f64) -> Option<Self> {
        let TransverseMercator {
            latitude_deg,
            longitude_deg,
            scale,
            false_easting_m,
            false_northing_m,
        } = mercator;
        let sound = latitude_deg.abs() <= 90.0
            && longitude_deg.abs() <= 360.0
            && (0.9..1.1).contains(&scale)
            && false_easting_m.abs() < 1e8
            && false_northing_m.abs() < 1e8
            && (1e-3..1e4).contains(&metres_per_unit);
        if !sound {
            return None;
        }
        let ellipsoid = format!("+a={AXIS_M} +rf={}", 1.0 / FLATTENING);
        let degrees = format!("+proj=longlat {ellipsoid} +no_defs");
        let metres = format!(
            "+proj=etmerc +lat_0={latitude_deg} +lon_0={longitude_deg} +k={scale} \
             +x_0={false_easting_m} +y_0={false_northing_m} {ellipsoid} +units=m +no_defs"
        );
        Some(Self::Metres {
            mercator,
            metres_per_unit,
            from: Box::new(Proj::from_proj_string(&degrees).ok()?),
            to: Box::new(Proj::from_proj_string(&metres).ok()?),
        })
    }

    /// Whether two grids stand in the same frame.
    pub(super) fn is_that_of(&self, other: &Frame) -> bool {
        match (self, other) {
            (Self::Degrees, Self::Degrees) => true,
            (
                Self::Metres {
                    mercator: a,
                    metres_per_unit: b,
                    ..
                },
                Self::Metres {
                    mercator: c,
                    metres_per_unit: d,
                    ..
                },
            ) => a == c && b == d,
            _ => false,
        }
    }

    /// Where a place falls, east and north; `None` far outside of what a projection can show.
    pub(super) fn place(&self, [latitude_deg, longitude_deg]: [f64; 2]) -> Option<[f64; 2]> {
        match self {
            Self::Degrees => Some([longitude_deg, latitude_deg]),
            Self::Metres {
                mercator,
                metres_per_unit,
                from,
                to,
            } => {
                let away = around(longitude_deg - mercator.longitude_deg);
                if away.abs() > WIDEST_DEG {
                    return None;
                }
                let mut point = (longitude_deg.to_radians(), latitude_deg.to_radians(), 0.0);
                transform(from, to, &mut point).ok()?;
                let place = [point.0 / metres_per_unit, point.1 / metres_per_unit];
                place.iter().all(|c| c.is_finite()).then_some(place)
            }
        }
    }

    /// Metres that a unit of it is long near a latitude, the mean of east and north.
    pub(super) fn metres(&self, latitude_deg: f64) -> f64 {
        match self {
            Self::Degrees => {
                let degree = AXIS_M.to_radians();
                degree * latitude_deg.to_radians().cos().max(0.0).sqrt()
            }
            Self::Metres {
                metres_per_unit, ..
            } => *metres_per_unit,
        }
    }
}

/// An angle as -180 to 180 degrees.
pub(super) fn around(degrees: f64) -> f64 {
    (degrees + 180.0).rem_euclid(360.0) - 180.0
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    reason = "a test fails by panicking, in its helpers too"
)]
mod tests {
    use super::*;

    #[test]
    fn a_zone_lies_where_its_definition_says() {
        // On the middle meridian north is the length of the meridian times 0.9996: 4,984,944.378 m
        // from the equator to 45 degrees on WGS84 (series of Snyder, Map projections, 1987,
        // equation 3-21, evaluated with mpmath).
        let zone = Frame::projected(TransverseMercator::of_zone(31, false), 1.0).unwrap();
        let [east, north] = zone.place([45.0, 3.0]).unwrap();
        assert!((east - 500_000.0).abs() < 1e-6);
        assert!((north - 4_984_944.378 * 0.9996).abs() < 2e-3, "{north}");
        let south = Frame::projected(TransverseMercator::of_zone(31, true), 1.0).unwrap();
        let [_, mirrored] = south.place([-45.0, 3.0]).unwrap();
        assert!((mirrored - (10_000_000.0 - north)).abs() < 1e-6);
        assert_eq!(zone.place([45.0, 120.0]), None);
        assert!(!zone.is_that_of(&south) && zone.is_that_of(&zone));
    }
}
