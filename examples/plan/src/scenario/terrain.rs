//! The terrain around a seat.
//!
//! Between two points that are at most 90 degrees apart the terrain runs straight; a wider gap is
//! an open horizon at 0 degrees right up to its ends, because nobody has looked there.

use wrackline_solar::{Skyline, SkylinePoint};

use super::bounds::{BEARING, Bound};
use super::reader::Table;

/// Gaps in a terrain profile wider than this are taken as an open horizon; our default.
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
    // Each point with the gaps before and after it, on the circle.
    let count = points.len();
    let gap_after = |index: usize| {
        let next = points[(index + 1) % count].azimuth_deg;
        match (next - points[index].azimuth_deg).rem_euclid(360.0) {
            // Alone it has the whole circle to the next, which is itself.
            0.0 if count == 1 => 360.0,
            gap => gap,
        }
    };
    let wide: Vec<bool> = (0..count).map(|at| gap_after(at) > OPEN_GAP_DEG).collect();
    let mut ends = Vec::new();
    for (index, point) in points.iter().enumerate() {
        let open = |step_deg: f64| SkylinePoint {
            azimuth_deg: (point.azimuth_deg + step_deg).rem_euclid(360.0),
            altitude_deg: 0.0,
        };
        let before = wide[(index + count - 1) % count];
        let after = wide[index];
        let (azimuth, altitude) = (point.azimuth_deg, point.altitude_deg);
        if before && after {
            // It would be a spike of two hundredths of a degree that splits a window.
            table.report(
                "horizon_deg",
                format!(
                    "[{azimuth}, {altitude}] stands alone, more than {OPEN_GAP_DEG} degrees from \
                     the next points"
                ),
                format!(
                    "give the terrain on either side of it too, such as [{}, 0] and [{}, 0]",
                    (azimuth - 20.0).rem_euclid(360.0),
                    (azimuth + 20.0).rem_euclid(360.0)
                ),
            );
        }
        if before {
            ends.push(open(-STEP_DEG));
        }
        if after {
            ends.push(open(STEP_DEG));
        }
        if after {
            let next = points[(index + 1) % count];
            // Between ends at 0 an open horizon and a straight line are the same.
            if altitude != 0.0 || next.altitude_deg != 0.0 {
                table.warn(
                    "horizon_deg",
                    format!(
                        "nothing is known from {azimuth} to {} degrees, so the horizon is taken \
                         as open there",
                        next.azimuth_deg
                    ),
                    "give points there, or end the profile with points at altitude 0 where the \
                     terrain ends",
                );
            }
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
