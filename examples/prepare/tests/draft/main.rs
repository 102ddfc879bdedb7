//! The program `draft` as its user meets it.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking, in its helpers too"
)]

mod asked;
mod helpers;
mod program;
mod refused;
