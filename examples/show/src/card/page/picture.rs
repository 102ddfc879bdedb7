//! The picture that a card is for: what fills the frame, in which light and how fast.

use std::fmt::Write;

use super::super::hints::{altitude_name, iso_name, iso_speeds};
use super::super::{Card, frame_figure, light_hint, shutter};
use crate::light::{self, moon, moon_line};
use crate::markup::escape;

/// Kits whose frame is drawn; the others are listed.
const FRAMES_DRAWN: usize = 15;

pub(super) fn frames(html: &mut String, card: &Card<'_>) {
    if card.framings.is_empty() {
        return;
    }
    let subject = card.outing.subject;
    let distance_m = card.framings[0].distance_m;
    let _ = writeln!(
        html,
        "<section class=\"frames\"><h2>In the frame: {}, {:.2} m long, at {distance_m:.0} \
         m</h2><ol>",
        escape(&subject.name),
        subject.length_m
    );
    for framed in card.framings.iter().take(FRAMES_DRAWN) {
        let kit = card
            .scenario
            .kits()
            .iter()
            .find(|kit| kit.name == framed.kit);
        let _ = writeln!(
            html,
            "<li>{}<span><b>{:.1} %</b> {:.0} px<br/>f/{:.1} {}</span></li>",
            frame_figure::draw(framed, kit, &subject.name),
            framed.share * 100.0,
            framed.pixels,
            framed.f_number,
            escape(&framed.kit)
        );
    }
    html.push_str("</ol>");
    let others: Vec<_> = card
        .framings
        .iter()
        .skip(FRAMES_DRAWN)
        .map(|framed| format!("{} {:.1} %", framed.kit, framed.share * 100.0))
        .collect();
    if !others.is_empty() {
        let _ = write!(html, "<p class=\"soft\">{}</p>", escape(&others.join("; ")));
    }
    html.push_str("</section>\n");
}

pub(super) fn light(html: &mut String, card: &Card<'_>) {
    let window = &card.outing.window;
    let [first, _, last] = window.sun;
    let shutter = shutter(card.outing.subject);
    let _ = write!(
        html,
        "<section class=\"half\"><h2>Shutter and light</h2><p><b>1/{} s</b> {}, <b>1/{} s</b> \
         standing.",
        shutter.moving, shutter.how, shutter.standing
    );
    let brings = &card.outing.brings;
    if !brings.is_empty() {
        let wanted: Vec<_> = brings
            .iter()
            .map(|wanted| format!("{} ({} so far)", wanted.picture, wanted.taken))
            .collect();
        let _ = write!(html, " Wanted here: {}.", escape(&wanted.join(", ")));
    }
    if let Some(best) = card.framings.first() {
        let _ = write!(
            html,
            " At most {}: {}.",
            best.picture.name(),
            escape(&best.kit)
        );
    }
    html.push_str("</p>");
    isos(html, card, shutter.moving);
    html.push_str("<p>");
    if card.light.overcast {
        html.push_str("Wanted under cloud: the side of the light does not matter. ");
    } else {
        let _ = write!(
            html,
            "Light {} ({:.0}\u{b0} to {:.0}\u{b0} from the shadow line): {}. ",
            light::side(window),
            window.light()[0].angle_deg,
            window.light()[2].angle_deg,
            light_hint(window.light()[1].side, card.outing.subject)
        );
    }
    if let Some(moon) = moon(&card.outing) {
        let _ = write!(html, "By the {}. ", moon_line(moon));
    }
    let (start, end) = (
        altitude_name(first.altitude_deg),
        altitude_name(last.altitude_deg),
    );
    let named = if start == end {
        start.to_owned()
    } else {
        format!("{start} to {end}")
    };
    let _ = writeln!(
        html,
        "Sun {}: {named}.</p></section>",
        light::sun_altitudes(&card.outing, 0)
    );
}

/// The ISO speeds of the kit that shows most and of the one that gathers most light.
fn isos(html: &mut String, card: &Card<'_>, one_over_s: u32) {
    let [first, _, last] = card.outing.window.sun;
    let mut f_numbers: Vec<f64> = card
        .framings
        .iter()
        .take(1)
        .map(|best| best.f_number)
        .collect();
    let fastest = card.framings.iter().map(|framed| framed.f_number);
    f_numbers.extend(fastest.min_by(f64::total_cmp));
    f_numbers.dedup_by(|a, b| (*a - *b).abs() < 0.05);
    let mut told = Vec::new();
    for f_number in f_numbers {
        let at = |altitude_deg| iso_speeds(altitude_deg, f_number, one_over_s);
        if let (Some(start), Some(end)) = (at(first.altitude_deg), at(last.altitude_deg)) {
            told.push(format!(
                "at f/{f_number:.1} {} ({}) at the start and {} ({}) at the end",
                iso_name(start.0),
                iso_name(start.1),
                iso_name(end.0),
                iso_name(end.1)
            ));
        }
    }
    if !told.is_empty() {
        let _ = write!(
            html,
            "<p>ISO for 1/{one_over_s} s in a clear sky (under cloud), roughly: {}.</p>",
            told.join("; ")
        );
    }
}
