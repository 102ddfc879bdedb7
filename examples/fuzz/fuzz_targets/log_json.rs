//! Any bytes as JSON Lines of a log: all entries, which come out of an export as they went in, or
//! every problem.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    wrackline_examples_fuzz::as_log(bytes, wrackline_log::from_json_lines, |records, out| {
        wrackline_log::to_json_lines(records, wrackline_log::Columns::Noted, out)
    });
});
