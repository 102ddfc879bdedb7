//! A chance drawn against something, as SVG: the mean and the interval of each stretch, and every
//! visit as a tick.

use std::fmt::Write;

use crate::axis::Axis;
use crate::markup::escape;

use wrackline_log::learning::LEVEL;
use wrackline_log::learning::beta::Beta;
use wrackline_log::learning::lessons::{Lesson, chart_visits};
use wrackline_log::{Conditions, Outcome, Record};

/// A visit as the chart sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dot {
    /// Where it stands.
    pub x: f64,
    /// Whether the rung was reached.
    pub hit: bool,
}

/// Visits below which no chart is drawn: our choice.
const FEWEST: usize = 3;

/// The charts of a lesson, each with the name of its file: the chance to come in range against the
/// minutes from the push crossing, and against the sun's altitude, over all visits whose instant is
/// known.
pub fn of_lesson(records: &[Record], lesson: &Lesson<'_>) -> Vec<(String, String)> {
    let dots = |value: fn(&Conditions) -> Option<f64>| -> Vec<Dot> {
        chart_visits(records, lesson.place, lesson.subject)
            .filter_map(|record| {
                Some(Dot {
                    x: value(record.conditions.as_ref()?)?,
                    hit: record.entry.outcome >= Outcome::InRange,
                })
            })
            .collect()
    };
    // Fewer visits make no picture.
    let enough = |dots: Vec<Dot>| {
        if dots.len() < FEWEST {
            Vec::new()
        } else {
            dots
        }
    };
    let title = |of: &str| {
        format!(
            "{}, {}: in range {of}",
            lesson.place.name, lesson.subject.name
        )
    };
    let (by_push, by_sun) = (title("by the push"), title("by the sun"));
    let push = Frame {
        title: &by_push,
        axis: "minutes after the water crossed the push level, as predicted",
        step: 20.0,
    };
    let sun = Frame {
        title: &by_sun,
        axis: "altitude of the sun, degrees",
        step: 3.0,
    };
    let stem = format!("{}-{}", lesson.place.id, lesson.subject.id);
    [
        (
            format!("{stem}-push.svg"),
            chart(
                &enough(dots(|conditions| conditions.minutes_from_push)),
                push,
            ),
        ),
        (
            format!("{stem}-sun.svg"),
            chart(&enough(dots(|conditions| conditions.sun_altitude_deg)), sun),
        ),
    ]
    .into_iter()
    .filter_map(|(name, svg)| Some((name, svg?)))
    .collect()
}

/// What is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame<'t> {
    /// The title.
    pub title: &'t str,
    /// What the horizontal axis measures, with its unit.
    pub axis: &'t str,
    /// Width of the stretches that visits are counted in; above 0.
    pub step: f64,
}

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 380.0;
const LEFT: f64 = 58.0;
const RIGHT: f64 = 16.0;
const TOP: f64 = 64.0;
const BOTTOM: f64 = 62.0;
/// What the marks mean.
const KEY: &str = "line: mean; block: nine times in ten; ticks: visits, in range above, not below";
/// Above and below the plot, where ticks of hits and misses stand.
const TICK: f64 = 9.0;

/// A stretch of the axis with its visits.
struct Stretch {
    from: f64,
    hits: u32,
    visits: u32,
}

/// Draws the chart. `None` when no visit can be placed on the axis.
pub fn chart(dots: &[Dot], frame: Frame<'_>) -> Option<String> {
    let dots: Vec<Dot> = dots
        .iter()
        .copied()
        .filter(|dot| dot.x.is_finite())
        .collect();
    let step = if frame.step > 0.0 {
        frame.step
    } else {
        return None;
    };
    let low = dots.iter().map(|dot| dot.x).min_by(f64::total_cmp)?;
    let high = dots.iter().map(|dot| dot.x).max_by(f64::total_cmp)?;
    let from = (low / step).floor() * step;
    let to = ((high / step).floor() + 1.0) * step;
    // An axis with more stretches than it has room for would be a smear.
    if (to - from) / step > 60.0 {
        return None;
    }
    let x = Axis::new([from, to], [LEFT, WIDTH - RIGHT]);
    let y = Axis::new([0.0, 1.0], [HEIGHT - BOTTOM, TOP]);
    let stretches = count(&dots, from, to, step);
    let mut svg = String::new();
    head(&mut svg, frame, &stretches, step);
    axes(&mut svg, frame, x, y);
    for stretch in stretches.iter().filter(|stretch| stretch.visits > 0) {
        bar(&mut svg, stretch, step, x, y);
    }
    for dot in &dots {
        let (at, edge) = (
            x.at(dot.x),
            if dot.hit {
                TOP - TICK - 2.0
            } else {
                y.at(0.0) + 2.0
            },
        );
        let _ = writeln!(
            svg,
            r#"<line x1="{at:.1}" x2="{at:.1}" y1="{edge:.1}" y2="{:.1}" class="{}"/>"#,
            edge + TICK,
            if dot.hit { "hit" } else { "miss" }
        );
    }
    svg.push_str("</svg>\n");
    Some(svg)
}

fn count(dots: &[Dot], from: f64, to: f64, step: f64) -> Vec<Stretch> {
    let steps = ((to - from) / step).round() as usize;
    let mut stretches: Vec<Stretch> = (0..steps)
        .map(|i| Stretch {
            from: from + i as f64 * step,
            hits: 0,
            visits: 0,
        })
        .collect();
    for dot in dots {
        let index = (((dot.x - from) / step) as usize).min(steps - 1);
        stretches[index].visits += 1;
        stretches[index].hits += u32::from(dot.hit);
    }
    stretches
}

fn posterior(stretch: &Stretch) -> Beta {
    Beta::UNIFORM.after(
        f64::from(stretch.hits),
        f64::from(stretch.visits - stretch.hits),
    )
}

fn head(svg: &mut String, frame: Frame<'_>, stretches: &[Stretch], step: f64) {
    let said: Vec<String> = stretches
        .iter()
        .filter(|stretch| stretch.visits > 0)
        .map(|stretch| {
            let interval = posterior(stretch).interval(LEVEL);
            format!(
                "{} to {}: {} of {}, {interval}",
                stretch.from,
                stretch.from + step,
                stretch.hits,
                stretch.visits
            )
        })
        .collect();
    let _ = write!(
        svg,
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}"
width="{WIDTH}" height="{HEIGHT}" role="img" aria-labelledby="t d"
font-family="sans-serif" font-size="13">
<title id="t">{title}</title>
<desc id="d">{axis}. {said}.</desc>
<style>
svg {{ background: #fff; color: #111; }}
text {{ fill: currentColor; }}
.grid {{ stroke: currentColor; stroke-opacity: .15; }}
.edge {{ stroke: currentColor; }}
.bar {{ fill: #2b6c8f; fill-opacity: .22; }}
.mean {{ stroke: #2b6c8f; stroke-width: 3; }}
.hit {{ stroke: #2b6c8f; stroke-width: 2; }}
.miss {{ stroke: #b3541e; stroke-width: 2; }}
@media (prefers-color-scheme: dark) {{
svg {{ background: #161616; color: #eee; }}
.bar {{ fill: #7cc0e4; }}
.mean, .hit {{ stroke: #7cc0e4; }}
.miss {{ stroke: #f0a070; }}
}}
</style>
<rect width="{WIDTH}" height="{HEIGHT}" fill="none"/>
<text x="{LEFT}" y="20" font-size="15" font-weight="bold">{title}</text>
<text x="{LEFT}" y="38" font-size="12">{KEY}</text>
"#,
        title = escape(frame.title),
        axis = escape(frame.axis),
        said = escape(&said.join("; ")),
    );
}

fn axes(svg: &mut String, frame: Frame<'_>, x: Axis, y: Axis) {
    for chance in y.marks(0.25) {
        let at = y.at(chance);
        let _ = writeln!(
            svg,
            "<line class=\"grid\" x1=\"{LEFT}\" x2=\"{:.1}\" y1=\"{at:.1}\" y2=\"{at:.1}\"/>\
             <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{:.0} %</text>",
            WIDTH - RIGHT,
            LEFT - 6.0,
            at + 4.0,
            chance * 100.0
        );
    }
    let foot = y.at(0.0) + 13.0;
    // Where stretches meet, and so far apart that labels do not run into one another.
    let stretch = x.at(frame.step) - x.at(0.0);
    for value in x.marks(frame.step * (45.0 / stretch).ceil()) {
        let _ = writeln!(
            svg,
            "<line class=\"edge\" x1=\"{at:.1}\" x2=\"{at:.1}\" y1=\"{foot:.1}\" y2=\"{y1:.1}\"/>\
             <text x=\"{at:.1}\" y=\"{text:.1}\" text-anchor=\"middle\">{value}</text>",
            at = x.at(value),
            y1 = foot + 4.0,
            text = foot + 18.0,
        );
    }
    let _ = writeln!(
        svg,
        "<line class=\"edge\" x1=\"{LEFT}\" x2=\"{:.1}\" y1=\"{foot:.1}\" y2=\"{foot:.1}\"/>\
         <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
        WIDTH - RIGHT,
        f64::midpoint(LEFT, WIDTH - RIGHT),
        HEIGHT - 12.0,
        escape(frame.axis),
    );
}

fn bar(svg: &mut String, stretch: &Stretch, step: f64, x: Axis, y: Axis) {
    let beta = posterior(stretch);
    let interval = beta.interval(LEVEL);
    let (left, right) = (x.at(stretch.from) + 2.0, x.at(stretch.from + step) - 2.0);
    let (top, mean) = (y.at(interval.high), y.at(beta.mean()));
    let _ = writeln!(
        svg,
        "<rect class=\"bar\" x=\"{left:.1}\" y=\"{top:.1}\" width=\"{:.1}\" height=\"{:.1}\"/>\
         <line class=\"mean\" x1=\"{left:.1}\" x2=\"{right:.1}\" y1=\"{mean:.1}\" \
         y2=\"{mean:.1}\"/>\
         <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\" font-size=\"12\">{}/{}</text>",
        right - left,
        y.at(interval.low) - top,
        f64::midpoint(left, right),
        mean - 5.0,
        stretch.hits,
        stretch.visits,
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Frame<'_> = Frame {
        title: "a < b & \"c\"",
        axis: "minutes",
        step: 30.0,
    };

    #[test]
    fn a_chart_is_sound_xml_with_a_text_for_those_who_cannot_see_it() {
        let dots = [
            Dot {
                x: -31.0,
                hit: true,
            },
            Dot {
                x: 10.0,
                hit: false,
            },
            Dot { x: 15.0, hit: true },
        ];
        let svg = chart(&dots, FRAME).unwrap_or_default();
        let mut reader = quick_xml::Reader::from_str(&svg);
        let mut elements = 0;
        loop {
            match reader.read_event() {
                Ok(quick_xml::events::Event::Eof) => break,
                Ok(_) => elements += 1,
                Err(error) => unreachable!("{error}"),
            }
        }
        assert!(elements > 20);
        assert!(
            svg.contains("-60 to -30: 1 of 1") && svg.contains("0 to 30: 1 of 2"),
            "{svg}"
        );
    }

    #[test]
    fn nothing_to_draw() {
        assert_eq!(chart(&[], FRAME), None);
        assert_eq!(
            chart(
                &[Dot {
                    x: f64::NAN,
                    hit: true
                }],
                FRAME
            ),
            None
        );
        assert_eq!(
            chart(&[Dot { x: 0.0, hit: true }], Frame { step: 0.0, ..FRAME }),
            None
        );
        assert_eq!(
            chart(
                &[Dot { x: 0.0, hit: true }, Dot { x: 1e9, hit: true }],
                FRAME
            ),
            None
        );
    }
}
