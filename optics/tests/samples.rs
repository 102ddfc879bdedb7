//! Every type that can be written down has a sample in `tests/data/samples/`: it reads, writes back
//! the same, refuses unknown fields, and keeps its invariant.
#![cfg(feature = "serde")]
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking, in its helpers too"
)]

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use wrackline_optics::{
    Air, Aspect, Assumptions, BlurLimit, ChainSpec, CircleOfConfusion, Claim, ClosePair,
    Comparison, Contender, Converter, DepthWish, Diffraction, Elsewhere, Exposure, ExtensionTube,
    FarLimit, Focus, FrameShare, FrameSide, Judgement, Kit, Lens, Measure, Motion, Print,
    PrintViewing, Scene, Sensor, Shake, SharpBetween, Sky, Subject, Zoom,
    detail::{LensQuality, Mosaic, Wavefront},
    exposure::ReciprocalRule,
    ray::{Surface, Telephoto, TwoGroups},
    reach::Statement,
};

/// Adds a field that no type knows to the innermost object of the first path down.
fn with_unknown_field(value: &Value) -> Option<Value> {
    let mut changed = value.clone();
    let object = changed.as_object_mut()?;
    // The variant of an enum is an object of one object: the field goes inside.
    if object.len() == 1
        && let Some(inner) = object.values_mut().next()
        && inner.is_object()
    {
        *inner = with_unknown_field(inner)?;
        return Some(changed);
    }
    object.insert("colour".into(), Value::from(1));
    Some(changed)
}

fn check<T: Serialize + DeserializeOwned>(name: &str, text: &str) {
    let sample: Value = serde_json::from_str(text).unwrap();
    let value: T =
        serde_json::from_value(sample.clone()).unwrap_or_else(|error| panic!("{name}: {error}"));
    assert_eq!(serde_json::to_value(&value).unwrap(), sample, "{name}");
    if let Some(unknown) = with_unknown_field(&sample) {
        let error = serde_json::from_value::<T>(unknown)
            .err()
            .unwrap_or_else(|| panic!("{name} took an unknown field"));
        let message = error.to_string();
        assert!(
            message.contains("colour") || message.contains("single key"),
            "{name}: {message}"
        );
    }
}

macro_rules! samples {
    ($($name:literal: $type:ty,)*) => {
        /// The samples that are checked, so that none in the folder is left out.
        const NAMES: &[&str] = &[$($name),*];

        #[test]
        fn every_sample_reads_and_writes_back() {
            $(check::<$type>($name, include_str!(concat!("data/samples/", $name, ".json")));)*
        }
    };
}

samples! {
    "air": Air,
    "aspect": Aspect,
    "assumptions": Assumptions,
    "blur_limit": BlurLimit,
    "chain_spec": ChainSpec,
    "circle": CircleOfConfusion,
    "claim": Claim,
    "close_pair": ClosePair,
    "contender": Contender,
    "converter": Converter,
    "depth_wish": DepthWish,
    "diffraction": Diffraction,
    "elsewhere": Elsewhere,
    "exposure": Exposure,
    "far_limit": FarLimit,
    "focus": Focus,
    "frame_share": FrameShare,
    "frame_side": FrameSide,
    "kit": Kit,
    "lens": Lens,
    "lens_breathing": Lens,
    "lens_quality": LensQuality,
    "measure": Measure,
    "mosaic": Mosaic,
    "motion": Motion,
    "print": Print,
    "print_viewing": PrintViewing,
    "reciprocal_rule": ReciprocalRule,
    "scene": Scene,
    "sensor": Sensor,
    "sensor_by_pitch": Sensor,
    "shake": Shake,
    "sharp_between": SharpBetween,
    "sky": Sky,
    "statement": Statement,
    "subject": Subject,
    "surface": Surface,
    "telephoto": Telephoto,
    "tube": ExtensionTube,
    "two_groups": TwoGroups,
    "wavefront": Wavefront,
    "zoom": Zoom,
}

#[test]
fn every_file_is_checked() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/samples");
    for entry in std::fs::read_dir(folder).unwrap() {
        let name = entry
            .unwrap()
            .path()
            .file_stem()
            .unwrap()
            .to_str()
            .unwrap()
            .to_owned();
        assert!(NAMES.contains(&name.as_str()), "{name}");
    }
}

#[test]
fn invariants_hold_on_the_way_in() {
    let refused = |error: Option<serde_json::Error>, word: &str| {
        let message = error.unwrap().to_string();
        assert!(message.contains(word), "{message}");
    };
    let lens = r#"{"focal_length_mm": 600, "f_number": 0, "minimum_focus_m": 4.5}"#;
    refused(serde_json::from_str::<Lens>(lens).err(), "f-number");
    let breathing = r#"{"focal_length_mm": 600, "f_number": 4, "minimum_focus_m": 0.1,
        "breathing_to_magnification": 0.15}"#;
    refused(
        serde_json::from_str::<Lens>(breathing).err(),
        "focal length at minimum focus",
    );
    refused(
        serde_json::from_str::<Converter>(r#"{"factor": 0.5}"#).err(),
        "converter factor",
    );
    refused(
        serde_json::from_str::<Wavefront>("0.5").err(),
        "rms wavefront error",
    );
    refused(
        serde_json::from_str::<Air>(r#"{"even": {"cn2": 1}}"#).err(),
        "turbulence",
    );
    let sensor = r#"{"width_mm": 36, "height_mm": 24, "columns": 9000, "rows": 6383,
        "pixel_pitch_um": 3.76}"#;
    refused(
        serde_json::from_str::<Sensor>(sensor).err(),
        "pixel columns",
    );
    refused(
        serde_json::from_str::<Sensor>(r#"{"width_mm": 36, "height_mm": 24}"#).err(),
        "pixel columns",
    );
    // Two statements of one thing agree, or are refused.
    let contradicting = [
        r#"{"focal_length_mm": 100, "f_number": 4, "minimum_focus_m": 0.2,
            "largest_magnification": 2}"#,
        r#"{"focal_length_mm": 100, "f_number": 4, "minimum_focus_m": 0.3,
            "breathing_to_magnification": 1, "largest_magnification": 2}"#,
    ];
    for text in contradicting {
        refused(serde_json::from_str::<Lens>(text).err(), "does not agree");
    }
    // A minimum focus within four focal lengths is kept with its magnification, and refused
    // without.
    let close = r#"{"focal_length_mm": 100, "f_number": 4, "minimum_focus_m": 0.3}"#;
    refused(
        serde_json::from_str::<Lens>(close).err(),
        "four focal lengths",
    );
    let close = close.replace('}', r#", "breathing_to_magnification": 1}"#);
    let lens: Lens = serde_json::from_str(&close).unwrap();
    assert_eq!(lens.spec().minimum_focus_m, 0.3);
    // What is left out is what is unknown.
    let lens: Lens =
        serde_json::from_str(r#"{"focal_length_mm": 600, "f_number": 4, "minimum_focus_m": 4.5}"#)
            .unwrap();
    assert_eq!(
        (
            lens.spec().pupil_magnification,
            lens.spec().principal_separation_mm
        ),
        (1.0, 0.0)
    );
}

/// A result holds no infinity, which JSON does not know: it would be written as null.
#[test]
fn results_are_whole_in_json() {
    let text = include_str!("data/samples/kit.json");
    let kit: Kit = serde_json::from_str(text).unwrap();
    let claim: Claim = serde_json::from_str(include_str!("data/samples/claim.json")).unwrap();
    let spec = wrackline_optics::SceneSpec {
        subject_m: 0.55,
        distance_m: 20.0,
        ..wrackline_optics::SceneSpec::STILL
    };
    let scene = Scene::new(spec).unwrap();
    let judgement = Judgement::of(kit, &claim, &scene, &Assumptions::default()).unwrap();
    let value = serde_json::to_value(&judgement).unwrap();
    fn nulls(path: String, value: &Value, found: &mut Vec<String>) {
        match value {
            Value::Null => found.push(path),
            Value::Array(items) => items
                .iter()
                .enumerate()
                .for_each(|(at, item)| nulls(format!("{path}/{at}"), item, found)),
            Value::Object(fields) => fields
                .iter()
                .for_each(|(name, field)| nulls(format!("{path}/{name}"), field, found)),
            _ => {}
        }
    }
    let mut found = vec![];
    nulls(String::new(), &value, &mut found);
    // Only what may be missing is missing.
    assert!(
        found.iter().all(|path| path.ends_with("below_airy")),
        "{found:?}"
    );
    let _: &Comparison = &judgement.comparison;
}
