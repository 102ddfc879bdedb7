//! A program as its user meets it: what it prints, how it refuses.
#![allow(dead_code)] // Each test binary takes its own part of this.

use std::process::{Command, Output};

/// A program, by the path of its file.
#[derive(Clone, Copy)]
pub(crate) struct Program(pub(crate) &'static str);

impl Program {
    pub(crate) fn run(self, arguments: &[&str]) -> Output {
        Command::new(self.0).args(arguments).output().unwrap()
    }

    /// What it prints when all goes well.
    #[track_caller]
    pub(crate) fn printed(self, arguments: &[&str]) -> String {
        let output = self.run(arguments);
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{arguments:?}: {said}");
        String::from_utf8(output.stdout).unwrap()
    }

    /// What it says when it refuses: exit code 2, and nothing printed before.
    #[track_caller]
    pub(crate) fn refused(self, arguments: &[&str]) -> String {
        let output = self.run(arguments);
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {said}");
        let printed = String::from_utf8_lossy(&output.stdout);
        assert!(printed.is_empty(), "{arguments:?} printed {printed}");
        said
    }
}
