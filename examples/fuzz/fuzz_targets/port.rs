//! Any text under each of the endings of a port's file: a port or a message. Never a panic.
#![no_main]

use std::path::Path;

use libfuzzer_sys::fuzz_target;
use wrackline_plan::port::{CsvExtras, PortFile};

fuzz_target!(|text: &str| {
    for name in ["fuzz.toml", "fuzz.json", "fuzz.csv"] {
        if let Ok(file) = PortFile::of_file(Path::new(name), text, &CsvExtras::default()) {
            assert!(file.port.height_m(jiff::Timestamp::UNIX_EPOCH).is_finite());
        }
    }
});
