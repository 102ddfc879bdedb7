//! The skyline of rough ground, against a march in small steps that shares nothing with ours but
//! what ground between posts means; the same ground in degrees and projected; peaks between
//! bearings.

use proj4rs::Proj;
use proj4rs::transform::transform;
use wrackline_gather::terrain::{Eye, View};

use crate::support::{Tiff, direct, elevation, projected, radius, seat, seen};

const SEAT: [f64; 2] = [53.4, 1.2];

/// Invented ground: rolling, with a ridge and with noise from post to post.
fn ground([latitude, longitude]: [f64; 2]) -> f64 {
    let (y, x) = ((latitude - SEAT[0]) * 111.2, (longitude - SEAT[1]) * 66.5);
    let rolling = 40.0 * (x * 0.7).sin() * (y * 0.5 + 0.4).cos() + 20.0 * (x * 2.3 + y * 1.9).sin();
    let ridge = 160.0 * (-((x + 0.4 * y - 6.0) / 0.5).powi(2)).exp();
    let noise = ((latitude * 37_219.0).sin() * 43_758.5 + (longitude * 91_733.0).cos() * 12_543.7)
        .rem_euclid(1.0);
    60.0 + rolling + ridge + 6.0 * noise
}

#[test]
fn a_march_in_small_steps_sees_the_same() {
    let step = 1.0 / 3_600.0;
    let half = [640, 380];
    let first = [
        SEAT[1] - half[0] as f64 * step,
        SEAT[0] + half[1] as f64 * step,
    ];
    let size = [2 * half[0] + 1, 2 * half[1] + 1];
    let tiff = Tiff::of(size, first, step, ground);
    let range = 10_000.0;
    let elevation = elevation(seat(SEAT, range), &[("rough.tif", tiff.bytes())]).unwrap();
    let view = View::new(&elevation, Eye::default()).unwrap();
    // As the file holds them.
    let heights: Vec<f64> = tiff.heights.iter().map(|h| f64::from(*h as f32)).collect();
    let between = |[latitude, longitude]: [f64; 2]| {
        let (u, v) = ((longitude - first[0]) / step, (first[1] - latitude) / step);
        let (i, j) = (u.floor() as usize, v.floor() as usize);
        let (x, y) = (u - u.floor(), v - v.floor());
        let post = |i: usize, j: usize| heights[j * size[0] + i];
        (1.0 - y) * ((1.0 - x) * post(i, j) + x * post(i + 1, j))
            + y * ((1.0 - x) * post(i, j + 1) + x * post(i + 1, j + 1))
    };
    let eye = between(SEAT) + 1.2;
    assert!((view.ground_m() + 1.2 - eye).abs() < 1e-9);
    let mut worst: f64 = 0.0;
    for index in 0..72 {
        let azimuth = 5.0 * f64::from(index) + 0.123;
        let bends = radius(SEAT[0], azimuth, 0.13);
        let mut expected = (f64::NEG_INFINITY, 0.0);
        // Tenths of a metre at first, halves farther away.
        let near = (10..5_000).map(|tenth| (0.1, 0.1 * f64::from(tenth)));
        let far = (1_000..20_000).map(|half| (0.5, 0.5 * f64::from(half)));
        let mut step_m = 0.0;
        for (step, distance) in near.chain(far) {
            let place = direct(SEAT, azimuth, distance);
            let altitude = seen(bends, eye, between(place), distance);
            if altitude > expected.0 {
                expected = (altitude, distance);
                step_m = step;
            }
        }
        let found = view.ray(azimuth).obstacle.unwrap();
        // Steps miss a top by what the ground falls in half of one, on the steepest of this ground
        // 0.6 of it. A straight piece of ours lies up to 7 mm beside the geodesic, and across the
        // line of sight the ground is as steep.
        let degrees = |metres: f64| (metres * 0.6 / expected.1).to_degrees();
        let under = expected.0 - found.altitude_deg;
        let allowed = -degrees(0.5 * step_m + 0.007) - 1e-4..degrees(0.007) + 1e-4;
        assert!(
            allowed.contains(&under),
            "{azimuth}: {under} not {allowed:?}"
        );
        assert!((found.distance_m - expected.1).abs() < 2.0, "{azimuth}");
        worst = worst.max(under.abs());
    }
    assert!(worst > 0.0);
}

#[test]
fn projected_ground_is_seen_as_ground_in_degrees() {
    // The ridge alone: between the posts of two grids noise would differ.
    let smooth = |[latitude, longitude]: [f64; 2]| {
        let (y, x) = ((latitude - SEAT[0]) * 111.2, (longitude - SEAT[1]) * 66.5);
        30.0 + 160.0 * (-((x + 0.4 * y - 3.0) / 0.8).powi(2)).exp() + 20.0 * (x + y).sin()
    };
    let step = 1.0 / 7_200.0;
    let first = [SEAT[1] - 600.0 * step, SEAT[0] + 400.0 * step];
    let degrees = Tiff::of([1_201, 801], first, step, smooth);

    // Zone 31, whose middle meridian is 3 degrees east: north there leans by 1.4 degrees here.
    let utm = "+proj=utm +zone=31 +datum=WGS84 +units=m +no_defs";
    let metres = Proj::from_proj_string(utm).unwrap();
    let plain = Proj::from_proj_string("+proj=longlat +datum=WGS84 +no_defs").unwrap();
    let mut at = (SEAT[1].to_radians(), SEAT[0].to_radians(), 0.0);
    transform(&plain, &metres, &mut at).unwrap();
    let corner = [at.0.round() - 4_800.0, at.1.round() + 4_800.0];
    let in_metres = Tiff::of([961, 961], corner, 10.0, |[north, east]| {
        let mut at = (east, north, 0.0);
        transform(&metres, &plain, &mut at).unwrap();
        smooth([at.1.to_degrees(), at.0.to_degrees()])
    });
    let views = |keys: Option<Vec<u16>>| {
        let (name, mut tiff) = match keys {
            None => ("degrees.tif", degrees.clone()),
            Some(_) => ("metres.tif", in_metres.clone()),
        };
        tiff.keys = keys.unwrap_or(tiff.keys);
        let elevation = elevation(seat(SEAT, 4_500.0), &[(name, tiff.bytes())]).unwrap();
        let view = View::new(&elevation, Eye::default()).unwrap();
        (0..90)
            .map(|i| {
                view.ray(4.0 * f64::from(i) + 0.7)
                    .obstacle
                    .unwrap()
                    .altitude_deg
            })
            .collect()
    };
    let known: Vec<f64> = views(None);
    // By its code on WGS84, on ETRS89, and described: datum and zone.
    let described = [
        1, 1, 0, 6, //
        1024, 0, 1, 1, //
        1025, 0, 1, 2, //
        2048, 0, 1, 32_767, //
        2050, 0, 1, 6326, //
        3072, 0, 1, 32_767, //
        3074, 0, 1, 16_031,
    ];
    for keys in [
        projected(32_631).to_vec(),
        projected(25_831).to_vec(),
        described.to_vec(),
    ] {
        let found = views(Some(keys));
        for (index, (a, b)) in known.iter().zip(found).enumerate() {
            // The eye's own height differs by what the ground bends between 10 m posts.
            assert!((a - b).abs() < 0.01, "{index}: {a} {b}");
        }
    }
}

#[test]
fn nothing_between_two_bearings_is_left_out() {
    // A tower on one post, 2.3 km away, half-way between the bearings 0 and 1 degree.
    let step = 1.0 / 7_200.0;
    let place = direct(SEAT, 0.5, 2_300.0);
    let at = [
        (place[0] / step).round() * step,
        (place[1] / step).round() * step,
    ];
    let tower = |post: [f64; 2]| {
        let here = (post[0] - at[0]).abs() < 0.1 * step && (post[1] - at[1]).abs() < 0.1 * step;
        if here { 300.0 } else { 0.0 }
    };
    let first = [
        ((SEAT[1] / step).round() - 400.0) * step,
        ((SEAT[0] / step).round() + 200.0) * step,
    ];
    let tiff = Tiff::of([801, 401], first, step, tower);
    let elevation = elevation(seat(SEAT, 2_600.0), &[("tower.tif", tiff.bytes())]).unwrap();
    let view = View::new(&elevation, Eye::default()).unwrap();
    let around = view.around(|_, _| ());
    let sectors: Vec<_> = around.sectors(1).collect();
    assert_eq!(sectors.len(), 360);
    // It is 9 m wide at its foot, and a line of sight passes within 1 m of its top: at most a
    // ninth is lost of a thing that is narrower than half the sun's disc.
    let found = [0, 1].map(|bearing: usize| sectors[bearing].obstacle.unwrap());
    let top = seen(radius(SEAT[0], 0.5, 0.13), 1.2, 300.0, 2_303.0);
    let higher = found[0].altitude_deg.max(found[1].altitude_deg);
    assert!(
        higher > 8.0 / 9.0 * top && higher <= top + 0.01,
        "{higher} {top}"
    );
    assert!(
        found
            .iter()
            .all(|o| o.altitude_deg > 5.0 && (o.azimuth_deg - 0.5).abs() < 0.2)
    );
    assert!(view.ray(0.0).obstacle.unwrap().altitude_deg < 1.0);
    assert!(sectors[3].obstacle.unwrap().altitude_deg < 1.0);
}
