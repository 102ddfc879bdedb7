//! From waypoints to a draft that a plan reads, and in which nothing is proposed by guess.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking, in its helpers too"
)]

mod asking;
mod closed;
mod reading;
mod support;
mod writing;
