//! The year as a chart: the share of visits with the animal in each half-month, its interval, and
//! what follows for a scenario.

use std::fmt::Write;

use wrackline_gather::presence::Presence;
use wrackline_plan::scenario::{HALF_MONTHS, half_month_name};

use super::{About, says, state};
use wrackline_show::axis::{Axis, decimals};
use wrackline_show::markup::{line, text};
use wrackline_show::paper::{DARK, LIGHT, PRINTED, Paper, Sheet};

const WIDTH: f64 = 760.0;
const HEIGHT: f64 = 400.0;
const LEFT: f64 = 60.0;
const RIGHT: f64 = 16.0;
const TOP: f64 = 84.0;
const BOTTOM: f64 = 106.0;
/// The height of a stripe under the plot.
const STRIPE: f64 = 10.0;

const STYLE: &str = "svg{color-scheme:light dark}\
    text{font:12px system-ui,'Helvetica Neue',Arial,sans-serif}\
    .middle{text-anchor:middle}.end{text-anchor:end}.title{font-size:15px;font-weight:700}\
    .count{font-size:10px;text-anchor:middle}.threshold{stroke-dasharray:5 4}.mean{stroke-width:3}";

fn rules(on: Paper, fill: &str) -> String {
    let Paper {
        paper,
        ink,
        soft,
        rule,
    } = on;
    format!(
        ".paper{{fill:{paper}}}text{{fill:{ink}}}.soft,.count{{fill:{soft}}}.grid{{stroke:{rule}}}\
         .bar{{fill:{fill};fill-opacity:.3}}.mean{{stroke:{fill}}}.threshold{{stroke:{ink}}}\
         .present{{fill:{fill}}}.unknown{{fill:{fill};fill-opacity:.35}}\
         .absent{{fill:none;stroke:{rule}}}.guard{{fill:{soft}}}"
    )
}

/// The chart, as a document of its own.
pub(super) fn picture(told: &Presence, about: About<'_>) -> String {
    let x = Axis::new([0.0, HALF_MONTHS as f64], [LEFT, WIDTH - RIGHT]);
    let highest = told.year.half_months.iter().filter(|half| says(told, half));
    let highest = highest
        .map(|half| half.share.interval.high)
        .fold(0.05, f64::max);
    let y = Axis::new([0.0, highest], [HEIGHT - BOTTOM, TOP]);
    let title = format!("{} at {}", about.animal, about.place);
    let demo = if about.demo { " Invented records." } else { "" };
    let mut svg = Sheet {
        size: [WIDTH, HEIGHT],
        name: "presence",
        title: &title,
        description: &description(told),
        fixed: STYLE,
        rules: [
            rules(LIGHT, "#2b6c8f"),
            rules(DARK, "#7cc0e4"),
            rules(PRINTED, "#555"),
        ],
    }
    .open();
    text(&mut svg, LEFT, 26.0, "title", &title);
    let all = told.effort.visits();
    let under = format!(
        "Share of visits with the animal; {} visits, {} with it.{demo}",
        all.visits, all.with
    );
    text(&mut svg, LEFT, 46.0, "soft", &under);
    let key = "line: expected share; block: nine times in ten; dashed: threshold of presence";
    text(&mut svg, LEFT, 64.0, "soft", key);
    let step = y.step(6);
    let digits = decimals(step * 100.0);
    for share in y.marks(step) {
        let at = y.at(share);
        line(&mut svg, [LEFT, at, WIDTH - RIGHT, at], "grid");
        let label = format!("{:.digits$} %", share * 100.0);
        text(&mut svg, LEFT - 6.0, at + 4.0, "end", &label);
    }
    for month in 0..HALF_MONTHS / 2 {
        let from = x.at(2.0 * month as f64);
        line(&mut svg, [from, TOP, from, HEIGHT - BOTTOM + 5.0], "grid");
        let name = half_month_name(2 * month);
        let name = name.trim_start_matches("early ");
        text(
            &mut svg,
            x.at(2.0 * month as f64 + 1.0),
            HEIGHT - BOTTOM + 34.0,
            "middle",
            name,
        );
    }
    let wide = told.year.wide_by_half_month();
    let stripe = |row: f64| HEIGHT - BOTTOM + 44.0 + row * (STRIPE + 6.0);
    for (at, half) in told.year.half_months.iter().enumerate() {
        let (left, right) = (x.at(at as f64) + 2.0, x.at(at as f64 + 1.0) - 2.0);
        let middle = f64::midpoint(left, right);
        let visits = half.count.visits.to_string();
        text(&mut svg, middle, HEIGHT - BOTTOM + 16.0, "count", &visits);
        if says(told, half) {
            let interval = half.share.interval;
            let (top, bottom) = (y.at(interval.high), y.at(interval.low));
            block(&mut svg, [left, top, right - left, bottom - top], "bar");
            let mean = y.at(half.share.mean);
            line(&mut svg, [left, mean, right, mean], "mean");
        }
        block(
            &mut svg,
            [left, stripe(0.0), right - left, STRIPE],
            state(half.state),
        );
        if wide[at] {
            block(&mut svg, [left, stripe(1.0), right - left, STRIPE], "guard");
        }
    }
    if let Some(threshold) = told.year.threshold.filter(|share| *share <= highest) {
        let at = y.at(threshold);
        line(&mut svg, [LEFT, at, WIDTH - RIGHT, at], "threshold");
    }
    text(
        &mut svg,
        LEFT - 6.0,
        HEIGHT - BOTTOM + 16.0,
        "end soft",
        "visits",
    );
    text(&mut svg, LEFT - 6.0, stripe(0.0) + 9.0, "end soft", "known");
    text(&mut svg, LEFT - 6.0, stripe(1.0) + 9.0, "end soft", "guard");
    let key = "known: full present, pale unknown, empty absent; guard: the wide reading, for every \
               animal that is guarded";
    text(&mut svg, LEFT, stripe(2.0) + 14.0, "soft", key);
    svg.push_str("</svg>\n");
    svg
}

fn block(svg: &mut String, [x, y, width, height]: [f64; 4], class: &str) {
    let _ = write!(
        svg,
        "<rect class=\"{class}\" x=\"{x:.1}\" y=\"{y:.1}\" width=\"{width:.1}\" \
         height=\"{height:.1}\"/>"
    );
}

/// The chart for those who cannot see it.
fn description(told: &Presence) -> String {
    let halves = told.year.half_months.iter().enumerate();
    let said: Vec<String> = halves
        .map(|(at, half)| {
            let name = half_month_name(at);
            match says(told, half) {
                true => format!("{name} {}, {}", half.share.interval, state(half.state)),
                false => format!("{name} too few visits"),
            }
        })
        .collect();
    format!("{}. Guarded: {}.", said.join("; "), told.year.wide())
}
