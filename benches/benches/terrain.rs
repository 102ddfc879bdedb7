//! The skyline around a seat: 360 bearings over 30 km of ground with a post every second of arc,
//! as what `horizon` computes (20 lines of sight a degree, each cell by its formula) and beside a
//! plain march in steps of half a post, one line of sight a degree, which must see the same.
//!
//! No library that tells skylines was found on crates.io to stand beside.

#![allow(clippy::unwrap_used)]

use std::hint::black_box;
use std::io::Cursor;

use criterion::{Criterion, criterion_group, criterion_main};
use wrackline_gather::terrain::{Elevation, Eye, View, Wanted};

const LATITUDE_DEG: f64 = 53.5;
const LONGITUDE_DEG: f64 = 1.5;
const RANGE_M: f64 = 30_000.0;
const SIDE: usize = 3601;

/// Invented ground, rough everywhere.
fn height_m(row: usize, column: usize) -> i16 {
    let (y, x) = (row as f64 * 0.031, column as f64 * 0.018);
    let hills = 90.0 * (x * 0.5).sin() * (y * 0.4).cos() + 60.0 * (x * 1.7 + y).sin();
    let noise = ((row * 7919 + column * 104_729) % 13) as f64;
    (160.0 + hills + noise) as i16
}

fn heights() -> Vec<i16> {
    let posts = (0..SIDE).flat_map(|row| (0..SIDE).map(move |column| (row, column)));
    posts.map(|(row, column)| height_m(row, column)).collect()
}

fn elevation(heights: &[i16]) -> Elevation {
    let bytes: Vec<u8> = heights.iter().flat_map(|h| h.to_be_bytes()).collect();
    let wanted = Wanted {
        latitude_deg: LATITUDE_DEG,
        longitude_deg: LONGITUDE_DEG,
        range_m: RANGE_M,
        voids_m: None,
    };
    let mut elevation = Elevation::new(wanted).unwrap();
    let length = bytes.len() as u64;
    let name = "N53E001.hgt";
    elevation
        .add(name, name, length, Cursor::new(bytes))
        .unwrap();
    elevation
}

/// The highest slope along a bearing, by steps on a sphere: the tangent of the skyline.
fn marched(heights: &[i16], azimuth_deg: f64, eye_m: f64) -> f64 {
    const RADIUS_M: f64 = 6_380_000.0;
    let (sin, cos) = azimuth_deg.to_radians().sin_cos();
    let (sin_l, cos_l) = LATITUDE_DEG.to_radians().sin_cos();
    let mut highest = f64::NEG_INFINITY;
    let mut distance = 10.0;
    while distance < RANGE_M {
        let (s, c) = (distance / RADIUS_M).sin_cos();
        let latitude = (sin_l * c + cos_l * s * cos).asin();
        let longitude = (sin * s * cos_l).atan2(c - sin_l * latitude.sin());
        let u = (LONGITUDE_DEG - 1.0 + longitude.to_degrees()) * 3600.0;
        let v = (54.0 - latitude.to_degrees()) * 3600.0;
        let (i, j) = (u as usize, v as usize);
        let (x, y) = (u.fract(), v.fract());
        let post = |i: usize, j: usize| f64::from(heights[j * SIDE + i]);
        let height = (1.0 - y) * ((1.0 - x) * post(i, j) + x * post(i + 1, j))
            + y * ((1.0 - x) * post(i, j + 1) + x * post(i + 1, j + 1));
        let sinks = 0.87 * distance * distance / (2.0 * RADIUS_M);
        highest = highest.max((height - sinks - eye_m) / distance);
        distance += 10.0;
    }
    highest
}

fn skyline(c: &mut Criterion) {
    let heights = heights();
    let elevation = elevation(&heights);
    let view = View::new(&elevation, Eye::default()).unwrap();
    let eye_m = view.ground_m() + 1.2;
    for bearing in (0..360).step_by(15) {
        let azimuth = f64::from(bearing);
        let ours = view.ray(azimuth).obstacle.unwrap().altitude_deg;
        let plain = marched(&heights, azimuth, eye_m).atan().to_degrees();
        // Steps of 10 m lose what the ground falls in 5 m; the sphere is 10 m off at 30 km.
        assert!((ours - plain).abs() < 0.3, "{azimuth}: {ours} {plain}");
    }
    let mut group = c.benchmark_group("skyline, 30 km at 1 second of arc");
    group.sample_size(10);
    group.bench_function("ours, 360 bearings, one line of sight each", |b| {
        b.iter(|| {
            (0..360)
                .map(|a| view.ray(black_box(f64::from(a))).known_to_m)
                .sum::<f64>()
        });
    });
    group.bench_function("ours, all around, 7200 lines of sight", |b| {
        b.iter(|| black_box(view.around(|_, _| ())));
    });
    group.bench_function("a plain march, 360 bearings", |b| {
        b.iter(|| {
            let bearings = 0..360;
            let slopes = bearings.map(|a| marched(&heights, black_box(f64::from(a)), eye_m));
            slopes.sum::<f64>()
        });
    });
    group.finish();
}

criterion_group!(benches, skyline);
criterion_main!(benches);
