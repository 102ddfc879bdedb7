//! One month at one seat as a drawing: a row a day, midnight to midnight.
//!
//! From back to front: night, twilight and the bands of the sun; the water over the push level
//! along the foot of the row; the moon along its head; closures hatched; outings as thin lines and
//! their windows as bars.

use std::fmt::Write;

use super::column::{Bar, Calendar, Column, Kept};
use super::days::{Day, MINUTES_OF_DAY, Piece};
use super::sky::Disc;
use crate::axis::Axis;
use crate::markup::{escape, line, text};
use wrackline_plan::time::Stretches;

/// Width of a month in the drawing's own units, about a pixel each on a phone.
pub(super) const WIDTH: f64 = 360.0;
/// Height of a row: what a finger hits.
pub(super) const ROW: f64 = 24.0;
/// Room for the hours over the rows.
pub(super) const HEAD: f64 = 16.0;
const LEFT: f64 = 64.0;
const RIGHT: f64 = 354.0;
/// Heights of bars by the share of the best score, so that colour is not all that tells them apart.
const BAR_HEIGHTS: [f64; 3] = [8.0, 11.0, 14.0];

/// Height of a month of a number of days.
pub(super) fn height(days: usize) -> f64 {
    HEAD + ROW * days as f64 + 2.0
}

/// The minutes of a day.
const ACROSS: Axis = Axis::new([0.0, MINUTES_OF_DAY], [LEFT, RIGHT]);

fn top(row: usize) -> f64 {
    HEAD + ROW * row as f64
}

/// Draws the rows of some days, without the element around them. `link` names what a bar points at.
pub(super) fn draw(
    svg: &mut String,
    calendar: &Calendar<'_>,
    column: &Column<'_>,
    rows: std::ops::Range<usize>,
    link: Option<&str>,
) {
    let days = &calendar.days.all[rows.clone()];
    let foot = top(days.len());
    let pieces = |stretches: &Stretches| calendar.days.pieces(days, stretches);
    let _ = write!(
        svg,
        r#"<path class="night" d="{}"/>"#,
        rect(LEFT, HEAD, RIGHT - LEFT, foot - HEAD)
    );
    for (class, stretches) in &calendar.skies[column.sky].tones {
        path(svg, class, &pieces(stretches), 0.0, ROW);
    }
    path(
        svg,
        "moon-up",
        &pieces(&calendar.skies[column.sky].moon),
        1.0,
        2.0,
    );
    path(svg, "water", &pieces(&column.water), ROW - 6.0, 5.0);
    whole_rows(svg, "away", &column.kept[rows.clone()], Kept::Away);
    whole_rows(svg, "shut", &column.kept[rows.clone()], Kept::Closed);
    for minute in ACROSS.marks(180.0) {
        let x = ACROSS.at(minute);
        line(svg, [x, HEAD, x, foot], "hour");
    }
    for minute in ACROSS.marks(360.0) {
        let hour = format!("{:02.0}", minute / 60.0);
        text(svg, ACROSS.at(minute), HEAD - 4.0, "middle", &hour);
    }
    for (row, day) in days.iter().enumerate() {
        let moon = calendar.moons[rows.start + row].seen_from(column.seat.latitude_deg);
        label(svg, day, moon, row);
    }
    for bar in column
        .bars
        .iter()
        .filter(|bar| bar.touches(&days[0], &days[days.len() - 1]))
    {
        draw_bar(svg, calendar, days, bar, link);
    }
}

fn label(svg: &mut String, day: &Day, moon: Disc, row: usize) {
    let y = top(row);
    line(svg, [0.0, y, RIGHT, y], "rule");
    let class = if day.is_weekend() { "weekend" } else { "" };
    let name = day.date.strftime("%a %-d").to_string();
    text(svg, 1.0, y + 16.0, class, &name);
    // The lit part: half a circle on the lit side, and half an ellipse that adds to it or takes
    // from it.
    let (cx, cy, r) = (LEFT - 9.0, y + ROW / 2.0, 5.5);
    let across = r * (2.0 * moon.lit - 1.0).abs();
    let outer = u8::from(moon.lit_on_the_right);
    let inner = u8::from(moon.lit_on_the_right == (moon.lit > 0.5));
    let _ = write!(
        svg,
        "<circle class=\"disc\" cx=\"{cx}\" cy=\"{cy}\" r=\"{r}\"/><path class=\"lit\" d=\"M{cx} {}\
         A{r} {r} 0 0 {outer} {cx} {}A{across:.1} {r} 0 0 {inner} {cx} {}z\"/>",
        cy - r,
        cy + r,
        cy - r
    );
}

fn draw_bar(
    svg: &mut String,
    calendar: &Calendar<'_>,
    days: &[Day],
    bar: &Bar<'_>,
    link: Option<&str>,
) {
    let pieces = |stretch| calendar.days.pieces(days, &Stretches::new([stretch]));
    let times = &bar.outing.window.timetable;
    let weekend = if bar.weekend { " we" } else { "" };
    // The same window in two rows is one link.
    match link {
        Some(prefix) => {
            let _ = write!(
                svg,
                "<a href=\"#{prefix}{0}\" data-w=\"{0}\" data-l=\"{1}\" class=\"bar \
                 b{2}{weekend}\" aria-label=\"{3}\">",
                bar.number,
                bar.light,
                bar.tier + 1,
                escape(&bar.name)
            );
        }
        None => {
            let _ = write!(
                svg,
                "<g class=\"bar b{}\"><title>{}</title>",
                bar.tier + 1,
                escape(&bar.name)
            );
        }
    }
    path(
        svg,
        "out",
        &pieces(times.set_out..times.back_by),
        ROW / 2.0 - 1.0,
        2.0,
    );
    let height = BAR_HEIGHTS[bar.tier.min(2)];
    path(
        svg,
        "win",
        &pieces(bar.outing.window.stretch.clone()),
        (ROW - height) / 2.0,
        height,
    );
    svg.push_str(if link.is_some() { "</a>" } else { "</g>" });
}

/// Appends all pieces as one path.
fn path(svg: &mut String, class: &str, pieces: &[Piece], below_top: f64, height: f64) {
    if pieces.is_empty() {
        return;
    }
    let _ = write!(svg, "<path class=\"{class}\" d=\"");
    for piece in pieces {
        let (a, b) = (ACROSS.at(piece.from_minute), ACROSS.at(piece.to_minute));
        svg.push_str(&rect(a, top(piece.row) + below_top, b - a, height));
    }
    svg.push_str("\"/>");
}

fn whole_rows(svg: &mut String, class: &str, kept: &[Kept], wanted: Kept) {
    let pieces: Vec<_> = kept
        .iter()
        .enumerate()
        .filter(|(_, kept)| **kept == wanted)
        .map(|(row, _)| Piece {
            row,
            from_minute: 0.0,
            to_minute: MINUTES_OF_DAY,
        })
        .collect();
    path(svg, class, &pieces, 0.0, ROW);
}

fn rect(x: f64, y: f64, width: f64, height: f64) -> String {
    // Something of the shortest stretch must be seen.
    format!("M{x:.1} {y}h{w:.1}v{height}h-{w:.1}z", w = width.max(0.5))
}

/// The hatching of closures and the dots of absence, once a document.
pub(super) const PATTERNS: &str = "<defs><pattern id=\"hatch\" width=\"7\" height=\"7\" \
    patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect class=\"hatch\" \
    width=\"2.2\" height=\"7\"/></pattern><pattern id=\"dots\" width=\"8\" height=\"8\" \
    patternUnits=\"userSpaceOnUse\"><circle class=\"hatch\" cx=\"4\" cy=\"4\" \
    r=\"1.1\"/></pattern></defs>";

/// Words beside their signs. The same for page and wall.
pub(super) const KEY: [(&str, &str); 12] = [
    ("bar b3", "window, at least two thirds of the best score"),
    ("bar b2", "window, at least one third"),
    ("bar b1", "window, less"),
    ("out", "from setting out to being back"),
    ("water", "water over the push level, as expected"),
    ("moon-up", "moon above the horizon"),
    ("night", "night: sun below -6\u{b0}"),
    ("twilight", "twilight: -6 to 0\u{b0}"),
    ("warm", "sun 0 to 6\u{b0}"),
    ("low", "sun 6 to 12\u{b0}"),
    ("day", "sun above 12\u{b0}"),
    ("shut", "closed, breeding or resting: nobody goes"),
];

/// One sign of the key, 24 by 14, at a position.
pub(super) fn sign(svg: &mut String, class: &str, left: f64, top: f64) {
    let full = rect(left, top, 24.0, 14.0);
    match class.strip_prefix("bar ") {
        Some(tier) => {
            let height = match tier {
                "b3" => BAR_HEIGHTS[2],
                "b2" => BAR_HEIGHTS[1],
                _ => BAR_HEIGHTS[0],
            };
            let bar = rect(left, top + (14.0 - height) / 2.0, 24.0, height);
            let _ = write!(
                svg,
                r#"<g class="{class}"><path class="win" d="{bar}"/></g>"#
            );
        }
        None => {
            let d = match class {
                "out" | "moon-up" => rect(left, top + 6.0, 24.0, 2.0),
                "water" => rect(left, top + 5.0, 24.0, 5.0),
                _ => full,
            };
            let _ = write!(svg, r#"<path class="{class} edged" d="{d}"/>"#);
        }
    }
}
