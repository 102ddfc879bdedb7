//! Positions given away coarsely, for the animals' sake: the middle of a cell, and how far the true
//! one may lie from it.

/// Metres in the longest degree of a meridian, at the poles: the polar radius of curvature 6 399
/// 593.6 m (Moritz 2000, Geodetic Reference System 1980, Journal of Geodesy 74, from memory) in
/// radians. With it a distance is never told too short, whatever the latitude.
const LONGEST_DEGREE_M: f64 = 6_399_593.6 * std::f64::consts::PI / 180.0;
/// The largest side of a cell, degrees.
pub const LARGEST_CELL_DEG: f64 = 10.0;

/// A grid over the Earth whose cells end at the poles and at the date line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grid {
    side_deg: f64,
}

/// A side that makes no grid.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("{side_deg} is not above 0 and up to {LARGEST_CELL_DEG} degrees")]
pub struct NoGrid {
    /// The side.
    pub side_deg: f64,
}

/// A position as it may be given away.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coarse {
    /// Latitude of the middle, degrees north.
    pub latitude_deg: f64,
    /// Longitude of the middle, degrees east, from -180 to 180.
    pub longitude_deg: f64,
    /// How far the true position may be from it, whole metres.
    pub uncertainty_m: f64,
}

impl Grid {
    /// Tenths of a degree, about 11 km from north to south; our default.
    pub const TENTHS: Self = Self { side_deg: 0.1 };

    /// Cells of a side in degrees, above 0 and up to [`LARGEST_CELL_DEG`].
    ///
    /// # Errors
    /// Any other side.
    pub fn new(side_deg: f64) -> Result<Self, NoGrid> {
        if side_deg > 0.0 && side_deg <= LARGEST_CELL_DEG {
            Ok(Self { side_deg })
        } else {
            Err(NoGrid { side_deg })
        }
    }

    /// The side of a cell, degrees.
    pub fn side_deg(self) -> f64 {
        self.side_deg
    }

    /// The middle of the cell that holds a position: the same for all that lie in it, so that
    /// nothing can be averaged out of many.
    pub fn coarsen(self, latitude_deg: f64, longitude_deg: f64) -> Coarse {
        let half = self.side_deg / 2.0;
        let middle = |deg: f64, limit: f64| {
            let middle = (deg / self.side_deg).floor() * self.side_deg + half;
            // A cell that would reach over the pole or the date line is drawn back to end there.
            self.rounded(middle.min(limit - half).max(half - limit))
        };
        let latitude = middle(latitude_deg, 90.0);
        // The edge of the cell that is nearer to the equator is the wider one.
        let widest = (latitude.abs() - half).max(0.0).to_radians().cos();
        let half_m = half * LONGEST_DEGREE_M;
        Coarse {
            latitude_deg: latitude,
            longitude_deg: middle(longitude_deg, 180.0),
            uncertainty_m: half_m.hypot(half_m * widest).ceil(),
        }
    }

    /// Decimals that the middle of a cell needs.
    pub fn decimals(self) -> usize {
        let mut places = 0;
        let mut half = self.side_deg / 2.0;
        while (half - half.round()).abs() > 1e-9 && places < 8 {
            half *= 10.0;
            places += 1;
        }
        places
    }

    /// To the last digit that the middle of a cell has, so that no rounding tail hints at more.
    fn rounded(self, deg: f64) -> f64 {
        let scale = 10_f64.powi(self.decimals() as i32);
        (deg * scale).round() / scale
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_holds_its_place_and_every_corner_lies_within_the_uncertainty() {
        for (latitude_deg, longitude_deg) in [
            (53.4016, 1.202),
            (-0.03, -179.99),
            (-71.2, 12.0),
            (0.05, 0.05),
        ] {
            let coarse = Grid::TENTHS.coarsen(latitude_deg, longitude_deg);
            assert!((coarse.latitude_deg - latitude_deg).abs() <= 0.05 + 1e-9);
            assert!((coarse.longitude_deg - longitude_deg).abs() <= 0.05 + 1e-9);
            for (dlat, dlon) in [(-0.05, -0.05), (0.05, 0.05), (-0.05, 0.05), (0.05, -0.05)] {
                let (a, b) = (
                    coarse.latitude_deg.to_radians(),
                    (coarse.latitude_deg + dlat).to_radians(),
                );
                let half = ((b - a) / 2.0).sin().powi(2)
                    + a.cos() * b.cos() * (f64::to_radians(dlon) / 2.0).sin().powi(2);
                // On the sphere of the mean radius (Moritz 2000, R1).
                let haversine_m = 2.0 * 6_371_008.8 * half.sqrt().asin();
                assert!(
                    haversine_m <= coarse.uncertainty_m,
                    "{haversine_m} {coarse:?}"
                );
            }
        }
    }

    #[test]
    fn no_cell_reaches_over_the_date_line_or_a_pole() {
        for side_deg in [0.05, 0.1, 0.25, 0.7, 1.0, 7.0, 10.0] {
            let grid = Grid::new(side_deg).unwrap();
            for longitude_deg in [-180.0, -179.999, 0.0, 179.95, 180.0] {
                for latitude_deg in [-90.0, -89.99, 0.0, 89.99, 90.0] {
                    let coarse = grid.coarsen(latitude_deg, longitude_deg);
                    // Half a unit of the last digit that is kept.
                    let slack = 0.5e-8 + 1e-12;
                    assert!(coarse.longitude_deg.abs() <= 180.0 - side_deg / 2.0 + slack);
                    assert!(coarse.latitude_deg.abs() <= 90.0 - side_deg / 2.0 + slack);
                    assert!((coarse.longitude_deg - longitude_deg).abs() <= side_deg / 2.0 + slack);
                    assert!((coarse.latitude_deg - latitude_deg).abs() <= side_deg / 2.0 + slack);
                }
            }
        }
        for side_deg in [0.0, -0.1, 10.1, f64::NAN] {
            assert!(Grid::new(side_deg).is_err());
        }
    }

    #[test]
    fn middles_are_written_with_the_decimals_they_need() {
        let decimals = |side_deg| Grid::new(side_deg).unwrap().decimals();
        assert_eq!(decimals(0.1), 2);
        assert_eq!(decimals(1.0), 1);
        assert_eq!(decimals(2.0), 0);
        assert_eq!(decimals(0.25), 3);
    }
}
