//! How the rows of a table, or of a part of it, are cut into groups.

use std::ops::Range;

/// Instants that are prepared together, at most: sky and tide are worked out for such a stretch at
/// once, so that what a row holds does not depend on what else is asked for with it.
const STRETCH: usize = 4096;

/// The length of the stretches of a table.
pub(super) fn stretch(instants: usize, group_rows: usize) -> usize {
    STRETCH.min(group_rows).min(instants).max(1)
}

/// Rows run through the instants of one place, then through those of the next. A group holds some
/// whole places, or whole stretches of the instants of one, so that all groups of a stretch share
/// its prepared sky.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Layout {
    places: Range<usize>,
    instants: Range<usize>,
    stretch: usize,
    places_a_group: usize,
    instants_a_group: usize,
}

/// The places and instants of one group.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Group {
    pub(super) places: Range<usize>,
    pub(super) instants: Range<usize>,
    stretch: usize,
}

impl Group {
    pub(super) fn rows(&self) -> usize {
        self.places.len() * self.instants.len()
    }

    /// The stretches of its instants.
    pub(super) fn stretches(&self) -> impl Iterator<Item = Range<usize>> {
        let Range { start, end } = self.instants;
        let stretch = self.stretch;
        (start..end)
            .step_by(stretch)
            .map(move |start| start..end.min(start + stretch))
    }
}

impl Layout {
    /// Cuts places by instants, none of them empty, the instants beginning with a stretch.
    pub(super) fn new(
        places: Range<usize>,
        instants: Range<usize>,
        stretch: usize,
        group_rows: usize,
    ) -> Self {
        let instants_a_group = if instants.len() <= group_rows {
            instants.len()
        } else {
            group_rows / stretch * stretch
        };
        Self {
            places_a_group: (group_rows / instants.len()).clamp(1, places.len()),
            places,
            instants,
            stretch,
            instants_a_group,
        }
    }

    pub(super) fn rows(&self) -> u64 {
        self.places.len() as u64 * self.instants.len() as u64
    }

    fn runs(&self) -> usize {
        self.instants.len().div_ceil(self.instants_a_group)
    }

    pub(super) fn groups(&self) -> usize {
        self.places.len().div_ceil(self.places_a_group) * self.runs()
    }

    pub(super) fn group(&self, index: usize) -> Group {
        let (block, run) = (index / self.runs(), index % self.runs());
        let part = |at: usize, length: usize, all: &Range<usize>| {
            let start = all.start + at * length;
            start..all.end.min(start + length)
        };
        Group {
            places: part(block, self.places_a_group, &self.places),
            instants: part(run, self.instants_a_group, &self.instants),
            stretch: self.stretch,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Layout, stretch};

    #[test]
    fn groups_cover_every_row_once_and_in_order() {
        for (places, instants, group_rows) in [
            (0..1, 0..1, 1),
            (0..7, 0..10, 25),
            (2..5, 0..100, 30),
            (0..1, 0..5, 1000),
            (3..7, 8..16, 8),
            (0..5, 0..9, 1),
            (0..2, 4096..20_000, 10_000),
        ] {
            let stretch = stretch(instants.len(), group_rows);
            let layout = Layout::new(places.clone(), instants.clone(), stretch, group_rows);
            let mut rows = Vec::new();
            for index in 0..layout.groups() {
                let group = layout.group(index);
                assert!(group.rows() <= group_rows.max(1));
                let joined: Vec<usize> = group.stretches().flatten().collect();
                assert_eq!(joined, group.instants.clone().collect::<Vec<_>>());
                for part in group.stretches() {
                    assert_eq!((part.start - instants.start) % stretch, 0);
                    assert!(part.len() <= stretch);
                }
                for place in group.places {
                    rows.extend(group.instants.clone().map(|instant| (place, instant)));
                }
            }
            let all: Vec<_> = places
                .flat_map(|place| instants.clone().map(move |instant| (place, instant)))
                .collect();
            assert_eq!(rows, all);
            assert_eq!(rows.len() as u64, layout.rows());
        }
    }
}
