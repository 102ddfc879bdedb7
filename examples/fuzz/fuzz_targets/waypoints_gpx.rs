//! Any text as waypoints, beginning from GPX: a draft that a plan takes, or every problem.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| wrackline_examples_fuzz::drafted::as_draft(text));
