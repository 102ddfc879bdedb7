//! Any bytes as a GeoTIFF: heights around a seat or why there are none. Never a panic, never much
//! memory, never a number that is none. The seeds hold invented ground of 41 by 41 posts, made for
//! this.
#![no_main]

use libfuzzer_sys::fuzz_target;
use wrackline_examples_fuzz::as_elevation;

fuzz_target!(|bytes: &[u8]| as_elevation("hills.tif", bytes, bytes.len() as u64));
