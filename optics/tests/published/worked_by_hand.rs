//! Formulas of handbooks, worked by hand.
//!
//! Source of the formulas: S. F. Ray, *Applied Photographic Optics*, 3rd ed. (2002); P. van Walree,
//! *Derivation of the DOF equations*. Tolerance: half the last digit written down.

use wrackline_optics::{
    CircleOfConfusion, Converter, FarLimit, Kit, Lens, LensSpec, Sensor, SensorSpec,
};

fn full_frame() -> Sensor {
    Sensor::new(SensorSpec {
        width_mm: 36.0,
        height_mm: 24.0,
        columns: 8000,
        rows: 5333,
    })
    .unwrap()
}

/// 100 mm at 401 mm: X = 4.01, so m + 1/m = 2.01; with s = √(4.01 · 0.01) = 0.200250 m = 2/(2.01 +
/// 0.200250) = 0.904875.
#[test]
fn magnification_just_beyond_four_focal_lengths() {
    let kit = Kit::new(
        Lens::new(LensSpec {
            focal_length_mm: 100.0,
            f_number: 8.0,
            minimum_focus_m: 0.4,
            ..LensSpec::THIN
        })
        .unwrap(),
        None,
        full_frame(),
    );
    let focused = kit.focused_at_m(0.401).unwrap();
    assert!((focused.magnification() - 0.904875).abs() < 5e-7);
}

/// 100 mm at 1:1 across 36 mm: the pupil sees the frame as if from 200 mm: 2 atan(18/200) = 2 ·
/// 5.14276° = 10.2855°.
#[test]
fn angle_of_view_at_life_size() {
    let kit = Kit::new(
        Lens::new(LensSpec {
            focal_length_mm: 100.0,
            f_number: 8.0,
            minimum_focus_m: 0.4,
            ..LensSpec::THIN
        })
        .unwrap(),
        None,
        full_frame(),
    );
    let focused = kit.focused_at_m(0.4).unwrap();
    assert!((focused.angle_of_view().across_deg - 10.2855).abs() < 5e-5);
    assert!((focused.field().across_m - 0.036).abs() < 1e-12);
}

/// 50 mm f/8, c = 0.03 mm, m = 0.0048: k = 8 · 0.03 / (0.0048 · 50) = 1: the far limit has just
/// reached infinity.
#[test]
fn the_far_limit_reaches_infinity_at_the_hyperfocal_distance() {
    let kit = Kit::new(
        Lens::new(LensSpec {
            focal_length_mm: 50.0,
            f_number: 8.0,
            minimum_focus_m: 0.4,
            ..LensSpec::THIN
        })
        .unwrap(),
        None,
        full_frame(),
    );
    let circle = CircleOfConfusion::absolute_mm(0.03).unwrap();
    let depth = kit
        .focused_at_magnification(0.004_799)
        .unwrap()
        .depth_of_field(circle);
    assert_eq!(depth.far, FarLimit::Infinity);
    // Just nearer than the hyperfocal distance there is a limit again.
    let depth = kit
        .focused_at_magnification(0.004_801)
        .unwrap()
        .depth_of_field(circle);
    assert!(depth.far.distance_m().is_some_and(|far| far > 10_000.0));
}

/// 600/4 with a 1.4x at m_b = 0.15: N_w = 1.4 · 4 · 1.15 = 6.44, where one lens of 840 mm f/5.6 at
/// m = 0.21 would give 6.78.
#[test]
fn the_working_f_number_of_a_converter_is_not_that_of_one_long_lens() {
    let lens = Lens::new(LensSpec {
        focal_length_mm: 600.0,
        f_number: 4.0,
        minimum_focus_m: 2.5,
        ..LensSpec::THIN
    })
    .unwrap();
    let kit = Kit::new(lens, Some(Converter::new(1.4).unwrap()), full_frame());
    let focused = kit.focused_at_magnification(1.4 * 0.15).unwrap();
    assert!((focused.working_f_number() - 6.44).abs() < 1e-9);
}
