//! Laws that hold for every kit.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking, in its helpers too"
)]

use proptest::prelude::*;
use wrackline_optics::{
    Air, AirSpec, Chain, CircleOfConfusion, ClosePair, Converter, Elsewhere, Error, ExtensionTube,
    FarLimit, Focus, FrameShare, GREEN_UM, HeatedGround, Kit, Lens, LensSpec, Measure,
    MeasureShare, Sensor, SensorSpec, Subject, SubjectSpec,
    detail::{LensQuality, Mosaic, Wavefront},
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

fn converter(factor: f64) -> Option<Converter> {
    Some(Converter::new(factor).unwrap())
}

prop_compose! {
    /// A thick lens that focuses as near as its optics allow.
    fn lens()(
        focal_length_mm in 10.0..1200.0_f64,
        f_number in 1.2..16.0_f64,
        pupil_magnification in 0.3..3.0_f64,
        separation in -0.5..0.5_f64,
    ) -> Lens {
        Lens::new(
            LensSpec {
                focal_length_mm,
                f_number,
                minimum_focus_m: 0.0,
                pupil_magnification,
                principal_separation_mm: separation * focal_length_mm,
            }
            .to_life_size(),
        )
        .unwrap()
    }
}

prop_compose! {
    /// A lens that shortens its focal length to reach a magnification from nearer than it could
    /// otherwise.
    fn breathing_lens()(
        lens in lens(),
        magnification in 0.05..0.9_f64,
        shortened in 0.5..0.99_f64,
    ) -> Lens {
        let focal = lens.focal_length_mm() * shortened;
        let distance_mm = focal * (2.0 + magnification + 1.0 / magnification)
            + lens.spec().principal_separation_mm;
        lens.breathing(ClosePair {
            distance_m: distance_mm / 1000.0,
            magnification,
        })
        .unwrap()
    }
}

prop_compose! {
    fn kit()(
        lens in prop_oneof![lens(), breathing_lens()],
        factor in prop_oneof![Just(None), (1.0..2.5_f64).prop_map(Some)],
        tube_share in prop_oneof![Just(None), (0.001..0.1_f64).prop_map(Some)],
    ) -> Kit {
        let kit = Kit::new(lens, factor.and_then(converter), sensor());
        match tube_share {
            Some(share) => {
                kit.with_tube(ExtensionTube::new(share * lens.focal_length_mm()).unwrap())
            }
            None => kit,
        }
    }
}

/// A magnification within a kit's reach and below 1:1 of the bare lens, where distance and
/// magnification are one to one.
fn within(kit: &Kit, part: f64) -> f64 {
    let factor = kit.converter().map_or(1.0, Converter::factor);
    let least = kit.smallest_magnification().max(1e-4);
    let most = kit.largest_magnification().min(0.9 * factor);
    least * (most / least).powf(part)
}

fn close(one: f64, other: f64, tolerance: f64) -> bool {
    (one / other - 1.0).abs() <= tolerance
}

proptest! {
    #[test]
    fn every_way_of_focusing_leads_to_the_same_state(kit in kit(), part in 0.0..1.0_f64) {
        let there = kit.focused_at_magnification(within(&kit, part)).unwrap();
        let focuses = [
            Focus::SensorDistance {
                distance_m: there.sensor_distance_m(),
            },
            Focus::PupilDistance {
                distance_m: there.entrance_pupil_distance_m(),
            },
            Focus::Magnification {
                magnification: there.magnification(),
            },
        ];
        for focus in focuses {
            let back = kit.focused(focus).unwrap();
            prop_assert!(
                close(back.magnification(), there.magnification(), 1e-9),
                "{focus:?}: {back:?} for {there:?}"
            );
            prop_assert!(close(
                back.entrance_pupil_distance_m(),
                there.entrance_pupil_distance_m(),
                1e-9
            ));
        }
    }

    #[test]
    fn the_distance_for_a_share_gives_that_share(
        kit in kit(),
        part in 0.0..1.0_f64,
        subject_m in 0.01..2.0_f64,
    ) {
        let share = kit
            .focused_at_magnification(within(&kit, part))
            .unwrap()
            .frame_share(subject_m)
            .unwrap();
        let distance_m = kit
            .distance_for_share(FrameShare { subject_m, share })
            .unwrap();
        let back = kit
            .focused_at_m(distance_m)
            .unwrap()
            .frame_share(subject_m)
            .unwrap();
        prop_assert!(close(back, share, 1e-9), "{back} for {share}");
    }

    #[test]
    fn every_measure_inverts_for_distance_and_focal_length(kit in kit(), part in 0.0..1.0_f64) {
        let subject = Subject::new(SubjectSpec {
            length_m: 0.55,
            height_m: 0.4,
            span_m: 1.2,
        })
        .unwrap();
        let there = kit.focused_at_magnification(within(&kit, part)).unwrap();
        for measure in [
            Measure::Length,
            Measure::Height,
            Measure::Area,
            Measure::Span,
        ] {
            let wish = MeasureShare {
                subject,
                measure,
                share: there.share_of(&subject, measure),
            };
            let distance_m = kit.distance_for_measure(wish).unwrap();
            prop_assert!(close(
                kit.focused_at_m(distance_m)
                    .unwrap()
                    .share_of(&subject, measure),
                wish.share,
                1e-9
            ));
            let focal_length_mm = kit.focal_length_for_measure(wish, distance_m).unwrap();
            // A lens of that focal length, moved as a whole, shows the wish from there.
            let spec = LensSpec {
                focal_length_mm,
                ..kit.lens().spec()
            }
            .to_life_size();
            if spec.principal_separation_mm.abs() < 2.0 * focal_length_mm {
                let rigid = Kit::new(Lens::new(spec).unwrap(), kit.converter().copied(), sensor());
                prop_assert!(close(
                    rigid
                        .focused_at_m(distance_m)
                        .unwrap()
                        .share_of(&subject, measure),
                    wish.share,
                    1e-9
                ));
            }
        }
    }

    #[test]
    fn farther_is_smaller_and_takes_in_more(kit in kit(), part in 0.0..0.9_f64) {
        let far = kit.focused_at_magnification(within(&kit, part)).unwrap();
        let near = kit
            .focused_at_magnification(within(&kit, part + 0.1))
            .unwrap();
        prop_assert!(far.sensor_distance_m() > near.sensor_distance_m());
        prop_assert!(far.entrance_pupil_distance_m() > near.entrance_pupil_distance_m());
        prop_assert!(far.field().across_m > near.field().across_m);
    }

    #[test]
    fn a_longer_lens_never_widens_the_field(
        lens in lens(),
        longer in 1.001..2.0_f64,
        four_focals in 1.0..500.0_f64,
    ) {
        let spec = lens.spec();
        let long = LensSpec {
            focal_length_mm: spec.focal_length_mm * longer,
            ..spec
        }
        .to_life_size();
        let long = Lens::new(long).unwrap();
        let distance_m = long.nearest_image_m().max(lens.nearest_image_m()) * (1.0 + four_focals);
        let (short_kit, long_kit) = (
            Kit::new(lens, None, sensor()),
            Kit::new(long, None, sensor()),
        );
        let field = |kit: &Kit| kit.focused_at_m(distance_m).unwrap().field().across_m;
        prop_assert!(field(&long_kit) < field(&short_kit));
        let angle = |kit: &Kit| kit.at_infinity().unwrap().angle_of_view().across_deg;
        prop_assert!(angle(&long_kit) < angle(&short_kit));
    }

    #[test]
    fn a_converter_multiplies_the_picture_and_leaves_the_pupil(
        lens in prop_oneof![lens(), breathing_lens()],
        factor in 1.0..2.5_f64,
        part in 0.0..1.0_f64,
    ) {
        let bare_kit = Kit::new(lens, None, sensor());
        let with_kit = Kit::new(lens, converter(factor), sensor());
        let m = within(&bare_kit, part);
        let bare = bare_kit.focused_at_magnification(m).unwrap();
        let with = with_kit.focused_at_magnification(factor * m).unwrap();
        prop_assert!(close(
            with.working_f_number(),
            factor * bare.working_f_number(),
            1e-12
        ));
        prop_assert!(close(
            with.entrance_pupil_distance_m(),
            bare.entrance_pupil_distance_m(),
            1e-12
        ));
        prop_assert!(close(
            with.light_of_subject_sr(),
            bare.light_of_subject_sr(),
            1e-12
        ));
        prop_assert_eq!(with.entrance_pupil_mm(), bare.entrance_pupil_mm());
        // A point of the background covers as much of the subject as before.
        let background = |focused: &wrackline_optics::Focused| {
            focused
                .blur_of(Elsewhere::Behind { metres: 7.0 })
                .unwrap()
                .at_subject_m
        };
        prop_assert!(close(background(&with), background(&bare), 1e-12));
    }

    #[test]
    fn a_converter_changes_neither_diffraction_nor_the_lens_at_the_subject_and_dilutes_the_pixels(
        lens in lens(),
        factor in 1.05..2.5_f64,
        part in 0.0..1.0_f64,
        waves in 0.0..0.18_f64,
        share in 0.01..0.9_f64,
    ) {
        let bare_kit = Kit::new(lens, None, sensor());
        let with_kit = Kit::new(lens, converter(factor), sensor());
        let m = within(&bare_kit, part);
        let quality = || LensQuality::Wavefront(Wavefront::new(waves).unwrap());
        let chain = |kit: &Kit, m: f64| {
            let focused = kit.focused_at_magnification(m).unwrap();
            let chain = Chain::of(kit, &focused, GREEN_UM).unwrap();
            (
                chain
                    .with_lens(quality())
                    .with_mosaic(Mosaic::GreenChequerboard),
                focused,
            )
        };
        let ((bare, at_bare), (with, at_with)) =
            (chain(&bare_kit, m), chain(&with_kit, factor * m));
        prop_assert!(close(
            bare.cutoff_lp_per_mm() * at_bare.magnification(),
            with.cutoff_lp_per_mm() * at_with.magnification(),
            1e-12
        ));
        // One pattern on the subject, within what the bare lens's pixels carry.
        let at_subject =
            share * at_bare.magnification() * bare.cutoff_lp_per_mm().min(bare.nyquist_lp_per_mm());
        let bare = bare
            .transfers(at_subject / at_bare.magnification())
            .unwrap();
        let with = with
            .transfers(at_subject / at_with.magnification())
            .unwrap();
        prop_assert!((bare.diffraction - with.diffraction).abs() < 1e-9);
        prop_assert!((bare.lens - with.lens).abs() < 1e-9);
        prop_assert!(with.pixel > bare.pixel && with.mosaic > bare.mosaic);
    }

    #[test]
    fn the_limits_of_depth_enclose_the_subject_and_widen_with_the_circle(
        kit in kit(),
        part in 0.0..1.0_f64,
        circle_mm in 1e-4..1.0_f64,
        wider in 1.001..3.0_f64,
    ) {
        let focused = kit.focused_at_magnification(within(&kit, part)).unwrap();
        let depth = |mm: f64| focused.depth_of_field(CircleOfConfusion::absolute_mm(mm).unwrap());
        let (narrow, wide) = (depth(circle_mm), depth(circle_mm * wider));
        let distance_m = focused.sensor_distance_m();
        prop_assert!(narrow.near_m < distance_m && wide.near_m < narrow.near_m);
        match (narrow.far, wide.far) {
            (FarLimit::At { distance_m: narrow }, FarLimit::At { distance_m: wide }) => {
                prop_assert!(narrow > distance_m && wide > narrow);
            }
            (FarLimit::Infinity, FarLimit::At { .. }) => {
                prop_assert!(false, "a wider circle brought the limit back")
            }
            (_, FarLimit::Infinity) => {}
        }
    }

    #[test]
    fn points_at_the_limits_are_drawn_as_the_circle(
        kit in kit(),
        part in 0.0..1.0_f64,
        circle_mm in 1e-4..0.1_f64,
    ) {
        let focused = kit.focused_at_magnification(within(&kit, part)).unwrap();
        let depth = focused.depth_of_field(CircleOfConfusion::absolute_mm(circle_mm).unwrap());
        let disc = |distance_m: f64| {
            focused
                .blur_of(Elsewhere::FromPupil { distance_m })
                .unwrap()
                .disc_mm
        };
        // The difference of two near distances carries their rounding.
        let rounding = 1e-12 / (depth.in_front_m / depth.near_from_pupil_m);
        prop_assert!(close(
            disc(depth.near_from_pupil_m),
            circle_mm,
            1e-9 + rounding
        ));
        if let FarLimit::At { distance_m } = depth.far_from_pupil {
            prop_assert!(close(disc(distance_m), circle_mm, 1e-9 + 10.0 * rounding));
        }
    }

    #[test]
    fn focus_far_away_becomes_focus_at_infinity(lens in lens(), factor in 1.0..2.5_f64) {
        let kit = Kit::new(lens, converter(factor), sensor());
        let (far, infinity) = (kit.focused_at_m(1e8).unwrap(), kit.at_infinity().unwrap());
        prop_assert!(close(
            far.angle_of_view().across_deg,
            infinity.angle_of_view().across_deg,
            1e-6
        ));
        prop_assert!(close(
            far.working_f_number(),
            infinity.working_f_number(),
            1e-6
        ));
        prop_assert!(close(
            far.working_f_number(),
            kit.effective_f_number(),
            1e-6
        ));
        let circle = CircleOfConfusion::absolute_mm(0.03).unwrap();
        prop_assert!(close(
            far.depth_of_field(circle).near_from_pupil_m,
            infinity.near_limit_from_pupil_m(circle),
            1e-2
        ));
    }

    #[test]
    fn at_life_size_the_field_is_the_sensor(lens in lens()) {
        let kit = Kit::new(lens, None, sensor());
        let focused = kit.focused_at_m(lens.nearest_image_m()).unwrap();
        // Where D is stationary, its rounding to the last bit becomes a square root.
        prop_assert!(close(focused.magnification(), 1.0, 1e-7));
        prop_assert!(close(focused.field().across_m, 0.036, 1e-7));
        let nearer = kit.focused_at_m(lens.nearest_image_m() * 0.999_999);
        let refused = matches!(nearer, Err(Error::CloserThanFourFocalLengths { .. }));
        prop_assert!(refused);
    }

    #[test]
    fn the_minimum_focus_is_the_nearest_that_focuses(kit in kit()) {
        let nearest_m = kit.minimum_focus_m();
        prop_assert!(
            kit.focused_at_m(nearest_m).is_ok(),
            "{:?}",
            kit.focused_at_m(nearest_m)
        );
        let nearer = kit.focused_at_m(nearest_m * 0.999);
        let refused = matches!(
            nearer,
            Err(Error::NearerThanMinimumFocus { .. } | Error::CloserThanFourFocalLengths { .. })
        );
        prop_assert!(refused, "{nearer:?}");
        if let FarLimit::At { distance_m } = kit.farthest_focus() {
            prop_assert!(kit.focused_at_m(distance_m).is_ok());
            let farther = kit.focused_at_m(distance_m * 1.001);
            let expected = matches!(farther, Err(Error::FartherThanTubeAllows { .. }));
            prop_assert!(expected, "{farther:?}");
        } else {
            prop_assert!(kit.focused_at_m(nearest_m * 1e4).is_ok());
        }
    }

    #[test]
    fn accessories_bring_the_subject_nearer(
        lens in breathing_lens(),
        tube_share in 0.001..0.1_f64,
    ) {
        let plain = Kit::new(lens, None, sensor());
        let tube = ExtensionTube::new(tube_share * lens.focal_length_mm()).unwrap();
        prop_assert!(plain.with_tube(tube).largest_magnification() > plain.largest_magnification());
        let doubled = Kit::new(lens, converter(2.0), sensor());
        prop_assert!(close(
            doubled.largest_magnification(),
            2.0 * plain.largest_magnification(),
            1e-12
        ));
        prop_assert!(close(
            doubled.minimum_focus_m(),
            plain.minimum_focus_m(),
            1e-12
        ));
    }

    #[test]
    fn less_contrast_is_left_of_finer_patterns(
        lens in lens(),
        four_focals in 1.5..200.0_f64,
        waves in 0.0..0.12_f64,
        cn2 in -16.0..-11.0_f64,
        motion_px in 0.0..5.0_f64,
        high in 0.3..0.9_f64,
        low in 0.02..0.29_f64,
    ) {
        let kit = Kit::new(lens, None, sensor());
        let focused = kit
            .focused_at_m(lens.nearest_image_m() * four_focals)
            .unwrap();
        let seeing = Air::even(10_f64.powf(cn2))
            .unwrap()
            .over(focused.entrance_pupil_distance_m(), GREEN_UM)
            .unwrap();
        let chain = Chain::of(&kit, &focused, GREEN_UM)
            .unwrap()
            .with_lens(LensQuality::Wavefront(Wavefront::new(waves).unwrap()))
            .with_mosaic(Mosaic::GreenChequerboard)
            .with_motion_px(motion_px)
            .unwrap()
            .with_air(&focused, &seeing);
        let at = |contrast: f64| chain.frequency_at_contrast(contrast).unwrap();
        prop_assert!(at(low) > at(high));
        for contrast in [low, high] {
            prop_assert!(
                (chain.transfers(at(contrast)).unwrap().product() - contrast).abs() < 1e-9
            );
            // Nothing below it is worse: it is the first crossing.
            for step in 1..40 {
                prop_assert!(
                    chain
                        .transfers(at(contrast) * f64::from(step) / 40.0)
                        .unwrap()
                        .product()
                        >= contrast - 1e-9
                );
            }
            let resolved = chain.resolved(&focused, contrast).unwrap();
            prop_assert!(resolved.on_sensor_lp_per_mm <= chain.nyquist_lp_per_mm() * (1.0 + 1e-12));
        }
    }

    #[test]
    fn air_takes_more_over_a_longer_path_and_nearer_to_warm_ground(
        cn2 in -16.0..-11.0_f64,
        path_m in 1.0..2000.0_f64,
        height_m in 0.05..10.0_f64,
        more in 1.01..5.0_f64,
    ) {
        let cn2 = 10_f64.powf(cn2);
        let even = Air::even(cn2).unwrap();
        let r0 = |air: &Air, path_m: f64| air.over(path_m, GREEN_UM).unwrap().r0_mm();
        prop_assert!(r0(&even, path_m * more) < r0(&even, path_m));
        let ground = |lens_height_m: f64, subject_height_m: f64| {
            Air::new(AirSpec::HeatedGround(HeatedGround {
                cn2_at_1_m: cn2,
                lens_height_m,
                subject_height_m,
            }))
            .unwrap()
        };
        let low = ground(height_m, height_m);
        prop_assert!(r0(&ground(height_m * more, height_m), path_m) > r0(&low, path_m));
        prop_assert!(r0(&ground(height_m, height_m * more), path_m) > r0(&low, path_m));
        // Raising the lens helps more than raising the subject.
        prop_assert!(
            r0(&ground(height_m * more, height_m), path_m)
                > r0(&ground(height_m, height_m * more), path_m)
        );
        // A plane wave is hit by all of the path: r0 is shorter by (3/8)^(3/5) over an even path.
        let plane = even.over_from_afar(path_m, GREEN_UM).unwrap().r0_mm();
        prop_assert!(close(plane / r0(&even, path_m), 0.375_f64.powf(0.6), 1e-12));
    }
}

#[test]
fn nearer_than_the_minimum_and_nearer_than_four_focal_lengths_are_told_apart() {
    let kit = Kit::new(
        Lens::new(LensSpec {
            focal_length_mm: 600.0,
            f_number: 4.0,
            minimum_focus_m: 4.3,
            ..LensSpec::THIN
        })
        .unwrap(),
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
