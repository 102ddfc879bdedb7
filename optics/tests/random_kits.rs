//! What a kit focuses on by its magnification it also focuses on by its distance, over random kits:
//! lenses moved as a whole and lenses whose focal length falls or grows when close, with tubes up
//! to twice their focal length, and converters.
//!
//! Every kit is held against a plain walk along its mechanism that knows nothing of the library:
//! the relations of a thick lens at 200 settings. The ordinary run takes 20,000 kits, a second or
//! so: the faults that this law was written for showed in one kit of 350, so it would have met them
//! more than fifty times. `RANDOM_KITS=1000000 cargo test -p wrackline-optics --release --test
//! random_kits` runs a million, which every change to the focusing must pass.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking, in its helpers too"
)]

use wrackline_optics::{
    Converter, ConverterSpec, Error, ExtensionTube, FarLimit, Focused, Kit, Lens, LensSpec, Sensor,
    SensorSpec,
};

/// Numbers that are the same in every run (a counter hashed by the finaliser of SplitMix64; G. L.
/// Steele, D. Lea and C. H. Flood, *OOPSLA* 2014).
struct Random(u64);

impl Random {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        (z >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    fn or_not(&mut self, chance: f64) -> bool {
        self.unit() < chance
    }
}

/// A kit, and the figures that it was made of, for the walk.
#[derive(Debug)]
struct Case {
    focal_mm: f64,
    /// Focal length with the mechanism at its nearest.
    close_mm: f64,
    separation_mm: f64,
    pupils: f64,
    largest: f64,
    tube_mm: f64,
    factor: f64,
    shift_mm: f64,
    kit: Kit,
}

/// What a setting shows: magnification (with the converter), metres from the sensor plane and from
/// the entrance pupil.
#[derive(Debug, Clone, Copy)]
struct Shown {
    magnification: f64,
    distance_m: f64,
    pupil_m: f64,
}

impl Case {
    fn random(random: &mut Random) -> Option<Self> {
        let focal_mm = random.between(10.0, 1000.0);
        let separation_mm = focal_mm * random.between(-0.5, 0.5);
        let pupils = random.between(0.3, 3.0);
        let breathes = random.or_not(0.7);
        let largest = if breathes {
            random.between(0.05, 1.6)
        } else {
            random.between(0.05, 3.0)
        };
        let close_mm = if breathes {
            focal_mm * random.between(0.4, 1.3)
        } else {
            focal_mm
        };
        let distance_mm = close_mm * (2.0 + largest + 1.0 / largest) + separation_mm;
        let spec = LensSpec {
            focal_length_mm: focal_mm,
            f_number: 4.0,
            minimum_focus_m: distance_mm / 1000.0,
            pupil_magnification: pupils,
            principal_separation_mm: separation_mm,
        };
        let lens = if breathes {
            // Some would let the subject recede before they are at their nearest: those are
            // refused, not built.
            Lens::breathing_to(spec, largest).ok()?
        } else {
            Lens::new(spec.to_life_size())
                .unwrap()
                .reaching(largest)
                .unwrap()
        };
        let (factor, shift_mm) = if random.or_not(0.5) {
            (random.between(1.0, 2.5), random.between(0.0, 60.0))
        } else {
            (1.0, 0.0)
        };
        let tube_mm = if random.or_not(0.75) {
            focal_mm * 2.0 * random.unit().powi(3) + 0.01
        } else {
            0.0
        };
        let sensor = Sensor::new(SensorSpec {
            width_mm: 36.0,
            height_mm: 24.0,
            columns: 8000,
            rows: 5333,
        })
        .unwrap();
        let converter = Converter::from_spec(ConverterSpec {
            factor,
            transmittance: 1.0,
            image_shift_mm: shift_mm,
        })
        .unwrap();
        let kit = Kit::new(lens, Some(converter), sensor);
        let kit = if tube_mm > 0.0 {
            kit.with_tube(ExtensionTube::new(tube_mm).unwrap())
        } else {
            kit
        };
        Some(Self {
            focal_mm,
            close_mm,
            separation_mm,
            pupils,
            largest,
            tube_mm,
            factor,
            shift_mm,
            kit,
        })
    }

    /// The thick lens with its mechanism at `part` of its travel.
    fn at(&self, part: f64) -> Shown {
        let f = self.focal_mm + (self.close_mm - self.focal_mm) * part;
        let m = self.largest * part + self.tube_mm / f;
        Shown {
            magnification: self.factor * m,
            distance_m: (f * (2.0 + m + 1.0 / m) + self.separation_mm + self.shift_mm) / 1000.0,
            pupil_m: f * (1.0 / m + 1.0 / self.pupils) / 1000.0,
        }
    }

    fn walk(&self) -> impl Iterator<Item = Shown> + '_ {
        const STEPS: u32 = 200;
        let first = u32::from(self.tube_mm == 0.0);
        (first..=STEPS).map(|step| self.at(f64::from(step) / f64::from(STEPS)))
    }
}

fn close(one: f64, other: f64) -> bool {
    (one / other - 1.0).abs() <= 1e-9
}

fn finite(focused: &Focused) -> bool {
    [
        focused.magnification(),
        focused.sensor_distance_m(),
        focused.entrance_pupil_distance_m(),
        focused.working_f_number(),
        focused.angle_of_view().across_deg,
    ]
    .iter()
    .all(|value| value.is_finite() && *value > 0.0)
}

fn check(case: &Case) {
    let kit = &case.kit;
    let (nearest_m, farthest) = (kit.minimum_focus_m(), kit.farthest_focus());
    let farthest_m = farthest.distance_m().unwrap_or(f64::INFINITY);
    let (least, most) = (kit.smallest_magnification(), kit.largest_magnification());
    // The limits bound whatever the mechanism shows.
    for (step, shown) in case.walk().enumerate() {
        assert!(
            nearest_m <= shown.distance_m * (1.0 + 1e-9),
            "{nearest_m} {shown:?} {case:?}"
        );
        assert!(
            farthest_m >= shown.distance_m * (1.0 - 1e-9),
            "{farthest_m} {shown:?} {case:?}"
        );
        assert!(
            least <= shown.magnification * (1.0 + 1e-9),
            "{least} {shown:?} {case:?}"
        );
        assert!(
            most >= shown.magnification * (1.0 - 1e-9),
            "{most} {shown:?} {case:?}"
        );
        // Each way of focusing reaches it, and does not let go of what was asked for. Every eighth
        // setting will do.
        if step % 8 != 0 {
            continue;
        }
        let by_distance = kit.focused_at_m(shown.distance_m);
        let by_pupil = kit.focused_at_pupil_m(shown.pupil_m);
        let by_size = kit.focused_at_magnification(shown.magnification);
        for focused in [&by_distance, &by_pupil, &by_size] {
            assert!(
                focused.as_ref().is_ok_and(finite),
                "{focused:?} {shown:?} {case:?}"
            );
        }
        let distant = by_distance.unwrap();
        assert!(
            close(distant.sensor_distance_m(), shown.distance_m),
            "{case:?}"
        );
        assert!(
            close(by_pupil.unwrap().entrance_pupil_distance_m(), shown.pupil_m),
            "{case:?}"
        );
        let sized = by_size.unwrap();
        assert!(
            close(sized.magnification(), shown.magnification),
            "{case:?}"
        );
        // Whatever the library itself reaches by size it accepts by distance, from either end.
        let again = kit.focused_at_m(sized.sensor_distance_m());
        assert!(again.is_ok(), "{again:?} {shown:?} {case:?}");
        let again = kit.focused_at_pupil_m(sized.entrance_pupil_distance_m());
        assert!(again.is_ok(), "{again:?} {shown:?} {case:?}");
        // Two settings may belong to a distance: the smaller picture is the one that is given.
        assert!(
            distant.magnification() <= shown.magnification * (1.0 + 1e-6),
            "{distant:?} {shown:?} {case:?}"
        );
    }
    // The limits are reached, and what is refused beyond them is told the right way.
    assert!(kit.focused_at_m(nearest_m).is_ok(), "{case:?}");
    match kit.focused_at_m(nearest_m * 0.999) {
        Err(Error::NearerThanMinimumFocus {
            minimum_m, remedy, ..
        }) => {
            assert_eq!(minimum_m, nearest_m);
            let tubes = match (most >= case.factor, case.tube_mm > 0.0) {
                (true, _) => "",
                (false, true) => "longer",
                (false, false) => "add",
            };
            assert!(
                remedy.contains(tubes) && (!tubes.is_empty() || remedy.is_empty()),
                "{case:?}"
            );
        }
        Err(Error::CloserThanFourFocalLengths {
            nearest_m: told, ..
        }) => {
            assert_eq!(told, nearest_m);
        }
        other => panic!("{other:?} {case:?}"),
    }
    if let FarLimit::At { distance_m } = farthest {
        assert!(kit.focused_at_m(distance_m).is_ok(), "{case:?}");
        let farther = kit.focused_at_m(distance_m * 1.001);
        let told = matches!(farther, Err(Error::FartherThanTubeAllows { .. }));
        assert!(told, "{farther:?} {case:?}");
        assert!(kit.at_infinity().is_err());
    }
}

#[test]
fn what_is_reached_by_size_is_reached_by_distance() {
    let wanted: u32 = std::env::var("RANDOM_KITS").map_or(20_000, |text| text.parse().unwrap());
    let mut random = Random(20_261_126);
    let mut checked = 0;
    let mut refused = 0;
    while checked < wanted {
        match Case::random(&mut random) {
            Some(case) => {
                check(&case);
                checked += 1;
            }
            None => refused += 1,
        }
    }
    // Most of what is drawn is a kit: a test that threw nearly everything away would say little.
    assert!(refused < wanted, "{refused} refused for {wanted} checked");
}

/// A lens of 100 mm that shows 1:1 at 0.395 m with 50 mm of tube. Its focal length falls from 100
/// to 98.75 mm, so the image lies g = 50 + 100 s - 1.25 s² mm behind the focus (s the lens's own
/// magnification) and D = (f + g)²/g, which is 397.45 mm at s = 0.523 (f = 99.346, g = 101.958) and
/// more on either side.
#[test]
fn a_tube_past_life_size_on_a_lens_that_breathes() {
    let spec = LensSpec {
        focal_length_mm: 100.0,
        f_number: 2.8,
        minimum_focus_m: 0.395,
        ..LensSpec::THIN
    };
    let sensor = Sensor::new(SensorSpec {
        width_mm: 36.0,
        height_mm: 24.0,
        columns: 8000,
        rows: 5333,
    })
    .unwrap();
    let kit = Kit::new(Lens::breathing_to(spec, 1.0).unwrap(), None, sensor)
        .with_tube(ExtensionTube::new(50.0).unwrap());
    assert!(
        (kit.minimum_focus_m() - 0.39745).abs() < 5e-6,
        "{}",
        kit.minimum_focus_m()
    );
    assert!(kit.focused_at_m(0.3976).is_ok());
    let refused = kit.focused_at_m(0.39).unwrap_err().to_string();
    assert!(refused.contains("step back to 0.39745"), "{refused}");
    assert!(!refused.contains("tube"), "{refused}");
}

/// A lens of 60 mm that shows 0.14 at 0.60 m: its focal length grows to 600/(2 + 0.14 + 1/0.14) =
/// 64.635 mm. With 150 mm of tube that takes more of the magnification than the lens adds: 150/60 =
/// 2.5 at infinity, 0.14 + 150/64.635 = 2.4607 at its nearest.
#[test]
fn a_focal_length_that_grows_on_a_long_tube() {
    let spec = LensSpec {
        focal_length_mm: 60.0,
        f_number: 2.8,
        minimum_focus_m: 0.60,
        ..LensSpec::THIN
    };
    let lens = Lens::breathing_to(spec, 0.14).unwrap();
    let sensor = Sensor::new(SensorSpec {
        width_mm: 36.0,
        height_mm: 24.0,
        columns: 8000,
        rows: 5333,
    })
    .unwrap();
    let kit = Kit::new(lens, None, sensor).with_tube(ExtensionTube::new(150.0).unwrap());
    assert!((kit.largest_magnification() - 2.5).abs() < 1e-12);
    assert!((kit.smallest_magnification() - 2.4607).abs() < 5e-5);
    let focused = kit.focused_at_magnification(2.48).unwrap();
    assert!(finite(&focused));
    assert!(kit.focused_at_m(focused.sensor_distance_m()).is_ok());
}
