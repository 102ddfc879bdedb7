//! A part of a table with what its groups have in common, and what a table says of itself.

use arrow_schema::{Metadata, SchemaRef};
use wrackline_plan::cautions;

use super::layout::Layout;
use super::names::Names;
use super::part::Part;
use super::{Table, schema};

/// A part of a table with what its groups have in common.
#[derive(Debug)]
pub(super) struct Slice<'t> {
    pub(super) table: &'t Table,
    pub(super) layout: Layout,
    pub(super) names: Names,
    pub(super) schema: SchemaRef,
}

impl Table {
    /// What is needed to make the rows of a part of this table.
    pub(super) fn slice(&self, part: &Part) -> Slice<'_> {
        let Part {
            places, instants, ..
        } = part.clone();
        let spec = &self.spec;
        Slice {
            table: self,
            names: Names::new(&spec.places, &places, spec.scenario.as_ref()),
            layout: Layout::new(places, instants, self.stretch, spec.group_rows),
            schema: schema::arrow(metadata(self)),
        }
    }
}

/// What a table says of itself: so that the rows need not.
fn metadata(table: &Table) -> Metadata {
    let spec = &table.spec;
    let mut pairs = vec![
        ("wrackline:table".to_owned(), "visibility".to_owned()),
        ("wrackline:cautions".to_owned(), cautions::ALL.join("\n")),
        (
            "wrackline:near_turn_s".to_owned(),
            spec.near_turn.as_secs().to_string(),
        ),
    ];
    if let Some(scenario) = &spec.scenario {
        pairs.push(("wrackline:scenario".to_owned(), scenario.title().to_owned()));
        if let Some(tide) = scenario.tide() {
            pairs.push(("wrackline:port".to_owned(), tide.name.clone()));
            pairs.push(("wrackline:datum".to_owned(), tide.datum.clone()));
        }
        let wish = spec.places.spots.iter().find_map(|spot| spot.wish);
        if let Some(wish) = wish {
            let light = scenario.lights()[wish.light].name.clone();
            pairs.push(("wrackline:light".to_owned(), light));
        }
    }
    pairs.into_iter().collect()
}
