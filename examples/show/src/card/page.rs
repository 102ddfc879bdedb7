//! The card as one HTML page, whole in itself.

use std::fmt::Write;

use super::hints::{altitude_name, iso_name, iso_speeds};
use super::{
    CUT_OFF, Card, Departure, flies, frame_figure, light_hint, plan_figure, shutter, tide_figure,
    unease,
};
use crate::light::{self, moon, moon_line};
use crate::limits::{Limits, Side, cut_off, level_down, level_up, near, never_closes};
use crate::markup::escape;
use crate::told::{in_a_line, percent};
use crate::warnings::{line, of_a_kind};
use crate::weather;
use wrackline_plan::cautions;
use wrackline_plan::time::shifted;
use wrackline_solar::SunInView;

/// Kits whose frame is drawn; the others are listed.
const FRAMES_DRAWN: usize = 15;
/// Rows of the water table are set in this many blocks side by side.
const WATER_BLOCKS: usize = 4;

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
            Self::A5 => include_str!("a5.css"),
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
        include_str!("style.css"),
        paper.style()
    );
    html.push_str(&content(card));
    html.push_str("</main>\n</body>\n</html>\n");
    html
}

/// What stands on a card, for a page that holds more than one.
pub(crate) fn content(card: &Card<'_>) -> String {
    let mut html = String::new();
    header(&mut html, card);
    implausible(&mut html, card);
    key(&mut html, card);
    html.push_str("<div class=\"left\">\n");
    times(&mut html, card);
    plan(&mut html, card);
    html.push_str("</div>\n<div class=\"right\">\n");
    tide(&mut html, card);
    water(&mut html, card);
    html.push_str("</div>\n");
    frames(&mut html, card);
    light(&mut html, card);
    signs(&mut html, card);
    plan_b(&mut html, card);
    warnings(&mut html, card);
    write_room(&mut html, card);
    html
}

/// Beside the seat: a line of its own is one that a full side of paper does not have.
const DEMO: &str = " <strong class=\"warn\">Invented demo, not for use in the field.</strong>";

fn header(html: &mut String, card: &Card<'_>) {
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
fn implausible(html: &mut String, card: &Card<'_>) {
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

fn key(html: &mut String, card: &Card<'_>) {
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

fn tide(html: &mut String, card: &Card<'_>) {
    let heading = if card.levels.is_some() {
        "Tide and sun"
    } else {
        "Sun"
    };
    let _ = writeln!(
        html,
        "<figure class=\"tide\"><h2>{heading}</h2>{}</figure>",
        tide_figure::draw(card)
    );
}

fn water(html: &mut String, card: &Card<'_>) {
    let (Some(levels), Some(tide)) = (&card.levels, card.scenario.tide()) else {
        return;
    };
    let window = &card.outing.window;
    let _ = writeln!(
        html,
        "<section class=\"levels\"><h2>Water by quarter-hours, m above {}{}</h2><div \
         class=\"blocks\">",
        escape(&tide.datum),
        tide.printed().map_or("", |_| ", from a printed table")
    );
    // Nobody is near the water before and after that.
    let quarter_hour = 15.0;
    let shown = shifted(window.timetable.seated_by, -quarter_hour)
        ..shifted(window.timetable.back_by, quarter_hour);
    let quarters = levels.quarters.iter();
    let shown: Vec<_> = quarters.filter(|level| shown.contains(&level.at)).collect();
    let rows = shown.len().div_ceil(WATER_BLOCKS).max(1);
    for block in shown.chunks(rows) {
        html.push_str(
            "<table><tr><th></th><th>low</th><th>central</th><th>upper</th><th></th></tr>",
        );
        for level in block {
            let pictures = window.stretch.contains(&level.at);
            let closed = window
                .timetable
                .way
                .is_some_and(|way| (way.cut..way.clear).contains(&level.at));
            let _ = write!(
                html,
                "<tr{}><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>",
                if pictures { " class=\"pictures\"" } else { "" },
                escape(&card.clock.near(level.at)),
                level_down(level.low_m),
                level_down(level.central_m),
                level_up(level.upper_m),
                if closed { "\u{d7}" } else { "" }
            );
        }
        html.push_str("</table>");
    }
    html.push_str("</div><p class=\"soft\">Bold: pictures. ");
    if window.timetable.way.is_some() {
        html.push_str("\u{d7}: way closed at the upper water. ");
    }
    if let Some(hw) = &card.outing.occasion.high_water {
        let _ = write!(
            html,
            "High water {} at {} m, range {:.1} m. Chance that the water stays in the height band \
             {}",
            card.clock.near(hw.at),
            level_down(hw.height_m),
            hw.range_m,
            percent(window.chance_of_water)
        );
        match &window.at_lower_water {
            Some(stretch) => {
                let _ = write!(
                    html,
                    "; at the low water line {} remains. ",
                    card.clock.usable(stretch).join("\u{2013}")
                );
            }
            None => html.push_str("; at the low water line the animals are not pushed. "),
        }
    }
    if let Some(chance) = window.chance_above_upper {
        let _ = write!(
            html,
            "Chance of water above the upper line {}.",
            percent(chance)
        );
    }
    html.push_str("</p></section>\n");
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

fn frames(html: &mut String, card: &Card<'_>) {
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

fn light(html: &mut String, card: &Card<'_>) {
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
        "Sun {:.0}\u{b0} to {:.0}\u{b0}: {named}.</p></section>",
        near(first.altitude_deg, 0),
        near(last.altitude_deg, 0)
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
