//! What a day holds: solar time, the highest stand, the sides of the light, stretches between
//! thresholds, and light on a slope.

use jiff::SignedDuration;
use proptest::prelude::*;
use wrackline_solar::{
    Body, Horizontal, Instant, LightSide, MoonPhase, Path, SideLimits, Surface, Threshold,
    ThresholdBand, View, equation_of_time_min, moon_age_days, moon_phases, shadow_line_angle_deg,
};

use super::{body, cases, full, hours, observer, time, vector};

proptest! {
    #![proptest_config(cases(128))]

    #[test]
    fn solar_time_is_mean_time_and_the_equation(observer in observer(), at in time()) {
        let instant = Instant::from_timestamp(at);
        let ut1_h = (instant.julian_dates().ut1_jd + 0.5).rem_euclid(1.0) * 24.0;
        let mean_h = ut1_h + observer.site().longitude_deg / 15.0;
        let off = observer.true_solar_time_h(at) - (mean_h + equation_of_time_min(instant) / 60.0);
        // A Julian date resolves 40 µs.
        prop_assert!(
            ((off + 12.0).rem_euclid(24.0) - 12.0).abs() < 2e-8 * 3.0,
            "{off}"
        );
        // The observer's own sun stands within 9" of that.
        let hour_angle = full(Body::Sun, &observer, at).hour_angle_deg;
        let off = (observer.true_solar_time_h(at) - 12.0) * 15.0 - hour_angle;
        let declination = full(Body::Sun, &observer, at).declination_deg;
        prop_assert!(
            ((off + 180.0).rem_euclid(360.0) - 180.0).abs() * declination.to_radians().cos()
                < 0.0026
        );
    }

    #[test]
    fn the_parallactic_angle_closes_the_triangle(
        body in body(),
        observer in observer(),
        at in time(),
    ) {
        let place = full(body, &observer, at);
        let q = observer.parallactic_angle_deg(&place).unwrap().to_radians();
        // The same angle from azimuth and altitude: Meeus, Astronomical Algorithms, chapter 14, by
        // the sine and cosine rules.
        let latitude = observer.site().latitude_deg.to_radians();
        let (a, h) = (
            place.azimuth_deg.to_radians(),
            place.altitude_deg.to_radians(),
        );
        let d = place.declination_deg.to_radians();
        let sine = -a.sin() * latitude.cos();
        let cosine = (latitude.sin() - d.sin() * h.sin()) / h.cos().max(1e-12);
        if h.cos() > 1e-3 {
            prop_assert!((q.sin() * d.cos() - sine).abs() < 1e-9, "{q} {place:?}");
            prop_assert!((q.cos() * d.cos() - cosine).abs() < 1e-7, "{q} {place:?}");
        }
    }

    #[test]
    fn nothing_stands_higher_than_the_highest(
        body in body(),
        observer in observer(),
        start in time(),
        length in 1..72_i64,
    ) {
        let span = start..start + hours(length);
        let path = Path::new(body, span.clone()).unwrap();
        let highest = path.highest(&observer, span.clone()).unwrap();
        let same = match body {
            Body::Sun => observer.sun_highest(span.clone()),
            Body::Moon => observer.moon_highest(span.clone()),
        };
        prop_assert_eq!(same.unwrap(), highest);
        prop_assert!(span.start <= highest.at && highest.at <= span.end);
        let there = full(body, &observer, highest.at);
        prop_assert!((there.altitude_deg - highest.altitude_deg).abs() < 1e-6);
        for minutes in (0..=length * 60).step_by(9) {
            let altitude =
                full(body, &observer, start + SignedDuration::from_mins(minutes)).altitude_deg;
            prop_assert!(
                altitude <= highest.altitude_deg + 1e-6,
                "{altitude} {highest:?}"
            );
        }
    }

    #[test]
    fn incidence_is_the_angle_to_the_square(
        facing_deg in -360.0..720.0_f64,
        tilt_deg in 0.0..=180.0_f64,
        azimuth_deg in 0.0..360.0_f64,
        altitude_deg in -90.0..=90.0_f64,
    ) {
        let found = Surface {
            facing_deg,
            tilt_deg,
        }
        .incidence_deg(Horizontal {
            azimuth_deg,
            altitude_deg,
        })
        .unwrap();
        let (square, light) = (
            vector(facing_deg, 90.0 - tilt_deg),
            vector(azimuth_deg, altitude_deg),
        );
        let dot: f64 = square.iter().zip(light).map(|(a, b)| a * b).sum();
        prop_assert!((found.to_radians().cos() - dot).abs() < 1e-12);
        let level = Surface {
            facing_deg,
            tilt_deg: 0.0,
        }
        .incidence_deg(Horizontal {
            azimuth_deg,
            altitude_deg,
        })
        .unwrap();
        prop_assert!((level - (90.0 - altitude_deg)).abs() < 1e-9);
    }

    #[test]
    fn the_moon_is_as_old_as_its_last_new_moon(at in time()) {
        let age = moon_age_days(at);
        prop_assert!((0.0..29.9).contains(&age), "{age}");
        let new = moon_phases(at - hours(24 * 31)..at).unwrap();
        let last = new
            .iter()
            .rfind(|event| event.phase == MoonPhase::New)
            .unwrap();
        let since = at.duration_since(last.at).as_secs_f64() / 86_400.0;
        // A second of UTC may be a leap second; at the new moon itself the age may be a month or
        // nothing.
        prop_assert!(
            (age - since).abs() < 3e-5 || (age - since).abs() > 29.0,
            "{age} {since}"
        );
    }

    #[test]
    fn the_sides_of_a_day_are_those_of_its_instants(
        moon in any::<bool>(),
        observer in observer(),
        start in time(),
        bearing in 0.0..360.0_f64,
    ) {
        let span = start..start + hours(40);
        let limits = SideLimits::default();
        let (body, threshold) = if moon {
            (Body::Moon, Threshold::MOONRISE)
        } else {
            (Body::Sun, Threshold::CIVIL)
        };
        let found = match body {
            Body::Sun => observer.sun_sides(bearing, &limits, threshold, span.clone()),
            Body::Moon => observer.moon_sides(bearing, &limits, threshold, span.clone()),
        }
        .unwrap();
        let path = Path::new(body, span.clone()).unwrap();
        prop_assert_eq!(
            &path
                .sides(&observer, bearing, &limits, threshold, span)
                .unwrap(),
            &found
        );
        prop_assert!(
            found
                .windows(2)
                .all(|pair| pair[0].stretch.end <= pair[1].stretch.start)
        );
        for minutes in (1..40 * 60).step_by(11) {
            let at = start + SignedDuration::from_mins(minutes);
            let there = full(body, &observer, at);
            let limb = if moon { there.semi_diameter_deg } else { 0.0 };
            let up = there.altitude_deg + limb - threshold.airless_altitude_deg();
            let view = View {
                light_azimuth_deg: there.azimuth_deg,
                bearing_deg: bearing,
            };
            let angle = shadow_line_angle_deg(view).unwrap();
            let sure = [30.0, 60.0, 120.0, 160.0]
                .iter()
                .all(|limit| (angle - limit).abs() > 1e-4);
            if sure && up.abs() > 1e-4 && there.altitude_deg < 85.0 {
                let expected = (up > 0.0).then(|| limits.side(angle));
                let told: Vec<LightSide> = found
                    .iter()
                    .filter(|s| s.stretch.contains(&at))
                    .map(|s| s.side)
                    .collect();
                prop_assert_eq!(
                    told,
                    expected.into_iter().collect::<Vec<_>>(),
                    "{} {:?}",
                    at,
                    there
                );
            }
        }
    }

    #[test]
    fn between_thresholds_is_above_one_and_not_the_other(observer in observer(), start in time()) {
        let band = ThresholdBand {
            lowest: Threshold::CIVIL,
            highest: Threshold::SUNRISE,
        };
        let span = start..start + hours(48);
        let found = observer.sun_between_thresholds(band, span.clone()).unwrap();
        let path = Path::new(Body::Sun, span.clone()).unwrap();
        prop_assert_eq!(
            &path.between_thresholds(&observer, band, span).unwrap(),
            &found
        );
        for minutes in (1..48 * 60).step_by(13) {
            let at = start + SignedDuration::from_mins(minutes);
            let altitude = full(Body::Sun, &observer, at).altitude_deg;
            let inside = |slack: f64| altitude > -6.0 - slack && altitude < -50.0 / 60.0 + slack;
            if inside(1e-5) == inside(-1e-5) {
                prop_assert_eq!(
                    found.iter().any(|s| s.contains(&at)),
                    inside(0.0),
                    "{} {}",
                    at,
                    altitude
                );
            }
        }
    }
}
