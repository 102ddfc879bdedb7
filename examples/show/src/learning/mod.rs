//! What the log teaches, in words and as charts.

pub mod chart;
pub mod page;
pub mod text;
mod water;
