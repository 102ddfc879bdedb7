//! The skyline around a seat as a picture, with the paths of the sun over it: the whole sky, and
//! below it the few degrees over the horizon drawn out, since that is where hills take the light.

use std::fmt::Write;

use crate::axis::{Axis, decimals};
use crate::markup::{line, text};
use crate::paper::{DARK, LIGHT, PRINTED, Paper, Sheet};

/// What is drawn.
#[derive(Clone, Debug, Default)]
pub struct Panorama {
    /// What it is of.
    pub title: String,
    /// From which data, seen how.
    pub below: String,
    /// Azimuth and apparent altitude of the skyline, by rising azimuth from 0 to 360.
    pub skyline: Vec<[f64; 2]>,
    /// Azimuths between which not all of the ground is known, each from, clockwise, to.
    pub unknown: Vec<[f64; 2]>,
    /// Bearing of the view from the seat, and what is there.
    pub view: Option<(f64, String)>,
    /// The sun on some days.
    pub paths: Vec<SunPath>,
    /// Whether the sun stands in the north at noon: then north is the middle.
    pub southern: bool,
}

/// The sun on one day.
#[derive(Clone, Debug)]
pub struct SunPath {
    /// Which day.
    pub name: String,
    /// Whether it is the day that is looked at, which is drawn stronger.
    pub strong: bool,
    /// Azimuth and apparent altitude, in the order of time.
    pub points: Vec<[f64; 2]>,
}

/// The drawing's own units.
const WIDTH: f64 = 1200.0;
const LEFT: f64 = 56.0;
const RIGHT: f64 = 1180.0;
const HEAD: f64 = 64.0;
const SKY_HEIGHT: f64 = 300.0;
const NEAR_HEIGHT: f64 = 230.0;
const GAP: f64 = 54.0;
const FOOT: f64 = 56.0;
/// The panel below shows at least so much over the horizon, degrees.
const LEAST_NEAR_DEG: f64 = 6.0;
/// How far below the horizon both begin, degrees, unless the skyline lies lower.
const BELOW_DEG: f64 = -1.0;

const STYLE: &str = "svg{color-scheme:light dark}\
    text{font:13px system-ui,'Helvetica Neue',Arial,sans-serif}\
    .middle{text-anchor:middle}.end{text-anchor:end}.title{font-size:18px;font-weight:700}\
    .grid{stroke-width:.6}.axis{stroke-width:1.2}.view{stroke-width:1.6;stroke-dasharray:2 4}\
    .path,.hidden,.day{fill:none;stroke-width:1.4}.day{stroke-width:2.6}\
    .hidden{stroke-dasharray:2 5}.unknown{opacity:.45}";

/// Ground, sun and what is not known.
fn rules(on: Paper, [ground, sun, unknown]: [&str; 3]) -> String {
    let Paper {
        paper,
        ink,
        soft,
        rule,
    } = on;
    format!(
        "svg{{background:{paper}}}.paper{{fill:{paper}}}text{{fill:{ink}}}.soft{{fill:{soft}}}\
         .grid{{stroke:{rule}}}.axis,.view{{stroke:{ink}}}.ground{{fill:{ground}}}\
         .path,.day{{stroke:{sun}}}.hidden{{stroke:{paper}}}.unknown{{fill:{unknown}}}"
    )
}

impl Panorama {
    /// Apparent altitude of the skyline at an azimuth, straight between its points.
    fn skyline_at(&self, azimuth: f64) -> f64 {
        let after = self.skyline.partition_point(|point| point[0] <= azimuth);
        let count = self.skyline.len();
        if count == 0 {
            return 0.0;
        }
        let (a, b) = (
            self.skyline[(after + count - 1) % count],
            self.skyline[after % count],
        );
        let gap = (b[0] - a[0]).rem_euclid(360.0);
        let share = if gap > 0.0 {
            (azimuth - a[0]).rem_euclid(360.0) / gap
        } else {
            0.0
        };
        a[1] + (b[1] - a[1]) * share
    }

    /// Where the picture begins and ends, left to right.
    fn ends(&self) -> [f64; 2] {
        if self.southern {
            [-180.0, 180.0]
        } else {
            [0.0, 360.0]
        }
    }

    /// An azimuth as the picture counts it.
    fn turned(&self, azimuth: f64) -> f64 {
        let [first, _] = self.ends();
        first + (azimuth - first).rem_euclid(360.0)
    }

    /// What it shows, in words.
    fn description(&self) -> String {
        let top = self.skyline.iter().copied();
        let top = top.reduce(|a, b| if b[1] > a[1] { b } else { a });
        let mut out = String::new();
        if let Some([azimuth, altitude]) = top {
            let _ = write!(
                out,
                "The skyline stands highest at {azimuth:.0} degrees, {altitude:.1} degrees high. "
            );
        }
        if self.unknown.is_empty() {
            out.push_str("All of the ground in range is known.");
        }
        for [from, to] in &self.unknown {
            let _ = write!(
                out,
                "From {from:.0} to {to:.0} degrees not all of the ground is known. "
            );
        }
        out.trim_end().to_owned()
    }
}

/// The picture, as a document of its own.
pub fn picture(panorama: &Panorama) -> String {
    let height = HEAD + SKY_HEIGHT + GAP + NEAR_HEIGHT + FOOT;
    let mut svg = Sheet {
        size: [WIDTH, height],
        name: "skyline",
        title: &panorama.title,
        description: &panorama.description(),
        fixed: STYLE,
        rules: [
            rules(
                Paper {
                    soft: "#5c6166",
                    ..LIGHT
                },
                ["#7d8a78", "#b5780a", "#c2453a"],
            ),
            rules(DARK, ["#57644f", "#e0ab3c", "#d8685c"]),
            rules(PRINTED, ["#999", "#000", "#555"]),
        ],
    }
    .open();
    text(&mut svg, LEFT, 26.0, "title", &panorama.title);
    text(&mut svg, LEFT, 46.0, "soft", &panorama.below);
    let altitudes = || panorama.skyline.iter().map(|point| point[1]);
    let lowest = altitudes().fold(BELOW_DEG, f64::min).floor();
    let highest = altitudes().fold(0.0, f64::max);
    let suns = panorama.paths.iter().flat_map(|path| &path.points);
    let noon = suns.map(|point| point[1]).fold(highest + 4.0, f64::max);
    let top = HEAD + SKY_HEIGHT;
    let sky = Axis::new([lowest, (noon + 4.0).min(90.0)], [top, HEAD]);
    panel(&mut svg, panorama, &sky, "the whole sky", true);
    let foot = top + GAP + NEAR_HEIGHT;
    let near = Axis::new(
        [lowest, (highest + 2.0).max(LEAST_NEAR_DEG)],
        [foot, top + GAP],
    );
    let stretched = "near the horizon, altitudes drawn out";
    panel(&mut svg, panorama, &near, stretched, false);
    let key = if panorama.unknown.is_empty() {
        "dotted: the sun behind the terrain"
    } else {
        "dotted: the sun behind the terrain; coloured at the foot: not all of the ground is known \
         there, and the skyline may be higher"
    };
    text(&mut svg, LEFT, foot + 44.0, "soft", key);
    svg.push_str("</svg>");
    svg
}

fn panel(svg: &mut String, panorama: &Panorama, axis: &Axis, name: &str, named: bool) {
    let along = Axis::new(panorama.ends(), [LEFT, RIGHT]);
    let (top, foot) = (axis.at(axis.high()), axis.at(axis.low()));
    let step = axis.step(6);
    let places = decimals(step);
    for altitude in axis.marks(step) {
        let y = axis.at(altitude);
        line(svg, [LEFT, y, RIGHT, y], "grid");
        let label = format!("{:.places$}\u{b0}", altitude + 0.0);
        text(svg, LEFT - 6.0, y + 4.0, "end soft", &label);
    }
    text(svg, RIGHT, top - 6.0, "end soft", name);
    ground(svg, panorama, axis, &along);
    unknown(svg, panorama, &along, foot);
    let mut taken = Vec::new();
    for path in &panorama.paths {
        sun(svg, panorama, path, [axis, &along]);
        if named {
            label(svg, path, [axis, &along], panorama, &mut taken);
        }
    }
    let horizon = axis.at(0.0);
    line(svg, [LEFT, horizon, RIGHT, horizon], "axis");
    if let Some((bearing, what)) = &panorama.view {
        let x = along.at(panorama.turned(*bearing));
        line(svg, [x, top, x, foot], "view");
        if named {
            let near_the_end = x > 0.5 * (LEFT + RIGHT);
            let (dx, class) = if near_the_end {
                (-5.0, "end")
            } else {
                (5.0, "")
            };
            text(svg, x + dx, top + 12.0, class, what);
        }
    }
    for mark in (0..=8).map(|part| panorama.ends()[0] + 45.0 * f64::from(part)) {
        let x = along.at(mark);
        line(svg, [x, foot, x, foot + 4.0], "axis");
        text(svg, x, foot + 18.0, "middle", &direction(mark));
    }
}

/// A bearing by its name and its degrees.
fn direction(azimuth: f64) -> String {
    const NAMES: [&str; 8] = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];
    let azimuth = azimuth.rem_euclid(360.0);
    let name = NAMES[(azimuth / 45.0).round() as usize % 8];
    format!("{name} {azimuth:.0}\u{b0}")
}

/// The terrain, down to the foot of the panel.
fn ground(svg: &mut String, panorama: &Panorama, axis: &Axis, along: &Axis) {
    let [first, last] = panorama.ends();
    let at = |azimuth: f64, altitude: f64| {
        format!("{:.1},{:.1} ", along.within(azimuth), axis.within(altitude))
    };
    let end = panorama.skyline_at(first.rem_euclid(360.0));
    let mut inside: Vec<[f64; 2]> = panorama
        .skyline
        .iter()
        .map(|[azimuth, altitude]| [panorama.turned(*azimuth), *altitude])
        .collect();
    inside.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut points = at(first, axis.low());
    points += &at(first, end);
    points.extend(
        inside
            .iter()
            .map(|[azimuth, altitude]| at(*azimuth, *altitude)),
    );
    points += &at(last, end);
    points += &at(last, axis.low());
    let _ = write!(
        svg,
        r#"<polygon class="ground" points="{}"/>"#,
        points.trim_end()
    );
}

/// Where not all is known.
fn unknown(svg: &mut String, panorama: &Panorama, along: &Axis, foot: f64) {
    let [first, last] = panorama.ends();
    for [from, to] in &panorama.unknown {
        let from = panorama.turned(*from);
        let to = from + (to - from).rem_euclid(360.0);
        // What runs over the end of the picture goes on at its beginning.
        for shift in [0.0, -360.0] {
            let (a, b) = ((from + shift).max(first), (to + shift).min(last));
            if a < b {
                let (x, end) = (along.at(a), along.at(b));
                let _ = write!(
                    svg,
                    r#"<rect class="unknown" x="{x:.1}" y="{:.1}" width="{:.1}" height="8"/>"#,
                    foot - 8.0,
                    end - x
                );
            }
        }
    }
}

/// A path of the sun: drawn through above the skyline, dotted behind it, and not below the panel.
fn sun(svg: &mut String, panorama: &Panorama, path: &SunPath, [axis, along]: [&Axis; 2]) {
    let clear = if path.strong { "day" } else { "path" };
    let mut run = String::new();
    let mut before: Option<(f64, &str)> = None;
    let finish = |run: &mut String, class: &str, svg: &mut String| {
        if run.matches(',').count() > 1 {
            let _ = write!(
                svg,
                r#"<polyline class="{class}" points="{}"/>"#,
                run.trim_end()
            );
        }
        run.clear();
    };
    for [azimuth, altitude] in &path.points {
        let x = panorama.turned(*azimuth);
        let shown = (axis.low()..=axis.high()).contains(altitude);
        let class = if *altitude >= panorama.skyline_at(azimuth.rem_euclid(360.0)) {
            clear
        } else {
            "hidden"
        };
        let point = format!("{:.1},{:.1} ", along.at(x), axis.at(*altitude));
        if let Some((last, known)) = before {
            let jumps = (x - last).abs() > 180.0;
            if jumps || !shown {
                finish(&mut run, known, svg);
            } else if known != class {
                run += &point;
                finish(&mut run, known, svg);
            }
        }
        before = shown.then_some((x, class));
        if shown {
            run += &point;
        }
    }
    if let Some((_, class)) = before {
        finish(&mut run, class, svg);
    }
}

/// The name of a path, over where it is highest; moved up where another name stands.
fn label(
    svg: &mut String,
    path: &SunPath,
    [axis, along]: [&Axis; 2],
    panorama: &Panorama,
    taken: &mut Vec<f64>,
) {
    const LINE: f64 = 14.0;
    let highest = path.points.iter().copied();
    let Some([azimuth, altitude]) = highest.reduce(|a, b| if b[1] > a[1] { b } else { a }) else {
        return;
    };
    if altitude < axis.low() {
        return;
    }
    let x = along
        .at(panorama.turned(azimuth))
        .clamp(LEFT + 90.0, RIGHT - 90.0);
    let mut y = axis.within(altitude) - 5.0;
    while taken.iter().any(|other| (other - y).abs() < LINE) {
        y -= LINE;
    }
    taken.push(y);
    text(svg, x, y, "middle", &path.name);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn some() -> Panorama {
        Panorama {
            title: "Hide <1>".to_owned(),
            below: "data".to_owned(),
            skyline: vec![[0.0, 1.0], [90.0, 5.0], [180.0, -0.2], [270.0, 2.0]],
            unknown: vec![[350.0, 10.0]],
            view: Some((135.0, "view".to_owned())),
            paths: vec![SunPath {
                name: "a day".to_owned(),
                strong: true,
                points: (0..=36)
                    .map(|i| {
                        let azimuth = 10.0 * f64::from(i);
                        [azimuth, -20.0 * azimuth.to_radians().cos()]
                    })
                    .collect(),
            }],
            southern: false,
        }
    }

    #[test]
    fn the_sun_is_dotted_behind_the_terrain() {
        let svg = picture(&some());
        assert!(svg.contains("class=\"hidden\"") && svg.contains("class=\"day\""));
        assert!(svg.contains("Hide &lt;1&gt;"));
        // The unknown bearings run over the end of the picture: a piece at either side, in both
        // panels.
        assert_eq!(svg.matches("class=\"unknown\"").count(), 4);
        assert!(svg.contains("From 350 to 10 degrees not all"));
        assert!(!svg.contains("NaN") && !svg.contains("inf"));
        let no_terrain = Panorama {
            skyline: vec![[0.0, -1.0]],
            unknown: Vec::new(),
            ..some()
        };
        let svg = picture(&no_terrain);
        assert!(!svg.contains("class=\"unknown\"") && svg.contains("All of the ground"));
        assert_eq!(picture(&Panorama::default()).matches("<svg").count(), 1);
    }

    #[test]
    fn the_noon_sun_stands_in_the_middle_everywhere() {
        let mut panorama = some();
        assert_eq!(panorama.turned(180.0), 180.0);
        panorama.southern = true;
        assert_eq!([panorama.turned(0.0), panorama.turned(270.0)], [0.0, -90.0]);
        assert_eq!(panorama.skyline_at(315.0), 1.5);
        assert!(picture(&panorama).contains("N 0\u{b0}"));
    }
}
