//! Any text: a printed table or its problems. What is read alternates, and its curve stays between
//! its turns. Never a panic.
#![no_main]

use jiff::Timestamp;
use jiff::tz::TimeZone;
use libfuzzer_sys::fuzz_target;
use wrackline_plan::port::{PrintedSpec, PrintedTable, Shape, TideCurve, is_a_table_of_turns};

fuzz_target!(|text: &str| {
    let _ = is_a_table_of_turns(text);
    let spec = PrintedSpec::new(TimeZone::UTC, "UTC");
    let Ok(table) = PrintedTable::of_csv("fuzz.csv", text, &spec) else {
        return;
    };
    let curve = TideCurve::printed(&table, Timestamp::MIN..Timestamp::MAX);
    for pair in table.turns().windows(2) {
        assert!(pair[0].at < pair[1].at && pair[0].kind != pair[1].kind);
        let middle = pair[0].at + pair[0].at.duration_until(pair[1].at) / 2;
        let height = |shape| curve.height_of_m(middle, shape).expect("it lies in the table");
        assert!(height(Shape::Lowest) <= height(Shape::Expected));
        assert!(height(Shape::Expected) <= height(Shape::Highest));
    }
    let _ = (curve.above(1.0), table.told());
});
