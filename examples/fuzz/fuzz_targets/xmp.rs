//! Any bytes as a sidecar: a rating from -1 to 5 or none.
#![no_main]

use libfuzzer_sys::fuzz_target;
use wrackline_log::photos::rating_of_bytes;

fuzz_target!(|bytes: &[u8]| {
    assert!(rating_of_bytes(bytes).is_none_or(|rating| (-1..=5).contains(&rating)));
});
