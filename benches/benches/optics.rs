//! Optics: one framing, one depth of field, one trace of a prescription, one MTF50, one verdict,
//! beside peers.
//!
//! The peers are cherry-rs, a library for sequential optical design, for the paraxial trace; a ray
//! traced by nalgebra's matrices and halving, as one would do without the closed form, for the
//! framing; and the walk along a tabulated MTF for the MTF50.
#![allow(clippy::unwrap_used, reason = "a benchmark fails by panicking")]

use std::hint::black_box;

use cherry_rs::{
    FieldSpec, GapSpec, ParaxialView, PupilSampling, RealSpec, RefractiveIndexSpec,
    SequentialModel, SubModelID, SurfaceSpec, SurfaceType,
};
use criterion::{Criterion, criterion_group, criterion_main};
use nalgebra::Matrix2;
use wrackline_optics::{
    Assumptions, Chain, ChainSpec, CircleOfConfusion, Claim, ClaimSpec, Contender, Converter,
    ExtensionTube, FrameShare, Judgement, Kit, Lens, LensSpec, Scene, SceneSpec, Sensor,
    SensorSpec,
    ray::{Cardinals, Shape, Surface},
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

fn kit() -> Kit {
    let lens = Lens::new(LensSpec {
        focal_length_mm: 600.0,
        f_number: 4.0,
        minimum_focus_m: 4.3,
        ..LensSpec::THIN
    })
    .unwrap();
    Kit::new(lens, Some(Converter::new(1.4).unwrap()), sensor())
}

/// Size of the image of an object by tracing: the sensor is moved until the matrix from subject to
/// sensor images.
fn traced_share(subject_m: f64, distance_m: f64) -> f64 {
    let lens = Matrix2::new(1.0, 0.0, -1.0 / 600.0, 1.0);
    let gap = |millimetres: f64| Matrix2::new(1.0, millimetres, 0.0, 1.0);
    let whole = |image_mm: f64| gap(image_mm) * lens * gap(distance_m * 1000.0 - image_mm);
    let (mut low, mut high) = (600.0, 1200.0);
    for _ in 0..52 {
        let middle = 0.5 * (low + high);
        if whole(middle).m12 > 0.0 {
            low = middle
        } else {
            high = middle
        }
    }
    -whole(high).m11 * 1.4 * subject_m * 1000.0 / 36.0
}

fn framing(c: &mut Criterion) {
    let kit = kit();
    let ours = |distance_m: f64| {
        kit.focused_at_m(distance_m)
            .unwrap()
            .frame_share(0.24)
            .unwrap()
    };
    for distance_m in [5.0, 16.0, 40.0, 85.0, 300.0] {
        assert!((ours(distance_m) / traced_share(0.24, distance_m) - 1.0).abs() < 1e-9);
    }
    let mut group = c.benchmark_group("optics/framing");
    group.bench_function("wrackline", |b| b.iter(|| ours(black_box(85.0))));
    group.bench_function("matrices and halving", |b| {
        b.iter(|| traced_share(0.24, black_box(85.0)))
    });
    group.bench_function("wrackline, share to distance", |b| {
        b.iter(|| {
            kit.distance_for_share(black_box(FrameShare {
                subject_m: 0.24,
                share: 0.35,
            }))
        })
    });
    // A lens that breathes, on a tube: its travel is cut where the distance turns, and searched.
    let spec = LensSpec {
        focal_length_mm: 100.0,
        f_number: 2.8,
        minimum_focus_m: 0.3,
        ..LensSpec::THIN
    };
    let close = Kit::new(Lens::breathing_to(spec, 1.0).unwrap(), None, sensor())
        .with_tube(ExtensionTube::new(50.0).unwrap());
    let middle_m = 0.5 * (close.minimum_focus_m() + close.farthest_focus().distance_m().unwrap());
    let found = close.focused_at_m(middle_m).unwrap();
    assert!((found.sensor_distance_m() / middle_m - 1.0).abs() < 1e-12);
    group.bench_function("wrackline, a breathing lens on a tube", |b| {
        b.iter(|| close.focused_at_m(black_box(middle_m)))
    });
    let distances: Vec<f64> = (0..1000).map(|i| 5.0 + 0.3 * f64::from(i)).collect();
    let mut shares = vec![0.0; distances.len()];
    kit.fill_frame_shares(0.24, &distances, &mut shares)
        .unwrap();
    assert!(
        distances
            .iter()
            .zip(&shares)
            .all(|(at, share)| *share == ours(*at))
    );
    group.bench_function("wrackline, a thousand distances", |b| {
        b.iter(|| kit.fill_frame_shares(0.24, black_box(&distances), &mut shares))
    });
    let circle = CircleOfConfusion::pixels(kit.sensor(), 2.0).unwrap();
    let focused = kit.focused_at_m(85.0).unwrap();
    group.bench_function("wrackline, depth of field", |b| {
        b.iter(|| black_box(&focused).depth_of_field(circle))
    });
    group.finish();
}

/// Radius, gap to the next vertex and index behind it, of the telephoto in M. Laikin, *Lens
/// Design*, 4th ed., p. 91; a radius of zero is the stop.
const TELEPHOTO: [(f64, f64, f64); 9] = [
    (21.81606, 6.07314, 1.516_800_034_500_588_5),
    (-68.33108, 2.286, 1.664_460_193_484_013_8),
    (77.00772, 1.22174, 1.0),
    (0.0, 26.28138, 1.0),
    (-14.5161, 2.286, 1.508_469_328_084_981_7),
    (-18.85442, 2.5527, 1.785_824_557_888_992_6),
    (-29.03982, 0.39624, 1.0),
    (-432.78552, 2.01422, 1.717_359_848_476_689_2),
    (-70.3453, 80.0, 1.0),
];

fn surfaces() -> Vec<Surface> {
    TELEPHOTO
        .iter()
        .map(|&(radius_mm, to_next_mm, index_after)| Surface {
            shape: if radius_mm == 0.0 {
                Shape::Plane
            } else {
                Shape::Sphere { radius_mm }
            },
            to_next_mm,
            index_after,
            stop: radius_mm == 0.0,
        })
        .collect()
}

fn peer_model() -> SequentialModel {
    let index = |real: f64| RefractiveIndexSpec {
        real: RealSpec::Constant(real),
        imag: None,
    };
    let mut gaps = vec![GapSpec {
        thickness: f64::INFINITY,
        refractive_index: index(1.0),
    }];
    let mut surfaces = vec![SurfaceSpec::Object];
    for &(radius, gap, behind) in &TELEPHOTO {
        gaps.push(GapSpec {
            thickness: gap,
            refractive_index: index(behind),
        });
        surfaces.push(if radius == 0.0 {
            SurfaceSpec::Stop { semi_diameter: 9.0 }
        } else {
            SurfaceSpec::Conic {
                semi_diameter: 30.0,
                radius_of_curvature: radius,
                conic_constant: 0.0,
                surf_type: SurfaceType::Refracting,
            }
        });
    }
    surfaces.push(SurfaceSpec::Image);
    SequentialModel::new(&gaps, &surfaces, &[0.55]).unwrap()
}

fn trace(c: &mut Criterion) {
    let surfaces = surfaces();
    let model = peer_model();
    let fields = [FieldSpec::Angle {
        angle: 0.0,
        pupil_sampling: PupilSampling::ChiefAndMarginalRays,
    }];
    let peer = || ParaxialView::new(&model, &fields, false).unwrap();
    let id: SubModelID = *peer().subviews().keys().next().unwrap();
    let ours = Cardinals::of_surfaces(&surfaces).unwrap();
    let view = peer();
    let theirs = &view.subviews()[&id];
    assert!((ours.focal_length_mm / theirs.effective_focal_length() - 1.0).abs() < 1e-9);
    assert!((ours.back_focus_mm / theirs.back_focal_distance() - 1.0).abs() < 1e-9);
    let mut group = c.benchmark_group("optics/trace of nine surfaces");
    group.bench_function("wrackline", |b| {
        b.iter(|| Cardinals::of_surfaces(black_box(&surfaces)))
    });
    group.bench_function("cherry-rs", |b| b.iter(|| black_box(peer())));
    group.finish();
}

/// The MTF50 by walking along a table of ten thousand values and drawing a straight line in the
/// last step.
fn tabulated_mtf50(chain: &Chain) -> f64 {
    let step = chain.cutoff_lp_per_mm() / 10_000.0;
    let mut before = 1.0;
    for number in 1..10_000 {
        let here = chain.transfers(f64::from(number) * step).unwrap().product();
        if here <= 0.5 {
            return (f64::from(number) - (0.5 - here) / (before - here)) * step;
        }
        before = here;
    }
    chain.cutoff_lp_per_mm()
}

fn mtf50(c: &mut Criterion) {
    let chain = Chain::new(ChainSpec {
        f_number: 5.6,
        wavelength_um: 0.55,
        pixel_pitch_um: 3.76,
    })
    .unwrap();
    let ours = || chain.frequency_at_contrast(black_box(0.5)).unwrap();
    // A straight line over a ten-thousandth of the cut-off leaves a curvature error of about 1e-9.
    assert!((ours() / tabulated_mtf50(&chain) - 1.0).abs() < 1e-7);
    let mut group = c.benchmark_group("optics/MTF50");
    group.bench_function("wrackline", |b| b.iter(ours));
    group.bench_function("table of ten thousand", |b| {
        b.iter(|| tabulated_mtf50(black_box(&chain)))
    });
    group.finish();
}

fn verdict(c: &mut Criterion) {
    let contender = Contender::from(kit());
    let claim = Claim::new(ClaimSpec {
        focal_length_mm: 1260.0,
        f_number: 4.0,
        reference: sensor(),
    })
    .unwrap();
    let scene = Scene::new(SceneSpec {
        subject_m: 0.55,
        distance_m: 40.0,
        ..SceneSpec::STILL
    })
    .unwrap();
    let assumptions = Assumptions::default();
    let judge = || Judgement::of(black_box(&contender), &claim, &scene, &assumptions).unwrap();
    assert!((judge().lens.focal_length_mm - 840.0).abs() < 1e-9);
    c.bench_function("optics/full verdict of a claim", |b| b.iter(judge));
}

criterion_group!(optics, framing, trace, mtf50, verdict);
criterion_main!(optics);
