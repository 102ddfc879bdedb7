//! Any lines as the arguments of each program: accepted, or refused with a message. Nothing is run.
#![no_main]

use libfuzzer_sys::fuzz_target;
use wrackline_visibility::completions::programs;

fuzz_target!(|text: &str| {
    for program in programs() {
        let name = program.get_name().to_owned();
        let arguments = std::iter::once(name.as_str()).chain(text.lines());
        if let Err(refused) = program.try_get_matches_from(arguments) {
            assert!(!refused.to_string().is_empty());
        }
    }
});
