//! The field log and what is learnt from it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod demo;
mod helpers;
mod input;
mod interrupted;
mod laws;
mod photos;
mod program;
mod statistics;
mod store;
mod welfare;
