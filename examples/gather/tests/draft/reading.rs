//! Both readers: what they take, and what they say of what they cannot take.

use std::path::Path;

use wrackline_gather::draft::{Kind, Waypoint, waypoints};

const GPX: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="invented" xmlns="http://www.topografix.com/GPX/1/1">
  <wpt lat="53.4016" lon="1.202"><ele>4.5</ele><name>Tallow &amp; Ness</name>
  <type>Place</type></wpt>
  <wpt lat="53.4003" lon="1.2022"><name> Spit
   End </name><cmt>reed hide</cmt><sym>hide</sym></wpt>
  <wpt lat="53.3935" lon="1.2105"><type>Way in</type></wpt>
  <wpt lat="-0" lon="-180"><sym>Flag</sym></wpt>
  <trk><name>a walk</name><trkseg><trkpt lat="1" lon="2"></trkpt></trkseg></trk>
</gpx>
"#;

fn read(text: &str) -> Result<Vec<Waypoint>, String> {
    waypoints(Path::new("points"), text).map_err(|problems| problems.to_string())
}

#[test]
fn waypoints_of_gpx() {
    let found = read(GPX).unwrap();
    let kinds: Vec<Option<Kind>> = found.iter().map(|point| point.kind).collect();
    let expected = [Some(Kind::Place), Some(Kind::Hide), Some(Kind::WayIn), None];
    assert_eq!(kinds, expected);
    assert_eq!(found[0].name.as_deref(), Some("Tallow & Ness"));
    assert_eq!(found[0].elevation_m, Some(4.5));
    assert_eq!(found[1].name.as_deref(), Some("Spit End"));
    assert_eq!(found[1].note.as_deref(), Some("reed hide"));
    assert_eq!(found[2].called(3), "waypoint 3");
    assert!((found[1].spot.latitude_deg() - 53.4003).abs() < 1e-9);
    // With the mark of some editors before it, too.
    assert_eq!(read(&format!("\u{feff}{GPX}")).unwrap(), found);
}

/// GPX 1.1, schema of topografix.com/GPX/1/1, `wptType`: the one element that the reader lacks.
#[test]
fn magnetic_variation_is_passed_over_and_lines_keep_their_numbers() {
    let varied = GPX.replace("<cmt>", "<magvar>\n0.7</magvar><cmt>");
    assert_eq!(read(&varied), read(GPX));
    let broken = varied.replace("lon=\"1.2105\"", "lon=\"east\"");
    let told = read(&broken).unwrap_err();
    assert!(told.starts_with("points:8:1: cannot be read"), "{told}");
    let open = GPX.replace("<cmt>", "<magvar>0.7<cmt>");
    assert!(read(&open).is_err());
    let word = GPX.replace("<cmt>", "<magvar>east</magvar><cmt>");
    assert!(read(&word).unwrap_err().contains("magvar"));
}

#[test]
fn points_of_geojson() {
    let text = r#"{"type": "FeatureCollection", "features": [
      {"type": "Feature", "properties": {"name": "Ness", "kind": "place"},
       "geometry": {"type": "Point", "coordinates": [1.202, 53.4016, 3.0]}},
      {"type": "Feature", "properties": {"name": "Rails", "kind": "seat", "note": "gate"},
       "geometry": {"type": "MultiPoint", "coordinates": [[1.2, 53.4], [1.21, 53.4]]}},
      {"type": "Feature", "properties": null, "geometry": null},
      {"type": "Feature", "properties": {"kind": 7},
       "geometry": {"type": "LineString", "coordinates": [[1.2, 53.4], [1.21, 53.4]]}}
    ]}"#;
    let found = read(text).unwrap();
    assert_eq!(found.len(), 3);
    assert_eq!(found[0].kind, Some(Kind::Place));
    assert_eq!(found[0].elevation_m, Some(3.0));
    assert_eq!(found[2].note.as_deref(), Some("gate"));
    assert!((found[2].spot.longitude_deg() - 1.21).abs() < 1e-9);
    let one = r#"{"type": "Feature", "properties": {}, "geometry":
        {"type": "Point", "coordinates": [1.202, 53.4016]}}"#;
    assert_eq!(read(one).unwrap().len(), 1);
}

/// Each with the line, and what to look for in the message.
#[test]
fn what_cannot_be_read_is_told_with_its_line() {
    let broken = GPX.replace("lon=\"1.2105\"", "lon=\"east\"");
    let off = GPX.replace("lat=\"53.4003\"", "lat=\"93.4\"");
    let cut = &GPX[..GPX.find("<sym>hide").unwrap()];
    let two = r#"{"type": "FeatureCollection", "features": [
      {"type": "Feature", "properties": {}, "geometry": {"type": "Point", "coordinates": [1]}},
      {"type": "Feature", "properties": {},
       "geometry": {"type": "Point", "coordinates": [53.4, 120.2]}}]}"#;
    let crs = r#"{"type": "FeatureCollection", "features": [],
      "crs": {"type": "name", "properties": {"name": "EPSG:27700"}}}"#;
    let track = "<gpx version=\"1.1\" creator=\"x\"></gpx>";
    for (text, line, says) in [
        ("", 1, "is empty"),
        ("day,time,height", 1, "neither GPX nor GeoJSON"),
        (track, 1, "holds no waypoint"),
        (broken.as_str(), 7, "cannot be read as GPX"),
        (off.as_str(), 5, "latitude"),
        (cut, 6, "cannot be read as GPX"),
        ("<kml></kml>", 1, "cannot be read as GPX"),
        (
            "{\"type\": \"FeatureCollection\",\n \"features\": [1,]}",
            2,
            "cannot be read as GeoJSON",
        ),
        ("{\"type\": \"Topology\"}", 1, "is \"Topology\""),
        (two, 2, "feature"),
        (two, 3, "are latitude and longitude exchanged?"),
        (crs, 1, "another system of coordinates"),
    ] {
        let told = read(text).unwrap_err();
        let at = format!("points:{line}:");
        let found = told
            .lines()
            .any(|told| told.starts_with(&at) && told.contains(says));
        assert!(found, "{at} {says}\n{told}");
    }
}
