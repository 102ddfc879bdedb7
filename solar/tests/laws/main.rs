//! Laws that hold for every place and time.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot set up its case must fail"
)]

use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;
use wrackline_solar::{
    AirSpec, AltitudeBand, Atmosphere, AzimuthBand, Body, Culmination, Direction, EarthTime,
    EarthTimeSpec, Grid, Horizontal, Instant, LightBounds, Limb, Observer, Outcome, Path, Place,
    RefractionFormula, Site, Snapshot, Threshold, View, shadow_line_angle_deg, sun_lx,
};

mod day;
mod ends_of_time;
mod moonlight;
mod near_view;
mod refusals;
mod skylines;

/// How many cases of a law are tried; failures are not written down, since a test leaves no files.
fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// A time between 1900 and 2100.
fn time() -> impl Strategy<Value = Timestamp> {
    (-2_208_988_800_000_i64..4_102_444_800_000)
        .prop_map(|ms| Timestamp::from_millisecond(ms).unwrap())
}

/// A place, the poles, the equator and the date line among them.
fn site() -> impl Strategy<Value = Site> {
    let latitude = prop_oneof![
        8 => -90.0..=90.0,
        1 => prop_oneof![Just(90.0), Just(-90.0), Just(0.0), Just(89.99), Just(-66.56)],
    ];
    let longitude = prop_oneof![
        8 => -180.0..=180.0,
        1 => prop_oneof![Just(180.0), Just(-180.0), Just(0.0)],
    ];
    (latitude, longitude, -100.0..5000.0).prop_map(|(latitude_deg, longitude_deg, elevation_m)| {
        Site {
            latitude_deg,
            longitude_deg,
            elevation_m,
        }
    })
}

fn observer() -> impl Strategy<Value = Observer> {
    site().prop_map(|site| Observer::new(site).unwrap())
}

fn body() -> impl Strategy<Value = Body> {
    prop_oneof![Just(Body::Sun), Just(Body::Moon)]
}

fn hours(hours: i64) -> SignedDuration {
    SignedDuration::from_hours(hours)
}

/// Instants at even steps, from seconds to days.
fn grids() -> impl Strategy<Value = Grid> {
    let step = (1..200_000_i64).prop_map(SignedDuration::from_secs);
    (time(), step, 1..100_usize).prop_map(|(start, step, len)| Grid::new(start, step, len).unwrap())
}

/// Unit vector east, north, up.
fn vector(azimuth_deg: f64, altitude_deg: f64) -> [f64; 3] {
    let (sa, ca) = azimuth_deg.to_radians().sin_cos();
    let (sh, ch) = altitude_deg.to_radians().sin_cos();
    [ch * sa, ch * ca, sh]
}

fn apart_arcsec(a: [f64; 3], b: [f64; 3]) -> f64 {
    let square: f64 = a.iter().zip(b).map(|(a, b)| (a - b) * (a - b)).sum();
    square.sqrt().to_degrees() * 3600.0
}

fn full(body: Body, observer: &Observer, at: Timestamp) -> Place {
    let instant = Instant::from_timestamp(at);
    match body {
        Body::Sun => Snapshot::sun(instant).place(observer),
        Body::Moon => Snapshot::moon(instant).place(observer),
    }
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn the_prepared_path_is_the_full_theory(
        body in body(),
        observer in observer(),
        at in time(),
        ahead in 0..400_i64,
    ) {
        let path = Path::new(body, at..at + hours(ahead)).unwrap();
        for t in [at, at + hours(ahead / 3), at + hours(ahead)] {
            let place = path.place(&observer, t).unwrap();
            let truth = full(body, &observer, t);
            let off = apart_arcsec(
                vector(place.azimuth_deg, place.altitude_deg),
                vector(truth.azimuth_deg, truth.altitude_deg),
            );
            prop_assert!(off < 0.001, "{off}");
            prop_assert!((place.distance_au / truth.distance_au - 1.0).abs() < 1e-8);
            let light = path.horizontal(&observer, t).unwrap();
            prop_assert!((light.altitude_deg - place.altitude_deg).abs() * 3600.0 < 0.003);
        }
    }

    #[test]
    fn a_batch_is_its_single_places(
        body in body(),
        observer in observer(),
        grid in grids(),
    ) {
        let instants: Vec<_> = grid.instants().collect();
        let path = Path::new(body, grid.start()..grid.last()).unwrap();
        let mut even = vec![Horizontal::default(); grid.len()];
        let mut given = even.clone();
        path.fill_places(&observer, &grid, &mut even).unwrap();
        path.fill_places_at(&observer, &instants, &mut given).unwrap();
        for ((at, grid), given) in instants.iter().zip(&even).zip(&given) {
            let single_place = path.horizontal(&observer, *at).unwrap();
            let single = vector(single_place.azimuth_deg, single_place.altitude_deg);
            prop_assert_eq!(given, &single_place);
            // On a grid UT1 is taken to run evenly for some days: a millisecond is 0.015".
            let off = apart_arcsec(vector(grid.azimuth_deg, grid.altitude_deg), single);
            prop_assert!(off < 0.03, "grid {off}");
            prop_assert!((0.0..=360.0).contains(&grid.azimuth_deg));
        }
    }

    #[test]
    fn no_crossing_is_missed_and_none_invented(
        body in body(),
        observer in observer(),
        start in time(),
        altitude in -60.0..60.0_f64,
    ) {
        let end = start + hours(72);
        let threshold = Threshold::altitude_deg(altitude).unwrap();
        let found = match body {
            Body::Sun => observer.sun_crossings(threshold, start..end).unwrap(),
            Body::Moon => observer.moon_crossings(threshold, start..end).unwrap(),
        };
        let above = |at| full(body, &observer, at).altitude_deg >= altitude;
        // Between two samples either nothing happens, or an odd number of crossings, or a pair
        // around a turning point.
        let mut at = start;
        while at < end {
            let next = at + SignedDuration::from_mins(20);
            let between = found
                .events
                .iter()
                .filter(|e| at < e.at && e.at <= next)
                .count();
            prop_assert_eq!(
                above(at) != above(next),
                between % 2 == 1,
                "{} {:?}",
                at,
                found
            );
            at = next;
        }
        for event in &found.events {
            let there = full(body, &observer, event.at);
            prop_assert!(
                (there.altitude_deg - altitude).abs() < 2e-6,
                "{} {event:?}",
                there.altitude_deg
            );
            let before =
                full(body, &observer, event.at - SignedDuration::from_secs(1)).altitude_deg;
            let rises = there.altitude_deg > before;
            prop_assert_eq!(rises, event.direction == Direction::Rising);
        }
        prop_assert!(found.events.windows(2).all(|pair| pair[0].at < pair[1].at));
        if found.events.is_empty() {
            let lowest_or_highest = match found.outcome {
                Outcome::AlwaysAbove { margin_deg } => altitude + margin_deg,
                Outcome::AlwaysBelow { margin_deg } => altitude - margin_deg,
                other => return Err(TestCaseError::fail(format!("{other:?}"))),
            };
            // The samples come within a few minutes of the extreme, never beyond it.
            let mut at = start;
            let mut nearest = f64::INFINITY;
            while at <= end {
                let h = full(body, &observer, at).altitude_deg;
                let beyond = if above(start) {
                    lowest_or_highest - h
                } else {
                    h - lowest_or_highest
                };
                prop_assert!(beyond < 2e-6);
                nearest = nearest.min(beyond.abs());
                at += SignedDuration::from_mins(5);
            }
            prop_assert!(nearest < 0.05, "{nearest}");
        }
    }

    #[test]
    fn a_span_is_the_sum_of_its_parts(
        body in body(),
        observer in observer(),
        start in time(),
        cut_h in 1..239_i64,
        altitude in -20.0..20.0_f64,
    ) {
        let threshold = Threshold::altitude_deg(altitude).unwrap();
        let (cut, end) = (start + hours(cut_h), start + hours(240));
        let path = Path::new(body, start..end).unwrap();
        let count = |a, b| {
            path.crossings(&observer, threshold, a..b)
                .unwrap()
                .events
                .len()
        };
        prop_assert_eq!(count(start, end), count(start, cut) + count(cut, end));
        let transits = |a, b| path.transits(&observer, a..b).unwrap().len();
        prop_assert_eq!(
            transits(start, end),
            transits(start, cut) + transits(cut, end)
        );
    }

    #[test]
    fn bands_hold_inside_and_fail_outside(
        observer in observer(),
        start in time(),
        low in -30.0..30.0_f64,
        height in 0.0..20.0_f64,
        from in -360.0..360.0_f64,
        width in 0.0..359.0_f64,
    ) {
        let span = || start..start + hours(48);
        let band = AltitudeBand {
            lowest_deg: low,
            highest_deg: low + height,
        };
        let azimuths = AzimuthBand {
            from_deg: from,
            to_deg: from + width,
        };
        let altitude = observer.sun_between(band, span()).unwrap();
        let azimuth = observer.sun_azimuth_within(azimuths, span()).unwrap();
        for minutes in (3..48 * 60).step_by(17) {
            let at = start + SignedDuration::from_mins(minutes);
            let sun = observer.sun(at);
            let holds = |list: &[core::ops::Range<Timestamp>]| list.iter().any(|s| s.contains(&at));
            // Within 1e-5 degrees of a limit either answer is right.
            let inside =
                |slack: f64| (low - slack..=low + height + slack).contains(&sun.altitude_deg);
            if inside(1e-5) == inside(-1e-5) {
                prop_assert_eq!(holds(&altitude), inside(0.0), "altitude {} {:?}", at, sun);
            }
            // Near zenith and nadir an azimuth means little.
            if sun.altitude_deg.abs() < 85.0 {
                let off = (sun.azimuth_deg - from).rem_euclid(360.0);
                let near = off < 1e-4 || (off - width).abs() < 1e-4 || off > 360.0 - 1e-4;
                prop_assert!(
                    near || holds(&azimuth) == (off <= width),
                    "azimuth {} {:?}",
                    at,
                    sun
                );
            }
        }
    }

    #[test]
    fn limbs_cross_a_semi_diameter_apart(
        body in body(),
        observer in observer(),
        start in time(),
        altitude in -5.0..40.0_f64,
        upper in any::<bool>(),
    ) {
        let (limb, side) = if upper {
            (Limb::Upper, 1.0)
        } else {
            (Limb::Lower, -1.0)
        };
        let threshold = Threshold::altitude_deg(altitude).unwrap().with_limb(limb);
        let span = start..start + hours(48);
        let found = match body {
            Body::Sun => observer.sun_crossings(threshold, span).unwrap(),
            Body::Moon => observer.moon_crossings(threshold, span).unwrap(),
        };
        for event in found.events {
            let there = full(body, &observer, event.at);
            let point = there.altitude_deg + side * there.semi_diameter_deg;
            prop_assert!((point - altitude).abs() < 2e-6, "{point} {event:?}");
            prop_assert!(event.uncertainty_s >= 0.0);
        }
    }

    #[test]
    fn transits_lie_in_the_meridian(body in body(), observer in observer(), start in time()) {
        let span = start..start + hours(50);
        let transits = match body {
            Body::Sun => observer.sun_transits(span).unwrap(),
            Body::Moon => observer.moon_transits(span).unwrap(),
        };
        // Two in a solar day, or in the 24.8 hours of the moon; they alternate.
        prop_assert!((3..=5).contains(&transits.len()));
        prop_assert!(
            transits
                .windows(2)
                .all(|pair| pair[0].culmination != pair[1].culmination)
        );
        for transit in transits {
            let there = full(body, &observer, transit.at);
            let off = if transit.culmination == Culmination::Upper {
                there.hour_angle_deg.abs()
            } else {
                180.0 - there.hour_angle_deg.abs()
            };
            // As seen in the sky: near a pole of the sky an hour angle means little.
            prop_assert!(
                off * there.declination_deg.to_radians().cos() < 2e-6,
                "{off} {there:?}"
            );
            prop_assert!((there.altitude_deg - transit.altitude_deg).abs() < 2e-6);
        }
    }

    #[test]
    fn light_stretches_hold_inside_and_fail_outside(
        observer in observer(),
        start in time(),
        low in -10.0..20.0_f64,
        height in 0.0..20.0_f64,
        bearing in 0.0..360.0_f64,
        least in 0.0..180.0_f64,
        width in 0.0..180.0_f64,
    ) {
        let greatest = (least + width).min(180.0);
        let bounds = LightBounds {
            altitude: AltitudeBand {
                lowest_deg: low,
                highest_deg: low + height,
            },
            bearing_deg: bearing,
            least_side_deg: least,
            greatest_side_deg: greatest,
        };
        let found = observer
            .sun_light_within(bounds, start..start + hours(48))
            .unwrap();
        for minutes in (3..48 * 60).step_by(17) {
            let at = start + SignedDuration::from_mins(minutes);
            let sun = observer.sun(at);
            let side = shadow_line_angle_deg(View {
                light_azimuth_deg: sun.azimuth_deg,
                bearing_deg: bearing,
            })
            .unwrap();
            let inside = |slack: f64| {
                (low - slack..=low + height + slack).contains(&sun.altitude_deg)
                    && (least - slack..=greatest + slack).contains(&side)
            };
            if inside(1e-4) == inside(-1e-4) {
                prop_assert_eq!(
                    found.iter().any(|s| s.contains(&at)),
                    inside(0.0),
                    "{} {} {:?}",
                    at,
                    side,
                    sun
                );
            }
        }
    }

    #[test]
    fn given_and_observed_earth_time_agree(
        observer in observer(),
        at in
            (63_072_000_000_i64..1_767_225_600_000)
                .prop_map(|ms| Timestamp::from_millisecond(ms).unwrap()),
    ) {
        // UT1-UTC read back from the library itself.
        let instant = Instant::from_timestamp(at);
        let julian = at.as_microsecond() as f64 / 86_400e6 + 2_440_587.5;
        let ut1_minus_utc_s = (instant.julian_dates().ut1_jd - julian) * 86_400.0;
        prop_assert!(ut1_minus_utc_s.abs() < 0.9);
        let given = EarthTime::given(EarthTimeSpec {
            ut1_minus_utc_s,
            delta_t_s: instant.delta_t_s(),
        })
        .unwrap();
        let (a, b) = (observer.moon(at), observer.with_earth_time(given).moon(at));
        // Julian dates resolve 40 µs.
        prop_assert!((a.altitude_deg - b.altitude_deg).abs() < 1e-6);
    }

    #[test]
    fn refraction_is_inverted_and_never_jumps(
        pressure_hpa in 0.0..1200.0_f64,
        temperature_c in -90.0..60.0_f64,
        altitude in -90.0..90.0_f64,
        bennett in any::<bool>(),
    ) {
        let formula = if bennett {
            RefractionFormula::Bennett
        } else {
            RefractionFormula::Saemundsson
        };
        let air = Atmosphere::new(AirSpec {
            pressure_hpa,
            temperature_c,
        })
        .unwrap()
        .with_formula(formula);
        let apparent = air.apparent_altitude_deg(altitude).unwrap();
        if apparent <= 90.0 {
            prop_assert!((air.airless_altitude_deg(apparent).unwrap() - altitude).abs() < 1e-9);
        }
        let next = air
            .apparent_altitude_deg((altitude + 1e-4).min(90.0))
            .unwrap();
        prop_assert!(next > apparent || altitude > 89.9998);
        prop_assert!(next - apparent < 2e-4);
        prop_assert!(air.refraction_deg(altitude).unwrap() >= -1e-9);
    }

    #[test]
    fn the_sky_is_continuous(body in body(), observer in observer(), at in time()) {
        let (a, b) = (
            full(body, &observer, at),
            full(body, &observer, at + SignedDuration::from_millis(1)),
        );
        // 15" a second, and a little for the moon's parallax; before 1972 UTC is UT1, after that
        // leap seconds are in POSIX time too.
        let off = apart_arcsec(
            vector(a.azimuth_deg, a.altitude_deg),
            vector(b.azimuth_deg, b.altitude_deg),
        );
        prop_assert!(off < 0.016 + 1e-4, "{off}");
    }

    #[test]
    fn the_date_line_and_the_poles_are_no_edges(
        body in body(),
        at in time(),
        latitude_deg in -90.0..90.0_f64,
        longitude_deg in -180.0..180.0_f64,
    ) {
        let place = |latitude_deg, longitude_deg| {
            let observer = Observer::new(Site {
                latitude_deg,
                longitude_deg,
                elevation_m: 0.0,
            })
            .unwrap();
            full(body, &observer, at)
        };
        let (west, east) = (place(latitude_deg, -180.0), place(latitude_deg, 180.0));
        prop_assert!((west.altitude_deg - east.altitude_deg).abs() < 1e-9);
        for pole in [-90.0, 90.0] {
            let (a, b) = (place(pole, longitude_deg), place(pole, 0.0));
            prop_assert!((a.altitude_deg - b.altitude_deg).abs() < 1e-9);
            // Turning the meridian turns the azimuth.
            let turned = (a.azimuth_deg - b.azimuth_deg - longitude_deg * f64::signum(pole))
                .rem_euclid(360.0);
            prop_assert!(turned.min(360.0 - turned) < 1e-6, "{turned}");
        }
    }

    #[test]
    fn utc_returns_from_ut1(at in time()) {
        let back = EarthTime::Observed
            .timestamp(Instant::from_timestamp(at))
            .unwrap();
        let off = back.duration_since(at).as_secs_f64().abs();
        // In the second before a leap second POSIX time repeats.
        prop_assert!(off < 3e-6 || (off - 1.0).abs() < 3e-6, "{off}");
    }

    #[test]
    fn light_never_rises_as_the_sun_sinks(altitude in -30.0..90.0_f64, down in 0.0..0.5_f64) {
        prop_assert!(sun_lx(altitude - down).unwrap() <= sun_lx(altitude).unwrap());
    }

}

/// The span of a leap second: 2016-12-31 to 2017-01-01.
#[test]
fn a_leap_second_in_a_grid_is_kept() {
    let observer = Observer::new(Site {
        latitude_deg: 54.0,
        longitude_deg: 3.0,
        elevation_m: 0.0,
    })
    .unwrap();
    let start: Timestamp = "2016-12-31T12:00:07Z".parse().unwrap();
    let step = SignedDuration::from_secs(600);
    let path = Path::new(Body::Sun, start..start + step * 200).unwrap();
    let mut grid = vec![Horizontal::default(); 200];
    path.fill_places(
        &observer,
        &Grid::new(start, step, grid.len()).unwrap(),
        &mut grid,
    )
    .unwrap();
    for (i, place) in grid.iter().enumerate() {
        let single = path.horizontal(&observer, start + step * i as i32).unwrap();
        let off = apart_arcsec(
            vector(place.azimuth_deg, place.altitude_deg),
            vector(single.azimuth_deg, single.altitude_deg),
        );
        assert!(off < 0.03, "{i} {off}");
    }
}
