//! Tide and sun over the hours of an outing, as one drawing.

use std::fmt::Write;

use jiff::Timestamp;

use super::Card;
use super::water::every;
use crate::axis::{Axis, TimeAxis, decimals};
use crate::limits::{Side, level_down, level_up};
use crate::markup::{escape, line, text};
use wrackline_plan::time::Stretch;
use wrackline_solar::Atmosphere;

/// The drawing's own units; about a pixel each on a phone.
const WIDTH: f64 = 440.0;
const LEFT: f64 = 30.0;
const RIGHT: f64 = 358.0;
const TOP: f64 = 20.0;
const TIDE_HEIGHT: f64 = 122.0;
const GAP: f64 = 20.0;
const SUN_HEIGHT: f64 = 56.0;
/// Names of levels at the right edge stand at least this far apart.
const LINE: f64 = 12.0;
/// The most hours that have room for their names.
const MOST_HOURS: usize = 13;

/// A level that is drawn across the tide: name, height, and whether it decides about access.
fn levels(card: &Card<'_>) -> Vec<(&'static str, f64, bool)> {
    let seat = card.outing.seat;
    let place = card.scenario.place_of(seat);
    let way = card.scenario.way_in_of(seat);
    [
        ("push", place.push_m, false),
        ("drowns", place.overtop_m, false),
        ("way lost", way.map(|way| way.cut_off_m()), true),
        ("seat", seat.ground_m, true),
    ]
    .into_iter()
    .filter_map(|(name, level, access)| Some((name, level?, access)))
    .collect()
}

/// What the figure shows, in words, for those who cannot see it.
fn description(card: &Card<'_>) -> String {
    let window = &card.outing.window;
    let near = |at| card.clock.near(at);
    let mut text = format!(
        "Pictures from {} to {}. ",
        card.clock.time(window.stretch.start, Side::NotEarlier),
        card.clock.time(window.stretch.end, Side::NotLater),
    );
    if let Some(levels) = &card.levels {
        let top = levels
            .curve
            .iter()
            .max_by(|a, b| a.central_m.total_cmp(&b.central_m));
        if let Some(top) = top {
            let _ = write!(
                text,
                "The water tops out near {} at {} m, between {} and {} m. ",
                near(top.at),
                level_down(top.central_m),
                level_down(top.low_m),
                level_up(top.upper_m)
            );
        }
    }
    for (name, level, _) in self::levels(card) {
        if card.levels.is_some() {
            let _ = write!(text, "Level \"{name}\" is at {level:.2} m. ");
        }
    }
    if let Some(takes) = window.terrain_takes {
        let _ = write!(
            text,
            "The terrain around the seat is drawn under the sun's path; it takes {:.0} minutes of \
             this light. ",
            takes.taken_minutes
        );
    }
    let [first, middle, last] = window.sun;
    let _ = write!(
        text,
        "The sun stands at {:.0}, {:.0} and {:.0} degrees at start, middle and end of the \
         pictures.",
        first.altitude_deg, middle.altitude_deg, last.altitude_deg
    );
    text
}

/// The drawing, as an SVG element.
pub(super) fn draw(card: &Card<'_>) -> String {
    let times = &card.outing.window.timetable;
    let span = times.set_out..times.overdue;
    let suns = every(&span, 300, |at| {
        (at, card.outing.seat.observer.sun(at).altitude_deg)
    });
    let (Some(first), Some(last)) = (suns.first(), suns.last()) else {
        return String::new();
    };
    let scale = TimeAxis::new(&(first.0..last.0), [LEFT, RIGHT]);
    let sun_top = if card.levels.is_some() {
        TOP + TIDE_HEIGHT + GAP
    } else {
        TOP
    };
    let highest_sun = suns.iter().map(|(_, a)| *a).fold(12.0, f64::max);
    let foot = sun_top + SUN_HEIGHT;
    let sun_axis = Axis::new([-8.0, highest_sun + 2.0], [foot, sun_top]);
    let height = foot + 16.0;
    let title = if card.levels.is_some() {
        "Tide and sun"
    } else {
        "Sun"
    };
    let mut svg = format!(
        "<svg class=\"figure\" viewBox=\"0 0 {WIDTH} {height:.0}\" role=\"img\" \
         aria-labelledby=\"tide-title tide-text\"><title id=\"tide-title\">{title}</title>\
         <desc id=\"tide-text\">{}</desc>",
        escape(&description(card))
    );
    let window = &card.outing.window.stretch;
    band(&mut svg, &scale, window, TOP, foot, "light-band");
    let (a, b) = (scale.within(window.start), scale.within(window.end));
    text(
        &mut svg,
        ((a + b) / 2.0).clamp(LEFT + 62.0, RIGHT - 62.0),
        TOP - 7.0,
        "middle strong",
        &format!(
            "pictures {}\u{2013}{}",
            card.clock.time(window.start, Side::NotEarlier),
            card.clock.time(window.end, Side::NotLater)
        ),
    );
    if let Some(levels) = &card.levels {
        tide_panel(&mut svg, card, levels, &scale);
    }
    sun_panel(&mut svg, card, &suns, &scale, &sun_axis);
    hours(&mut svg, card, &suns, &scale, foot);
    svg.push_str("</svg>");
    svg
}

fn tide_panel(svg: &mut String, card: &Card<'_>, water: &super::Levels, scale: &TimeAxis) {
    let marks = levels(card);
    let lowest = water.curve.iter().map(|l| l.low_m).fold(f64::MAX, f64::min);
    let highest = water
        .curve
        .iter()
        .map(|l| l.upper_m)
        .fold(f64::MIN, f64::max);
    // A level far below the water of these hours would flatten the curve: it is named, at the lower
    // edge.
    let high = marks
        .iter()
        .map(|(_, level, _)| *level)
        .fold(highest, f64::max)
        + 0.3;
    let foot = TOP + TIDE_HEIGHT;
    let axis = Axis::new([lowest - 0.2, high], [foot, TOP]);
    let step = axis.step(10);
    let decimals = decimals(step);
    for level in axis.marks(step) {
        let y = axis.within(level);
        line(svg, [LEFT, y, RIGHT, y], "grid");
        let label = format!("{:.decimals$} m", level + 0.0);
        text(svg, LEFT - 4.0, y + 3.0, "end", &label);
    }
    let point =
        |at: Timestamp, level: f64| format!("{:.1},{:.1} ", scale.within(at), axis.within(level));
    let mut outline: String = water.curve.iter().map(|l| point(l.at, l.upper_m)).collect();
    outline.extend(water.curve.iter().rev().map(|l| point(l.at, l.low_m)));
    let _ = write!(
        svg,
        r#"<polygon class="water" points="{}"/>"#,
        outline.trim_end()
    );
    for (class, level) in [
        ("water-upper", (|l| l.upper_m) as fn(&super::Level) -> f64),
        ("water-low", |l| l.low_m),
        ("water-line", |l| l.central_m),
    ] {
        let points: String = water.curve.iter().map(|l| point(l.at, level(l))).collect();
        let _ = write!(
            svg,
            r#"<polyline class="{class}" points="{}"/>"#,
            points.trim_end()
        );
    }
    let mut labels: Vec<(f64, f64, String, &str)> = marks
        .iter()
        .map(|(name, level, access)| {
            let class = if *access { "access" } else { "roost" };
            let y = axis.within(*level);
            line(svg, [LEFT, y, RIGHT, y], class);
            (y, y, format!("{name} {level:.2}"), class)
        })
        .collect();
    spread(&mut labels, TOP, foot);
    for (y, label_y, name, class) in labels {
        line(svg, [RIGHT, y, RIGHT + 6.0, label_y], class);
        text(svg, RIGHT + 8.0, label_y + 3.0, "", &name);
    }
    line(svg, [LEFT, foot, RIGHT, foot], "axis");

    let times = &card.outing.window.timetable;
    if let Some(way) = times.way {
        let (a, b) = (scale.within(way.cut), scale.within(way.clear));
        let _ = write!(
            svg,
            r#"<rect class="closed" x="{a:.1}" y="{foot:.1}" width="{:.1}" height="4"/>"#,
            b - a
        );
        let middle = ((a + b) / 2.0).clamp(LEFT + 60.0, RIGHT - 60.0);
        text(
            svg,
            middle,
            foot + 14.0,
            "middle",
            &format!(
                "way closed {}\u{2013}{}, upper water",
                card.clock.time(way.cut, Side::NotLater),
                card.clock.time(way.clear, Side::NotEarlier)
            ),
        );
    }
    if let Some(latest) = times.latest_departure {
        let x = scale.within(latest);
        line(svg, [x, TOP, x, foot], "leave");
        let anchor = if x > (LEFT + RIGHT) / 2.0 {
            "end strong"
        } else {
            "strong"
        };
        let dx = if x > (LEFT + RIGHT) / 2.0 { -4.0 } else { 4.0 };
        text(
            svg,
            x + dx,
            foot - 6.0,
            anchor,
            &format!("leave by {}", card.clock.time(latest, Side::NotLater)),
        );
    }
}

/// Moves labels apart, top to bottom, and back up where they would run out of the panel.
fn spread(labels: &mut [(f64, f64, String, &str)], top: f64, bottom: f64) {
    labels.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = top;
    for label in labels.iter_mut() {
        label.1 = label.0.max(free);
        free = label.1 + LINE;
    }
    let mut ceiling = bottom;
    for label in labels.iter_mut().rev() {
        label.1 = label.1.min(ceiling);
        ceiling = label.1 - LINE;
    }
}

fn sun_panel(
    svg: &mut String,
    card: &Card<'_>,
    suns: &[(Timestamp, f64)],
    scale: &TimeAxis,
    axis: &Axis,
) {
    let light = card.light;
    let (top, foot) = (
        axis.within(light.highest_deg),
        axis.within(light.lowest_deg),
    );
    let _ = write!(
        svg,
        r#"<rect class="sun-wanted" x="{LEFT}" y="{top:.1}" width="{:.1}" height="{:.1}"/>"#,
        RIGHT - LEFT,
        (foot - top).max(0.0)
    );
    let horizon = axis.within(0.0);
    let _ = write!(
        svg,
        r#"<rect class="night" x="{LEFT}" y="{horizon:.1}" width="{:.1}" height="{:.1}"/>"#,
        RIGHT - LEFT,
        axis.at(axis.low()) - horizon
    );
    line(svg, [LEFT, horizon, RIGHT, horizon], "axis");
    text(svg, LEFT - 4.0, horizon + 3.0, "end", "0\u{b0}");
    if (axis.within(light.highest_deg) - horizon).abs() > LINE && light.highest_deg < axis.high() {
        let label = format!("{:.0}\u{b0}", light.highest_deg);
        text(svg, LEFT - 4.0, top + 3.0, "end", &label);
    }
    skyline(svg, card, suns, scale, axis);
    let points: String = suns
        .iter()
        .filter(|(_, altitude)| *altitude >= axis.low())
        .map(|(at, altitude)| format!("{:.1},{:.1} ", scale.within(*at), axis.within(*altitude)))
        .collect();
    let _ = write!(
        svg,
        r#"<polyline class="sun-line" points="{}"/>"#,
        points.trim_end()
    );
    for sun in card.outing.window.sun {
        let (x, y) = (scale.within(sun.at), axis.within(sun.altitude_deg));
        let _ = write!(
            svg,
            r#"<circle class="sun" cx="{x:.1}" cy="{y:.1}" r="4"/>"#
        );
    }
    text(svg, RIGHT + 8.0, axis.within(0.0) + 3.0, "", "horizon");
    let wanted =
        axis.within((light.lowest_deg.max(0.0) + light.highest_deg.min(axis.high())) / 2.0);
    if horizon - wanted > LINE {
        text(svg, RIGHT + 8.0, wanted + 3.0, "", "sun wanted");
    }
}

/// The terrain under the sun's path: at each instant as high as it stands where the sun then is.
/// The sun is drawn as it stands without air, and the terrain as the eye sees it; so what the air
/// lifts is taken off, and the sun is clear of the terrain where their lines say so.
fn skyline(
    svg: &mut String,
    card: &Card<'_>,
    suns: &[(Timestamp, f64)],
    scale: &TimeAxis,
    axis: &Axis,
) {
    let heights = terrain(card, suns);
    let (Some(first), Some(last)) = (heights.first(), heights.last()) else {
        return;
    };
    let foot = axis.at(axis.low());
    let mut points = format!("{:.1},{foot:.1} ", scale.within(first.0));
    for (at, altitude) in &heights {
        let _ = write!(
            points,
            "{:.1},{:.1} ",
            scale.within(*at),
            axis.within(*altitude)
        );
    }
    let _ = write!(points, "{:.1},{foot:.1}", scale.within(last.0));
    let _ = write!(svg, r#"<polygon class="terrain" points="{points}"/>"#);
    text(svg, LEFT + 4.0, foot - 4.0, "", "terrain");
}

/// Airless altitude of the terrain in the direction of the sun at each instant; nothing where the
/// seat has no skyline.
fn terrain(card: &Card<'_>, suns: &[(Timestamp, f64)]) -> Vec<(Timestamp, f64)> {
    let seat = card.outing.seat;
    let Some(skyline) = &seat.skyline else {
        return Vec::new();
    };
    let seen = |at: Timestamp| {
        let apparent = skyline
            .altitude_deg(seat.observer.sun(at).azimuth_deg)
            .ok()?;
        Atmosphere::STANDARD.airless_altitude_deg(apparent).ok()
    };
    suns.iter()
        .filter_map(|(at, _)| Some((*at, seen(*at)?)))
        .collect()
}

fn hours(
    svg: &mut String,
    card: &Card<'_>,
    suns: &[(Timestamp, f64)],
    scale: &TimeAxis,
    foot: f64,
) {
    let hourly: Vec<_> = suns
        .iter()
        .filter_map(|(at, _)| Some((*at, card.clock.full_hour(*at)?)))
        .collect();
    // Every hour while there is room for it, else round ones of the clock.
    let fits = |every: &i8| hourly.len() <= MOST_HOURS * *every as usize;
    let every = [1, 2, 3, 6].into_iter().find(fits).unwrap_or(12);
    for (at, hour) in hourly.iter().filter(|(_, hour)| hour % every == 0) {
        let x = scale.within(*at);
        line(svg, [x, foot, x, foot + 3.0], "axis");
        text(svg, x, foot + 13.0, "middle", &format!("{hour:02}"));
    }
    line(svg, [LEFT, foot, RIGHT, foot], "axis");
    text(
        svg,
        RIGHT + 8.0,
        foot + 13.0,
        "",
        &format!("h {}", card.clock.offset(axis_start(suns))),
    );
}

fn axis_start(suns: &[(Timestamp, f64)]) -> Timestamp {
    suns.first().map_or(Timestamp::UNIX_EPOCH, |(at, _)| *at)
}

fn band(svg: &mut String, scale: &TimeAxis, stretch: &Stretch, top: f64, foot: f64, class: &str) {
    let (a, b) = (scale.within(stretch.start), scale.within(stretch.end));
    let _ = write!(
        svg,
        r#"<rect class="{class}" x="{a:.1}" y="{top:.1}" width="{:.1}" height="{:.1}"/>"#,
        b - a,
        foot - top
    );
}
