//! Any text as a forecast: every problem, or a forecast that makes the demo no less careful.
#![no_main]

use std::sync::LazyLock;

use jiff::Timestamp;
use libfuzzer_sys::fuzz_target;
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
use wrackline_plan::weather;

static OWN: LazyLock<Scenario> =
    LazyLock::new(|| Scenario::parse(DEMO_NAME, DEMO).expect("the demo is a scenario"));

fuzz_target!(|text: &str| {
    let Ok(forecast) = weather::read("fuzz.csv", text, OWN.zone()) else {
        return;
    };
    assert!(forecast.rows().windows(2).all(|pair| pair[0].at < pair[1].at));
    let instants: Vec<Timestamp> = forecast.rows().iter().map(|row| row.at).collect();
    let scenario = OWN.clone().in_weather(forecast, None, Timestamp::UNIX_EPOCH);
    for at in instants {
        let (own, water) = (OWN.water(), scenario.water_at(at));
        assert!(own.upper_m() <= water.upper_m() && water.upper_m().is_finite());
        assert!(own.lower_m() >= water.lower_m() && water.lower_m().is_finite());
    }
    if let Some(weather) = scenario.weather() {
        assert!(!weather.remarks(&scenario).is_empty());
    }
});
