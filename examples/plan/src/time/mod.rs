//! Time as the plans use it.

mod stretches;

pub use stretches::{Stretch, Stretches, minutes, minutes_between, shifted};
