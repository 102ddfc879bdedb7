//! The names that rows refer to by number.

use std::ops::Range;
use std::sync::Arc;

use arrow_array::{ArrayRef, StringArray};
use wrackline_plan::scenario::Scenario;

use super::spot::{Places, Spot};

/// Names that rows refer to by number, the same for all groups of a part, and none that is not in
/// it.
#[derive(Debug)]
pub(super) struct Names {
    pub(super) place: Dictionary,
    pub(super) seat: Dictionary,
    pub(super) subject: Dictionary,
}

/// Words, and for each place of a part the position of its word.
#[derive(Debug)]
pub(super) struct Dictionary {
    /// The first place that is named here.
    first: usize,
    keys: Vec<Option<i32>>,
    pub(super) words: ArrayRef,
}

impl Dictionary {
    fn new<'n>(first: usize, names: impl Iterator<Item = Option<&'n str>>) -> Self {
        let mut known = std::collections::HashMap::new();
        let mut words = Vec::new();
        let keys = names
            .map(|name| {
                name.map(|name| {
                    *known.entry(name).or_insert_with(|| {
                        words.push(name);
                        words.len() as i32 - 1
                    })
                })
            })
            .collect();
        Self {
            first,
            keys,
            words: Arc::new(StringArray::from(words)),
        }
    }

    /// The position of the word of a place of the table.
    pub(super) fn key(&self, place: usize) -> Option<i32> {
        self.keys[place - self.first]
    }
}

impl Names {
    pub(super) fn new(places: &Places, part: &Range<usize>, scenario: Option<&Scenario>) -> Self {
        let spots = || places.spots[part.clone()].iter();
        let first = part.start;
        let subject = |spot: &Spot| Some(scenario?.subjects()[spot.wish?.subject].id.as_str());
        Self {
            place: Dictionary::new(first, spots().map(|spot| Some(spot.place.as_str()))),
            seat: Dictionary::new(first, spots().map(|spot| spot.seat.as_deref())),
            subject: Dictionary::new(first, spots().map(subject)),
        }
    }
}
