//! A project as aligned text.

use std::io::{self, Write};

use jiff::civil::Date;

use super::said::{basis, notes, range, said_of};
use super::visit_cells;
use crate::columns::Columns;
use crate::report::{DEMO, Style};
use crate::told;
use wrackline_plan::cautions;
use wrackline_plan::project::Project;

/// Writes it.
pub(super) fn text(project: &Project<'_>, style: Style, out: &mut dyn Write) -> io::Result<()> {
    let scenario = project.scenario;
    let mut told = |first: &str, text: &str| out.write_all(style.wrapped(first, text).as_bytes());
    if style.demo {
        told("", DEMO)?;
    }
    let day = |date: Date| date.strftime("%a %-d %b %Y").to_string();
    let title = format!(
        "{}: {} wanted pictures, {} visits left to make ({} made this season), {} to {}",
        scenario.title(),
        project.pictures.len(),
        project.visits_left,
        project.visits_made,
        day(project.from),
        day(project.last),
    );
    told("", &title)?;
    told("", basis(project))?;
    writeln!(out)?;
    writeln!(out, "{}", picture_table(project, style.columns()))?;
    for (whose, said) in said_of(project) {
        let numbers: Vec<String> = whose.iter().map(|at| (at + 1).to_string()).collect();
        let numbers = numbers.join(" ");
        out.write_all(style.wrapped(&format!("   {numbers}  "), &said).as_bytes())?;
    }
    writeln!(out)?;
    if project.plan.is_empty() {
        let none = "No visit to plan: nothing that is wanted can be brought, or no visit is left.";
        out.write_all(style.wrapped("", none).as_bytes())?;
    } else {
        writeln!(out, "{}", visit_table(project))?;
    }
    for note in notes(project) {
        out.write_all(style.wrapped("", &note).as_bytes())?;
    }
    writeln!(out)?;
    for caution in [
        cautions::WATER,
        cautions::SUN,
        cautions::LAW,
        cautions::WELFARE,
    ] {
        out.write_all(style.wrapped("  ", caution).as_bytes())?;
    }
    Ok(())
}

fn picture_table(project: &Project<'_>, room: usize) -> String {
    let heading = [
        "", "picture", "taken", "windows", "planned", "chance", "range",
    ];
    let mut table = Columns::headed(heading);
    for column in [0, 2, 3, 4, 5, 6] {
        table = table.right(column);
    }
    for (number, picture) in project.pictures.iter().enumerate() {
        let none = picture.planned == 0;
        let dash = |told: String| if none { "-".to_owned() } else { told };
        table.push([
            (number + 1).to_string(),
            shortened(&picture.wanted.picture, room.saturating_sub(FIGURES)),
            picture.taken.to_string(),
            picture.windows.to_string(),
            format!("{} of {}", picture.planned, picture.visits),
            dash(told::percent(picture.chance)),
            dash(range(picture.range)),
        ]);
    }
    table.to_string()
}

/// Columns that a row of the table of pictures takes beside the name.
const FIGURES: usize = 52;

/// A name cut to its room; what it is called in full stands in the data formats.
fn shortened(name: &str, room: usize) -> String {
    let room = room.max(12);
    if name.chars().count() <= room {
        return name.to_owned();
    }
    let kept: String = name.chars().take(room - 1).collect();
    format!("{}\u{2026}", kept.trim_end())
}

fn visit_table(project: &Project<'_>) -> String {
    let mut table =
        Columns::headed(["", "day", "seat", "set out", "back by", "can bring"]).right(0);
    for (number, visit) in project.plan.iter().enumerate() {
        let [day, seat, set_out, back_by, brings] = visit_cells(project, visit);
        table.push([
            (number + 1).to_string(),
            day,
            seat,
            set_out,
            back_by,
            brings,
        ]);
    }
    table.to_string()
}
