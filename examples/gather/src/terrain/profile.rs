//! A skyline in few points, as a scenario holds it.
//!
//! The line through the points lies nowhere below the skyline that was computed, and nowhere more
//! than [`TOLERANCE_DEG`] above it: a point too low would promise sun that a hill keeps away, a
//! point too high only hides some seconds of it.

use super::around::{Around, RAYS_PER_DEGREE};
use super::error::Error;

/// The most by which the points lie above the skyline, degrees; our default: a fifth of the sun's
/// disc.
pub const TOLERANCE_DEG: f64 = 0.1;
/// What a scenario takes.
const LOWEST_DEG: f64 = -10.0;
const HIGHEST_DEG: f64 = 80.0;
/// Altitudes are written to hundredths of a degree, always upwards.
const GRAIN_DEG: f64 = 0.01;
/// Points stand at most so many degrees apart: a scenario takes wide gaps for an open horizon.
const WIDEST_DEG: usize = 30;

/// Azimuths and altitudes of a skyline.
///
/// Below -10 degrees, which is the lowest that a scenario takes, it is raised to that.
///
/// # Errors
/// A direction of which nothing is known, or a skyline too high for a scenario.
pub fn profile(around: &Around) -> Result<Vec<[f64; 2]>, Error> {
    let mut altitudes = Vec::with_capacity(around.rays().len());
    for ray in around.rays() {
        let azimuth_deg = ray.azimuth_deg;
        let obstacle = ray.obstacle.filter(|_| ray.known_to_m > 0.0);
        let obstacle = obstacle.ok_or(Error::Blind { azimuth_deg })?;
        if obstacle.altitude_deg > HIGHEST_DEG - TOLERANCE_DEG {
            return Err(Error::TooHigh {
                azimuth_deg,
                altitude_deg: obstacle.altitude_deg,
                highest_deg: HIGHEST_DEG,
            });
        }
        altitudes.push(obstacle.altitude_deg.max(LOWEST_DEG));
    }
    Ok(thinned(&altitudes))
}

/// Points through a tube: never below altitudes that stand evenly around the circle, never more
/// than the tolerance above.
fn thinned(altitudes: &[f64]) -> Vec<[f64; 2]> {
    // Rounding upwards takes a grain of the tolerance.
    let room = TOLERANCE_DEG - GRAIN_DEG;
    let count = altitudes.len();
    let low = |at: usize| altitudes[at % count];
    let start = low(0) + 0.5 * room;
    let mut points = vec![(0, start)];
    let (mut from, mut height) = (0, start);
    while from < count {
        // The slopes by which a line from the last point stays in the tube, as far as it goes.
        let mut slopes = [f64::NEG_INFINITY, f64::INFINITY];
        let mut last = (from, height);
        for at in from + 1..=count {
            let run = (at - from) as f64;
            // The circle ends in the point that it began with.
            let [floor, ceiling] = if at == count {
                [start, start]
            } else {
                [low(at), low(at) + room]
            };
            let next = [
                slopes[0].max((floor - height) / run),
                slopes[1].min((ceiling - height) / run),
            ];
            let too_wide = at - from > WIDEST_DEG * RAYS_PER_DEGREE;
            if next[0] > next[1] || too_wide {
                break;
            }
            slopes = next;
            let slope = 0.5 * (slopes[0] + slopes[1]);
            // A line within the slopes is within the tube here, too, but for rounding.
            last = (at, (height + slope * run).clamp(floor, ceiling));
        }
        (from, height) = last;
        points.push(last);
    }
    points.pop();
    points
        .into_iter()
        .map(|(at, height)| {
            let azimuth = at as f64 / RAYS_PER_DEGREE as f64;
            [azimuth, upwards(height)]
        })
        .collect()
}

/// The next multiple of the grain that is not below a height, to the digits that are written.
fn upwards(height: f64) -> f64 {
    // What lies on a multiple but for rounding stays there.
    ((height / GRAIN_DEG - 1e-9).ceil() / (1.0 / GRAIN_DEG)).clamp(LOWEST_DEG, HIGHEST_DEG)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(points: &[[f64; 2]], azimuth: f64) -> f64 {
        let after = points.partition_point(|p| p[0] <= azimuth);
        let a = points[after - 1];
        let b = points.get(after).copied().unwrap_or([360.0, points[0][1]]);
        a[1] + (b[1] - a[1]) * (azimuth - a[0]) / (b[0] - a[0])
    }

    fn all(altitude: impl Fn(f64) -> f64) -> Vec<f64> {
        let count = 360 * RAYS_PER_DEGREE;
        (0..count)
            .map(|at| altitude(at as f64 / RAYS_PER_DEGREE as f64))
            .collect()
    }

    #[test]
    fn the_line_lies_nowhere_below_and_nowhere_far_above() {
        let rough = |a: f64| {
            let ridge = if (100.0..130.0).contains(&a) {
                4.2
            } else {
                0.0
            };
            let waves = 2.0 * (a.to_radians() * 3.0).sin() + 0.3 * (a.to_radians() * 41.0).cos();
            waves + ridge + 0.05 * (a * 977.0).sin()
        };
        for altitudes in [
            all(rough),
            all(|_| -0.1234),
            all(|a| a.rem_euclid(7.0) * 0.2),
        ] {
            let points = thinned(&altitudes);
            for (at, known) in altitudes.iter().enumerate() {
                let over = line(&points, at as f64 / RAYS_PER_DEGREE as f64) - known;
                assert!(
                    (-1e-9..=TOLERANCE_DEG + 1e-9).contains(&over),
                    "{at}: {over}"
                );
            }
            let gaps = points.windows(2).map(|pair| pair[1][0] - pair[0][0]);
            assert!(gaps.clone().all(|gap| gap > 0.04 && gap <= 30.0));
        }
        // A level skyline takes the fewest points that a scenario does not call open.
        assert_eq!(thinned(&all(|_| 0.5)).len(), 12);
    }
}
