//! The program `sweep` from outside.
#![allow(clippy::unwrap_used)]

mod support;

use support::Program;

const SWEEP: Program = Program(env!("CARGO_BIN_EXE_sweep"));

#[test]
fn wrong_input_ends_with_code_2_and_nothing_printed() {
    for (arguments, told) in [
        (&["--place", "nowhere"][..], "no place \"nowhere\""),
        (&["--subject", "gryphon"], "no subject \"gryphon\""),
        (
            &["--place", "withy", "--subject", "reed-owl"],
            "no subject \"reed-owl\" at Withy Carr; known: ash-tit",
        ),
        (&["--light", "dusk"], "no light \"dusk\""),
        (
            &["--like", "E"],
            "no seat \"E\" at Tallow Ness; known: A, B",
        ),
        (&["--step", "7"], "7 degrees do not divide the circle"),
        (&["--step", "0"], "0 degrees"),
        (&["--distance", "0"], "0 m is out of range"),
        (&["--distance", "NaN"], "NaN m is out of range"),
        (&["--days", "0"], "0 days is out of range"),
        (&["--from", "9999-12-01"], "9999"),
        (&["--zone", "Mars/Olympus"], "not a known time zone"),
    ] {
        let message = SWEEP.refused(arguments);
        assert!(message.contains(told), "{arguments:?}: {message}");
    }
}
