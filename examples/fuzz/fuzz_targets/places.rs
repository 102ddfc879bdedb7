//! Any text as places (CSV and GeoJSON) or as ports of a table: what was read, or every problem.
#![no_main]

use libfuzzer_sys::fuzz_target;
use wrackline_table::{Text, places_of, ports_of};

fuzz_target!(|text: &str| {
    let named = |name: &str| Text {
        name: name.into(),
        text: text.to_owned(),
    };
    for name in ["fuzz.csv", "fuzz.geojson"] {
        if let Ok(places) = places_of(named(name), Vec::new(), None, "UTC") {
            for spot in &places.spots {
                assert!(spot.bearing_deg.is_none_or(f64::is_finite));
            }
        }
    }
    let _ = ports_of(named("fuzz.csv"));
});
