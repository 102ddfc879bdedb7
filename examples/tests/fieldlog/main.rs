//! The field log and what is learnt from it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod helpers;
mod input;
mod photos;
mod statistics;
mod store;
