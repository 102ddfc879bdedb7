//! Skylines against their own searches, and against the level horizon.

use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;
use wrackline_solar::{
    Atmosphere, Body, Crossing, Limb, Outcome, Skyline, SkylinePoint, Threshold,
};

use super::{body, cases, full, hours, observer, time};

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn a_skyline_is_what_its_searches_see(
        body in body(),
        observer in observer(),
        start in time(),
        points in proptest::collection::btree_map(0..3600_u32, -5.0..30.0_f64, 1..120),
    ) {
        let air = Atmosphere::STANDARD;
        let points: Vec<_> = points
            .into_iter()
            .map(|(tenths, altitude_deg)| SkylinePoint {
                azimuth_deg: f64::from(tenths) / 10.0,
                altitude_deg,
            })
            .collect();
        let skyline = Skyline::new(&points).unwrap();
        let span = start..start + hours(30);
        let clear = match body {
            Body::Sun => observer.sun_above_skyline(&skyline, Limb::Centre, &air, span),
            Body::Moon => observer.moon_above_skyline(&skyline, Limb::Centre, &air, span),
        }
        .unwrap();
        for minutes in 1..30 * 60 {
            let at = start + SignedDuration::from_mins(minutes);
            let there = full(body, &observer, at);
            let ridge = skyline.altitude_deg(there.azimuth_deg).unwrap();
            let clearance = there.altitude_deg - air.airless_altitude_deg(ridge).unwrap();
            // Near the zenith, where no skyline reaches, an azimuth means little.
            if clearance.abs() > 0.002 {
                prop_assert_eq!(
                    clear.iter().any(|s| s.contains(&at)),
                    clearance > 0.0,
                    "{} {} {:?}",
                    at,
                    clearance,
                    there
                );
            }
        }
    }

    #[test]
    fn a_ridge_shades_what_is_behind_it(
        observer in observer(),
        start in time(),
        points in proptest::collection::btree_map(0..359_u32, -2.0..40.0_f64, 1..12),
    ) {
        let air = Atmosphere::STANDARD;
        let points: Vec<_> = points
            .into_iter()
            .map(|(azimuth, altitude_deg)| SkylinePoint {
                azimuth_deg: f64::from(azimuth),
                altitude_deg,
            })
            .collect();
        let skyline = Skyline::new(&points).unwrap();
        let lit = observer
            .sun_above_skyline(&skyline, Limb::Upper, &air, start..start + hours(30))
            .unwrap();
        for minutes in (1..30 * 60).step_by(7) {
            let at = start + SignedDuration::from_mins(minutes);
            let sun = observer.sun(at);
            // The ridge as the library sees it: refraction is that of the ridge's altitude, and
            // slopes shift the touching point by a little.
            let ridge = skyline.altitude_deg(sun.azimuth_deg).unwrap();
            let airless = air.airless_altitude_deg(ridge).unwrap();
            let clearance = sun.altitude_deg + sun.semi_diameter_deg - airless;
            let steepest = [-0.3, 0.3]
                .map(|d| (skyline.altitude_deg(sun.azimuth_deg + d).unwrap() - ridge).abs())
                .into_iter()
                .fold(0.0, f64::max);
            if clearance.abs() > 0.03 + steepest && sun.altitude_deg < 80.0 {
                prop_assert_eq!(
                    lit.iter().any(|s| s.contains(&at)),
                    clearance > 0.0,
                    "{} {} {:?}",
                    at,
                    clearance,
                    sun
                );
            }
        }
    }

    #[test]
    fn a_level_skyline_is_a_threshold(
        body in body(),
        observer in observer(),
        start in time(),
        altitude in -2.0..30.0_f64,
    ) {
        let air = Atmosphere::STANDARD;
        let skyline = Skyline::new(&[SkylinePoint {
            azimuth_deg: 0.0,
            altitude_deg: altitude,
        }])
        .unwrap();
        let threshold = Threshold::apparent_altitude_deg(altitude, &air)
            .unwrap()
            .with_limb(Limb::Upper);
        let span = || start..start + hours(30);
        let (lit, crossings) = match body {
            Body::Sun => (
                observer
                    .sun_above_skyline(&skyline, Limb::Upper, &air, span())
                    .unwrap(),
                observer.sun_crossings(threshold, span()).unwrap(),
            ),
            Body::Moon => (
                observer
                    .moon_above_skyline(&skyline, Limb::Upper, &air, span())
                    .unwrap(),
                observer.moon_crossings(threshold, span()).unwrap(),
            ),
        };
        // Away from the ends of the span, where one of the two may already lie outside, each has
        // its match.
        let inner = |t: Timestamp| t > start + hours(1) && t < span().end - hours(1);
        let edges: Vec<_> = lit.iter().flat_map(|s| [s.start, s.end]).collect();
        // A graze within the 0.002° that the skyline's straight edges bulge may be lost or gained.
        let steep = crossings
            .events
            .iter()
            .all(|e| e.rate_deg_per_h.abs() > 1.0);
        if matches!(crossings.outcome, Outcome::Crosses) && steep {
            let apart_deg = |edge: Timestamp, event: &Crossing| {
                (edge.duration_since(event.at).as_secs_f64() / 3600.0 * event.rate_deg_per_h).abs()
            };
            for event in crossings.events.iter().filter(|e| inner(e.at)) {
                prop_assert!(
                    edges.iter().any(|edge| apart_deg(*edge, event) < 0.003),
                    "{event:?}"
                );
            }
            for edge in edges.iter().filter(|t| inner(**t)) {
                prop_assert!(
                    crossings.events.iter().any(|e| apart_deg(*edge, e) < 0.003),
                    "{edge}"
                );
            }
        }
    }
}
