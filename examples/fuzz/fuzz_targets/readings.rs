//! Any text: readings of a gauge, an inference or a message. Never a panic.
#![no_main]

use jiff::tz::TimeZone;
use libfuzzer_sys::fuzz_target;
use wrackline_plan::port::readings::{inference, read};

fuzz_target!(|text: &str| {
    let _ = read("fuzz.csv", text, None, &[]);
    let _ = read("fuzz.csv", text, Some(&TimeZone::UTC), &[-9999.0]);
    let _ = inference(text);
});
