//! What the season holds for the pictures that are wanted, from the numbers that `project` prints.

use std::fmt::Write;

use wrackline_plan::project::Project;

use crate::markup::escape;
use crate::project::{basis, notes, range, said_of, visit_cells};
use crate::told::percent;

/// Appends the table of pictures, and below it what to do, once for those of which it is the same.
pub(super) fn write(html: &mut String, project: &Project<'_>) {
    let _ = write!(
        html,
        "<section id=\"wanted\"><h2>Wanted pictures</h2><p>{} visits left to make, {} made this \
         season, {} planned. {}</p><table><thead><tr><th scope=\"col\">nr</th><th scope=\"col\">picture</th><th \
         scope=\"col\">taken</th><th scope=\"col\">windows</th><th scope=\"col\">planned</th><th \
         scope=\"col\">chance</th></tr></thead><tbody>",
        project.visits_left,
        project.visits_made,
        project.plan.len(),
        escape(basis(project))
    );
    for (number, picture) in project.pictures.iter().enumerate() {
        let chance = if picture.planned == 0 {
            "-".to_owned()
        } else {
            format!(
                "{} <span>({})</span>",
                percent(picture.chance),
                range(picture.range)
            )
        };
        let _ = write!(
            html,
            "<tr><td>{}</td><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td>\
             <td>{chance}</td></tr>",
            number + 1,
            escape(&picture.wanted.picture),
            picture.taken,
            picture.windows,
            picture.planned
        );
    }
    html.push_str("</tbody></table>");
    for (whose, said) in said_of(project) {
        let names: Vec<&str> = whose
            .iter()
            .map(|&at| project.pictures[at].wanted.picture.as_str())
            .collect();
        let names = match names.len() {
            all if all > 1 && all == project.pictures.len() => "all of them".to_owned(),
            _ => names.join(", "),
        };
        let _ = write!(html, "<p><b>{}</b>: {}</p>", escape(&names), escape(&said));
    }
    visits(html, project);
    html.push_str("</section>\n");
}

/// The visits that the plan makes, and how they were chosen.
fn visits(html: &mut String, project: &Project<'_>) {
    if project.plan.is_empty() {
        return;
    }
    let _ = write!(
        html,
        "<h3>{} visits planned</h3><table class=\"visits\"><thead><tr><th scope=\"col\">day</th>\
         <th scope=\"col\">seat</th><th scope=\"col\">set out</th><th scope=\"col\">back \
         by</th><th scope=\"col\">can bring</th></tr></thead><tbody>",
        project.plan.len()
    );
    for visit in &project.plan {
        let [day, rest @ ..] = visit_cells(project, visit);
        let _ = write!(html, "<tr><th scope=\"row\">{day}</th>");
        for cell in rest {
            let _ = write!(html, "<td>{}</td>", escape(&cell));
        }
        html.push_str("</tr>");
    }
    html.push_str("</tbody></table>");
    for note in notes(project) {
        let _ = write!(html, "<p>{}</p>", escape(&note));
    }
}
