//! What the tests of drafts share.

use std::path::Path;

use wrackline_gather::draft::{Animal, Draft, Kind, Sketch, Spot, Waypoint};
use wrackline_plan::scenario::Scenario;

/// The port of the demo, as a part of a scenario.
pub(crate) fn port() -> String {
    let demo = wrackline_plan::scenario::DEMO;
    let start = demo.find("[port]").unwrap();
    let end = demo.find("[water]").unwrap();
    demo[start..end].to_owned()
}

/// A file with an animal and a kit, invented.
pub(crate) const ANIMALS: &str = r#"
[[subject]]
id = "slate-knotling"
name = "slate knotling"
length_m = 0.24
stand_off_on_foot_m = 20
stand_off_from_hide_m = 20
present = "all year"
"#;

pub(crate) fn point(latitude: f64, longitude: f64, name: &str, kind: Option<Kind>) -> Waypoint {
    let mut point = Waypoint::at(Spot::new(latitude, longitude).unwrap(), Some(name));
    point.kind = kind;
    point
}

/// A place and a seat 100 m south of it.
pub(crate) fn two() -> Vec<Waypoint> {
    vec![
        point(53.4016, 1.202, "Tallow Ness", Some(Kind::Place)),
        point(53.4007, 1.202, "Wall Seat", Some(Kind::Seat)),
    ]
}

/// A draft of some waypoints, about which nothing else is known.
pub(crate) fn bare(waypoints: Vec<Waypoint>) -> Draft {
    Draft {
        sketch: Sketch::of(waypoints).unwrap(),
        source: "waypoints.gpx".to_owned(),
        zone: Some("UTC".to_owned()),
        include: Vec::new(),
        table: None,
        has_port: false,
        animal: Animal::Unknown,
    }
}

/// A draft that knows the port and the animal.
pub(crate) fn with_port(waypoints: Vec<Waypoint>) -> Draft {
    Draft {
        include: vec!["port.toml".to_owned(), "animals.toml".to_owned()],
        has_port: true,
        animal: Animal::Included("slate-knotling".to_owned()),
        ..bare(waypoints)
    }
}

/// Reads a draft as a plan does, with the files that it may include.
pub(crate) fn read(text: &str) -> Scenario {
    let load = |path: &Path| match path.to_str() {
        Some("draft.toml") => Ok(text.to_owned()),
        Some("port.toml") => Ok(port()),
        Some("animals.toml") => Ok(ANIMALS.to_owned()),
        _ => Err("not there".to_owned()),
    };
    Scenario::parse_with(Path::new("draft.toml"), &load)
        .unwrap_or_else(|problems| panic!("{problems}\n{text}"))
}
