//! One outing in every output: text, CSV, JSON, calendar and card tell the same of it.
#![allow(clippy::unwrap_used)]

mod frost;
mod helpers;
mod kinds;
mod light;
mod times;
mod way;
