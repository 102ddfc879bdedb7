//! Any text: a scenario, or every problem with a place in the text that exists. Never a panic.
#![no_main]

use libfuzzer_sys::fuzz_target;
use wrackline_plan::scenario::Scenario;

fuzz_target!(|text: &str| {
    match Scenario::parse("fuzz.toml", text) {
        Ok(scenario) => assert!(!scenario.places().is_empty()),
        Err(problems) => assert!(!problems.to_string().is_empty()),
    }
});
