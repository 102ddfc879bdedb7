//! Where a run's time goes.

use std::time::{Duration, Instant};

/// Time that threads spent, added up over them: where a run's time goes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Costs {
    /// Working out the paths of sun and moon, once for each stretch of instants.
    pub prepare_sky: Duration,
    /// Sun, moon and illuminance over each place.
    pub sky: Duration,
    /// The tide at each place.
    pub tide: Duration,
    /// Judging, rounding, and joining the columns.
    pub rows: Duration,
    /// Encoding the groups.
    pub encode: Duration,
    /// Writing them.
    pub write: Duration,
}

impl Costs {
    pub(super) fn add(&mut self, other: &Self) {
        self.prepare_sky += other.prepare_sky;
        self.sky += other.sky;
        self.tide += other.tide;
        self.rows += other.rows;
        self.encode += other.encode;
        self.write += other.write;
    }
}

/// The time since the last look at a clock.
pub(super) struct Lap(Instant);

impl Lap {
    pub(super) fn start() -> Self {
        Self(Instant::now())
    }

    pub(super) fn end(&mut self, cost: &mut Duration) {
        let now = Instant::now();
        *cost += now - self.0;
        self.0 = now;
    }
}
