//! Places as the point features of a GeoJSON collection (RFC 7946: longitude first).

use std::rc::Rc;
use std::str::FromStr;

use geojson::{Feature, GeometryValue, feature::Id};
use serde::Deserialize;
use serde_json::value::RawValue;

use super::places::COLUMNS;
use super::record::{Reader, Record};

/// A collection whose features are still text, so that each is known by its line.
#[derive(Deserialize)]
struct Collection<'t> {
    #[serde(rename = "type")]
    kind: String,
    #[serde(borrow, default)]
    features: Vec<&'t RawValue>,
}

pub(super) fn records(reader: &mut Reader) -> Vec<Record> {
    let text = std::mem::take(&mut reader.text);
    let collection: Collection<'_> = match serde_json::from_str(&text) {
        Ok(collection) => collection,
        Err(error) => {
            reader.report(
                error.line().max(1),
                "",
                error,
                "give a GeoJSON FeatureCollection",
            );
            return Vec::new();
        }
    };
    if collection.kind != "FeatureCollection" {
        let what = format!("is \"{}\"", collection.kind);
        reader.report(1, "type", what, "give a FeatureCollection");
    }
    let mut line = 1;
    let mut seen = 0;
    let mut records = Vec::new();
    for raw in collection.features {
        // The raw text is a part of the whole, so the distance of the two starts is its place.
        let at = raw.get().as_ptr() as usize - text.as_ptr() as usize;
        line += text[seen..at].matches('\n').count();
        seen = at;
        match Feature::from_str(raw.get()) {
            Ok(feature) => records.extend(record(reader, line, &feature)),
            Err(error) => reader.report(line, "feature", error, "give a GeoJSON Feature"),
        }
    }
    records
}

fn record(reader: &mut Reader, line: usize, feature: &Feature) -> Option<Record> {
    let Some(GeometryValue::Point { coordinates }) =
        feature.geometry.as_ref().map(|geometry| &geometry.value)
    else {
        reader.report(
            line,
            "geometry",
            "is not a Point",
            "give the place as a Point",
        );
        return None;
    };
    let mut fields: Vec<(Rc<str>, String)> = Vec::new();
    let numbers: &[f64] = coordinates.as_slice();
    for (name, value) in ["longitude_deg", "latitude_deg", "elevation_m"]
        .into_iter()
        .zip(numbers)
    {
        fields.push((name.into(), value.to_string()));
    }
    for (name, value) in feature.properties_iter() {
        reader.check_name(line, name, &COLUMNS);
        let text = match value {
            serde_json::Value::Null => continue,
            serde_json::Value::String(text) => text.clone(),
            other => other.to_string(),
        };
        if fields.iter().any(|(known, _)| **known == *name) {
            let what = "stands in the geometry already";
            reader.report(line, name, what, "leave the property out");
        }
        fields.push((name.as_str().into(), text));
    }
    if let Some(id) = &feature.id
        && !feature.contains_property("place")
    {
        let id = match id {
            Id::String(id) => id.clone(),
            Id::Number(id) => id.to_string(),
        };
        fields.push(("place".into(), id));
    }
    Some(Record { line, fields })
}
