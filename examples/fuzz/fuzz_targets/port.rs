//! Any text under each of the endings of a port's file: a port or a message. Never a panic.
#![no_main]

use std::path::Path;

use libfuzzer_sys::fuzz_target;
use wrackline_plan::port::{CsvExtras, Lags, PortFile, convention, unit};

fuzz_target!(|text: &str| {
    let told = CsvExtras {
        mean_level_m: Some(3.0),
        datum: Some("a datum".to_owned()),
        convention: convention("iho-instant"),
        longitude_deg: Some(-60.0),
        lags: Some(Lags::Zone(-8.0)),
        amplitudes: unit("cm"),
        station: None,
        rename: vec![("X".to_owned(), "M2".to_owned())],
        leave_out: vec!["Y".to_owned()],
    };
    for name in ["fuzz.toml", "fuzz.json", "fuzz.csv", "fuzz.txt"] {
        for extras in [&told, &CsvExtras::default()] {
            if let Ok(file) = PortFile::of_file(Path::new(name), text, extras) {
                assert!(file.port.height_m(jiff::Timestamp::UNIX_EPOCH).is_ok_and(f64::is_finite));
                let _ = file.as_table();
            }
        }
    }
});
