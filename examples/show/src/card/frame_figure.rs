//! The subject in the frame of each kit, to scale.

use std::fmt::Write;

use crate::markup::escape;
use wrackline_plan::framing::Framed;
use wrackline_plan::scenario::NamedKit;

/// Width of every frame in the drawing's own units.
const WIDTH: f64 = 90.0;
/// Height of a body over its length: a resting bird, drawn as an ellipse. Only the length is to
/// scale.
const BODY: f64 = 0.45;

/// One frame, as an SVG element.
pub(super) fn draw(framed: &Framed, kit: Option<&NamedKit>, subject: &str) -> String {
    let aspect = kit.map_or(2.0 / 3.0, |kit| {
        kit.sensor.height_mm() / kit.sensor.width_mm()
    });
    let height = WIDTH * aspect;
    let length = WIDTH * framed.share;
    let description = format!(
        "{}: the {subject} fills {:.1} percent of the width of the frame, {:.0} pixels",
        framed.kit,
        framed.share * 100.0,
        framed.pixels
    );
    let mut svg = format!(
        r#"<svg class="frame" viewBox="-1 -1 {:.1} {:.1}" role="img" aria-label="{}">"#,
        WIDTH + 2.0,
        height + 2.0,
        escape(&description)
    );
    let (x, y) = (WIDTH / 2.0, height / 2.0);
    // Clipped by the frame where the animal is larger than it.
    let (rx, ry) = ((length / 2.0).min(x), (length * BODY / 2.0).min(y));
    let _ = write!(
        svg,
        "<rect class=\"frame-edge\" x=\"0\" y=\"0\" width=\"{WIDTH}\" height=\"{height:.1}\"/>\
         <ellipse class=\"subject\" cx=\"{x:.1}\" cy=\"{y:.1}\" rx=\"{:.1}\" ry=\"{:.1}\"/></svg>",
        rx.max(0.5),
        ry.max(0.4)
    );
    svg
}
