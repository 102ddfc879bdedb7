//! Bad input is refused with a typed error, whatever it is, and nothing that is accepted leads to a
//! number that is none.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking, in its helpers too"
)]

use proptest::prelude::*;
use wrackline_optics::{
    Air, AirSpec, Aspect, Assumptions, Chain, ChainSpec, CircleOfConfusion, Claim, ClaimSpec,
    ClosePair, Comparison, Contender, Converter, ConverterSpec, Diffraction, DiffractionSpec,
    Error, Exposure, ExposureSpec, ExtensionTube, FrameShare, GREEN_UM, HeatedGround, Judgement,
    Kit, Lens, LensSpec, NegativeGroup, PitchSpec, Print, PrintSpec, Scene, SceneSpec, Sensor,
    SensorSpec, Subject, SubjectSpec,
    detail::{MeasuredMtf, MtfPoint, Wavefront},
    ray::{Cardinals, Shape, Surface, TwoGroups},
    reach::{AirGrade, ConverterGain, OpticsGrade},
};

const BAD: [f64; 5] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, 0.0];

fn kit() -> Kit {
    let sensor = Sensor::new(SensorSpec {
        width_mm: 36.0,
        height_mm: 24.0,
        columns: 8000,
        rows: 5333,
    })
    .unwrap();
    Kit::new(
        Lens::new(LensSpec {
            focal_length_mm: 600.0,
            f_number: 4.0,
            minimum_focus_m: 4.3,
            ..LensSpec::THIN
        })
        .unwrap(),
        None,
        sensor,
    )
}

/// Every refusal says what was given, what is valid and what to do, in lower case and without a
/// full stop.
fn speaks(error: Error) {
    let message = error.to_string();
    assert!(!message.ends_with('.'), "{message}");
    assert!(
        message
            .chars()
            .next()
            .is_some_and(|first| !first.is_uppercase()),
        "{message}"
    );
    assert!(message.contains(':'), "{message}");
    // No unit left out leaves a gap, and no number runs over the line.
    assert!(
        !message.contains("  ") && !message.contains(" :"),
        "{message}"
    );
    assert!(message.len() < 300, "{message}");
}

/// Messages as a reader sees them: the value as given, the range, the remedy.
#[test]
fn messages_read_well() {
    let message = |error: Error| error.to_string();
    let lens = LensSpec {
        focal_length_mm: 100.0,
        f_number: 2.8,
        minimum_focus_m: 0.28,
        ..LensSpec::THIN
    };
    assert_eq!(
        message(Lens::new(lens).unwrap_err()),
        "minimum focus 0.28 m is nearer than four focal lengths (and the principal planes' \
         separation), 0.4 m: tell the magnification there, since such a lens shortens its focal \
         length, or give 0.4 m or more"
    );
    assert_eq!(
        message(Converter::new(0.7).unwrap_err()),
        "converter factor 0.7 is out of range: give 1 to 10"
    );
    assert_eq!(
        message(ExtensionTube::new(-1.0).unwrap_err()),
        "length of the extension tube -1 mm is out of range: give a finite value above zero"
    );
    assert_eq!(
        message(ExtensionTube::new(f64::MAX).unwrap_err()),
        "length of the extension tube 1.7976931348623157e308 mm is out of range: give 1e-12 \
         to 1e12 mm"
    );
    assert_eq!(
        message(Cardinals::of_surfaces(&[]).unwrap_err()),
        "the list holds no surface: give at least one"
    );
    assert_eq!(
        message(kit().focused_at_m(4.2).unwrap_err()),
        "4.2 m is nearer than the minimum focus: step back to 4.3 m or add an extension tube"
    );
    assert_eq!(
        message(kit().focused_at_m(2.3).unwrap_err()),
        "no sharp image exists at 2.3 m: subject and sensor are never nearer than four focal \
         lengths (and the principal planes' separation), so step back to 4.3 m"
    );
    let tubed = kit().with_tube(ExtensionTube::new(25.0).unwrap());
    let refused = message(tubed.at_infinity().unwrap_err());
    assert!(refused.starts_with("infinity is beyond"), "{refused}");
    // Advice is followed with what it says, although it shows six digits only.
    let shown = refused.split("than ").nth(1).unwrap();
    let farthest_m: f64 = shown.split(' ').next().unwrap().parse().unwrap();
    assert!(tubed.focused_at_m(farthest_m).is_ok());
    let pitch = Sensor::of_pitch(PitchSpec {
        width_mm: 36.0,
        height_mm: 24.0,
        pixel_pitch_um: 1e-9,
    });
    assert_eq!(
        message(pitch.unwrap_err()),
        "number of pixel columns 3.6e13 is out of range: give 1 to 4294967295"
    );
    let point = MtfPoint {
        lp_per_mm: 20.0,
        contrast: 0.9,
    };
    assert_eq!(
        message(MeasuredMtf::new(vec![point; 2]).unwrap_err()),
        "frequency of the measured MTF 20 lp/mm follows 20 lp/mm: give figures that rise"
    );
}

#[test]
fn every_figure_that_must_be_positive() {
    let lens = LensSpec {
        focal_length_mm: 600.0,
        f_number: 4.0,
        minimum_focus_m: 4.3,
        ..LensSpec::THIN
    };
    let pair = |distance_m, magnification| {
        kit()
            .lens()
            .breathing(ClosePair {
                distance_m,
                magnification,
            })
            .map(|_| ())
    };
    let sensor = |width_mm, height_mm| {
        Sensor::new(SensorSpec {
            width_mm,
            height_mm,
            columns: 8000,
            rows: 5333,
        })
        .map(|_| ())
    };
    let scene = SceneSpec {
        subject_m: 0.5,
        distance_m: 40.0,
        ..SceneSpec::STILL
    };
    for bad in BAD {
        let refused = [
            Lens::new(LensSpec {
                focal_length_mm: bad,
                ..lens
            })
            .map(|_| ()),
            Lens::new(LensSpec {
                f_number: bad,
                ..lens
            })
            .map(|_| ()),
            Lens::new(LensSpec {
                minimum_focus_m: bad,
                ..lens
            })
            .map(|_| ()),
            Lens::new(LensSpec {
                pupil_magnification: bad,
                ..lens
            })
            .map(|_| ()),
            pair(bad, 0.15),
            pair(4.5, bad),
            kit().lens().reaching(bad).map(|_| ()),
            kit().stopped_to(bad).map(|_| ()),
            Converter::new(bad).map(|_| ()),
            Converter::from_spec(ConverterSpec {
                factor: 1.4,
                transmittance: bad,
                image_shift_mm: 0.0,
            })
            .map(|_| ()),
            ExtensionTube::new(bad).map(|_| ()),
            sensor(bad, 24.0),
            sensor(36.0, bad),
            Sensor::of_pitch(PitchSpec {
                width_mm: 36.0,
                height_mm: 24.0,
                pixel_pitch_um: bad,
            })
            .map(|_| ()),
            kit()
                .sensor()
                .with_aspect(Aspect {
                    across: bad,
                    down: 9.0,
                })
                .map(|_| ()),
            kit()
                .sensor()
                .with_aspect(Aspect {
                    across: 16.0,
                    down: bad,
                })
                .map(|_| ()),
            kit().sensor().cropped(bad).map(|_| ()),
            kit().focused_at_m(bad).map(|_| ()),
            kit().focused_at_pupil_m(bad).map(|_| ()),
            kit().focused_at_magnification(bad).map(|_| ()),
            kit()
                .distance_for_share(FrameShare {
                    subject_m: bad,
                    share: 0.5,
                })
                .map(|_| ()),
            kit()
                .distance_for_share(FrameShare {
                    subject_m: 0.5,
                    share: bad,
                })
                .map(|_| ()),
            CircleOfConfusion::absolute_mm(bad).map(|_| ()),
            CircleOfConfusion::pixels(kit().sensor(), bad).map(|_| ()),
            CircleOfConfusion::of_diagonal(kit().sensor(), bad).map(|_| ()),
            Subject::new(SubjectSpec {
                length_m: bad,
                height_m: 0.3,
                span_m: 1.0,
            })
            .map(|_| ()),
            Print::new(PrintSpec {
                width_mm: 210.0,
                height_mm: 297.0,
                bleed_mm: 0.0,
                ppi: bad,
            })
            .map(|_| ()),
            Exposure::new(ExposureSpec {
                f_number: bad,
                time_s: 0.01,
            })
            .map(|_| ()),
            Exposure::new(ExposureSpec {
                f_number: 4.0,
                time_s: bad,
            })
            .map(|_| ()),
            Diffraction::new(DiffractionSpec {
                f_number: bad,
                wavelength_um: 0.55,
            })
            .map(|_| ()),
            Diffraction::new(DiffractionSpec {
                f_number: 4.0,
                wavelength_um: bad,
            })
            .map(|_| ()),
            Chain::new(ChainSpec {
                f_number: 4.0,
                wavelength_um: 0.55,
                pixel_pitch_um: bad,
            })
            .map(|_| ()),
            Air::even(bad).map(|_| ()),
            Air::even(1e-13).unwrap().over(bad, 0.55).map(|_| ()),
            MeasuredMtf::new(vec![MtfPoint {
                lp_per_mm: bad,
                contrast: 0.5,
            }])
            .map(|_| ()),
            Scene::new(SceneSpec {
                subject_m: bad,
                ..scene
            })
            .map(|_| ()),
            Scene::new(SceneSpec {
                distance_m: bad,
                ..scene
            })
            .map(|_| ()),
            Scene::new(SceneSpec {
                time_s: bad,
                ..scene
            })
            .map(|_| ()),
            Claim::new(ClaimSpec {
                focal_length_mm: bad,
                f_number: 4.0,
                reference: *kit().sensor(),
            })
            .map(|_| ()),
        ];
        for (place, result) in refused.into_iter().enumerate() {
            match result {
                Ok(()) => panic!("{bad} was accepted at {place}"),
                Err(error) => speaks(error),
            }
        }
    }
}

#[test]
fn figures_out_of_range() {
    for (place, result) in [
        Wavefront::new(0.19).map(|_| ()),
        Wavefront::new(f64::NAN).map(|_| ()),
        HeatedGround::relative_cn2(0.0).map(|_| ()),
        Lens::new(LensSpec {
            principal_separation_mm: f64::NAN,
            ..LensSpec {
                focal_length_mm: 600.0,
                f_number: 4.0,
                minimum_focus_m: 4.3,
                ..LensSpec::THIN
            }
        })
        .map(|_| ()),
        Lens::new(LensSpec {
            focal_length_mm: 1e13,
            f_number: 4.0,
            minimum_focus_m: 4.3,
            ..LensSpec::THIN
        })
        .map(|_| ()),
        MeasuredMtf::new(vec![]).map(|_| ()),
        MeasuredMtf::new(vec![MtfPoint {
            lp_per_mm: 20.0,
            contrast: 1.1,
        }])
        .map(|_| ()),
        MeasuredMtf::new(vec![
            MtfPoint {
                lp_per_mm: 20.0,
                contrast: 0.9
            };
            2
        ])
        .map(|_| ()),
        Sensor::new(SensorSpec {
            width_mm: 36.0,
            height_mm: 24.0,
            columns: 0,
            rows: 1,
        })
        .map(|_| ()),
        kit()
            .lens()
            .breathing(ClosePair {
                distance_m: 0.3,
                magnification: 0.15,
            })
            .map(|_| ()),
    ]
    .into_iter()
    .enumerate()
    {
        match result {
            Ok(()) => panic!("accepted at {place}"),
            Err(error) => speaks(error),
        }
    }
}

/// What is no number, or has no meaning, is refused by everything that takes a plain figure, and
/// comes out of nothing.
#[test]
fn every_figure_that_has_a_range() {
    let kit = kit();
    let focused = kit.focused_at_m(40.0).unwrap();
    let seeing = Air::even(1e-13).unwrap().over(40.0, GREEN_UM).unwrap();
    let chain = Chain::of(&kit, &focused, GREEN_UM).unwrap();
    let diffraction = Diffraction::new(DiffractionSpec {
        f_number: 4.0,
        wavelength_um: GREEN_UM,
    })
    .unwrap();
    let print = Print::new(PrintSpec {
        width_mm: 210.0,
        height_mm: 297.0,
        bleed_mm: 0.0,
        ppi: 300.0,
    })
    .unwrap();
    let wavefront = Wavefront::new(0.1).unwrap();
    let lengths: [&dyn Fn(f64) -> Result<f64, Error>; 6] = [
        &|x| focused.size_on_sensor_mm(x),
        &|x| focused.pixels_along(x),
        &|x| focused.pixels_upright(x),
        &|x| focused.frame_share(x),
        &|x| focused.length_on_print_mm(x, &print),
        &|x| seeing.pupil_over_r0(x),
    ];
    let frequencies: [&dyn Fn(f64) -> Result<f64, Error>; 7] = [
        &|x| kit.sensor().pixel_mtf(x),
        &|x| diffraction.mtf(x),
        &|x| diffraction.encircled_energy(x),
        &|x| wavefront.transfer(x),
        &|x| seeing.mtf(x),
        &|x| seeing.mtf_at_subject(x),
        &|x| chain.transfers(x).map(|transfers| transfers.product()),
    ];
    for of in lengths {
        for bad in BAD {
            speaks(of(bad).unwrap_err());
        }
        for good in [1e-12, 0.24, 1e12] {
            assert!(of(good).unwrap().is_finite());
        }
    }
    for of in frequencies {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 1e19] {
            speaks(of(bad).unwrap_err());
        }
        // Nothing takes contrast from an even surface; everything takes all but all of it from the
        // finest pattern.
        for good in [0.0, 1e-12, 40.0, 1e12] {
            // One but for the rounding of a product.
            let left = of(good).unwrap();
            assert!((0.0..=1.0 + 1e-12).contains(&left), "{left} of {good}");
        }
    }
}

/// 140 mm of negative group stand at most 140 mm before the focus: from there on there is no image
/// behind it.
#[test]
fn a_converter_without_back_focus() {
    for (focal_length_mm, before_focus_mm) in [
        (-140.0, 140.0),
        (-140.0, 150.0),
        (-140.0, 0.0),
        (140.0, 40.0),
        (f64::NAN, 1.0),
    ] {
        let error = Converter::from_group(NegativeGroup {
            focal_length_mm,
            before_focus_mm,
        })
        .unwrap_err();
        assert!(matches!(error, Error::NoBackFocus { .. }), "{error}");
        speaks(error);
    }
    // The same group as two surfaces: 1/f = (1.5 - 1)(-1/140 - ...) is about -1/140 for radii of
    // ∓140.
    let surface = |radius_mm, index_after| Surface {
        shape: Shape::Sphere { radius_mm },
        to_next_mm: 1.0,
        index_after,
        stop: false,
    };
    let group = [surface(-140.0, 1.5), surface(140.0, 1.0)];
    assert!((Converter::from_surfaces(&group, 40.0).unwrap().factor() - 1.4).abs() < 0.01);
    assert!(matches!(
        Converter::from_surfaces(&group, 150.0),
        Err(Error::NoBackFocus { .. })
    ));
    assert!(matches!(
        Converter::from_surfaces(&group, f64::NAN),
        Err(Error::NoBackFocus { .. })
    ));
}

#[test]
fn rows_of_surfaces_that_are_no_lens() {
    let good = Surface {
        shape: Shape::Sphere { radius_mm: 50.0 },
        to_next_mm: 5.0,
        index_after: 1.5,
        stop: true,
    };
    let last = Surface {
        shape: Shape::Plane,
        to_next_mm: 0.0,
        index_after: 1.0,
        stop: false,
    };
    assert!(Cardinals::of_surfaces(&[good, last]).is_ok());
    let zero = Shape::Sphere { radius_mm: 0.0 };
    for wrong in [
        vec![],
        vec![good],
        vec![
            Surface {
                stop: false,
                ..good
            },
            last,
        ],
        vec![good, Surface { stop: true, ..last }],
        vec![
            Surface {
                shape: zero,
                ..good
            },
            last,
        ],
        vec![
            Surface {
                to_next_mm: -1.0,
                ..good
            },
            last,
        ],
        vec![
            Surface {
                to_next_mm: f64::NAN,
                ..good
            },
            last,
        ],
        vec![
            Surface {
                index_after: 0.5,
                ..good
            },
            last,
        ],
        vec![
            Surface {
                index_after: f64::NAN,
                ..good
            },
            last,
        ],
    ] {
        match Cardinals::of_surfaces(&wrong) {
            Err(error @ (Error::Surface { .. } | Error::Stops { .. } | Error::NoSurface)) => {
                speaks(error)
            }
            other => panic!("{wrong:?}: {other:?}"),
        }
    }
    // Flat glass focuses nowhere; two equal groups a focal length and a half apart do, and 2f apart
    // do not.
    let flat = Surface {
        shape: Shape::Plane,
        ..good
    };
    assert!(matches!(
        Cardinals::of_surfaces(&[flat, last]),
        Err(Error::NoFocus { .. })
    ));
    let groups = |separation_mm| TwoGroups {
        front_focal_length_mm: 100.0,
        rear_focal_length_mm: 100.0,
        separation_mm,
    };
    assert!(Cardinals::of_groups(groups(150.0)).is_ok());
    assert!(matches!(
        Cardinals::of_groups(groups(200.0)),
        Err(Error::NoFocus { .. })
    ));
    assert!(Cardinals::of_groups(groups(f64::NAN)).is_err());
}

fn anything() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        Just(0.0),
        Just(f64::NAN),
        (-12.0..12.0_f64).prop_map(|exponent| 10_f64.powf(exponent)),
        (-2.0..3.0_f64).prop_map(|exponent| 10_f64.powf(exponent)),
    ]
}

/// A kit of whatever figures, or the refusal of one of them.
fn any_kit(x: &[f64]) -> Result<Kit, Error> {
    let spec = LensSpec {
        focal_length_mm: x[0],
        f_number: x[1],
        minimum_focus_m: x[2],
        pupil_magnification: x[3],
        principal_separation_mm: x[4],
    };
    let lens = Lens::breathing_to(spec, x[5])
        .or_else(|_| Lens::new(spec))
        .or_else(|_| Lens::new(spec.to_life_size()))?;
    let converter = Converter::from_spec(ConverterSpec {
        factor: x[6],
        transmittance: x[7],
        image_shift_mm: x[8],
    })
    .ok();
    let sensor = Sensor::of_pitch(PitchSpec {
        width_mm: x[9],
        height_mm: x[10],
        pixel_pitch_um: x[11],
    })?;
    let kit = Kit::new(lens, converter, sensor);
    Ok(ExtensionTube::new(x[12]).map_or(kit, |tube| kit.with_tube(tube)))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn whatever_is_given_ends_in_numbers_or_in_an_error(
        x in prop::collection::vec(anything(), 24),
    ) {
        let Ok(kit) = any_kit(&x) else { return Ok(()) };
        prop_assert!(kit.minimum_focus_m().is_finite());
        if let Ok(focused) = kit.focused_at_m(x[13]) {
            for value in [
                focused.magnification(),
                focused.working_f_number(),
                focused.entrance_pupil_distance_m(),
                focused.sensor_distance_m(),
                focused.angle_of_view().across_deg,
                focused.field().across_m,
                focused.light_of_subject_sr(),
            ] {
                prop_assert!(value.is_finite(), "{value} of {focused:?}");
            }
            if let Ok(circle) = CircleOfConfusion::absolute_mm(x[14]) {
                let depth = focused.depth_of_field(circle);
                prop_assert!(depth.near_m.is_finite() && depth.in_front_m.is_finite());
                prop_assert!(
                    depth.far.distance_m().is_none_or(f64::is_finite),
                    "{depth:?}"
                );
            }
        }
        let spec = SceneSpec {
            background_m: x[15].abs(),
            time_s: x[16],
            speed_m_per_s: x[17],
            subject_m: x[18],
            distance_m: x[13],
            ..SceneSpec::STILL
        };
        let Ok(scene) = Scene::new(spec) else {
            return Ok(());
        };
        let assumptions = Assumptions {
            contrast: if x[19] > 0.001 && x[19] < 0.999 {
                x[19]
            } else {
                0.5
            },
            ..Assumptions::default()
        };
        let contender = Contender::from(kit);
        if let Ok(claim) = Claim::new(ClaimSpec {
            focal_length_mm: x[20],
            f_number: x[21],
            reference: *kit.sensor(),
        }) && let Ok(judgement) = Judgement::of(&contender, &claim, &scene, &assumptions)
        {
            for finding in judgement.comparison.findings {
                for band in [finding.first, finding.second, finding.ratio] {
                    prop_assert!(
                        band.lowest.is_finite() && band.highest.is_finite(),
                        "{finding:?}"
                    );
                }
            }
            let case = (OpticsGrade::Good, AirGrade::Warm);
            let _ = ConverterGain::of(&contender, &scene, &assumptions, case);
        }
        let _ = Comparison::of(&contender, &contender, &scene, &assumptions);
        let _ = Air::new(AirSpec::HeatedGround(HeatedGround {
            cn2_at_1_m: x[22],
            lens_height_m: x[23],
            subject_height_m: x[18],
        }));
    }

    #[test]
    fn whatever_surfaces_are_given_end_in_numbers_or_in_an_error(
        x in prop::collection::vec(anything(), 9),
        before_focus_mm in anything(),
    ) {
        let row: Vec<Surface> = x
            .chunks_exact(3)
            .enumerate()
            .map(|(place, x)| Surface {
                shape: Shape::Sphere { radius_mm: x[0] },
                to_next_mm: x[1].abs(),
                index_after: if place == 2 {
                    1.0
                } else {
                    1.0 + x[2].abs().min(4.0)
                },
                stop: place == 1,
            })
            .collect();
        if let Ok(cardinals) = Cardinals::of_surfaces(&row) {
            for value in [
                cardinals.focal_length_mm,
                cardinals.back_focus_mm,
                cardinals.front_focus_z_mm,
                cardinals.rear_focus_z_mm,
                cardinals.front_principal_z_mm,
                cardinals.rear_principal_z_mm,
                cardinals.principal_separation_mm,
                cardinals.entrance_pupil_z_mm,
                cardinals.exit_pupil_z_mm,
                cardinals.pupil_magnification,
                cardinals.length_mm,
                cardinals.telephoto_ratio(),
            ] {
                prop_assert!(value.is_finite(), "{cardinals:?}");
            }
        }
        if let Ok(converter) = Converter::from_surfaces(&row, before_focus_mm) {
            prop_assert!(
                converter.factor().is_finite() && converter.spec().image_shift_mm.is_finite()
            );
        }
    }

    #[test]
    fn the_nearest_of_a_lens_that_stops_at_four_focal_lengths_is_within_reach(
        focal_mm in 1.0..2000.0_f64,
        shift_mm in 0.0..100.0_f64,
        beyond in -1e-12..1e-6_f64,
    ) {
        let minimum_m = 0.004 * focal_mm * (1.0 + beyond);
        let x = [
            focal_mm, 4.0, minimum_m, 1.0, 0.0, 0.0, 1.4, 1.0, shift_mm, 36.0, 24.0, 4.0, 0.0,
        ];
        let kit = any_kit(&x).unwrap();
        let nearest = kit.focused_at_m(kit.minimum_focus_m());
        prop_assert!(nearest.is_ok(), "{nearest:?}");
    }

    #[test]
    fn whatever_a_plausible_kit_is_asked_ends(
        focal_mm in 4.0..2000.0_f64,
        f_number in 0.7..64.0_f64,
        distance in 1.0..1e4_f64,
        factor in 1.0..3.0_f64,
        pitch_um in 0.5..30.0_f64,
        speed in 0.0..100.0_f64,
        exponent in -5.0..1.0_f64,
        claimed_mm in 4.0..5000.0_f64,
    ) {
        let x = [
            focal_mm,
            f_number,
            0.004 * focal_mm,
            1.0,
            0.0,
            0.0,
            factor,
            0.95,
            10.0,
            36.0,
            24.0,
            pitch_um,
            0.0,
        ];
        let kit = any_kit(&x).unwrap();
        let spec = SceneSpec {
            time_s: 10_f64.powf(exponent),
            speed_m_per_s: speed,
            subject_m: 0.5,
            distance_m: 0.02 + 0.0041 * focal_mm * distance,
            ..SceneSpec::STILL
        };
        let claim = Claim::new(ClaimSpec {
            focal_length_mm: claimed_mm,
            f_number,
            reference: *kit.sensor(),
        })
        .unwrap();
        match Judgement::of(
            kit,
            &claim,
            &Scene::new(spec).unwrap(),
            &Assumptions::default(),
        ) {
            Ok(judgement) => {
                for cell in judgement.comparison.detail {
                    prop_assert!(cell.ratio.is_finite() && cell.ratio > 0.0, "{cell:?}");
                }
            }
            // The claimed lens may be too long to focus so near.
            Err(error) => prop_assert!(
                matches!(error, Error::CloserThanFourFocalLengths { .. }),
                "{error}"
            ),
        }
    }
}
