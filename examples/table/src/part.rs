//! Parts of a table, to be made on many machines.
//!
//! A part is a stretch of instants at a block of places. Its boundaries depend on the request
//! alone, and what its rows hold does not depend on the part: parts joined are the table.

use std::fmt;
use std::ops::Range;

use super::error::Error;
use super::journal::Sum;
use super::{Table, schema};

/// A stretch of the instants of a table at a block of its places.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Part {
    /// Which cut of the instants, counted from 0.
    pub instants_cut: usize,
    /// Which cut of the places, counted from 0.
    pub places_cut: usize,
    /// The instants, by their positions.
    pub instants: Range<usize>,
    /// The places, by their positions.
    pub places: Range<usize>,
}

impl Part {
    /// Rows of the part.
    pub fn rows(&self) -> u64 {
        self.places.len() as u64 * self.instants.len() as u64
    }
}

/// The name that its file has in a data set.
impl fmt::Display for Part {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (instants, places) = (self.instants_cut, self.places_cut);
        write!(out, "part-t{instants:05}-p{places:05}")
    }
}

impl Table {
    /// All of it as one part.
    pub fn whole(&self) -> Part {
        Part {
            instants_cut: 0,
            places_cut: 0,
            instants: 0..self.spec.instants.len(),
            places: 0..self.spec.places.spots.len(),
        }
    }

    /// Parts of about so many rows, in the order of time, then of places.
    ///
    /// Instants are cut first, since the sky of a stretch is prepared once for all places of a
    /// part. A part holds whole stretches of up to 4096 instants, so that it can have more rows
    /// than asked for, but never more than one stretch at one place.
    ///
    /// # Errors
    /// No rows.
    pub fn parts(&self, rows: u64) -> Result<Vec<Part>, Error> {
        if rows == 0 {
            return Err(Error::option(
                "--rows",
                "0 rows make no part",
                "give at least 1",
            ));
        }
        let (places, instants) = self.sides();
        let rows = usize::try_from(rows).unwrap_or(usize::MAX);
        let stretches = (rows / (places.saturating_mul(self.stretch))).max(1);
        let instants_a_part = self.stretch.saturating_mul(stretches).min(instants);
        let places_a_part = (rows / instants_a_part).clamp(1, places);
        Ok(self.cut(
            &steps(instants, instants_a_part),
            &steps(places, places_a_part),
        ))
    }

    /// Exactly so many parts, as nearly equal as whole stretches and whole places allow.
    ///
    /// # Errors
    /// More parts than there are, or a number into which stretches and places cannot be cut, with
    /// one that will do.
    pub fn split(&self, count: usize) -> Result<Vec<Part>, Error> {
        let (places, instants) = self.sides();
        let stretches = instants.div_ceil(self.stretch);
        let fits = |count: usize| {
            let most = stretches.min(count);
            (1..=most)
                .rev()
                .find(|cuts| count.is_multiple_of(*cuts) && count / cuts <= places)
        };
        let Some(cuts) = (count > 0).then(|| fits(count)).flatten() else {
            let most = stretches.saturating_mul(places);
            let near = (1..=count.min(most))
                .rev()
                .find(|count| fits(*count).is_some());
            let remedy = match near {
                Some(near) => format!("give {near}, or another number up to {most}"),
                None => format!("give a number from 1 to {most}"),
            };
            let what = format!(
                "{stretches} stretches of instants at {places} places cannot be cut into {count} \
                 parts"
            );
            return Err(Error::option("--part", what, remedy));
        };
        let even = |all: usize, cuts: usize| -> Vec<Range<usize>> {
            let edge = |cut: usize| (all as u128 * cut as u128 / cuts as u128) as usize;
            (0..cuts).map(|cut| edge(cut)..edge(cut + 1)).collect()
        };
        let by_time: Vec<Range<usize>> = even(stretches, cuts)
            .into_iter()
            .map(|cut| cut.start * self.stretch..instants.min(cut.end * self.stretch))
            .collect();
        Ok(self.cut(&by_time, &even(places, count / cuts)))
    }

    fn cut(&self, instants: &[Range<usize>], places: &[Range<usize>]) -> Vec<Part> {
        let mut parts = Vec::with_capacity(instants.len() * places.len());
        for (instants_cut, instants) in instants.iter().enumerate() {
            for (places_cut, places) in places.iter().enumerate() {
                parts.push(Part {
                    instants_cut,
                    places_cut,
                    instants: instants.clone(),
                    places: places.clone(),
                });
            }
        }
        parts
    }

    fn sides(&self) -> (usize, usize) {
        (self.spec.places.spots.len(), self.spec.instants.len())
    }

    /// A number for the request, whatever the format and the part: all that bears on the rows, and
    /// the version that makes them.
    pub fn fingerprint(&self) -> String {
        format!("{:016x}", sum(self).0)
    }

    /// Whether a part, which may have come from afar, is one of this table.
    pub(super) fn check_part(&self, part: &Part) -> Result<(), Error> {
        let (places, instants) = self.sides();
        let within = |range: &Range<usize>, all: usize| range.start < range.end && range.end <= all;
        let whole_stretches = part.instants.start.is_multiple_of(self.stretch)
            && (part.instants.end == instants || part.instants.end.is_multiple_of(self.stretch));
        if within(&part.places, places) && within(&part.instants, instants) && whole_stretches {
            return Ok(());
        }
        let what = format!(
            "instants {:?} of places {:?} are no part of this table",
            part.instants, part.places
        );
        Err(Error::option(
            "--part",
            what,
            "take a part of the table itself",
        ))
    }
}

fn steps(all: usize, length: usize) -> Vec<Range<usize>> {
    (0..all)
        .step_by(length)
        .map(|start| start..all.min(start.saturating_add(length)))
        .collect()
}

/// The sum of a request, made once: of ten thousand ports it takes as long as the rows of a part.
pub(super) fn sum(table: &Table) -> Sum {
    *table.sum.get_or_init(|| {
        let mut sum = Sum::default();
        let version = env!("CARGO_PKG_VERSION");
        // The debug form names every field, so that nothing can be forgotten here.
        sum.spell(format_args!(
            "{version} {:?} {:?}",
            schema::COLUMNS,
            table.spec
        ));
        sum
    })
}
