//! The terrain around a seat.

use wrackline_solar::{Skyline, SkylinePoint};

use super::bounds::{BEARING, Bound};
use super::reader::Table;

/// Gaps in a terrain profile wider than this are taken as an open horizon, narrower ones as a
/// straight line between their ends; our default.
const OPEN_GAP_DEG: f64 = 90.0;

/// How near to the end of a profile the open horizon begins.
const STEP_DEG: f64 = 0.01;

pub(super) fn skyline(table: &Table<'_, '_>) -> Option<Skyline> {
    let profile = table.pairs("horizon_deg", BEARING, Bound::Within(-10.0, 80.0));
    let mut points: Vec<SkylinePoint> = profile
        .iter()
        .map(|[azimuth, altitude_deg]| SkylinePoint {
            azimuth_deg: azimuth % 360.0,
            altitude_deg: *altitude_deg,
        })
        .collect();
    points.sort_by(|a, b| a.azimuth_deg.total_cmp(&b.azimuth_deg));
    let open = |azimuth_deg: f64| SkylinePoint {
        azimuth_deg: azimuth_deg.rem_euclid(360.0),
        altitude_deg: 0.0,
    };
    let mut ends = Vec::new();
    for (index, from) in points.iter().enumerate() {
        let to = points[(index + 1) % points.len()];
        let gap = (to.azimuth_deg - from.azimuth_deg).rem_euclid(360.0);
        if points.len() == 1 || gap > OPEN_GAP_DEG {
            ends.push(open(from.azimuth_deg + STEP_DEG));
            ends.push(open(to.azimuth_deg - STEP_DEG));
        }
    }
    points.extend(ends);
    if points.is_empty() {
        return None;
    }
    Skyline::new(&points)
        .map_err(|error| table.report("horizon_deg", error.to_string(), "mend the profile"))
        .ok()
}
