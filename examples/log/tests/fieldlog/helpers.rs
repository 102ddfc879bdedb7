//! What the tests share.

use std::path::PathBuf;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use tempfile::TempDir;
use wrackline_log::{Draft, Entry, Gate, Named, NamedSeat, Names};

/// A folder that goes away with the test, and a path in it.
pub(crate) fn room(name: &str) -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    (folder, path)
}

fn named(id: &str, name: &str) -> Named {
    Named {
        id: id.to_owned(),
        name: name.to_owned(),
    }
}

/// A gate with two places, held at a fixed present.
pub(crate) fn gate() -> Gate {
    let seat = |id, place: &str| NamedSeat {
        seat: named(id, id),
        place: place.to_owned(),
    };
    Gate {
        names: Names {
            places: vec![
                named("tallow-ness", "Tallow Ness"),
                named("brindle", "Brindle Saltings"),
            ],
            seats: vec![
                seat("A", "tallow-ness"),
                seat("B", "tallow-ness"),
                seat("C", "brindle"),
            ],
            subjects: vec![named("slate-knotling", "slate knotling")],
        },
        zone: TimeZone::get("Europe/Paris").unwrap(),
        now: "2026-11-25T12:00:00Z".parse::<Timestamp>().unwrap(),
    }
}

/// An entry from `field=text` pairs on top of the least that one needs.
pub(crate) fn entry(texts: &[(&str, &str)]) -> Entry {
    let mut draft = Draft::default();
    let least = [
        ("when", "2026-01-24T08:52Z"),
        ("place", "tallow-ness"),
        ("subject", "slate-knotling"),
        ("outcome", "picture"),
    ];
    for (name, text) in least.iter().chain(texts) {
        draft.set(name, text).unwrap();
    }
    gate().accept(&draft).unwrap()
}
