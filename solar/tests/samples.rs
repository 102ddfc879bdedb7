//! Each public type that can be stored has a sample file that reads back to the same text; unknown
//! fields and wrong values are refused.
#![cfg(feature = "serde")]
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot read its sample must fail"
)]

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use wrackline_solar::{
    Aim, AirSpec, AltitudeBand, Atmosphere, AzimuthBand, Body, Crossing, Crossings, Culmination,
    Direction, EarthTime, EarthTimeSpec, Geocentric, GivenEarthTime, Grid, Highest, Horizontal,
    Illuminance, Instant, JulianDates, LightBounds, LightSide, Limb, LitMoon, MoonLight, MoonPhase,
    MoonPlace, Observer, Outcome, PhaseEvent, Place, RefractionFormula, Season, SeasonEvent,
    Shadow, SideLimits, SideLimitsSpec, SideStretch, Site, SkyCondition, Skyline, SkylinePoint,
    SunInView, Surface, Threshold, ThresholdBand, Transit, Upright, View,
};

/// Reads a sample, writes it again and compares; then adds a field that nobody knows.
fn check<T: Serialize + DeserializeOwned>(sample: &str, name: &str) {
    let stored: Value = serde_json::from_str(sample).unwrap();
    let value: T = serde_json::from_value(stored.clone()).unwrap();
    let written = serde_json::to_value(&value).unwrap();
    assert!(same(&stored, &written), "{name}: {stored} became {written}");
    if let Value::Object(mut fields) = stored {
        fields.insert("unheard_of".to_owned(), Value::from(1));
        let read = serde_json::from_value::<T>(Value::Object(fields));
        assert!(read.is_err(), "{name} takes unknown fields");
    }
}

/// Equal but for the last bits of numbers.
fn same(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().unwrap(), b.as_f64().unwrap());
            (a - b).abs() <= 1e-12 * a.abs()
        }
        (Value::Array(a), Value::Array(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b))
        }
        (Value::Object(a), Value::Object(b)) => {
            a.len() == b.len()
                && a.iter()
                    .all(|(key, a)| b.get(key).is_some_and(|b| same(a, b)))
        }
        _ => a == b,
    }
}

macro_rules! samples {
    ($($type:ty: $file:literal),* $(,)?) => {
        #[test]
        fn every_sample_reads_and_writes() {
            $(check::<$type>(include_str!(concat!("data/samples/", $file, ".json")), $file);)*
        }
    };
}

samples! {
    Aim: "aim",
    AirSpec: "air_spec",
    AltitudeBand: "altitude_band",
    Atmosphere: "atmosphere",
    AzimuthBand: "azimuth_band",
    Body: "body",
    Crossing: "crossing",
    Crossings: "crossings",
    Culmination: "culmination",
    Direction: "direction",
    EarthTime: "earth_time",
    EarthTimeSpec: "earth_time_spec",
    Geocentric: "geocentric",
    GivenEarthTime: "given_earth_time",
    Grid: "grid",
    Highest: "highest",
    Horizontal: "horizontal",
    Illuminance: "illuminance",
    Instant: "instant",
    JulianDates: "julian_dates",
    LightBounds: "light_bounds",
    LightSide: "light_side",
    Limb: "limb",
    LitMoon: "lit_moon",
    MoonLight: "moon_light",
    MoonPhase: "moon_phase",
    MoonPlace: "moon_place",
    Observer: "observer",
    Outcome: "outcome",
    PhaseEvent: "phase_event",
    Place: "place",
    RefractionFormula: "refraction_formula",
    Season: "season",
    SeasonEvent: "season_event",
    Shadow: "shadow",
    SideLimits: "side_limits",
    SideLimitsSpec: "side_limits_spec",
    SideStretch: "side_stretch",
    Site: "site",
    SkyCondition: "sky_condition",
    Skyline: "skyline",
    SkylinePoint: "skyline_point",
    SunInView: "sun_in_view",
    Surface: "surface",
    Threshold: "threshold",
    ThresholdBand: "threshold_band",
    Transit: "transit",
    Upright: "upright",
    View: "view",
}

#[test]
fn invalid_values_do_not_come_back() {
    let refused = |result: Result<(), serde_json::Error>| result.unwrap_err().to_string();
    let observer = r#"{"site":{"latitude_deg":95.0,"longitude_deg":3.0,"elevation_m":0.0}}"#;
    let message = refused(serde_json::from_str::<Observer>(observer).map(drop));
    assert!(message.contains("latitude"), "{message}");
    let air = r#"{"pressure_hpa":-5.0,"temperature_c":10.0}"#;
    assert!(serde_json::from_str::<Atmosphere>(air).is_err());
    let threshold = r#"{"airless_altitude_deg":91.0}"#;
    assert!(serde_json::from_str::<Threshold>(threshold).is_err());
    let limits = r#"{"front_deg":60.0,"shoulder_deg":30.0,"side_deg":120.0,"rim_deg":160.0}"#;
    assert!(serde_json::from_str::<SideLimits>(limits).is_err());
    assert!(serde_json::from_str::<Skyline>(r#"{"points":[]}"#).is_err());
    let given = r#"{"given":{"ut1_minus_utc_s":2.0,"delta_t_s":69.0}}"#;
    assert!(serde_json::from_str::<EarthTime>(given).is_err());
    let instant = r#"{"ut1_days":0.0,"tt_days":15.0}"#;
    assert!(serde_json::from_str::<Instant>(instant).is_err());
}
