//! One outing in every output: text, CSV, JSON, calendar and card tell the same of it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // A test that cannot go on fails.

mod frost;
mod helpers;
mod kinds;
mod light;
#[path = "../support/mod.rs"]
mod support;
mod times;
mod way;
