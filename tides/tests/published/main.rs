//! Published values, one file a source.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod brute_force;
mod data;
mod iho_list;
mod noaa_datums;
mod noaa_printed;
mod numpy_model;
mod satellites;
