//! The shape of the Earth along a line of sight.
//!
//! A line of sight runs in the vertical plane through the eye, the normal section of the
//! ellipsoid. Over the ranges of a skyline it is told from the circle that osculates it: at 150 km
//! the two part by some 0.1 m in height and a few metres along.

/// Half the longer axis of the ellipsoid of WGS84, metres (NIMA TR8350.2, third edition, table
/// 3.1). That of GRS80, on which ETRS89 rests, is the same, and its shorter one differs by 0.1 mm.
pub(super) const AXIS_M: f64 = 6_378_137.0;
/// Its flattening (the same table).
pub(super) const FLATTENING: f64 = 1.0 / 298.257_223_563;
const ECCENTRICITY_SQUARED: f64 = FLATTENING * (2.0 - FLATTENING);

/// A place on the ellipsoid with its directions.
#[derive(Clone, Copy, Debug)]
pub(super) struct Foot {
    at: [f64; 3],
    east: [f64; 3],
    north: [f64; 3],
    up: [f64; 3],
    /// Radii of curvature across and along the meridian, metres.
    across_m: f64,
    along_m: f64,
}

impl Foot {
    pub(super) fn new(latitude_deg: f64, longitude_deg: f64) -> Self {
        let (sin, cos) = latitude_deg.to_radians().sin_cos();
        let (sin_l, cos_l) = longitude_deg.to_radians().sin_cos();
        let root = 1.0 - ECCENTRICITY_SQUARED * sin * sin;
        let across_m = AXIS_M / root.sqrt();
        Self {
            at: [
                across_m * cos * cos_l,
                across_m * cos * sin_l,
                across_m * (1.0 - ECCENTRICITY_SQUARED) * sin,
            ],
            east: [-sin_l, cos_l, 0.0],
            north: [-sin * cos_l, -sin * sin_l, cos],
            up: [cos * cos_l, cos * sin_l, sin],
            across_m,
            along_m: across_m * (1.0 - ECCENTRICITY_SQUARED) / root,
        }
    }

    /// Radius of curvature in the direction of an azimuth, metres (Euler's theorem).
    pub(super) fn radius_m(&self, azimuth_deg: f64) -> f64 {
        let (sin, cos) = azimuth_deg.to_radians().sin_cos();
        1.0 / (cos * cos / self.along_m + sin * sin / self.across_m)
    }

    /// Latitude and longitude in degrees at a distance over the ground in the direction of an
    /// azimuth.
    pub(super) fn at_distance(&self, azimuth_deg: f64, distance_m: f64) -> [f64; 2] {
        let radius = self.radius_m(azimuth_deg);
        let (sin_a, cos_a) = azimuth_deg.to_radians().sin_cos();
        let (sin, cos) = (distance_m / radius).sin_cos();
        let forth = radius * sin;
        let down = radius * (cos - 1.0);
        let [x, y, z] = [0, 1, 2].map(|i| {
            self.at[i] + forth * (sin_a * self.east[i] + cos_a * self.north[i]) + down * self.up[i]
        });
        // Bowring, The accuracy of geodetic latitude and height equations, Survey Review 28, 1985:
        // near the ground one step leaves nothing that counts.
        let p = x.hypot(y);
        let reduced = (z / ((1.0 - FLATTENING) * p)).atan();
        let (sin_b, cos_b) = reduced.sin_cos();
        let second = ECCENTRICITY_SQUARED / (1.0 - ECCENTRICITY_SQUARED);
        let axis = AXIS_M * (1.0 - FLATTENING);
        let latitude = (z + second * axis * sin_b.powi(3))
            .atan2(p - ECCENTRICITY_SQUARED * AXIS_M * cos_b.powi(3));
        [latitude.to_degrees(), y.atan2(x).to_degrees()]
    }
}

/// How high a point stands for an eye over a sphere, degrees above the horizontal. With a radius
/// that is longer than the Earth's, the bending of the line of sight is told, too.
pub(super) fn altitude_deg(radius_m: f64, eye_m: f64, height_m: f64, distance_m: f64) -> f64 {
    let (sin, cos) = (distance_m / radius_m).sin_cos();
    let out = (radius_m + height_m) * sin;
    // Written with the versed sine: what the cosine loses of one would be metres.
    let half = (0.5 * distance_m / radius_m).sin();
    let up = height_m * cos - eye_m - radius_m * 2.0 * half * half;
    up.atan2(out).to_degrees()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_are_those_of_the_ellipsoid() {
        // Length of a degree of the meridian at 45 degrees, and of the parallel there: 111,132.0 m
        // between 44.5 and 45.5 degrees, 78,846.8 m (NIMA TR8350.2's ellipsoid; series of Snyder,
        // Map projections, 1987, page 25, printed to 0.1 m).
        let foot = Foot::new(44.5, 7.0);
        let [latitude, longitude] = foot.at_distance(0.0, 111_132.0);
        assert!((latitude - 45.5).abs() < 2e-5, "{latitude}");
        assert!((longitude - 7.0).abs() < 1e-9);
        let [latitude, longitude] = Foot::new(45.0, 7.0).at_distance(90.0, 788.468);
        // The plane leaves the parallel: by d^2 tan(latitude) / 2 R, 0.05 m.
        assert!((latitude - 45.0).abs() < 1e-6, "{latitude}");
        assert!((longitude - 7.01).abs() < 1e-8, "{longitude}");
    }

    #[test]
    fn altitudes_are_those_of_a_sphere() {
        // A point level with the eye sinks by half the angle at the centre.
        let found = altitude_deg(6_371_000.0, 10.0, 10.0, 50_000.0);
        assert!((found + 0.5 * (50_000.0_f64 / 6_371_000.0).to_degrees()).abs() < 1e-9);
        // The horizon of the sea stands at the dip.
        let radius: f64 = 7_323_000.0;
        let dip = (radius / (radius + 20.0)).acos();
        let found = altitude_deg(radius, 20.0, 0.0, dip * radius);
        assert!((found + dip.to_degrees()).abs() < 1e-9);
    }
}
