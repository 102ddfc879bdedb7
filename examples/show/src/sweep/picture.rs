//! A sweep as a picture: the animals in the middle, north at the top, and a petal where a seat
//! would stand, as long as it has windows.

use std::fmt::Write;

use crate::axis::{Axis, round_up};
use crate::markup::{line, text};
use crate::paper::{DARK, LIGHT, PRINTED, Paper, Sheet};
use wrackline_plan::sweep::{Sweep, Tried};

/// One rose, in the drawing's own units.
const SIZE: f64 = 400.0;
const CENTRE: f64 = SIZE / 2.0;
const RADIUS: f64 = 150.0;
/// Height of the heading over the roses, and of the lines under them.
const HEAD: f64 = 58.0;
const FOOT: f64 = 24.0;

/// What does not depend on the colours.
const STYLE: &str = "svg{color-scheme:light dark}\
    text{font:11px system-ui,'Helvetica Neue',Arial,sans-serif}\
    .middle{text-anchor:middle}.end{text-anchor:end}.title{font-size:15px;font-weight:700}\
    .ring{fill:none}.spoke,.petal{stroke-width:.6}.none{stroke-width:2}.seat{stroke-width:1.6}";

fn rules(on: Paper, petal: &str) -> String {
    let Paper {
        paper,
        ink,
        soft,
        rule,
    } = on;
    format!(
        "svg{{background:{paper}}}.paper{{fill:{paper}}}text,.subject{{fill:{ink}}}\
         .soft{{fill:{soft}}}.ring,.spoke{{stroke:{rule}}}\
         .petal{{fill:{petal};stroke:{paper}}}.none{{stroke:{soft}}}\
         .seat{{fill:{paper};stroke:{ink}}}"
    )
}

/// A point at a distance from the centre of a rose in the direction of an azimuth.
fn at(left: f64, azimuth_deg: f64, radius: f64) -> [f64; 2] {
    let (sin, cos) = azimuth_deg.to_radians().sin_cos();
    [left + CENTRE + radius * sin, HEAD + CENTRE - radius * cos]
}

/// The picture of a sweep, as a document of its own.
pub fn picture(sweep: &Sweep<'_>) -> String {
    let roses = sweep.distances_m.len().max(1) as f64;
    let (width, height) = (SIZE * roses, HEAD + SIZE + FOOT);
    let most = sweep
        .trials
        .iter()
        .map(|tried| tried.open)
        .max()
        .unwrap_or(0);
    let title = format!(
        "{}, {}: windows by the place of the seat",
        sweep.place.place.name, sweep.place.subject.name
    );
    let mut svg = Sheet {
        size: [width, height],
        name: "sweep",
        title: &title,
        description: &description(sweep),
        fixed: STYLE,
        rules: [
            rules(LIGHT, "#d9a520"),
            rules(DARK, "#c99a2a"),
            rules(PRINTED, "#777"),
        ],
    }
    .open();
    let heading = format!("{}, {}", sweep.place.place.name, sweep.place.subject.name);
    let below = format!(
        "{}, {} to {}",
        sweep.light.name,
        sweep.from.strftime("%-d %b %Y"),
        sweep.last.strftime("%-d %b %Y")
    );
    let unit = if sweep.place.place.push_m.is_some() {
        "tides"
    } else {
        "days"
    };
    let key = format!("petals stand where the seat would; length: {unit} with a window");
    text(&mut svg, 14.0, 20.0, "title", &heading);
    text(&mut svg, 14.0, 36.0, "soft", &below);
    text(&mut svg, 14.0, 51.0, "soft", &key);
    for (index, &distance_m) in sweep.distances_m.iter().enumerate() {
        rose(&mut svg, sweep, distance_m, SIZE * index as f64, most);
    }
    svg.push_str("</svg>");
    svg
}

/// What the picture shows, in words.
fn description(sweep: &Sweep<'_>) -> String {
    let mut out = String::new();
    for &distance_m in &sweep.distances_m {
        let here: Vec<&Tried> = sweep
            .trials
            .iter()
            .filter(|tried| tried.distance_m == distance_m)
            .collect();
        let best = here
            .iter()
            .reduce(|best, next| if next.open > best.open { next } else { best });
        let idle = here.iter().filter(|tried| tried.open == 0).count();
        match best {
            Some(best) if best.open > 0 => {
                let _ = write!(
                    out,
                    "From {distance_m:.0} m the view on {} degrees has the most tides or days \
                     with a window, {}; {idle} of {} views have none. ",
                    best.bearing_deg,
                    best.open,
                    here.len()
                );
            }
            _ => {
                let _ = write!(out, "From {distance_m:.0} m no view has a window. ");
            }
        }
    }
    out.trim_end().to_owned()
}

fn rose(svg: &mut String, sweep: &Sweep<'_>, distance_m: f64, left: f64, most: usize) {
    let here: Vec<&Tried> = sweep
        .trials
        .iter()
        .filter(|tried| tried.distance_m == distance_m)
        .collect();
    let [x, y] = at(left, 0.0, 0.0);
    // At most five rings, a whole number of windows apart.
    let step = round_up(most as f64 / 5.0).max(1.0) as usize;
    let full = most.div_ceil(step).max(1) * step;
    let outward = Axis::new([0.0, full as f64], [0.0, RADIUS]);
    let radius = |count: usize| outward.at(count as f64);
    for azimuth in (0..360).step_by(30) {
        let [x2, y2] = at(left, f64::from(azimuth), RADIUS);
        line(svg, [x, y, x2, y2], "spoke");
        let [tx, ty] = at(left, f64::from(azimuth), RADIUS + 16.0);
        let name = match azimuth {
            0 => "N".to_owned(),
            90 => "E".to_owned(),
            180 => "S".to_owned(),
            270 => "W".to_owned(),
            other => format!("{other}\u{b0}"),
        };
        let class = if azimuth % 90 == 0 {
            "middle"
        } else {
            "middle soft"
        };
        text(svg, tx, ty + 4.0, class, &name);
    }
    for count in (step..=full).step_by(step) {
        let _ = write!(
            svg,
            r#"<circle class="ring" cx="{x:.1}" cy="{y:.1}" r="{:.1}"/>"#,
            radius(count)
        );
    }
    let width = 360.0 / here.len().max(1) as f64;
    for tried in &here {
        // The seat stands behind its own view.
        let stands = f64::from(tried.bearing_deg) + 180.0;
        if tried.open > 0 {
            petal(svg, left, stands, width, radius(tried.open), tried);
        }
    }
    for count in (step..=full).step_by(step) {
        let [tx, ty] = at(left, 15.0, radius(count));
        text(svg, tx, ty - 2.0, "middle soft", &count.to_string());
    }
    if let Some(never) = here.iter().find_map(|tried| tried.never) {
        text(svg, x, y + 40.0, "middle", &format!("never: {never}"));
    } else if here.iter().all(|tried| tried.open == 0) {
        text(svg, x, y + 40.0, "middle", "no window from anywhere");
    }
    let _ = write!(
        svg,
        r#"<circle class="subject" cx="{x:.1}" cy="{y:.1}" r="4"/>"#
    );
    for seat in sweep.scenario.seats() {
        if sweep.scenario.place_of(seat).id != sweep.place.place.id {
            continue;
        }
        let [sx, sy] = at(left, seat.bearing_deg + 180.0, RADIUS + 2.0);
        let _ = write!(
            svg,
            r#"<circle class="seat" cx="{sx:.1}" cy="{sy:.1}" r="8.5"/>"#
        );
        text(svg, sx, sy + 4.0, "middle", &seat.id);
    }
    let foot = format!("seats at {distance_m:.0} m");
    text(svg, x, HEAD + SIZE + 8.0, "middle soft", &foot);
}

/// A petal with the direction in its middle, and its figures as a hint to the pointer.
fn petal(svg: &mut String, left: f64, azimuth: f64, width: f64, radius: f64, tried: &Tried) {
    let [cx, cy] = at(left, 0.0, 0.0);
    let [x1, y1] = at(left, azimuth - width / 2.0, radius);
    let [x2, y2] = at(left, azimuth + width / 2.0, radius);
    let _ = write!(
        svg,
        "<path class=\"petal\" d=\"M{cx:.1} {cy:.1}L{x1:.1} {y1:.1}\
         A{radius:.1} {radius:.1} 0 0 1 {x2:.1} {y2:.1}Z\">\
         <title>view {} degrees: {} with a window, {:.0} minutes</title></path>",
        tried.bearing_deg, tried.open, tried.minutes
    );
}
