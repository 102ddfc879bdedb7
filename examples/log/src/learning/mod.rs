//! What the log teaches: chances with their uncertainty, levels, the water's residuals, and what
//! would teach most next.

pub mod ageing;
pub mod beta;
pub mod bracket;
mod by_condition;
pub mod chance;
pub mod diary;
pub mod evidence;
pub mod experience;
pub mod lessons;
pub mod occupancy;
pub mod pooled;
mod question;
pub mod tides_to_try;
pub mod water;

pub use ageing::{Ageing, Fading};
pub use beta::Beta;
pub use bracket::{Bracket, Expected, Levels};
pub use chance::{Chance, LEVEL, Ladder};
pub use experience::{experience, experience_with};
pub use question::Question;
