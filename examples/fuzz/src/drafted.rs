//! What the targets for both forms of waypoints share.

use std::path::Path;

use wrackline_gather::draft::{Animal, Draft, Sketch, waypoints};
use wrackline_plan::scenario::Scenario;

/// Reads a text as waypoints; what was read becomes a draft that a plan takes, in which every seat
/// is closed.
pub fn as_draft(text: &str) {
    let points = match waypoints(Path::new("fuzz"), text) {
        Ok(points) => points,
        Err(problems) => {
            assert!(problems.iter().all(|problem| problem.line >= 1));
            assert!(!problems.to_string().contains('\u{1b}'));
            return;
        }
    };
    let Ok(sketch) = Sketch::of(points) else {
        return;
    };
    let draft = Draft {
        sketch,
        source: "fuzz".to_owned(),
        zone: None,
        include: Vec::new(),
        table: None,
        has_port: false,
        animal: Animal::Unknown,
    };
    let text = draft.to_toml();
    let scenario = Scenario::parse("draft.toml", &text).unwrap_or_else(|problems| {
        panic!("{problems}\n{text}");
    });
    assert_eq!(scenario.closures().len(), scenario.seats().len());
}
