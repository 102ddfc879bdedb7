//! Tables of visibility: many places, many instants, one row for each pair.
//!
//! A [`Table`] is a checked request: [`Places`], [`Instants`] and what is wanted there. Its rows
//! are cut into groups that do not depend on one another; each is computed with the batches of the
//! libraries, encoded, and written in order ([`write()`]). The same request gives the same bytes,
//! whatever the number of threads and however often the run was cut short.

#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod columns;
mod costs;
mod encode;
mod error;
mod fill;
mod input;
mod instants;
mod journal;
mod judge;
mod layout;
mod names;
mod output;
mod part;
mod request;
mod rounded;
mod row;
pub mod schema;
mod sky;
mod slice;
mod spot;
mod tide;
pub mod told;

use std::sync::OnceLock;

use jiff::SignedDuration;

pub use costs::Costs;
pub use encode::Format;
pub use error::Error;
pub use fill::Batches;
pub use input::{
    SeatChoice, Text, instants_of, places_of, ports_of, read_instants, read_places, read_ports,
    seats_of,
};
pub use instants::Instants;
pub use judge::Verdict;
pub use output::{Done, Output, Progress, Written, encode_part, write, write_part};
pub use part::Part;
pub use request::{Request, When};
pub use row::Row;
pub use spot::{Levels, LightWish, NamedPort, Places, SeatWish, Spot};
pub use tide::TideState;

use journal::Sum;
use layout::Layout;
use wrackline_plan::experience::Experience;
use wrackline_plan::scenario::Scenario;

/// Rows in a group, as near as whole places or whole stretches of instants allow: what is in memory
/// at once for each thread.
pub const GROUP_ROWS: usize = 32_768;
/// Minutes before and after a turn that count as high or low water; our default.
pub const NEAR_TURN_MINUTES: i64 = 10;

/// What a table is made of.
#[derive(Clone, Debug)]
pub struct TableSpec {
    /// The places, at least one.
    pub places: Places,
    /// The instants.
    pub instants: Instants,
    /// The scenario that seats among the places belong to.
    pub scenario: Option<Scenario>,
    /// What past visits tell of the animals' peace at those seats; `None` where nobody has kept a
    /// log.
    pub experience: Option<Experience>,
    /// The light that is wanted at places that are no seats.
    pub light: Option<LightWish>,
    /// How near a turn counts as high or low water.
    pub near_turn: SignedDuration,
    /// Rows in a group, [`GROUP_ROWS`] by default.
    pub group_rows: usize,
}

impl TableSpec {
    /// Places and instants, and nothing asked for.
    pub fn new(places: Places, instants: Instants) -> Self {
        Self {
            places,
            instants,
            scenario: None,
            experience: None,
            light: None,
            near_turn: SignedDuration::from_mins(NEAR_TURN_MINUTES),
            group_rows: GROUP_ROWS,
        }
    }
}

/// A table that can be computed: the request, checked.
#[derive(Debug)]
pub struct Table {
    spec: TableSpec,
    /// Instants that are prepared together.
    stretch: usize,
    layout: Layout,
    /// What its fingerprint comes from, once somebody has asked.
    sum: OnceLock<Sum>,
}

impl Table {
    /// Checks a request.
    ///
    /// # Errors
    /// No place, groups without rows, or instants beyond what tide or sky can be prepared for.
    pub fn new(spec: TableSpec) -> Result<Self, Error> {
        if spec.places.spots.is_empty() {
            return Err(Error::option(
                "--places",
                "there is no place",
                "give at least one",
            ));
        }
        if !(1..=10_000_000).contains(&spec.group_rows) {
            return Err(Error::option(
                "--group-rows",
                format!("{} is out of range", spec.group_rows),
                "give 1 to 10000000",
            ));
        }
        let limit = SignedDuration::from_hours(6);
        if spec.near_turn < SignedDuration::ZERO || spec.near_turn > limit {
            return Err(Error::option(
                "--near-turn",
                format!("{:#} is out of range", spec.near_turn),
                "give 0m to 6h",
            ));
        }
        let (places, instants) = (spec.places.spots.len(), spec.instants.len());
        let stretch = layout::stretch(instants, spec.group_rows);
        let layout = Layout::new(0..places, 0..instants, stretch, spec.group_rows);
        let table = Self {
            spec,
            stretch,
            layout,
            sum: OnceLock::new(),
        };
        table.check_ends()?;
        Ok(table)
    }

    /// The first and the last row must be computable, so that a long run does not end in a refusal.
    fn check_ends(&self) -> Result<(), Error> {
        for spot in &self.spec.places.spots {
            for index in [0, self.spec.instants.len() - 1] {
                if let Some(port) = spot.port {
                    let at = [instants::timestamp(self.spec.instants.at_ms(index))];
                    let span = tide::span_around(&at, self.spec.near_turn);
                    self.spec.places.ports[port]
                        .port
                        .predictor(span)
                        .map_err(|source| Error::Tide {
                            place: spot.place.clone(),
                            source: Box::new(source),
                        })?;
                }
            }
        }
        Ok(())
    }

    /// What it is made of.
    pub fn spec(&self) -> &TableSpec {
        &self.spec
    }

    /// Rows in all: each place at each instant, place by place.
    pub fn rows(&self) -> u64 {
        self.layout.rows()
    }

    /// Groups in all.
    pub fn groups(&self) -> usize {
        self.layout.groups()
    }
}
