//! The skyline from elevation data: against shapes with a formula, against a plain march, and
//! whatever files hold.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking, in its helpers too"
)]

mod files;
mod gaps;
mod march;
mod refusals;
mod shapes;
mod support;
