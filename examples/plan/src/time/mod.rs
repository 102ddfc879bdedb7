//! Time as the plans use it: stretches, and instants as people write them.

mod instants;
mod stretches;

pub use instants::{Moment, Unread, read_instant, read_moment};
pub use stretches::{Stretch, Stretches, minutes, minutes_between, shifted, widened};
