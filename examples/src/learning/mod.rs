//! What the log teaches: chances with their uncertainty, levels, the water's residuals, and what would teach most next.

pub mod beta;
pub mod bracket;
mod by_condition;
pub mod chance;
pub mod chart;
pub mod diary;
pub mod evidence;
pub mod explore;
pub mod lessons;
pub mod occupancy;
pub mod pooled;
pub mod text;
pub mod tides_to_try;

pub use beta::{Beta, Interval};
pub use bracket::{Bracket, Expected, Levels};
pub use chance::{Chance, Fading, LEVEL, Ladder, percent};
