//! Worked verdicts: claims of reach whose numbers can be followed by hand.
//!
//! The scene is a subject of 550 mm at 40 m from the sensor plane. For a 600 mm lens moved as a
//! whole X = 40000/600 = 66.667, so m = 2/(64.667 + √(66.667 · 62.667)) = 2/(64.667 + 64.636) =
//! 0.0154676.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking, in its helpers too"
)]

use wrackline_optics::{
    Assumptions, Claim, ClaimSpec, Comparison, Contender, Converter, Judgement, Kit, Lens,
    LensSpec, Meaning, PitchSpec, Scene, SceneSpec, Sensor, Verdict,
    detail::{LensQuality, Limit, MeasuredMtf, MtfPoint},
    reach::{AirGrade, ConverterGain, EqualThroughAir, OpticsGrade},
};

fn small(pixel_pitch_um: f64) -> Sensor {
    Sensor::of_pitch(PitchSpec {
        width_mm: 23.5,
        height_mm: 15.7,
        pixel_pitch_um,
    })
    .unwrap()
}

fn large() -> Sensor {
    Sensor::of_pitch(PitchSpec {
        width_mm: 36.0,
        height_mm: 24.0,
        pixel_pitch_um: 3.76,
    })
    .unwrap()
}

fn scene() -> Scene {
    Scene::new(SceneSpec {
        subject_m: 0.55,
        distance_m: 40.0,
        ..SceneSpec::STILL
    })
    .unwrap()
}

fn contender(f_number: f64, factor: Option<f64>, sensor: Sensor) -> Contender {
    let lens = Lens::new(LensSpec {
        focal_length_mm: 600.0,
        f_number,
        minimum_focus_m: 4.5,
        ..LensSpec::THIN
    })
    .unwrap();
    Kit::new(
        lens,
        factor.map(|factor| Converter::new(factor).unwrap()),
        sensor,
    )
    .into()
}

fn claim(focal_length_mm: f64, f_number: f64) -> Claim {
    Claim::new(ClaimSpec {
        focal_length_mm,
        f_number,
        reference: large(),
    })
    .unwrap()
}

fn judged(focal_length_mm: f64, f_number: f64) -> Judgement {
    let kit = contender(4.0, Some(1.4), small(3.76));
    Judgement::of(
        &kit,
        &claim(focal_length_mm, f_number),
        &scene(),
        &Assumptions::default(),
    )
    .unwrap()
}

/// 600/4 with 1.4x on a 23.5 mm frame, said to reach like 1260 mm: 840 · 36/23.5 = 1286.8 mm.
#[test]
fn it_frames_like_1260_and_is_no_1260() {
    let judgement = judged(1260.0, 4.0);
    assert!((judgement.equivalent_focal_length_mm - 1286.81).abs() < 0.005);
    assert_eq!(
        judgement.comparison.finding(Meaning::Framing).verdict,
        Verdict::True
    );
    // It is an 840 mm f/5.6.
    assert_eq!(judgement.lens.verdict, Verdict::False);
    assert!((judgement.lens.focal_length_mm - 840.0).abs() < 1e-9);
    assert!((judgement.lens.f_number - 5.6).abs() < 1e-12);
    assert_eq!(judged(840.0, 5.6).lens.verdict, Verdict::True);
    // Nor does it put the pixels, the light or the background of a 1260/4 into the picture.
    for meaning in [
        Meaning::Pixels,
        Meaning::Light,
        Meaning::DepthOfField,
        Meaning::Background,
    ] {
        assert_eq!(
            judgement.comparison.finding(meaning).verdict,
            Verdict::False,
            "{meaning:?}"
        );
    }
    // The light is that of the pupil, 150 mm against 315 mm: from nearly the same place a ratio of
    // about (150/315)².
    let light = judgement.comparison.finding(Meaning::Light).ratio.lowest;
    assert!(
        (light - (150.0_f64 / 315.0).powi(2)).abs() < 0.01,
        "{light}"
    );
}

/// Framing like 1400 mm is claimed: 1286.8/1400 = 0.919, beyond any rounding.
#[test]
fn it_does_not_frame_like_1400() {
    assert_eq!(
        judged(1400.0, 4.0)
            .comparison
            .finding(Meaning::Framing)
            .verdict,
        Verdict::False
    );
}

/// m · 550 mm / 3.76 µm: 0.0154676 · 550/0.00376 = 2262.6, and 1.4 times as many with the
/// converter: 3167.6.
#[test]
fn the_converter_takes_2263_pixels_to_3168() {
    let kit = contender(4.0, Some(1.4), small(3.76));
    let comparison = Comparison::against_cropped(&kit, &scene(), &Assumptions::default())
        .unwrap()
        .unwrap();
    let pixels = comparison.finding(Meaning::Pixels);
    assert!((pixels.first.lowest - 3167.6).abs() < 0.05, "{pixels:?}");
    assert!((pixels.second.lowest - 2262.6).abs() < 0.05, "{pixels:?}");
    assert_eq!(pixels.verdict, Verdict::True);
    // The frame is the same (to a pixel), the light of the subject too, and it costs 2 log2(1.4) =
    // 0.971 stops.
    assert_eq!(comparison.finding(Meaning::Framing).verdict, Verdict::False);
    assert!((comparison.finding(Meaning::Framing).ratio.lowest - 1.0).abs() < 5e-4);
    assert_eq!(comparison.finding(Meaning::Light).ratio.lowest, 1.0);
    assert!((comparison.exposure_stops - 0.970_854).abs() < 1e-6);
    // The same light on 1.4² times the pixels: noisier pixels, the same noise on the same feather.
    assert!((comparison.noise.by_pixel - 1.4).abs() < 1e-9);
    assert!((comparison.noise.by_subject_area - 1.0).abs() < 1e-9);
}

/// A crop set in the camera takes pixels off the edge, not off the subject.
#[test]
fn crop_mode_changes_no_pixel_on_the_subject() {
    let full = contender(4.0, None, large());
    let cropped = Contender::from(full.kit.on_sensor(large().cropped(1.5).unwrap()));
    let comparison = Comparison::of(&cropped, &full, &scene(), &Assumptions::default()).unwrap();
    assert_eq!(comparison.finding(Meaning::Pixels).ratio.lowest, 1.0);
    assert_eq!(comparison.finding(Meaning::Pixels).verdict, Verdict::False);
    assert_eq!(comparison.finding(Meaning::Detail).verdict, Verdict::False);
    assert_eq!(comparison.finding(Meaning::Detail).ratio.highest, 1.0);
    assert_eq!(comparison.finding(Meaning::Light).verdict, Verdict::False);
    assert_eq!(comparison.equal_through_air, EqualThroughAir::Everywhere);
    // Only the frame sits tighter.
    assert_eq!(comparison.finding(Meaning::Framing).verdict, Verdict::True);
}

/// 600/6.3 with 2x on 3.2 µm: Q is already 0.55 · 6.3/3.2 = 1.08 without it, and 2.17 with it.
#[test]
fn a_doubler_on_a_slow_lens_and_fine_pixels_adds_next_to_nothing() {
    let kit = contender(6.3, Some(2.0), small(3.2));
    let comparison = Comparison::against_cropped(&kit, &scene(), &Assumptions::default())
        .unwrap()
        .unwrap();
    assert!((comparison.exposure_stops - 2.0).abs() < 1e-9);
    let Verdict::TrueIf(cases) = comparison.finding(Meaning::Detail).verdict else {
        panic!("{:?}", comparison.finding(Meaning::Detail))
    };
    for optics in [OpticsGrade::Good, OpticsGrade::Soft] {
        for air in AirGrade::ALL {
            assert!(!cases.holds(optics, air), "{cases}");
            assert!(comparison.cell(optics, air).ratio < 1.08);
        }
    }
    assert!(cases.holds(OpticsGrade::Perfect, AirGrade::Calm));
    // Twice the pixels, yet even perfect optics in calm air show less than a third more.
    assert!(comparison.cell(OpticsGrade::Perfect, AirGrade::Calm).ratio < 1.34);
    // In warm air it is the air that limits both.
    let warm = comparison.cell(OpticsGrade::Good, AirGrade::Warm);
    assert_eq!(
        (warm.first.limit, warm.second.limit),
        (Limit::Air, Limit::Air)
    );
    // At a contrast of one tenth too the gain ends: past Q = 2, that is N = 2 · 3.2/0.55 = 11.6, no
    // new pattern comes in, and what is left is the pixels' own blur, which soon no longer matters.
    let best = (OpticsGrade::Perfect, AirGrade::Calm);
    let assumptions = Assumptions {
        contrast: 0.1,
        ..Assumptions::default()
    };
    let Some(ConverterGain::UpTo { f_number }) =
        ConverterGain::of(&kit, &scene(), &assumptions, best).unwrap()
    else {
        panic!("no end of the gain")
    };
    assert!(f_number > 11.6 && f_number < 3.0 * 11.6, "{f_number}");
}

/// Far enough away, warm air leaves both kits the same detail; the nearer the subject, the more the
/// better kit shows.
#[test]
fn the_air_makes_kits_equal_from_some_distance_on() {
    let near = contender(4.0, None, large());
    let weak = Contender::from(Kit::new(
        Lens::new(LensSpec {
            focal_length_mm: 300.0,
            f_number: 4.0,
            minimum_focus_m: 1.5,
            ..LensSpec::THIN
        })
        .unwrap(),
        None,
        large(),
    ));
    let assumptions = Assumptions::default();
    let at = |distance_m: f64| {
        let scene = Scene::new(SceneSpec {
            subject_m: 0.55,
            distance_m,
            ..SceneSpec::STILL
        })
        .unwrap();
        Comparison::of(&near, &weak, &scene, &assumptions).unwrap()
    };
    let EqualThroughAir::From { distance_m } = at(40.0).equal_through_air else {
        panic!("{:?}", at(40.0).equal_through_air)
    };
    assert!(
        at(distance_m * 1.01)
            .cell(OpticsGrade::Good, AirGrade::Warm)
            .ratio
            <= 1.08
    );
    assert!(
        at(distance_m * 0.9)
            .cell(OpticsGrade::Good, AirGrade::Warm)
            .ratio
            > 1.08
    );
    assert!(
        at(5.0).cell(OpticsGrade::Good, AirGrade::Warm).ratio
            > at(50.0).cell(OpticsGrade::Good, AirGrade::Warm).ratio
    );
}

/// A measured lens takes the place of the grades: what is left of the band is the converter's and
/// the air's.
#[test]
fn a_measured_lens_is_no_longer_assumed() {
    let points = vec![
        MtfPoint {
            lp_per_mm: 20.0,
            contrast: 0.9,
        },
        MtfPoint {
            lp_per_mm: 40.0,
            contrast: 0.75,
        },
    ];
    let measured = Some(LensQuality::Measured(MeasuredMtf::new(points).unwrap()));
    let bare = Contender {
        measured,
        ..contender(4.0, None, large())
    };
    let comparison = Comparison::of(
        &bare,
        contender(4.0, None, large()),
        &scene(),
        &Assumptions::default(),
    )
    .unwrap();
    let calm = |optics| {
        comparison
            .cell(optics, AirGrade::Calm)
            .first
            .at_subject_lp_per_mm
    };
    assert_eq!(calm(OpticsGrade::Perfect), calm(OpticsGrade::Soft));
    assert!(comparison.cell(OpticsGrade::Perfect, AirGrade::Calm).ratio < 1.0);
    assert!(comparison.cell(OpticsGrade::Soft, AirGrade::Calm).ratio > 1.0);
}

#[test]
fn assumptions_out_of_range_are_refused() {
    let kit = contender(4.0, None, large());
    for wrong in [
        Assumptions {
            contrast: f64::NAN,
            ..Assumptions::default()
        },
        Assumptions {
            contrast: 1.0,
            ..Assumptions::default()
        },
        Assumptions {
            circle_divisor: 0.0,
            ..Assumptions::default()
        },
        Assumptions {
            tolerance: -0.1,
            ..Assumptions::default()
        },
        Assumptions {
            detail_tolerance: f64::NAN,
            ..Assumptions::default()
        },
    ] {
        assert!(Comparison::of(&kit, &kit, &scene(), &wrong).is_err());
    }
    let too_near = Scene::new(SceneSpec {
        subject_m: 0.55,
        distance_m: 3.0,
        ..SceneSpec::STILL
    })
    .unwrap();
    assert!(Comparison::of(&kit, &kit, &too_near, &Assumptions::default()).is_err());
}

/// Findings read as sentences about the first kit, whatever the verdict.
#[test]
fn findings_read_the_right_way_round() {
    let kit = contender(4.0, Some(1.4), small(3.76));
    let cropped = Comparison::against_cropped(&kit, &scene(), &Assumptions::default())
        .unwrap()
        .unwrap();
    let told = |meaning| {
        cropped
            .finding(meaning)
            .against("the cropped lens")
            .to_string()
    };
    // Both frames are the same, and so is the pupil.
    assert_eq!(
        told(Meaning::Framing),
        "framing: not farther than the cropped lens"
    );
    assert_eq!(
        told(Meaning::Light),
        "light of the subject: not farther than the cropped lens"
    );
    assert_eq!(
        told(Meaning::Pixels),
        "pixels on the subject: farther than the cropped lens"
    );
    let claimed = judged(1260.0, 4.0).comparison;
    assert_eq!(
        claimed
            .finding(Meaning::Framing)
            .against("a 1260 mm lens")
            .to_string(),
        "framing: as far as a 1260 mm lens"
    );
    assert_eq!(
        claimed.finding(Meaning::Light).to_string(),
        "light of the subject: not as far"
    );
    // A verdict that depends on what nobody measured says on what.
    let detail = cropped.finding(Meaning::Detail);
    if let Verdict::TrueIf(cases) = detail.verdict {
        assert_eq!(
            detail.against("the cropped lens").to_string(),
            format!("detail resolved: farther than the cropped lens with {cases}")
        );
    }
    assert!(
        Meaning::ALL
            .iter()
            .enumerate()
            .all(|(place, &meaning)| { cropped.findings[place].meaning == meaning })
    );
}
