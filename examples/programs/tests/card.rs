//! The program `card` from outside: how it ends, and what it writes where.
#![allow(clippy::unwrap_used)]

mod support;

use support::Program;

const CARD: Program = Program(env!("CARGO_BIN_EXE_card"));

#[test]
fn wrong_input_ends_with_code_2_and_no_file() {
    let folder = tempfile::tempdir().unwrap();
    let target = folder.path().join("card.html");
    let target = target.to_str().unwrap();
    for (arguments, told) in [
        (&["--seat", "Q"][..], "no seat \"Q\""),
        (&["--subject", "gryphon"], "no subject \"gryphon\""),
        (&["--light", "dusk"], "no light \"dusk\""),
        (&["--zone", "Mars/Olympus"], "not a known time zone"),
        (&["--date", "2027-06-01"], "no window on Tue 1 Jun 2027"),
        (&["--date", "2027-02-30"], "2027-02-30"),
        (&["--date", "9999-12-31"], "9999"),
        (&["no-such-file.toml"], "no-such-file.toml"),
    ] {
        let all: Vec<_> = arguments
            .iter()
            .copied()
            .chain(["--output", target])
            .collect();
        let message = CARD.refused(&all);
        assert!(message.contains(told), "{arguments:?}: {message}");
        assert!(!std::path::Path::new(target).exists());
    }
}

#[test]
fn the_file_is_what_standard_output_would_be() {
    let folder = tempfile::tempdir().unwrap();
    let target = folder.path().join("card.html");
    let day = ["--date", "2026-12-29", "--seat", "A"];
    let printed = CARD.run(&day);
    let written = CARD.run(&[&day[..], &["--output", target.to_str().unwrap()]].concat());
    assert!(printed.status.success() && written.status.success());
    assert!(written.stdout.is_empty());
    assert_eq!(std::fs::read(target).unwrap(), printed.stdout);
}
