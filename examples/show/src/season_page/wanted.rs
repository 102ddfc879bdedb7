//! What the season holds for the pictures that are wanted, from the numbers that `project` prints.

use std::fmt::Write;

use wrackline_plan::project::Project;

use crate::markup::escape;
use crate::project::{basis, range, said_of};
use crate::told::percent;

/// Appends the table of pictures, and below it what to do, once for those of which it is the same.
pub(super) fn write(html: &mut String, project: &Project<'_>) {
    let _ = write!(
        html,
        "<section id=\"wanted\"><h2>Wanted pictures</h2><p>{} visits left to make, {} made this \
         season, {} planned. {}</p><table><thead><tr><th scope=\"col\">picture</th><th \
         scope=\"col\">taken</th><th scope=\"col\">windows</th><th scope=\"col\">planned</th><th \
         scope=\"col\">chance</th></tr></thead><tbody>",
        project.visits_left,
        project.visits_made,
        project.plan.len(),
        escape(basis(project))
    );
    for picture in &project.pictures {
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
            "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td>\
             <td>{chance}</td></tr>",
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
    html.push_str("</section>\n");
}
