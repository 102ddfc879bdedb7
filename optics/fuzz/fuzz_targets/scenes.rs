//! Any text as a kit, a claim, a scene and what is assumed, in JSON: a judgement or a typed error.
//! Never a panic.
#![no_main]

use libfuzzer_sys::fuzz_target;
use wrackline_optics::{Assumptions, Claim, Contender, Judgement, Scene};

fuzz_target!(|text: &str| {
    let read = serde_json::from_str::<(Contender, Claim, Scene, Assumptions)>(text);
    if let Ok((contender, claim, scene, assumptions)) = read {
        if let Ok(judged) = Judgement::of(contender, &claim, &scene, &assumptions) {
            assert!(serde_json::to_string(&judged).is_ok());
        }
    }
});
