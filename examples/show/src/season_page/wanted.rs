//! What the season holds for the pictures that are wanted, from the numbers that `project` prints.

use std::fmt::Write;

use wrackline_plan::project::Project;

use crate::markup::escape;
use crate::project::{basis, range, said};
use crate::told::percent;

/// Appends the table of pictures: figures in one row, what to do about it below them.
pub(super) fn write(html: &mut String, project: &Project<'_>) {
    let _ = write!(
        html,
        "<section id=\"wanted\"><h2>Wanted pictures</h2><p>{} visits left to make, {} made this \
         season, {} planned. {}</p><table><thead><tr><th scope=\"col\">picture</th><th \
         scope=\"col\">taken</th><th scope=\"col\">windows</th><th scope=\"col\">planned</th><th \
         scope=\"col\">chance</th></tr></thead>",
        project.visits_left,
        project.visits_made,
        project.plan.len(),
        escape(basis(project))
    );
    for picture in &project.pictures {
        let chance = if picture.planned == 0 {
            "-".to_owned()
        } else {
            format!("{} ({})", percent(picture.chance), range(picture.range))
        };
        let _ = write!(
            html,
            "<tbody><tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td>\
             <td>{chance}</td></tr><tr><td colspan=\"5\">{}</td></tr></tbody>",
            escape(&picture.wanted.picture),
            picture.taken,
            picture.windows,
            picture.planned,
            escape(&said(project, picture))
        );
    }
    html.push_str("</table></section>\n");
}
