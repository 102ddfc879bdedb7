//! Every type that is written down: a sample file, there and back, and what must be refused.
#![cfg(feature = "serde")]
#![allow(clippy::unwrap_used)]

use std::path::Path;

use serde::{Serialize, de::DeserializeOwned};
use wrackline_tides::{AnalysisSpec, Convention, Port, Residual, SecondaryPort, Turn};

fn sample(name: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/samples");
    std::fs::read_to_string(folder.join(name)).unwrap()
}

/// Reads a sample, writes it, and expects the same document again: nothing lost, nothing added.
fn there_and_back<T: Serialize + DeserializeOwned + PartialEq + std::fmt::Debug>(name: &str) -> T {
    let text = sample(name);
    let value: T = serde_json::from_str(&text).unwrap();
    let written = serde_json::to_value(&value).unwrap();
    let document: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(written, document, "{name}");
    let again: T = serde_json::from_value(written).unwrap();
    assert_eq!(again, value);
    // A field nobody knows is refused, not ignored.
    if let serde_json::Value::Object(mut fields) = document
        && !name.starts_with("convention")
    {
        fields.insert("surprise".into(), 1.into());
        assert!(
            serde_json::from_value::<T>(fields.into()).is_err(),
            "{name}"
        );
    }
    value
}

#[test]
fn a_port() {
    let port: Port = there_and_back("port.json");
    assert_eq!(port.harmonics().count(), 3);
    let at = "2026-12-29T09:33:00Z".parse().unwrap();
    let again: Port = serde_json::from_str(&serde_json::to_string(&port).unwrap()).unwrap();
    assert_eq!(port.height_m(at).unwrap(), again.height_m(at).unwrap());
}

#[test]
fn a_port_that_cannot_be() {
    let text = sample("port.json");
    for (old, new, says) in [
        ("2.52", "-1", "amplitude of M2"),
        ("\"S2\"", "\"SS2X\"", "unknown constituent"),
        ("\"S2\"", "\"M2\"", "repeats"),
        ("0.53", "7", "share"),
        ("4.4", "1e9", "mean level"),
    ] {
        let broken = text.replacen(old, new, 1);
        assert_ne!(broken, text);
        let error = serde_json::from_str::<Port>(&broken)
            .unwrap_err()
            .to_string();
        assert!(error.contains(says), "{error}");
    }
}

#[test]
fn a_convention() {
    let convention: Convention = there_and_back("convention.json");
    assert!(matches!(convention, Convention::Custom(_)));
    let unknown = sample("convention.json").replace("\"clock\"", "\"clocks\"");
    assert!(serde_json::from_str::<Convention>(&unknown).is_err());
}

#[test]
fn the_rest() {
    let _: AnalysisSpec = there_and_back("analysis_spec.json");
    let _: SecondaryPort = there_and_back("secondary.json");
    let _: Residual = there_and_back("residual.json");
    let _: Turn = there_and_back("turn.json");
    let late = sample("secondary.json").replace("40.0", "400.0");
    assert!(
        serde_json::from_str::<SecondaryPort>(&late)
            .unwrap_err()
            .to_string()
            .contains("-360 to 360")
    );
    let doubt = sample("residual.json").replace("0.15", "-0.15");
    assert!(
        serde_json::from_str::<Residual>(&doubt)
            .unwrap_err()
            .to_string()
            .contains("standard_deviation_m")
    );
}

#[test]
fn a_latitude_is_checked_on_the_way_in() {
    let text = r#"{"foreman_instant":67.3}"#;
    let convention: Convention = serde_json::from_str(text).unwrap();
    assert_eq!(serde_json::to_string(&convention).unwrap(), text);
    let error = serde_json::from_str::<Convention>(r#"{"foreman_instant":97.3}"#).unwrap_err();
    assert!(error.to_string().contains("latitude 97.3 deg"), "{error}");
}

#[test]
fn marks_for_missing_readings_are_kept() {
    let mut spec = AnalysisSpec::new(Convention::IhoInstant);
    spec.missing_m = vec![-9999.0, 99.99];
    let text = serde_json::to_string(&spec).unwrap();
    assert_eq!(serde_json::from_str::<AnalysisSpec>(&text).unwrap(), spec);
}
