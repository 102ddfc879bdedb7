//! An answer as a drawing (SVG 1.1): both frames at one scale around the subject's box, and the
//! contrast of patterns at the subject.

use std::fmt::Write;

use wrackline_optics::{
    Chain, Focused,
    reach::{AirGrade, OpticsGrade, Sighting},
};

use wrackline_plan::reach::Answer;

use super::NOT_NEARER;
use crate::axis::{Axis, decimals, round_up};
use crate::markup::escape;

const WIDTH: f64 = 1120.0;
const HEIGHT: f64 = 740.0;
const FIRST: &str = "#1f5f8b";
const SECOND: &str = "#b4531f";
const INK: &str = "#222222";
const PALE: &str = "#d9d9d9";

/// An answer as a drawing.
///
/// # Errors
/// A kit that cannot focus at the distance; none for an answer that was judged.
pub fn drawing(answer: &Answer) -> Result<String, wrackline_optics::Error> {
    let mut out = String::new();
    draw(&mut out, answer)?;
    Ok(out)
}

fn draw(out: &mut String, answer: &Answer) -> Result<(), wrackline_optics::Error> {
    let comparison = answer.comparison();
    let scene = answer.question.scene.spec();
    let mut line = |text: std::fmt::Arguments<'_>| {
        // Writing into a string takes everything.
        let _ = writeln!(out, "{text}");
    };
    line(format_args!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{WIDTH}\" height=\"{HEIGHT}\" \
         viewBox=\"0 0 {WIDTH} {HEIGHT}\" font-family=\"sans-serif\" font-size=\"15\" \
         fill=\"{INK}\">"
    ));
    line(format_args!(
        "<title>Two frames around a subject at {:.1} m, and the contrast of its patterns</title>",
        scene.distance_m
    ));
    line(format_args!(
        "<rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"#ffffff\"/>"
    ));
    let legend = [
        (FIRST, "first: ", escape(&answer.question.first.name)),
        (SECOND, "second: ", escape(&answer.second_name)),
    ];
    for ((colour, which, name), y) in legend.into_iter().zip([34.0, 58.0]) {
        line(format_args!(
            "<rect x=\"24\" y=\"{:.0}\" width=\"16\" height=\"12\" fill=\"{colour}\"/>",
            y - 11.0
        ));
        line(format_args!(
            "<text x=\"48\" y=\"{y:.0}\">{which}{name}</text>"
        ));
    }
    frames(&mut line, answer, [&comparison.first, &comparison.second]);
    curves(&mut line, answer)?;
    let words = textwrap::wrap(NOT_NEARER, 150);
    for (at, words) in words.iter().enumerate() {
        line(format_args!(
            "<text x=\"24\" y=\"{:.0}\" font-size=\"13\">{}</text>",
            706.0 + 18.0 * at as f64,
            escape(words)
        ));
    }
    line(format_args!("</svg>"));
    Ok(())
}

/// The frames as they lie in the subject plane, at one scale, around the subject's box.
fn frames(line: &mut impl FnMut(std::fmt::Arguments<'_>), answer: &Answer, sights: [&Sighting; 2]) {
    const LEFT: f64 = 24.0;
    const TOP: f64 = 84.0;
    const BOX_WIDTH: f64 = 520.0;
    const BOX_HEIGHT: f64 = 600.0;
    let subject = answer.question.subject;
    let widest = sights
        .iter()
        .map(|sight| sight.field_across_m)
        .fold(subject.length_m, f64::max);
    let tallest = sights
        .iter()
        .map(|sight| sight.field_down_m)
        .fold(subject.height_m, f64::max);
    let scale = (BOX_WIDTH / widest).min((BOX_HEIGHT - 60.0) / tallest);
    let (middle_x, middle_y) = (LEFT + BOX_WIDTH / 2.0, TOP + 30.0 + scale * tallest / 2.0);
    let mut rectangle = |(width_m, height_m): (f64, f64), paint: &str| {
        let (width, height) = (width_m * scale, height_m * scale);
        line(format_args!(
            "<rect x=\"{:.2}\" y=\"{:.2}\" width=\"{width:.2}\" height=\"{height:.2}\" {paint}/>",
            middle_x - width / 2.0,
            middle_y - height / 2.0,
        ));
    };
    rectangle(
        (subject.length_m, subject.height_m),
        &format!("fill=\"{PALE}\" stroke=\"{INK}\" stroke-width=\"1\""),
    );
    for (sight, colour, dashes) in [
        (sights[0], FIRST, ""),
        (sights[1], SECOND, " stroke-dasharray=\"9 5\""),
    ] {
        let paint = format!("fill=\"none\" stroke=\"{colour}\" stroke-width=\"2.5\"{dashes}");
        rectangle((sight.field_across_m, sight.field_down_m), &paint);
    }
    line(format_args!(
        "<text x=\"{middle_x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">frames in the plane of the \
         subject</text>",
        TOP + 14.0,
    ));
    line(format_args!(
        "<text x=\"{middle_x:.1}\" y=\"{:.1}\" text-anchor=\"middle\" font-size=\"13\">{:.2} x \
         {:.2} m</text>",
        middle_y + 5.0,
        subject.length_m,
        subject.height_m,
    ));
    let foot = middle_y + scale * tallest / 2.0;
    for (which, sight, colour, down) in [
        ("first", sights[0], FIRST, 26.0),
        ("second", sights[1], SECOND, 48.0),
    ] {
        line(format_args!(
            "<text x=\"{middle_x:.1}\" y=\"{:.1}\" text-anchor=\"middle\" \
             fill=\"{colour}\">{which}: {:.2} x {:.2} m, subject {:.0} % of the width, {:.0} \
             px</text>",
            foot + down,
            sight.field_across_m,
            sight.field_down_m,
            sight.frame_share * 100.0,
            sight.pixels,
        ));
    }
}

/// Contrast over line pairs per millimetre at the subject, for good optics in calm and in warm air.
fn curves(
    line: &mut impl FnMut(std::fmt::Arguments<'_>),
    answer: &Answer,
) -> Result<(), wrackline_optics::Error> {
    const LEFT: f64 = 640.0;
    const TOP: f64 = 114.0;
    const PLOT_WIDTH: f64 = 450.0;
    const PLOT_HEIGHT: f64 = 480.0;
    const POINTS: u32 = 160;
    let (scene, assumptions) = (&answer.question.scene, &answer.question.assumptions);
    let chain =
        |which: usize, air: AirGrade| -> Result<(Focused, Chain), wrackline_optics::Error> {
            answer.contenders[which].chain(scene, assumptions, OpticsGrade::Good, air)
        };
    let all = [
        (chain(0, AirGrade::Calm)?, FIRST, ""),
        (chain(1, AirGrade::Calm)?, SECOND, ""),
        (
            chain(0, AirGrade::Warm)?,
            FIRST,
            " stroke-dasharray=\"3 4\"",
        ),
        (
            chain(1, AirGrade::Warm)?,
            SECOND,
            " stroke-dasharray=\"3 4\"",
        ),
    ];
    // To where the better kit keeps a twentieth, rounded up to a tidy number.
    let mut finest: f64 = 0.0;
    for ((focused, chain), _, _) in &all {
        let ends = chain.frequency_at_contrast(0.05)?;
        finest = finest.max(ends * focused.magnification());
    }
    let step = round_up(finest / 6.0);
    let end = (finest / step).ceil() * step;
    let across = Axis::new([0.0, end], [LEFT, LEFT + PLOT_WIDTH]);
    let up = Axis::new([0.0, 1.0], [TOP + PLOT_HEIGHT, TOP]);
    let (x, y) = (
        |at_subject| across.at(at_subject),
        |contrast| up.at(contrast),
    );
    line(format_args!(
        "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\">contrast left of a pattern on the \
         subject (good optics, assumed)</text>",
        LEFT + PLOT_WIDTH / 2.0,
        TOP - 16.0,
    ));
    let decimals = decimals(step);
    for value in across.marks(step) {
        line(format_args!(
            "<line x1=\"{0:.1}\" x2=\"{0:.1}\" y1=\"{1:.1}\" y2=\"{2:.1}\" stroke=\"{PALE}\"/>",
            x(value),
            y(0.0),
            y(1.0),
        ));
        line(format_args!(
            "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\" \
             font-size=\"13\">{value:.decimals$}</text>",
            x(value),
            y(0.0) + 18.0,
        ));
    }
    for value in up.marks(0.2) {
        line(format_args!(
            "<line x1=\"{:.1}\" x2=\"{:.1}\" y1=\"{2:.1}\" y2=\"{2:.1}\" stroke=\"{PALE}\"/>",
            x(0.0),
            x(end),
            y(value),
        ));
        line(format_args!(
            "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\" font-size=\"13\">{value:.1}</text>",
            x(0.0) - 8.0,
            y(value) + 4.5,
        ));
    }
    for ((focused, chain), colour, dashes) in &all {
        let mut points = String::new();
        for number in 0..=POINTS {
            let at_subject = end * f64::from(number) / f64::from(POINTS);
            let contrast = chain
                .transfers(at_subject / focused.magnification())?
                .product();
            let _ = write!(points, "{:.1},{:.1} ", x(at_subject), y(contrast));
        }
        line(format_args!(
            "<polyline points=\"{}\" fill=\"none\" stroke=\"{colour}\" \
             stroke-width=\"2.2\"{dashes}/>",
            points.trim_end(),
        ));
    }
    for ((focused, chain), colour, _) in &all[..2] {
        let nyquist = chain.nyquist_lp_per_mm() * focused.magnification();
        if nyquist <= end {
            line(format_args!(
                "<path d=\"M {0:.1} {1:.1} l -6 11 l 12 0 z\" fill=\"{colour}\"/>",
                x(nyquist),
                y(0.0) - 11.0,
            ));
        }
    }
    let middle = LEFT + PLOT_WIDTH / 2.0;
    line(format_args!(
        "<text x=\"{middle:.1}\" y=\"{:.1}\" text-anchor=\"middle\">line pairs per mm at the \
         subject</text>",
        y(0.0) + 42.0
    ));
    line(format_args!(
        "<text x=\"{middle:.1}\" y=\"{:.1}\" text-anchor=\"middle\" font-size=\"13\">unbroken: \
         calm air · dotted: warm air · triangle: finest pattern of the pixels</text>",
        y(0.0) + 64.0,
    ));
    Ok(())
}
