//! Points of a GeoJSON text (RFC 7946: longitude first, WGS84).

use std::path::Path;
use std::str::FromStr;

use geojson::{Feature, GeometryValue, Position};
use serde::Deserialize;
use serde_json::value::RawValue;
use wrackline_plan::scenario::{Problem, Problems};

use super::globe::Spot;
use super::gpx::MOST;
use super::names::plain;
use super::read::{one, problem};
use super::waypoint::{Kind, Waypoint};

/// The outer object, whose features are still text, so that each is known by its line.
#[derive(Deserialize)]
struct Outer<'t> {
    #[serde(rename = "type")]
    kind: String,
    #[serde(borrow, default)]
    features: Vec<&'t RawValue>,
    #[serde(default)]
    crs: Option<serde_json::Value>,
}

/// Systems that mean longitude and latitude on WGS84, as the GeoJSON of 2008 named them.
const WGS84: [&str; 3] = [
    "urn:ogc:def:crs:OGC:1.3:CRS84",
    "urn:ogc:def:crs:OGC::CRS84",
    "EPSG:4326",
];

/// The points of a GeoJSON text: of a collection of features, or of one feature. A line or an area
/// is no place or seat and is left out.
///
/// # Errors
/// Every problem, each with its line.
pub fn read_geojson(file: &Path, text: &str) -> Result<Vec<Waypoint>, Problems> {
    let outer: Outer<'_> = serde_json::from_str(text).map_err(|error| {
        one(
            file,
            error.line().max(1),
            "",
            format!("cannot be read as GeoJSON: {}", said(&error.to_string())),
            "give a FeatureCollection of points (RFC 7946)",
        )
    })?;
    if let Some(crs) = &outer.crs {
        let name = crs
            .pointer("/properties/name")
            .and_then(|name| name.as_str());
        if !crs.is_null() && !name.is_some_and(|name| WGS84.contains(&name)) {
            return Err(one(
                file,
                1,
                "crs",
                "names another system of coordinates than WGS84",
                "write it out again with longitude and latitude on WGS84 (EPSG:4326)",
            ));
        }
    }
    let single;
    let features = match outer.kind.as_str() {
        "FeatureCollection" => outer.features,
        "Feature" => {
            single = serde_json::from_str::<&RawValue>(text).ok();
            single.into_iter().collect()
        }
        other => {
            let what = format!("is \"{}\"", said(other));
            return Err(one(
                file,
                1,
                "type",
                what,
                "give a FeatureCollection or a Feature",
            ));
        }
    };
    let (mut line, mut seen) = (1, 0);
    let (mut taken, mut problems) = (Vec::new(), Vec::new());
    for raw in features {
        // The raw text is a part of the whole, so the distance of the two starts is its place.
        let at = (raw.get().as_ptr() as usize).saturating_sub(text.as_ptr() as usize);
        line += text[seen..at].matches('\n').count();
        seen = at;
        match Feature::from_str(raw.get()) {
            Ok(feature) => points(file, line, &feature, &mut taken, &mut problems),
            Err(error) => problems.push(problem(
                file,
                line,
                "feature",
                said(&error.to_string()),
                "give a GeoJSON Feature with a Point",
            )),
        }
    }
    if taken.len() > MOST {
        let what = format!("holds {} points, more than {MOST}", taken.len());
        return Err(one(
            file,
            1,
            "",
            what,
            "keep those that are places or seats",
        ));
    }
    match Problems::collect(problems) {
        Some(problems) => Err(problems),
        None => Ok(taken),
    }
}

fn said(text: &str) -> String {
    plain(text).unwrap_or_default()
}

/// Takes the points of one feature.
fn points(
    file: &Path,
    line: usize,
    feature: &Feature,
    taken: &mut Vec<Waypoint>,
    problems: &mut Vec<Problem>,
) {
    let positions: Vec<&Position> = match feature.geometry.as_ref().map(|shape| &shape.value) {
        Some(GeometryValue::Point { coordinates }) => vec![coordinates],
        Some(GeometryValue::MultiPoint { coordinates }) => coordinates.iter().collect(),
        _ => return,
    };
    let text = |key: &str| feature.property(key).and_then(|value| value.as_str());
    for position in positions {
        let [longitude, latitude, rest @ ..] = position.as_slice() else {
            problems.push(problem(
                file,
                line,
                "coordinates",
                "has fewer than two numbers",
                "give longitude and latitude",
            ));
            continue;
        };
        match Spot::new(*latitude, *longitude) {
            Ok(spot) => taken.push(Waypoint {
                name: text("name").and_then(plain),
                kind: text("kind").and_then(Kind::of),
                spot,
                elevation_m: rest.first().copied().filter(|height| height.is_finite()),
                note: text("note").and_then(plain),
            }),
            Err(what) => problems.push(problem(
                file,
                line,
                "coordinates",
                what,
                "give longitude first, then latitude, in degrees",
            )),
        }
    }
}
