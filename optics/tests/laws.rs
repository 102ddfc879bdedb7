//! Laws that hold for every kit.
#![allow(
    clippy::unwrap_used,
    reason = "a test fails by panicking, in its helpers too"
)]

use proptest::prelude::*;
use wrackline_optics::{
    CircleOfConfusion, Converter, Error, FrameShare, Kit, Lens, LensSpec, Sensor, SensorSpec,
};

fn sensor() -> Sensor {
    Sensor::new(SensorSpec {
        width_mm: 36.0,
        height_mm: 24.0,
        columns: 8000,
        rows: 5333,
    })
    .unwrap()
}

prop_compose! {
    fn lens()(
        focal_length_mm in 10.0..1200.0_f64,
        f_number in 1.2..16.0_f64,
        pupil_magnification in 0.3..3.0_f64,
        separation in -0.5..0.5_f64,
    ) -> Lens {
        Lens::new(LensSpec {
            focal_length_mm,
            f_number,
            minimum_focus_m: 0.001,
            pupil_magnification,
            principal_separation_mm: separation * focal_length_mm,
        }).unwrap()
    }
}

proptest! {
    #[test]
    fn the_distance_for_a_share_gives_that_share(lens in lens(), factor in 1.0..2.5_f64, share in 0.001..2.0_f64) {
        let kit = Kit::new(lens, Some(Converter::new(factor).unwrap()), sensor());
        // A subject so long that the magnification stays below 1:1.
        let wish = FrameShare { subject_m: 0.1, share };
        let distance_m = kit.distance_for_share(wish).unwrap();
        let back = kit.focused_at_m(distance_m).unwrap().frame_share(0.1);
        // Near 1:1 the distance is stationary: an error e in D becomes √e in m.
        let tolerance = if back * 0.36 > 0.9 { 1e-7 } else { 1e-9 };
        prop_assert!((back / share - 1.0).abs() < tolerance, "{back} for {share}");
    }

    #[test]
    fn a_converter_multiplies_the_picture_and_leaves_the_pupil(
        lens in lens(), factor in 1.0..2.5_f64, four_focals in 1.0..100.0_f64,
    ) {
        let distance_m = lens.nearest_image_m() * four_focals;
        let bare = Kit::new(lens, None, sensor()).focused_at_m(distance_m).unwrap();
        let with = Kit::new(lens, Some(Converter::new(factor).unwrap()), sensor()).focused_at_m(distance_m).unwrap();
        prop_assert!((with.magnification() / bare.magnification() / factor - 1.0).abs() < 1e-12);
        prop_assert!((with.working_f_number() / bare.working_f_number() / factor - 1.0).abs() < 1e-12);
        prop_assert_eq!(with.entrance_pupil_distance_m(), bare.entrance_pupil_distance_m());
        prop_assert_eq!(with.entrance_pupil_mm(), bare.entrance_pupil_mm());
    }

    #[test]
    fn the_limits_enclose_the_subject(lens in lens(), factor in 1.01..1000.0_f64, circle_mm in 1e-4..1.0_f64) {
        let distance_m = lens.nearest_image_m() * factor;
        let focused = Kit::new(lens, None, sensor()).focused_at_m(distance_m).unwrap();
        let depth = focused.depth_of_field(CircleOfConfusion::absolute_mm(circle_mm).unwrap());
        prop_assert!(depth.near_m <= distance_m);
        prop_assert!(depth.far.distance_m().is_none_or(|far| far >= distance_m * (1.0 - 1e-12)));
    }
}

#[test]
fn nearer_than_the_minimum_and_nearer_than_four_focal_lengths_are_told_apart() {
    let kit = Kit::new(
        Lens::new(LensSpec::thin(600.0, 4.0, 4.3)).unwrap(),
        None,
        sensor(),
    );
    assert!((kit.minimum_focus_m() - 4.3).abs() < 1e-12);
    assert!(kit.focused_at_m(4.3).is_ok());
    assert!(matches!(
        kit.focused_at_m(4.2),
        Err(Error::NearerThanMinimumFocus { .. })
    ));
    assert!(matches!(
        kit.focused_at_m(2.3),
        Err(Error::CloserThanFourFocalLengths { .. })
    ));
    assert!(matches!(
        kit.distance_for_share(FrameShare {
            subject_m: 0.05,
            share: 0.9
        }),
        Err(Error::NearerThanMinimumFocus { .. })
    ));
}
