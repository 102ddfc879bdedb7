//! Any text: a table of constants or a typed error; what is read makes a port or a typed error.
//! Never a panic.
#![no_main]

use libfuzzer_sys::fuzz_target;
use wrackline_tides::{Constituent, Convention, Port, PortSpec, constants_from_csv};

fuzz_target!(|text: &str| {
    let _ = Constituent::named(text);
    let Ok(harmonics) = constants_from_csv(text, Some(4.5)) else { return };
    let convention = Convention::IhoInstant;
    let spec = PortSpec { mean_level_m: 0.0, harmonics: &harmonics, convention };
    if let Ok(port) = Port::new(spec) {
        assert!(port.height_m(jiff::Timestamp::UNIX_EPOCH).unwrap().is_finite());
    }
});
