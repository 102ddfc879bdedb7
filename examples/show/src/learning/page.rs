//! The lessons as one page: what to do next, where the places lie to one another, and each place in
//! words and charts. Everything is in the file itself; nothing is fetched.

use std::fmt::Write as _;

use wrackline_log::Record;
use wrackline_log::learning::Chance;
use wrackline_log::learning::lessons::{Lesson, Lessons};
use wrackline_plan::scenario::{Place, Scenario};

use super::{chart, text};
use crate::limits::signed;
use crate::markup::{escape, with_ids_of_their_own};

const STYLE: &str = "body{font:16px/1.45 sans-serif;max-width:46em;margin:1em auto;padding:0 1em;\
background:#fff;color:#111}pre{white-space:pre-wrap;overflow-wrap:anywhere;font-size:13px}svg{max-width:100%;height:auto}\
.dot{fill:#2b6c8f;fill-opacity:.3;stroke:#2b6c8f}.rule{stroke:currentColor}\
svg text{fill:currentColor;font-size:13px}\
@media(prefers-color-scheme:dark){body{background:#161616;color:#eee}.dot{fill:#7cc0e4;\
stroke:#7cc0e4}}@media print{section{break-inside:avoid}}";

/// Writes the page.
pub fn page(
    scenario: &Scenario,
    lessons: &Lessons<'_>,
    records: &[Record],
    plan: text::Plan,
) -> String {
    let title = escape(&format!("{}: what the log teaches", scenario.title()));
    let mut html = format!(
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\
         <meta name=\"viewport\" content=\"width=device-width\"><title>{title}</title>\
         <style>{STYLE}</style></head><body>\n<h1>{title}</h1>\n"
    );
    let _ = writeln!(
        html,
        "<p>{} entries. Ranges hold the true chance nine times in ten; visits called off count \
         nowhere. Water is estimated: local advice and official tables rule.</p>",
        lessons.entries
    );
    html.push_str("<h2>What to do next</h2>\n<ul>\n");
    let next = what_next(scenario, lessons);
    if next.is_empty() {
        html.push_str(
            "<li>Nothing in the log asks for anything: go on, and log blanks too.</li>\n",
        );
    }
    for item in next {
        let _ = writeln!(html, "<li>{}</li>", escape(&item));
    }
    html.push_str("</ul>\n");
    if let Some(map) = map(&lessons.places) {
        let _ = writeln!(
            html,
            "<h2>Where</h2>\n<figure>{map}<figcaption>North is up; the wider the disc, the more \
             visits in the right water. No coordinates are in this file.</figcaption></figure>"
        );
    }
    let mut charts = 0;
    for lesson in &lessons.places {
        let heading = format!("{}, {}", lesson.place.name, lesson.subject.name);
        let words = text::of_place(scenario, lessons, lesson, plan);
        let _ = writeln!(
            html,
            "<section><h2>{}</h2>\n<pre>{}</pre>",
            escape(&heading),
            escape_lines(&words)
        );
        for (_, svg) in chart::of_lesson(records, lesson) {
            charts += 1;
            let _ = writeln!(
                html,
                "<figure>{}</figure>",
                with_ids_of_their_own(&svg, charts)
            );
        }
        html.push_str("</section>\n");
    }
    let water = text::of_water(scenario, lessons, plan);
    let _ = writeln!(
        html,
        "<section><h2>Water</h2>\n<pre>{}</pre></section>\n</body></html>",
        escape_lines(&water)
    );
    html
}

/// Line ends are control characters, which `escape` takes out.
fn escape_lines(text: &str) -> String {
    text.trim_matches('\n')
        .lines()
        .map(escape)
        .collect::<Vec<_>>()
        .join("\n")
}

/// What the log asks for, what guards animals and people first.
fn what_next(scenario: &Scenario, lessons: &Lessons<'_>) -> Vec<String> {
    let mut next = Vec::new();
    for rest in lessons
        .rests
        .iter()
        .filter(|rest| rest.until >= lessons.from)
    {
        next.push(format!(
            "Leave {} in peace until {}: put to flight twice.",
            rest.place, rest.until
        ));
    }
    if let Some(mean_m) = lessons.water.mean_beside_the_scenario_m(scenario)
        && mean_m > scenario.water().expected_m
    {
        next.push(format!(
            "Look into the levels: they stood {} cm from the prediction on the mean, and plans \
             and cut-offs go by {} cm (bias_m).",
            signed(mean_m * 100.0),
            signed(scenario.water().expected_m * 100.0)
        ));
    }
    for lesson in &lessons.places {
        let whom = format!("{}, {}", lesson.place.name, lesson.subject.name);
        let farther = lesson.larger.iter().zip(["on foot", "from a hide"]);
        for (larger, how) in farther {
            if let Some(larger) = larger {
                next.push(format!("{whom}: keep {} m {how}.", larger.stand_off_m));
            }
        }
        if !lesson.alarms_from_nowhere.is_empty() {
            next.push(format!(
                "{whom}: note at which distance they were alarmed in {}.",
                lesson.alarms_from_nowhere.join(", ")
            ));
        }
        for (tides, level) in lesson.tides.iter().zip(["pushes", "drowns"]) {
            if let Some(tide) = tides.first() {
                next.push(format!(
                    "{whom}: the tide of {} would tell most about the level that {level}.",
                    text::tide_words(tide, scenario.zone())
                ));
            }
        }
        if let (Some(still), Some(needed)) = (lesson.blanks.still_used, lesson.blanks.needed) {
            next.push(format!(
                "{whom}: blank {}, {needed} would be needed to give it up; still \
                 used with {:.0} %.",
                match lesson.blanks.in_a_row {
                    1 => "on the last visit".to_owned(),
                    blanks => format!("{blanks} times in a row"),
                },
                still * 100.0
            ));
        }
    }
    let vague: Vec<String> = lessons
        .places
        .iter()
        .filter(|lesson| !lesson.inside.tells())
        .map(|lesson| format!("{}, {}", lesson.place.name, lesson.subject.name))
        .collect();
    if !vague.is_empty() {
        next.push(format!(
            "Too few visits in the right water to tell: {}.",
            vague.join("; ")
        ));
    }
    next
}

const SIDE: f64 = 420.0;
const EDGE: f64 = 60.0;

/// The places of the lessons to one another, as far apart as they are; `None` for fewer than two.
fn map(lessons: &[Lesson<'_>]) -> Option<String> {
    let mut places: Vec<(&Place, Chance)> = Vec::new();
    for lesson in lessons {
        match places
            .iter_mut()
            .find(|(place, _)| place.id == lesson.place.id)
        {
            Some((_, most)) if most.visits < lesson.inside.visits => *most = lesson.inside,
            Some(_) => {}
            None => places.push((lesson.place, lesson.inside)),
        }
    }
    if places.len() < 2 {
        return None;
    }
    let middle = places[0].0;
    // A plane is enough over the few tens of kilometres of one scenario; longitudes are taken the
    // short way round.
    let metres = |place: &Place| {
        let east_deg =
            (place.longitude_deg - middle.longitude_deg + 540.0).rem_euclid(360.0) - 180.0;
        let north_deg = place.latitude_deg - middle.latitude_deg;
        let a_degree_m = 111_195.0;
        let shrunk = middle.latitude_deg.to_radians().cos();
        [east_deg * shrunk * a_degree_m, north_deg * a_degree_m]
    };
    let at: Vec<[f64; 2]> = places.iter().map(|(place, _)| metres(place)).collect();
    let ends = |axis: usize| {
        let values = || at.iter().map(move |xy| xy[axis]);
        (
            values().fold(f64::INFINITY, f64::min),
            values().fold(f64::NEG_INFINITY, f64::max),
        )
    };
    let ((west, east), (south, north)) = (ends(0), ends(1));
    let span_m = (east - west).max(north - south).max(1.0);
    let scale = (SIDE - 2.0 * EDGE) / span_m;
    let height = (north - south) * scale + 2.0 * EDGE;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {SIDE} {height:.0}\" \
         width=\"{SIDE}\" height=\"{height:.0}\" role=\"img\" aria-label=\"the places to one \
         another\">"
    );
    for ((place, chance), [x, y]) in places.iter().zip(&at) {
        let (x, y) = ((x - west) * scale + EDGE, (north - y) * scale + EDGE);
        let radius = (4.0 + 4.0 * f64::from(chance.visits).sqrt()).min(EDGE / 2.0);
        let said = if chance.visits == 0 {
            "no visit in its water".to_owned()
        } else {
            format!("{:.0} % ({})", chance.mean() * 100.0, chance.interval())
        };
        // Towards the middle, so that no name runs out of the picture; beside the disc, because
        // places of one coast lie above one another.
        let (anchor, beside) = if x < SIDE / 2.0 {
            ("start", x + radius + 5.0)
        } else {
            ("end", x - radius - 5.0)
        };
        let _ = write!(
            svg,
            "<circle class=\"dot\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{radius:.1}\"/>\
             <text x=\"{beside:.1}\" y=\"{:.1}\" text-anchor=\"{anchor}\">{}</text>\
             <text x=\"{beside:.1}\" y=\"{:.1}\" text-anchor=\"{anchor}\">{said}</text>",
            y - 2.0,
            escape(&place.name),
            y + 12.0,
        );
    }
    svg.push_str("</svg>");
    Some(svg)
}
