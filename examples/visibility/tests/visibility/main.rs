//! The program `visibility` from outside.
#![allow(clippy::unwrap_used, clippy::panic)] // A test that cannot go on fails.

mod program;
