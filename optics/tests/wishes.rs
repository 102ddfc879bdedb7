//! The ways back: what is wished for comes true when the answer is put in, and what cannot come
//! true is refused.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking, in its helpers too"
)]

use core::fmt::{Debug, Display};
use core::str::FromStr;

use proptest::prelude::*;
use wrackline_optics::{
    Aspect, CircleOfConfusion, ClosePair, Converter, ConverterSpec, DepthWish, Error,
    ExtensionTube, FarLimit, Focused, FrameSide, Kit, Lens, LensSpec, Measure, MeasureShare,
    NegativeGroup, Sensor, SensorSpec, Shake, SharpBetween, Sky, Subject, SubjectSpec, Zoom,
    ZoomEnds, ZoomWish,
    detail::Mosaic,
    exposure::PHOTONS_PER_LX_S_UM2,
    ray::{Cardinals, Telephoto, TwoGroups},
    reach::{AirGrade, OpticsGrade},
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
    /// A thick lens, breathing or not, with or without converter and tube.
    fn kit()(
        focal_length_mm in 15.0..800.0_f64,
        f_number in 1.4..16.0_f64,
        pupil_magnification in 0.3..3.0_f64,
        separation in -0.4..0.4_f64,
        shortened in prop_oneof![Just(None), (0.5..0.99_f64).prop_map(Some)],
        magnification in 0.05..0.9_f64,
        factor in prop_oneof![Just(None), (1.1..2.2_f64).prop_map(Some)],
        tube_share in prop_oneof![Just(None), (0.005..1.2_f64).prop_map(Some)],
    ) -> Kit {
        let spec = LensSpec {
            focal_length_mm,
            f_number,
            minimum_focus_m: 0.0,
            pupil_magnification,
            principal_separation_mm: separation * focal_length_mm,
        };
        let lens = Lens::new(spec.to_life_size()).unwrap();
        let lens = match shortened {
            Some(shortened) => {
                let distance_mm =
                    focal_length_mm * shortened * (2.0 + magnification + 1.0 / magnification)
                        + spec.principal_separation_mm;
                lens.breathing(ClosePair {
                    distance_m: distance_mm / 1000.0,
                    magnification,
                })
                .unwrap()
            }
            None => lens.reaching(magnification).unwrap(),
        };
        let converter = factor.map(|factor| {
            Converter::from_spec(ConverterSpec {
                factor,
                transmittance: 0.95,
                image_shift_mm: 12.0,
            })
            .unwrap()
        });
        let kit = Kit::new(lens, converter, sensor());
        match tube_share {
            Some(share) => kit.with_tube(ExtensionTube::new(share * focal_length_mm).unwrap()),
            None => kit,
        }
    }
}

/// The kit at a share of the way from its smallest (or a ten thousandth) to its largest
/// magnification.
fn somewhere(kit: &Kit, part: f64) -> Focused {
    let least = kit.smallest_magnification().max(1e-4);
    let most = kit.largest_magnification();
    kit.focused_at_magnification(least * (most / least).powf(part))
        .unwrap()
}

fn close(one: f64, other: f64, tolerance: f64) -> bool {
    (one / other - 1.0).abs() <= tolerance
}

fn circle(diameter_mm: f64) -> CircleOfConfusion {
    CircleOfConfusion::absolute_mm(diameter_mm).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn the_f_number_for_a_depth_gives_that_depth(
        kit in kit(),
        part in 0.0..1.0_f64,
        share in 1e-4..3.0_f64,
    ) {
        let at = kit
            .focused_at_m(somewhere(&kit, part).sensor_distance_m())
            .unwrap();
        let wish = DepthWish {
            depth_m: share * at.entrance_pupil_distance_m(),
            circle: circle(0.03),
        };
        let f_number = kit
            .f_number_for_depth(at.sensor_distance_m(), wish)
            .unwrap();
        let stopped = kit
            .stopped_to(f_number)
            .unwrap()
            .focused_at_m(at.sensor_distance_m())
            .unwrap();
        let depth = stopped
            .depth_of_field(wish.circle)
            .total
            .distance_m()
            .unwrap();
        prop_assert!(close(depth, wish.depth_m, 1e-9), "{depth} for {wish:?}");
    }

    #[test]
    fn the_focus_for_a_depth_gives_that_depth(
        kit in kit(),
        part in 0.001..1.0_f64,
        diameter_mm in 0.001..0.1_f64,
    ) {
        let circle = circle(diameter_mm);
        let there = somewhere(&kit, part).depth_of_field(circle).total;
        if let FarLimit::At {
            distance_m: depth_m,
        } = there
        {
            let focused = kit
                .focused_for_depth(DepthWish { depth_m, circle })
                .unwrap();
            let depth = focused.depth_of_field(circle).total.distance_m().unwrap();
            prop_assert!(close(depth, depth_m, 1e-9), "{depth} for {depth_m}");
        }
        // Shallower than at the nearest focus it never is.
        let near = kit
            .focused_at_magnification(kit.largest_magnification())
            .unwrap();
        if let FarLimit::At { distance_m } = near.depth_of_field(circle).total {
            let refused = kit.focused_for_depth(DepthWish {
                depth_m: 0.9 * distance_m,
                circle,
            });
            prop_assert!(
                matches!(refused, Err(Error::DepthOutOfReach { .. })),
                "{refused:?}"
            );
        }
    }

    #[test]
    fn between_two_limits_everything_is_sharp(
        kit in kit(),
        part in 0.001..1.0_f64,
        k in 0.001..1.2_f64,
    ) {
        // A zone that the kit has: that of some focus and pupil.
        let at = somewhere(&kit, part);
        let at = kit.focused_at_m(at.sensor_distance_m()).unwrap();
        let own = circle(k * at.magnification() * at.entrance_pupil_mm());
        let zone = at.depth_of_field(own);
        // A zone that reaches to infinity is asked for by its near limit alone.
        let wish = SharpBetween {
            near_m: zone.near_m,
            far: zone.far,
            circle: circle(0.03),
        };
        let Ok(setting) = kit.sharp_between(wish) else {
            // A near limit behind the camera, or within the lens, is no wish.
            prop_assert!(
                zone.near_m <= 0.0 || zone.near_from_pupil_m < 0.01,
                "{zone:?} {kit:?}"
            );
            return Ok(());
        };
        let focused = kit
            .stopped_to(setting.f_number)
            .unwrap()
            .focused_at_magnification(setting.magnification)
            .unwrap();
        prop_assert!(close(focused.sensor_distance_m(), setting.distance_m, 1e-9));
        let found = focused.depth_of_field(circle(0.03));
        // Both limits are within, but for rounding: that of k, which near k = 1 the far limit
        // magnifies by u/(1 - k).
        prop_assert!(
            found.near_m <= zone.near_m + 1e-9 * zone.near_from_pupil_m,
            "{found:?} for {zone:?}"
        );
        let slack = 1e-9 + 1e-9 / (1.0 - k).abs().max(1e-6);
        match (found.far, zone.far) {
            (FarLimit::At { distance_m: found }, FarLimit::At { distance_m: wanted }) => {
                prop_assert!(found >= wanted * (1.0 - slack), "{found} for {wanted}");
            }
            (FarLimit::At { distance_m }, FarLimit::Infinity) => {
                prop_assert!(distance_m > 1e6 * focused.sensor_distance_m());
            }
            (FarLimit::Infinity, _) => {}
        }
        // Nor is it closed farther than the kit that the zone was taken from, below the
        // magnifications that share zones.
        let own_f_number = kit.lens().focal_length_mm() * at.magnification() * k / 0.03;
        if k < 1.0 && at.magnification() < 0.68 * kit.converter().map_or(1.0, Converter::factor) {
            prop_assert!(
                setting.f_number <= own_f_number * (1.0 + 1e-6),
                "{setting:?}, {own_f_number}"
            );
        }
    }

    #[test]
    fn the_equivalent_lens_takes_the_same_picture(
        focal_length_mm in 20.0..800.0_f64,
        f_number in 1.4..11.0_f64,
        width_mm in 6.0..60.0_f64,
        iso in 50.0..6400.0_f64,
    ) {
        // Frames of one shape, so that all sides agree.
        let small = Sensor::new(SensorSpec {
            width_mm,
            height_mm: width_mm / 1.5,
            columns: 6000,
            rows: 4000,
        })
        .unwrap();
        let lens = |focal_length_mm, f_number| {
            Lens::new(
                LensSpec {
                    focal_length_mm,
                    f_number,
                    ..LensSpec::THIN
                }
                .to_life_size(),
            )
            .unwrap()
        };
        let kit = Kit::new(lens(focal_length_mm, f_number), None, small);
        for side in [FrameSide::Width, FrameSide::Height, FrameSide::Diagonal] {
            let same = kit.equivalent_on(&sensor(), side);
            let other = Kit::new(lens(same.focal_length_mm, same.f_number), None, sensor());
            let (one, two) = (kit.at_infinity().unwrap(), other.at_infinity().unwrap());
            prop_assert!(close(
                one.angle_of_view().diagonal_deg,
                two.angle_of_view().diagonal_deg,
                1e-12
            ));
            prop_assert!(close(
                kit.lens().entrance_pupil_mm(),
                other.lens().entrance_pupil_mm(),
                1e-12
            ));
            // From afar one point of the background takes the same share of the frame: exactly so
            // as the distance grows.
            let blur = |kit: &Kit| {
                let focused = kit.focused_at_m(1e5 * focal_length_mm).unwrap();
                focused
                    .blur_of(wrackline_optics::Elsewhere::Infinity)
                    .unwrap()
                    .share_of_frame
            };
            prop_assert!(close(blur(&kit), blur(&other), 1e-6));
            // The light on the whole sensor is the same: area over the square of the f-number.
            let light = |sensor: &Sensor, f_number: f64| {
                sensor.width_mm() * sensor.height_mm() / (f_number * f_number)
            };
            prop_assert!(close(
                light(&small, f_number),
                light(&sensor(), same.f_number),
                1e-12
            ));
            // As bright at the same shutter time: N²/ISO is the same.
            prop_assert!(close(
                f_number * f_number / iso,
                same.f_number * same.f_number / same.iso(iso).unwrap(),
                1e-12
            ));
        }
        prop_assert!(close(
            kit.equivalent_on(&sensor(), FrameSide::Width)
                .focal_length_mm,
            kit.equivalent_focal_length_mm(&sensor()),
            1e-15
        ));
    }

    /// Lens, group and sensor imaged one after the other by 1/o + 1/i = 1/f, with the mechanism
    /// moving the lens away from the group: an account of the same optics that knows of no factor
    /// and no shift.
    #[test]
    fn a_tube_behind_a_converter_images_as_lens_and_group_do(
        focal_mm in 50.0..600.0_f64,
        factor in 1.1..2.0_f64,
        before_mm in 15.0..45.0_f64,
        tube_mm in 5.0..60.0_f64,
        setting in 0.001..0.4_f64,
    ) {
        let group = NegativeGroup::of_factor(factor, before_mm).unwrap();
        let behind = group
            .with_tube_behind(ExtensionTube::new(tube_mm).unwrap())
            .unwrap();
        let lens = Lens::new(
            LensSpec {
                focal_length_mm: focal_mm,
                f_number: 4.0,
                ..LensSpec::THIN
            }
            .to_life_size(),
        )
        .unwrap();
        let kit = Kit::new(lens, Some(behind.converter), sensor()).with_tube(behind.tube);

        let to_sensor_mm = factor * before_mm + tube_mm;
        // Backwards through the group: where the lens must put its image, behind the group.
        let taken_mm = 1.0 / (1.0 / to_sensor_mm - 1.0 / group.focal_length_mm);
        let lens_to_group_mm = focal_mm - before_mm + setting * focal_mm;
        let image_mm = lens_to_group_mm + taken_mm;
        let subject_mm = 1.0 / (1.0 / focal_mm - 1.0 / image_mm);
        let magnification = image_mm / subject_mm * (to_sensor_mm / taken_mm);
        let distance_m = (subject_mm + lens_to_group_mm + to_sensor_mm) / 1000.0;

        let focused = kit.focused_at_magnification(magnification).unwrap();
        prop_assert!(
            close(focused.sensor_distance_m(), distance_m, 1e-9),
            "{focused:?} for {distance_m}"
        );
    }

    #[test]
    fn a_zoom_is_set_so_that_the_wish_comes_true(
        shortest_mm in 50.0..200.0_f64,
        ratio in 1.5..8.0_f64,
        part in 0.0..1.0_f64,
        focal_lengths in 10.0..200.0_f64,
    ) {
        let end = |focal_length_mm: f64, f_number| {
            Lens::new(LensSpec {
                focal_length_mm,
                f_number,
                minimum_focus_m: 0.006 * focal_length_mm,
                ..LensSpec::THIN
            })
            .unwrap()
        };
        let zoom = Zoom::new(ZoomEnds {
            shortest: end(shortest_mm, 4.0),
            longest: end(shortest_mm * ratio, 5.6),
        })
        .unwrap();
        let subject = Subject::new(SubjectSpec {
            length_m: 0.24,
            height_m: 0.2,
            span_m: 0.5,
        })
        .unwrap();
        let distance_m = shortest_mm * ratio * focal_lengths / 1000.0;
        let shown = |lens: Lens| {
            let kit = Kit::new(lens, None, sensor());
            kit.focused_at_m(distance_m)
                .unwrap()
                .share_of(&subject, Measure::Area)
        };
        let wanted = zoom
            .at_mm(shortest_mm * (1.0 + (ratio - 1.0) * part))
            .unwrap();
        let wish = |share| ZoomWish {
            measure: MeasureShare {
                subject,
                measure: Measure::Area,
                share,
            },
            distance_m,
            converter: None,
            sensor: sensor(),
        };
        let kit = zoom.kit_for_measure(&wish(shown(wanted))).unwrap();
        prop_assert!(close(kit.focal_length_mm(), wanted.focal_length_mm(), 1e-9));
        for beyond in [
            0.99 * shown(zoom.ends().shortest),
            1.01 * shown(zoom.ends().longest),
        ] {
            let refused = zoom.kit_for_measure(&wish(beyond));
            let told = matches!(
                refused,
                Err(Error::OutOfRange {
                    what: "share of the frame",
                    ..
                })
            );
            prop_assert!(told, "{refused:?}");
        }
    }

    #[test]
    fn shake_far_away_becomes_shake_at_infinity(kit in kit(), drift_rad_per_s in 0.0..0.1_f64) {
        let shake = Shake {
            drift_rad_per_s,
            time_s: 0.01,
        };
        if let Ok(infinity) = kit.at_infinity() {
            let far = kit.focused_at_m(1e9).unwrap().shake_blur_px(shake).unwrap();
            prop_assert!((far - infinity.shake_blur_px(shake).unwrap()).abs() <= 1e-6 * far);
        }
    }

    #[test]
    fn two_groups_of_a_telephoto_trace_back_to_it(
        focal_length_mm in 50.0..1200.0_f64,
        telephoto_ratio in 0.5..0.95_f64,
        gap in 0.1..0.45_f64,
    ) {
        let wanted = Telephoto {
            focal_length_mm,
            separation_mm: gap * focal_length_mm,
            telephoto_ratio,
        };
        let traced = Cardinals::of_groups(TwoGroups::of_telephoto(wanted).unwrap()).unwrap();
        prop_assert!(close(traced.focal_length_mm, focal_length_mm, 1e-9));
        prop_assert!(close(traced.telephoto_ratio(), telephoto_ratio, 1e-9));
    }
}

#[test]
fn what_is_no_zone_is_refused() {
    let lens = LensSpec {
        focal_length_mm: 600.0,
        f_number: 4.0,
        minimum_focus_m: 4.3,
        ..LensSpec::THIN
    };
    let kit = Kit::new(Lens::new(lens).unwrap(), None, sensor());
    let between = |near_m, far| {
        kit.sharp_between(SharpBetween {
            near_m,
            far,
            circle: circle(0.03),
        })
    };
    let at = |distance_m| FarLimit::At { distance_m };
    assert!(matches!(
        between(20.0, at(20.0)),
        Err(Error::NotRising { .. })
    ));
    assert!(matches!(
        between(20.0, at(19.0)),
        Err(Error::NotRising { .. })
    ));
    assert!(matches!(
        between(f64::NAN, at(19.0)),
        Err(Error::NotPositive { .. })
    ));
    assert!(matches!(
        between(20.0, at(f64::INFINITY)),
        Err(Error::NotPositive { .. })
    ));
    // What lies nearer than the kit focuses is reached from its nearest focus, and what lies
    // farther from its farthest.
    let reached = between(3.0, at(3.5)).unwrap();
    assert!(
        close(reached.distance_m, 4.3, 1e-9) && reached.f_number > 100.0,
        "{reached:?}"
    );
    let tubed = kit.with_tube(ExtensionTube::new(25.0).unwrap());
    let far = tubed
        .sharp_between(SharpBetween {
            near_m: 20.0,
            far: FarLimit::Infinity,
            circle: circle(0.03),
        })
        .unwrap();
    assert!(
        close(
            far.distance_m,
            tubed.farthest_focus().distance_m().unwrap(),
            1e-9
        ),
        "{far:?}"
    );
    assert!(matches!(
        between(0.1, at(2.0)),
        Err(Error::OutOfRange {
            what: "near limit",
            ..
        })
    ));
    // To infinity is what the hyperfocal focus gives: with f/4 and 0.03 mm it begins at half its
    // distance.
    let hyperfocal = kit.hyperfocal(circle(0.03)).unwrap();
    let focused = kit.focused_at_m(hyperfocal.from_sensor_m).unwrap();
    let near_m = focused.depth_of_field(circle(0.03)).near_m;
    let setting = between(near_m, FarLimit::Infinity).unwrap();
    assert!(close(setting.f_number, 4.0, 1e-9), "{setting:?}");
    assert!(close(setting.distance_m, hyperfocal.from_sensor_m, 1e-9));
    for bad in [f64::NAN, 0.0, -1.0, f64::INFINITY] {
        let wish = DepthWish {
            depth_m: bad,
            circle: circle(0.03),
        };
        assert!(kit.f_number_for_depth(20.0, wish).is_err());
        assert!(kit.focused_for_depth(wish).is_err());
    }
}

/// 1.4 and 2 make 2.8, the glass of both takes 0.9 · 0.8 of the light, and the sensor moves back by
/// both shifts.
#[test]
fn stacked_converters_are_one() {
    let converter = |factor, transmittance, image_shift_mm| {
        Converter::from_spec(ConverterSpec {
            factor,
            transmittance,
            image_shift_mm,
        })
        .unwrap()
    };
    let both = converter(1.4, 0.9, 12.0)
        .with_behind(converter(2.0, 0.8, 20.0))
        .unwrap()
        .spec();
    assert!(close(both.factor, 2.8, 1e-12));
    assert!(close(both.transmittance, 0.72, 1e-12));
    assert!(close(both.image_shift_mm, 32.0, 1e-12));
    let many = converter(4.0, 1.0, 0.0).with_behind(converter(4.0, 1.0, 0.0));
    assert!(matches!(many, Err(Error::OutOfRange { .. })));
}

/// λ/(hc)/683.002 at 555 nm: 555e-9/(6.62607015e-34 · 299792458)/683.002 = 4.090668e15 a square
/// metre.
#[test]
fn photons_of_a_lux_second() {
    let per_m2 = 555e-9 / (6.626_070_15e-34 * 299_792_458.0) / 683.002;
    // Printed to a millionth.
    assert!(close(PHOTONS_PER_LX_S_UM2 * 1e12, per_m2, 5e-7));
}

fn reads_back<T: Display + FromStr + PartialEq + Debug>(values: &[T])
where
    T::Err: Display,
{
    for value in values {
        let written = value.to_string();
        let read = [
            written.clone(),
            format!(" {} ", written.to_uppercase()),
            written.replace(' ', "_"),
        ];
        for text in read {
            match text.parse::<T>() {
                Ok(read) => assert_eq!(&read, value),
                Err(error) => panic!("{error}"),
            }
        }
    }
    let refused = "nonsense".parse::<T>().err().unwrap().to_string();
    assert!(refused.starts_with("\"nonsense\" is no "), "{refused}");
    assert!(refused.contains(": give "), "{refused}");
    // A whole file given for a word is not printed whole.
    assert!(
        "x".repeat(10_000)
            .parse::<T>()
            .err()
            .unwrap()
            .to_string()
            .len()
            < 250
    );
}

#[test]
fn what_is_written_reads_back() {
    reads_back(&[
        Measure::Length,
        Measure::Height,
        Measure::Area,
        Measure::Span,
    ]);
    reads_back(&[FrameSide::Width, FrameSide::Height, FrameSide::Diagonal]);
    reads_back(&[Sky::Clear, Sky::ThinVeil, Sky::Cloudy, Sky::DarkStratus]);
    reads_back(&[Mosaic::None, Mosaic::GreenChequerboard]);
    reads_back(&OpticsGrade::ALL);
    reads_back(&AirGrade::ALL);
    let aspect = |across, down| Aspect { across, down };
    reads_back(&[aspect(16.0, 9.0), aspect(1.5, 1.0), aspect(1.0, 1.0)]);
    for bad in ["16", "16:0", "16:-9", "nan:9", "16:inf", "16:9:4", ""] {
        assert!(bad.parse::<Aspect>().is_err(), "{bad}");
    }
}
