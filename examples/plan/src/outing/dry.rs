//! The stretches in which a seat is dry, with the openings of its way.

use jiff::Timestamp;

use super::walks::Walks;
use crate::time::{Stretch, Stretches, shifted};

/// A stretch in which the ground of the seat keeps its freeboard over the upper water, and the
/// parts of it in which the way is open. They are kept apart by what they are long enough for: an
/// outing then finds its own by halving, among the thousands of a season.
pub(crate) struct DryStretch {
    pub(super) whole: Stretch,
    /// Long enough for a walk in, in order of time.
    ways_in: Vec<Stretch>,
    /// Long enough for a withdrawal and the crossing, in order of time.
    ways_out: Vec<Stretch>,
}

impl DryStretch {
    /// A dry stretch with the parts of it in which the way is open.
    pub(super) fn new(dry: &Stretch, open: &Stretches, walks: Walks) -> Self {
        let open = open.within(dry);
        let for_minutes = |minutes: f64| {
            let long = |way: &&Stretch| shifted(way.start, minutes) <= way.end;
            open.iter().filter(long).cloned().collect()
        };
        Self {
            whole: dry.clone(),
            ways_in: for_minutes(walks.in_minutes),
            ways_out: for_minutes(walks.clear_minutes),
        }
    }

    /// The last part in which a walk of so many minutes begins and has ended by `due`.
    pub(crate) fn last_way_in(&self, minutes: f64, due: Timestamp) -> Option<&Stretch> {
        let in_time = |way: &Stretch| shifted(way.start, minutes) <= due;
        let count = self.ways_in.partition_point(in_time);
        self.ways_in[..count].last()
    }

    /// The first part in which whoever stands up at an instant, or as soon after it as the way is
    /// open, has so many minutes for the way out.
    pub(crate) fn first_way_out(&self, minutes: f64, up: Timestamp) -> Option<&Stretch> {
        let too_early = |way: &Stretch| way.end < shifted(up, minutes);
        self.ways_out.get(self.ways_out.partition_point(too_early))
    }

    /// The parts with a walk in that touch a stretch.
    pub(crate) fn ways_in_near(&self, near: &Stretch) -> &[Stretch] {
        touching(&self.ways_in, near)
    }

    /// The parts with a way out that touch a stretch.
    pub(crate) fn ways_out_near(&self, near: &Stretch) -> &[Stretch] {
        touching(&self.ways_out, near)
    }
}

/// Those of ordered stretches that overlap or touch another.
fn touching<'w>(ways: &'w [Stretch], near: &Stretch) -> &'w [Stretch] {
    let first = ways.partition_point(|way| way.end < near.start);
    let end = ways.partition_point(|way| way.start <= near.end);
    &ways[first..end.max(first)]
}
