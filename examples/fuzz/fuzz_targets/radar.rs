//! Any bytes as a grid of the shuttle radar mission: its name first, up to a line's end, then
//! heights, which are repeated until they fill a grid of 3 seconds of arc. The seeds were made up.
#![no_main]

use libfuzzer_sys::fuzz_target;
use wrackline_examples_fuzz::as_elevation;

/// Bytes of a grid of 3 seconds of arc.
const WHOLE: usize = 2 * 1201 * 1201;

fuzz_target!(|bytes: &[u8]| {
    let end = bytes.iter().position(|byte| *byte == b'\n').unwrap_or(bytes.len());
    let name = String::from_utf8_lossy(&bytes[..end]);
    let heights = bytes.get(end + 1..).unwrap_or_default();
    as_elevation(&name, heights, heights.len() as u64);
    if !heights.is_empty() {
        let whole: Vec<u8> = heights.iter().copied().cycle().take(WHOLE).collect();
        as_elevation(&format!("{name}.hgt"), &whole, WHOLE as u64);
    }
});
