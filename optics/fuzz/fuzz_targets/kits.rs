//! Any text as a kit in JSON: a kit whose every figure is a number, or a typed error. Never a
//! panic.
#![no_main]

use libfuzzer_sys::fuzz_target;
use wrackline_optics::{FarLimit, Kit};

fuzz_target!(|text: &str| {
    let Ok(kit) = serde_json::from_str::<Kit>(text) else { return };
    let finite = |value: f64| assert!(value.is_finite());
    finite(kit.focal_length_mm());
    finite(kit.effective_f_number());
    finite(kit.stops_lost());
    finite(kit.minimum_focus_m());
    finite(kit.largest_magnification());
    finite(kit.smallest_magnification());
    if let FarLimit::At { distance_m } = kit.farthest_focus() {
        finite(distance_m);
    }
    for distance_m in [0.5, 4.5, 85.0, 1e6] {
        if let Ok(focused) = kit.focused_at_m(distance_m) {
            finite(focused.magnification());
            finite(focused.working_f_number());
        }
        let _ = kit.focused_at_pupil_m(distance_m);
        let _ = kit.focused_at_magnification(1.0 / distance_m);
    }
    let _ = kit.at_infinity();
    // What was read is written as it was understood.
    let written = serde_json::to_string(&kit).expect("a kit has only finite figures");
    let again: Kit = serde_json::from_str(&written).expect("what is written can be read");
    assert_eq!(again, kit);
});
