//! The field log and what is learnt from it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod demo;
mod demo_log;
mod helpers;
mod input;
mod laws;
mod lessons;
mod logged;
mod photos;
mod pictures;
mod rot;
mod statistics;
mod store;
mod welfare;
