//! Waypoints from a text, whose form is told by what stands in it.

use std::path::Path;

use wrackline_plan::scenario::{Problem, Problems};

use super::geojson::read_geojson;
use super::gpx::read_gpx;
use super::waypoint::Waypoint;

/// The waypoints of a text, GPX or GeoJSON. `file` stands for it in messages.
///
/// # Errors
/// Every problem, with its line; there is at least one waypoint where there is none.
pub fn waypoints(file: &Path, text: &str) -> Result<Vec<Waypoint>, Problems> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let found = match text.trim_start().chars().next() {
        Some('<') => read_gpx(file, text),
        Some('{') => read_geojson(file, text),
        None => Err(one(file, 1, "", "is empty", HOW)),
        Some(_) => Err(one(file, 1, "", "is neither GPX nor GeoJSON", HOW)),
    }?;
    if found.is_empty() {
        return Err(one(file, 1, "", "holds no waypoint", HOW));
    }
    Ok(found)
}

const HOW: &str = "give waypoints as GPX 1.1 (<wpt>) or points as GeoJSON (RFC 7946)";

/// One problem of a file at a line.
pub(super) fn one(
    file: &Path,
    line: usize,
    field: &str,
    what: impl Into<String>,
    remedy: &str,
) -> Problems {
    let what = what.into();
    let found = problem(file, line, field, what.clone(), remedy);
    // A list of one is never empty; were it so, the file as a whole has the problem.
    Problems::collect(vec![found]).unwrap_or_else(|| Problems::one(file, what, remedy))
}

/// A problem at a line.
pub(super) fn problem(
    file: &Path,
    line: usize,
    field: &str,
    what: impl Into<String>,
    remedy: &str,
) -> Problem {
    Problem {
        file: file.to_owned(),
        line,
        column: 1,
        field: field.to_owned(),
        what: what.into(),
        remedy: remedy.to_owned(),
    }
}
