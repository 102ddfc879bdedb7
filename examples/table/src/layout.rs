//! How the rows of a table are cut into groups.

use std::ops::Range;

/// Rows run through the instants of one place, then through those of the next. A group holds some whole places, or a stretch of the
/// instants of one, so that all groups of a stretch share its prepared sky.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Layout {
    places: usize,
    instants: usize,
    places_a_group: usize,
    instants_a_group: usize,
}

/// The places and instants of one group.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Group {
    pub(super) places: Range<usize>,
    pub(super) instants: Range<usize>,
}

impl Group {
    pub(super) fn rows(&self) -> usize {
        self.places.len() * self.instants.len()
    }
}

impl Layout {
    pub(super) fn new(places: usize, instants: usize, group_rows: usize) -> Self {
        Self {
            places,
            instants,
            places_a_group: (group_rows / instants).clamp(1, places),
            instants_a_group: group_rows.min(instants),
        }
    }

    pub(super) fn rows(&self) -> u64 {
        self.places as u64 * self.instants as u64
    }

    fn stretches(&self) -> usize {
        self.instants.div_ceil(self.instants_a_group)
    }

    pub(super) fn groups(&self) -> usize {
        self.places.div_ceil(self.places_a_group) * self.stretches()
    }

    pub(super) fn group(&self, index: usize) -> Group {
        let (block, stretch) = (index / self.stretches(), index % self.stretches());
        let part = |at: usize, length: usize, all: usize| at * length..all.min((at + 1) * length);
        Group {
            places: part(block, self.places_a_group, self.places),
            instants: part(stretch, self.instants_a_group, self.instants),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Layout;

    #[test]
    fn groups_cover_every_row_once_and_in_order() {
        for (places, instants, group_rows) in [
            (1, 1, 1),
            (7, 10, 25),
            (3, 100, 30),
            (1, 5, 1000),
            (4, 8, 8),
            (5, 9, 1),
        ] {
            let layout = Layout::new(places, instants, group_rows);
            let mut rows = Vec::new();
            for index in 0..layout.groups() {
                let group = layout.group(index);
                assert!(group.rows() <= group_rows.max(1));
                for place in group.places {
                    rows.extend(group.instants.clone().map(|instant| (place, instant)));
                }
            }
            let all: Vec<_> = (0..places)
                .flat_map(|place| (0..instants).map(move |instant| (place, instant)))
                .collect();
            assert_eq!(rows, all);
            assert_eq!(rows.len() as u64, layout.rows());
        }
    }
}
