//! Any bytes as the file of a picture: a head or why there is none. Never a panic, never much
//! memory.
#![no_main]

use std::io::Cursor;

use jiff::tz::TimeZone;
use libfuzzer_sys::fuzz_target;
use wrackline_log::photos::read_from;

fuzz_target!(|bytes: &[u8]| {
    for is_jpeg in [true, false] {
        if let Ok(head) = read_from(Cursor::new(bytes), is_jpeg) {
            let _ = head.instant(&TimeZone::UTC);
            assert!(head.rating.is_none_or(|rating| (-1..=5).contains(&rating)));
            assert!(head.focal_length_mm.is_none_or(|length| length > 0.0 && length.is_finite()));
        }
    }
});
