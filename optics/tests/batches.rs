//! A batch gives to the bit what the single function gives, or refuses and fills nothing.

#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use wrackline_optics::{
    Chain, CircleOfConfusion, Converter, Error, ExtensionTube, FarLimit, Kit, Lens, LensSpec,
    Sensor, SensorSpec,
};

fn kit(focal_length_mm: f64, factor: f64, tube_mm: f64) -> Kit {
    let lens = Lens::new(LensSpec {
        focal_length_mm,
        f_number: 4.0,
        minimum_focus_m: focal_length_mm * 0.008,
        ..LensSpec::THIN
    });
    let sensor = Sensor::new(SensorSpec {
        width_mm: 36.0,
        height_mm: 24.0,
        columns: 8000,
        rows: 5333,
    });
    let converter = (factor > 1.0).then(|| Converter::new(factor).unwrap());
    let kit = Kit::new(lens.unwrap(), converter, sensor.unwrap());
    if tube_mm > 0.0 {
        kit.with_tube(ExtensionTube::new(tube_mm).unwrap())
    } else {
        kit
    }
}

proptest! {
    #[test]
    fn many_distances_are_each_distance(
        focal_mm in 20.0..1200.0_f64,
        factor in prop_oneof![Just(1.0), 1.2..2.0_f64],
        tube_mm in prop_oneof![Just(0.0), 8.0..40.0_f64],
        shares_of_reach in proptest::collection::vec(0.0..=1.0_f64, 0..40),
        subject_m in 0.01..5.0_f64,
        circle_mm in 0.005..0.05_f64,
    ) {
        let kit = kit(focal_mm, factor, tube_mm);
        let nearest = kit.minimum_focus_m();
        let farthest = kit.farthest_focus().distance_m().unwrap_or(1e4);
        let distances: Vec<f64> = shares_of_reach
            .iter()
            .map(|share| nearest + share * (farthest - nearest))
            .collect();
        let circle = CircleOfConfusion::absolute_mm(circle_mm).unwrap();
        let mut shares = vec![0.0; distances.len()];
        let (mut pixels, mut near) = (shares.clone(), shares.clone());
        let mut far = vec![FarLimit::Infinity; distances.len()];
        kit.fill_frame_shares(subject_m, &distances, &mut shares).unwrap();
        kit.fill_pixels_along(subject_m, &distances, &mut pixels).unwrap();
        kit.fill_sharp_zones(circle, &distances, &mut near, &mut far).unwrap();
        for (index, distance) in distances.iter().enumerate() {
            let focused = kit.focused_at_m(*distance).unwrap();
            let zone = focused.depth_of_field(circle);
            prop_assert_eq!(shares[index], focused.frame_share(subject_m).unwrap());
            prop_assert_eq!(pixels[index], focused.pixels_along(subject_m).unwrap());
            prop_assert_eq!((near[index], far[index]), (zone.near_m, zone.far));
        }
    }

    #[test]
    fn many_frequencies_are_each_frequency(
        frequencies in proptest::collection::vec(0.0..400.0_f64, 0..40),
        distance_m in 5.0..500.0_f64,
    ) {
        let kit = kit(600.0, 1.4, 0.0);
        let focused = kit.focused_at_m(distance_m).unwrap();
        let chain = Chain::of(&kit, &focused, wrackline_optics::GREEN_UM).unwrap();
        let mut contrasts = vec![0.0; frequencies.len()];
        chain.fill_contrasts(&frequencies, &mut contrasts).unwrap();
        for (contrast, frequency) in contrasts.iter().zip(&frequencies) {
            prop_assert_eq!(*contrast, chain.transfers(*frequency).unwrap().product());
        }
    }
}

#[test]
fn what_is_refused_fills_nothing() {
    let kit = kit(600.0, 1.0, 0.0);
    let near = kit.minimum_focus_m() / 2.0;
    let mut shares = [7.0; 2];
    for (distances, subject_m) in [
        ([50.0, near], 0.24),
        ([50.0, f64::NAN], 0.24),
        ([50.0, f64::INFINITY], 0.24),
        ([50.0, -1.0], 0.24),
        ([50.0, 60.0], f64::NAN),
        ([50.0, 60.0], 0.0),
    ] {
        let refused = kit.fill_frame_shares(subject_m, &distances, &mut shares);
        assert!(refused.is_err(), "{distances:?} {subject_m}");
        let refused = kit.fill_pixels_along(subject_m, &distances, &mut shares);
        assert!(refused.is_err(), "{distances:?} {subject_m}");
        assert_eq!(shares, [7.0; 2]);
    }
    let refused = kit.fill_frame_shares(0.24, &[50.0, near], &mut shares);
    assert_eq!(refused, kit.focused_at_m(near).map(|_| ()));
    let lengths = Err(Error::Lengths { given: 1, room: 2 });
    assert_eq!(kit.fill_frame_shares(0.24, &[50.0], &mut shares), lengths);
    assert_eq!(kit.fill_pixels_along(0.24, &[50.0], &mut shares), lengths);
    let circle = CircleOfConfusion::absolute_mm(0.03).unwrap();
    let mut far = [FarLimit::Infinity; 2];
    let zones = kit.fill_sharp_zones(circle, &[50.0], &mut shares[..1], &mut far);
    assert_eq!(zones, lengths);
    let zones = kit.fill_sharp_zones(circle, &[near, 50.0], &mut shares, &mut far);
    assert!(zones.is_err() && shares == [7.0; 2]);
    let focused = kit.focused_at_m(50.0).unwrap();
    let chain = Chain::of(&kit, &focused, wrackline_optics::GREEN_UM).unwrap();
    assert_eq!(chain.fill_contrasts(&[10.0], &mut shares), lengths);
    assert!(
        chain
            .fill_contrasts(&[10.0, f64::NAN], &mut shares)
            .is_err()
    );
    assert_eq!(shares, [7.0; 2]);
}
