//! What stands above all else on a card: what it is of, what is implausible, and what must be kept.

use std::fmt::Write;

use super::super::{Card, Departure};
use crate::limits::{Limits, level_down, never_closes};
use crate::markup::escape;
use crate::warnings::{line, of_a_kind};
use crate::weather;
use wrackline_solar::SunInView;

/// Beside the seat: a line of its own is one that a full side of paper does not have.
const DEMO: &str = " <strong class=\"warn\">Invented demo, not for use in the field.</strong>";

pub(super) fn header(html: &mut String, card: &Card<'_>) {
    let outing = &card.outing;
    let place = card.scenario.place_of(outing.seat);
    let seat = outing.seat;
    let mut what = format!(
        "Seat {}, {} \u{b7} {} \u{b7} {}",
        seat.id, seat.name, outing.subject.name, card.light.name
    );
    if let Some(cover) = &seat.cover {
        let _ = write!(what, " \u{b7} {cover}");
    }
    let _ = writeln!(
        html,
        "<header><div><h1>{}</h1><p>{}{}</p></div><div><p class=\"when\">{}</p><p \
         class=\"soft\">{}, times in {} ({})</p></div></header>",
        escape(&place.name),
        escape(&what),
        if card.demo { DEMO } else { "" },
        outing.occasion.date.strftime("%A %-d %B %Y"),
        escape(card.scenario.title()),
        escape(card.scenario.zone_name()),
        card.clock.offset(outing.window.stretch.start),
    );
}

/// What is implausible in the scenario, above all that follows from it.
pub(super) fn implausible(html: &mut String, card: &Card<'_>) {
    let kinds = of_a_kind(card.scenario.warnings());
    if kinds.is_empty() {
        return;
    }
    html.push_str("<section class=\"small\"><h2>Warnings of the scenario</h2>\n<ul>");
    for kind in kinds {
        let _ = write!(html, "<li class=\"warn\">{}</li>", escape(&line(kind)));
    }
    html.push_str("</ul></section>\n");
}

pub(super) fn key(html: &mut String, card: &Card<'_>) {
    let times = &card.outing.window.timetable;
    let limits = Limits::of(&card.outing);
    let at = |limit| card.clock.limit(limit);
    let stand_up = at(limits.stand_up);
    let statement = match (&card.departure, limits.latest_departure, limits.way) {
        (Departure::Latest(_), Some(latest), _) => format!(
            "<strong>Latest departure {}</strong> \u{2013} stand up by then and go: the way out \
             is lost afterwards (estimated, upper water).",
            at(latest)
        ),
        (Departure::NotBefore { .. }, _, Some(way)) => format!(
            "<strong>Across by {}, not back before {}</strong> \u{2013} the way is closed between \
             them (estimated, upper water).",
            at(way.cross_by),
            at(way.cross_from)
        ),
        (Departure::NotSetByWater { freeboard_m }, ..) => format!(
            "<strong>Stand up {stand_up}</strong> \u{2013} no latest departure by the water: the \
             seat keeps {} m over the upper water (estimated).",
            level_down(*freeboard_m)
        ),
        _ => format!(
            "<strong>Stand up {stand_up}</strong> (estimated) \u{2013} no tide plays a part here."
        ),
    };
    let _ = writeln!(html, "<section class=\"key\"><p>{statement}</p>");
    if let (Some(way), Some(name)) = (
        times.never_closes,
        card.scenario.way_in_of(card.outing.seat),
    ) {
        let _ = writeln!(html, "<p>{} {}.</p>", escape(&name.name), never_closes(way));
    }
    if let Some([from, until]) = limits.sun_near_view {
        let _ = writeln!(
            html,
            "<p class=\"warn\">From {} to {} the sun stands within {:.0}\u{b0} of the field of \
             view: do not look through an optical finder.</p>",
            at(from),
            at(until),
            SunInView::NEAR_DEG,
        );
    }
    let mut dark = Vec::new();
    if times.in_by_dark {
        dark.push("in");
    }
    if times.out_by_dark {
        dark.push("out");
    }
    if !dark.is_empty() {
        let _ = writeln!(
            html,
            "<p>The walk {} is in the dark: torch, spare torch, bearings written down.</p>",
            dark.join(" and the walk ")
        );
    }
    if let Some(at) = &card.outing.window.weather {
        let line = weather::in_a_line(card.scenario, at, &card.clock);
        let _ = writeln!(html, "<p><b>Weather</b> \u{2013} {}</p>", escape(&line));
    }
    for who in &card.outing.window.ask_first {
        let _ = writeln!(html, "<p><b>Ask first</b> \u{2013} {}</p>", escape(who));
    }
    for rule in &card.outing.window.frost {
        let _ = writeln!(html, "<p><b>Frost</b> \u{2013} {}</p>", escape(rule));
    }
    html.push_str("</section>\n");
}
