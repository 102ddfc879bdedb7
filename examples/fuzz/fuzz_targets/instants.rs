//! Any text as instants, days, winds and bands: what was read, or a message.
#![no_main]

use jiff::tz::TimeZone;
use libfuzzer_sys::fuzz_target;
use wrackline_log::{When, Wind};
use wrackline_plan::time::read_instant;
use wrackline_table::{Text, instants_of};

fuzz_target!(|text: &str| {
    let zone = TimeZone::get("Europe/London").unwrap_or(TimeZone::UTC);
    for zone in [&zone, &TimeZone::UTC] {
        let _ = read_instant(text, Some(zone));
        let listed = Text {
            name: "fuzz.txt".into(),
            text: text.to_owned(),
        };
        let _ = instants_of(listed, zone);
        if let Ok(when) = When::parse(text, zone) {
            let again = When::parse(&when.to_string(), zone);
            assert_eq!(again.ok(), Some(when), "what is written is read as it was");
        }
    }
    let _ = read_instant(text, None);
    let _ = Wind::parse(text);
});
