//! The card as one HTML page, whole in itself.

mod head;
mod picture;
mod water;

use std::fmt::Write;

use super::{CUT_OFF, Card, flies, plan_figure, unease};
use crate::light::moon;
use crate::limits::{Side, cut_off};
use crate::markup::escape;
use crate::told::in_a_line;
use wrackline_plan::cautions;

/// The sheet for which a card is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Paper {
    /// 210 by 297 mm.
    #[default]
    A4,
    /// 148 by 210 mm, laid out anew in one column over several sides: no type is smaller than 8
    /// points.
    A5,
}

impl Paper {
    /// The page and how the card is laid out on it.
    fn style(self) -> &'static str {
        match self {
            Self::A4 => {
                "@page{size:A4 portrait;margin:9mm 10mm}@media print{html{font-size:7.7pt}}"
            }
            Self::A5 => include_str!("../a5.css"),
        }
    }
}

/// Writes a card as HTML: one side of paper when printed, light and dark on a screen.
pub fn page(card: &Card<'_>, paper: Paper) -> String {
    let outing = &card.outing;
    let place = card.scenario.place_of(outing.seat);
    let title = format!(
        "{}, {}, seat {}",
        outing.occasion.date, place.name, outing.seat.id
    );
    let mut html = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n<meta \
         name=\"viewport\" content=\"width=device-width, \
         initial-scale=1\"/>\n<title>{}</title>\n<style>\n{}{}\n</style>\n</head>\n<body>\n<main \
         class=\"card\">\n",
        escape(&title),
        include_str!("../style.css"),
        paper.style()
    );
    html.push_str(&content(card));
    html.push_str("</main>\n</body>\n</html>\n");
    html
}

/// What stands on a card, for a page that holds more than one.
pub(crate) fn content(card: &Card<'_>) -> String {
    let mut html = String::new();
    head::header(&mut html, card);
    head::implausible(&mut html, card);
    head::key(&mut html, card);
    html.push_str("<div class=\"left\">\n");
    times(&mut html, card);
    plan(&mut html, card);
    html.push_str("</div>\n<div class=\"right\">\n");
    water::tide(&mut html, card);
    water::water(&mut html, card);
    html.push_str("</div>\n");
    picture::frames(&mut html, card);
    picture::light(&mut html, card);
    signs(&mut html, card);
    plan_b(&mut html, card);
    warnings(&mut html, card);
    write_room(&mut html, card);
    html
}

fn times(html: &mut String, card: &Card<'_>) {
    html.push_str("<section class=\"times\"><h2>Times</h2><table>\n");
    for step in &card.steps {
        let class = if step.strong { " class=\"strong\"" } else { "" };
        let detail = if step.detail.is_empty() {
            String::new()
        } else {
            format!(" <span>{}</span>", escape(&step.detail))
        };
        let _ = writeln!(
            html,
            "<tr{class}><td>{}</td><td>{}{detail}</td></tr>",
            escape(&step.clock),
            escape(&step.what)
        );
    }
    html.push_str("</table></section>\n");
}

fn plan(html: &mut String, card: &Card<'_>) {
    let seat = card.outing.seat;
    let _ = write!(
        html,
        "<figure class=\"plan\"><h2>Plan</h2>{}<figcaption>View {:.0}\u{b0} true, {:.0} m; dashed \
         ring: stand-off {:.0} m {}. Grey: shadow. {}",
        plan_figure::draw(card),
        seat.bearing_deg,
        seat.distance_m,
        card.outing.subject.stand_off_m(seat),
        if seat.hide { "from a hide" } else { "on foot" },
        if moon(&card.outing).is_some() {
            "Moon"
        } else {
            "Sun"
        }
    );
    let sides = [Side::NotEarlier, Side::Nearest, Side::NotLater];
    for (index, (sun, side)) in card.outing.window.light().iter().zip(sides).enumerate() {
        let _ = write!(
            html,
            "{} {}: {} at {:.0}\u{b0}, {:.0}\u{b0} up",
            if index == 0 { "" } else { ";" },
            index + 1,
            escape(&card.clock.time(sun.at, side)),
            sun.azimuth_deg,
            sun.altitude_deg
        );
    }
    html.push_str(".</figcaption></figure>\n");
}

/// Signs of unease and what to do, which is another thing while the way is closed.
fn signs(html: &mut String, card: &Card<'_>) {
    html.push_str("<section class=\"half unease\"><h2>Signs of unease</h2>");
    if let Some(closed) = cut_off(&card.outing.window.timetable) {
        // Rather taken as closed for a minute too long.
        let [from, until] = [
            card.clock.time(closed.start, Side::NotLater),
            card.clock.time(closed.end, Side::NotEarlier),
        ];
        let _ = write!(
            html,
            "<p><b>Cut off, {from} to {until}</b>: nobody can go. From sign 2 on: \
             <b>{CUT_OFF}</b>.</p><p>While the way is open:</p>"
        );
    }
    html.push_str("<ol start=\"0\">");
    for (sign, what) in unease(card.outing.subject) {
        let _ = write!(html, "<li>{sign} \u{2013} <b>{what}</b></li>");
    }
    html.push_str("</ol></section>\n");
}

fn plan_b(html: &mut String, card: &Card<'_>) {
    html.push_str("<section class=\"plan-b\"><h2>Plan B</h2>");
    if card.plan_b.is_empty() {
        html.push_str("<p>No other window within three days.</p>");
    }
    for outing in &card.plan_b {
        let mut line = in_a_line(card.scenario, outing);
        // What stands on the card already is not said again.
        let rules = outing.window.frost.iter();
        for rule in rules.filter(|rule| !card.outing.window.frost.contains(rule)) {
            let _ = write!(line, "; {rule}");
        }
        let _ = write!(html, "<p>{}</p>", escape(&line));
    }
    html.push_str("</section>\n");
}

/// The cautions that bear on this outing.
fn warnings(html: &mut String, card: &Card<'_>) {
    html.push_str("<section class=\"cautions small\"><h2>Cautions</h2><div>");
    for caution in cautions::ALL {
        let caution = match caution {
            cautions::WATER if card.levels.is_none() => continue,
            cautions::WELFARE if !flies(card.outing.subject) => cautions::WELFARE_ON_GROUND,
            caution => caution,
        };
        let _ = write!(html, "<p>{}</p>", escape(caution));
    }
    html.push_str("</div></section>\n");
}

/// Lines to fill in: what the log asks for afterwards.
fn write_room(html: &mut String, card: &Card<'_>) {
    html.push_str("<section class=\"write\"><h2>Seen</h2>");
    let water = if card.levels.is_some() {
        "Water: level at high water"
    } else {
        "Ground and weather"
    };
    for line in [
        &["Waits for you, and the number", "Told of your return"][..],
        &[water, "Wind, pressure, cloud"],
        &["Animals, number", "Unease, at what distance"],
        &[
            "Called off \u{b7} absent \u{b7} out of range \u{b7} in range, no picture \u{b7} \
             picture \u{b7} select",
        ],
    ] {
        html.push_str("<p>");
        for label in line {
            let _ = write!(html, "<span>{label}<i></i></span>");
        }
        html.push_str("</p>");
    }
    html.push_str("</section>\n");
}
