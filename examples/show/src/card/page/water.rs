//! The tide of a card: its figure, and the heights by quarter-hours.

use std::fmt::Write;

use super::super::{Card, tide_figure};
use crate::limits::{level_down, level_up};
use crate::markup::escape;
use crate::told::percent;
use wrackline_plan::time::shifted;

/// Rows of the water table are set in this many blocks side by side.
const WATER_BLOCKS: usize = 4;

pub(super) fn tide(html: &mut String, card: &Card<'_>) {
    let heading = if card.levels.is_some() {
        "Tide and sun"
    } else {
        "Sun"
    };
    let _ = writeln!(
        html,
        "<figure class=\"tide\"><h2>{heading}</h2>{}</figure>",
        tide_figure::draw(card)
    );
}

pub(super) fn water(html: &mut String, card: &Card<'_>) {
    let (Some(levels), Some(tide)) = (&card.levels, card.scenario.tide()) else {
        return;
    };
    let window = &card.outing.window;
    let _ = writeln!(
        html,
        "<section class=\"levels\"><h2>Water by quarter-hours, m above {}{}</h2><div \
         class=\"blocks\">",
        escape(&tide.datum),
        tide.printed().map_or("", |_| ", from a printed table")
    );
    // Nobody is near the water before and after that.
    let quarter_hour = 15.0;
    let shown = shifted(window.timetable.seated_by, -quarter_hour)
        ..shifted(window.timetable.back_by, quarter_hour);
    let quarters = levels.quarters.iter();
    let shown: Vec<_> = quarters.filter(|level| shown.contains(&level.at)).collect();
    let rows = shown.len().div_ceil(WATER_BLOCKS).max(1);
    for block in shown.chunks(rows) {
        html.push_str(
            "<table><tr><th></th><th>low</th><th>central</th><th>upper</th><th></th></tr>",
        );
        for level in block {
            let pictures = window.stretch.contains(&level.at);
            let closed = window
                .timetable
                .way
                .is_some_and(|way| (way.cut..way.clear).contains(&level.at));
            let _ = write!(
                html,
                "<tr{}><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>",
                if pictures { " class=\"pictures\"" } else { "" },
                escape(&card.clock.near(level.at)),
                level_down(level.low_m),
                level_down(level.central_m),
                level_up(level.upper_m),
                if closed { "\u{d7}" } else { "" }
            );
        }
        html.push_str("</table>");
    }
    html.push_str("</div><p class=\"soft\">Bold: pictures. ");
    if window.timetable.way.is_some() {
        html.push_str("\u{d7}: way closed at the upper water. ");
    }
    if let Some(hw) = &card.outing.occasion.high_water {
        let _ = write!(
            html,
            "High water {} at {} m, range {:.1} m. Chance that the water stays in the height band \
             {}",
            card.clock.near(hw.at),
            level_down(hw.height_m),
            hw.range_m,
            percent(window.chance_of_water)
        );
        match &window.at_lower_water {
            Some(stretch) => {
                let _ = write!(
                    html,
                    "; at the low water line {} remains. ",
                    card.clock.usable(stretch).join("\u{2013}")
                );
            }
            None => html.push_str("; at the low water line the animals are not pushed. "),
        }
    }
    if let Some(chance) = window.chance_above_upper {
        let _ = write!(
            html,
            "Chance of water above the upper line {}.",
            percent(chance)
        );
    }
    html.push_str("</p></section>\n");
}
