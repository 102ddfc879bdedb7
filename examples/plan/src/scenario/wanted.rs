//! The pictures wanted for a project.

use super::reader::Table;
use crate::port::Phase;

/// A picture wanted for the project.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// What it shows.
    pub picture: String,
    /// The kinds of light it is wanted in, as positions in the scenario's lights.
    pub lights: Vec<usize>,
    /// The part of the tide it belongs to.
    pub phase: Phase,
    /// The animal that it shows, as a position in the scenario's subjects; the project's own when
    /// `None`.
    pub(super) subject: Option<usize>,
    /// How many are there already.
    pub taken: u32,
}

pub(super) fn read(table: Table<'_, '_>) -> Wanted {
    let phase = table.choice(
        "tide",
        &[
            ("flood", Phase::Flood),
            ("ebb", Phase::Ebb),
            ("both", Phase::Both),
        ],
    );
    let wanted = Wanted {
        picture: table.text("name"),
        lights: Vec::new(),
        subject: None,
        phase: phase.unwrap_or_default(),
        taken: table.integer("taken", 0..=1_000_000).unwrap_or(0) as u32,
    };
    if !table.has("light") {
        table.report(
            "light",
            "is missing",
            "list the kinds of light that the picture is wanted in",
        );
    }
    table.finish();
    wanted
}
