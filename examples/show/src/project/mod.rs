//! A project for people and for programs.

mod data;
mod said;
mod text;

use std::io::{self, Write};

use crate::clock::Clock;
use crate::limits::Limits;
use crate::report::Style;
use wrackline_plan::project::{Project, Visit};

#[cfg(feature = "page")]
pub(crate) use said::{basis, notes, range, said_of};

/// How a project is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Format {
    /// Aligned text for people.
    #[default]
    Text,
    /// One row for each visit of the plan (RFC 4180).
    Csv,
    /// One object with pictures, the plan and cautions.
    Json,
}

/// Writes a project.
///
/// # Errors
/// What the writer refuses.
pub fn write(
    project: &Project<'_>,
    format: Format,
    style: Style,
    out: &mut dyn Write,
) -> io::Result<()> {
    match format {
        Format::Text => text::text(project, style, out),
        Format::Csv => data::csv(project, out),
        Format::Json => data::json(project, style.demo, out),
    }
}

/// A visit of the plan for people: day, seat, set out, back by, and the numbers of the pictures
/// that it can bring.
pub(crate) fn visit_cells(project: &Project<'_>, visit: &Visit<'_>) -> [String; 5] {
    let outing = &visit.outing;
    let clock = Clock::of(project.scenario, outing);
    let limits = Limits::of(outing);
    let mut brings: Vec<String> = Vec::new();
    for &at in visit.brings.keys() {
        brings.push((at + 1).to_string());
    }
    let ask = if visit.ask_first.is_empty() {
        ""
    } else {
        ", ask first"
    };
    [
        visit.date.strftime("%a %-d %b %Y").to_string(),
        format!("{} {}", visit.seat.id, visit.seat.name),
        clock.limit(limits.set_out),
        clock.limit(limits.back_by),
        format!("{}{ask}", brings.join(" ")),
    ]
}
