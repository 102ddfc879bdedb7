//! Any text: a question of reach that is answered, or a message. Never a panic.
#![no_main]

use libfuzzer_sys::fuzz_target;
use wrackline_plan::reach::Question;

fuzz_target!(|text: &str| {
    if let Ok(question) = Question::parse("fuzz.toml", text) {
        let _ = question.answer();
    }
});
