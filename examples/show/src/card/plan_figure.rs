//! Seat, subject, stand-off ring and sun from above, to scale, north at the top.

use std::fmt::Write;

use super::Card;
use crate::axis::round_down;
use crate::light::source;
use crate::markup::{escape, line, text};

const SIZE: f64 = 280.0;
const CENTRE: f64 = SIZE / 2.0;
/// Where the suns stand.
const SUN_RING: f64 = 124.0;
/// What the plan itself may fill.
const PLAN_RADIUS: f64 = 94.0;
/// Suns nearer together than this, in degrees around the ring, take turns standing further in.
const CROWDED_DEG: f64 = 9.0;

/// A point `distance` from another in the direction of an azimuth, north up.
fn towards([x, y]: [f64; 2], azimuth_deg: f64, distance: f64) -> [f64; 2] {
    let (sin, cos) = azimuth_deg.to_radians().sin_cos();
    [x + distance * sin, y - distance * cos]
}

/// The drawing, as an SVG element.
pub(super) fn draw(card: &Card<'_>) -> String {
    let seat = card.outing.seat;
    let subject = card.outing.subject;
    let stand_off_m = subject.stand_off_m(seat);
    // By moonlight the moon casts the shadow.
    let suns = *card.outing.window.light();
    let body = source(&card.outing.window);
    // The subject in the middle: everything else is seen from it.
    let radius_m = stand_off_m.max(seat.distance_m) * 1.04;
    let per_m = PLAN_RADIUS / radius_m;
    let middle = [CENTRE, CENTRE];
    let seat_at = towards(middle, seat.bearing_deg + 180.0, seat.distance_m * per_m);

    let description = format!(
        "The subject is {:.0} m from the seat on a bearing of {:.0} degrees. The stand-off ring \
         has a radius of {stand_off_m:.0} m. \
         At start, middle and end of the pictures the {body} stands at azimuth {:.0}, {:.0} and \
         {:.0} degrees.",
        seat.distance_m,
        seat.bearing_deg,
        suns[0].azimuth_deg,
        suns[1].azimuth_deg,
        suns[2].azimuth_deg
    );
    let mut svg = format!(
        "<svg class=\"figure plan\" viewBox=\"0 0 {SIZE} {SIZE}\" role=\"img\" \
         aria-labelledby=\"plan-title plan-text\"><title id=\"plan-title\">Plan to scale</title>\
         <desc id=\"plan-text\">{}</desc>",
        escape(&description)
    );
    let _ = write!(
        svg,
        r#"<circle class="grid" cx="{CENTRE}" cy="{CENTRE}" r="{SUN_RING}"/>"#
    );
    for (index, sun) in suns.iter().enumerate() {
        let crowded = index > 0
            && ((sun.azimuth_deg - suns[index - 1].azimuth_deg + 540.0) % 360.0 - 180.0).abs()
                < CROWDED_DEG;
        // The middle one steps in, so that the outer two keep their place.
        let ring = if crowded && index == 1 {
            SUN_RING - 15.0
        } else {
            SUN_RING
        };
        let at = towards(middle, sun.azimuth_deg, ring);
        let from = towards(middle, sun.azimuth_deg, ring - 8.0);
        let to = towards(middle, sun.azimuth_deg, ring - 26.0);
        line(&mut svg, [from[0], from[1], to[0], to[1]], "ray");
        let _ = write!(
            svg,
            r#"<circle class="sun" cx="{:.1}" cy="{:.1}" r="8"/>"#,
            at[0], at[1]
        );
        let number = (index + 1).to_string();
        text(&mut svg, at[0], at[1] + 3.3, "middle on-sun", &number);
    }
    let _ = write!(
        svg,
        r#"<circle class="ring" cx="{CENTRE}" cy="{CENTRE}" r="{:.1}"/>"#,
        stand_off_m * per_m
    );
    line(&mut svg, [seat_at[0], seat_at[1], CENTRE, CENTRE], "view");
    // The shadow at the middle of the pictures, as long as there is room for: its direction is what
    // matters.
    if suns[1].altitude_deg > 0.0 {
        let tip = towards(middle, suns[1].azimuth_deg + 180.0, 26.0);
        line(&mut svg, [CENTRE, CENTRE, tip[0], tip[1]], "shadow");
    }
    let _ = write!(
        svg,
        "<circle class=\"subject\" cx=\"{CENTRE}\" cy=\"{CENTRE}\" r=\"4.5\"/>\
         <rect class=\"seat\" x=\"{:.1}\" y=\"{:.1}\" width=\"9\" height=\"9\"/>",
        seat_at[0] - 4.5,
        seat_at[1] - 4.5
    );
    // Across the view, on the side that the shadow leaves free.
    let shadow = (suns[1].azimuth_deg + 180.0 - seat.bearing_deg).rem_euclid(360.0);
    let free = if shadow < 180.0 { -90.0 } else { 90.0 };
    label(&mut svg, middle, seat.bearing_deg + free, "subject");
    label(
        &mut svg,
        seat_at,
        seat.bearing_deg - free,
        &format!("seat {}", seat.id),
    );
    text(&mut svg, CENTRE, 10.0, "middle strong", "N");
    // About a quarter of the plan.
    let bar = round_down(radius_m / 2.0);
    let foot = SIZE - 8.0;
    let right = 8.0 + bar * per_m;
    line(&mut svg, [8.0, foot, right, foot], "bar");
    line(&mut svg, [8.0, foot - 3.0, 8.0, foot + 3.0], "bar");
    line(&mut svg, [right, foot - 3.0, right, foot + 3.0], "bar");
    text(
        &mut svg,
        right + 5.0,
        foot + 3.5,
        "",
        &format!("{bar:.0} m"),
    );
    svg.push_str("</svg>");
    svg
}

/// A name beside a point, on the side away from the line of sight.
fn label(svg: &mut String, [x, y]: [f64; 2], away_deg: f64, name: &str) {
    let away = away_deg.rem_euclid(360.0);
    let class = if away < 180.0 { "halo" } else { "end halo" };
    let [x, y] = towards([x, y], away, 10.0);
    text(svg, x, y + 3.0, class, name);
}
