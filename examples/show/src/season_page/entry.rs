//! One window in the list: what must be seen without a tap, and the rest folded below it.

use std::fmt::Write;

use jiff::{SignedDuration, Timestamp};

use super::Error;
use super::column::Bar;
use super::words;
use crate::card;
use crate::clock::Clock;
use crate::light::sun_altitudes;
use crate::limits::{Side, level_up, near, never_closes, signed};
use crate::markup::{escape, with_ids_of_their_own};
use crate::told::percent;
use crate::weather;
use wrackline_plan::port::{Shape, TideCurve};
use wrackline_plan::season::{Outing, Season};
use wrackline_plan::time::{minutes, minutes_between, shifted};
use wrackline_plan::windows::side_name;

/// Minutes between the points of a window's curves.
const STEP_MINUTES: i64 = 15;

/// What an entry is made from.
pub(super) struct Entry<'e> {
    pub(super) season: &'e Season<'e>,
    pub(super) bar: &'e Bar<'e>,
    /// Position of its column.
    pub(super) column: usize,
    /// The stand-off distance that holds there, metres.
    pub(super) stand_off_m: f64,
    /// The predicted water over the season; `None` inland.
    pub(super) tide: Option<&'e TideCurve>,
    /// Its card comes along.
    pub(super) with_card: bool,
}

/// Appends the list item of a window.
pub(super) fn write(html: &mut String, entry: &Entry<'_>) -> Result<(), Error> {
    let (season, bar) = (entry.season, entry.bar);
    let outing = bar.outing;
    let scenario = season.scenario;
    let clock = words::clock(season, outing);
    let weekend = if bar.weekend { " class=\"we\"" } else { "" };
    let _ = write!(
        html,
        "<li id=\"w{0}\" data-w=\"{0}\" data-c=\"{1}\" data-l=\"{2}\" data-r=\"{3}\" \
         data-d=\"{7}\" data-t=\"{8}\"{weekend}><details><summary><span class=\"head\"><b>{4}</b> \
         {5}, {6}</span>",
        bar.number,
        entry.column,
        bar.light,
        bar.rank,
        outing.occasion.date.strftime("%a %-d %b %Y"),
        escape(&words::pictures(&clock, outing)),
        words::whole_minutes(outing),
        outing.occasion.date,
        middle_of_pictures(season, outing).strftime("%Y-%m-%dT%H:%M"),
    );
    let _ = write!(
        html,
        "<span>{} {}, {}: {}</span><span class=\"soft\">No. {} of {} in {}</span>",
        escape(&outing.seat.id),
        escape(&outing.seat.name),
        escape(&scenario.place_of(outing.seat).name),
        escape(&outing.subject.name),
        bar.rank,
        season.outings.len(),
        escape(&season.light.name),
    );
    let _ = write!(
        html,
        "<span><strong>{}</strong></span><span>",
        escape(&words::departure(&clock, outing))
    );
    if let Some(upper) = words::upper_water(season, outing) {
        let _ = write!(html, "Upper water {upper} m; ");
    }
    let _ = write!(
        html,
        "{}</span>",
        words::stand_off(entry.stand_off_m, outing)
    );
    for warning in words::warnings(&clock, outing) {
        let _ = write!(html, "<span class=\"mind\">{}</span>", escape(&warning));
    }
    html.push_str("</summary><div class=\"told\">");
    curve(html, entry, &clock)?;
    told(html, entry, &clock);
    if entry.with_card {
        card(html, season, bar.rank, bar.number)?;
    }
    html.push_str("</div></details></li>\n");
    Ok(())
}

/// Appends the card of a window, folded.
pub(super) fn card(
    html: &mut String,
    season: &Season<'_>,
    rank: usize,
    number: usize,
) -> Result<(), Error> {
    let card = card::of_outing(season, rank.saturating_sub(1))?;
    let _ = write!(
        html,
        "<details class=\"holds-card\"><summary>Card of this outing</summary><article \
         class=\"card\">{}</article></details>",
        with_ids_of_their_own(&card::content(&card), number)
    );
    Ok(())
}

/// The clock at the middle of the pictures: the instant that a note about the visit most likely
/// means.
fn middle_of_pictures(season: &Season<'_>, outing: &Outing<'_>) -> jiff::civil::DateTime {
    let window = &outing.window.stretch;
    let middle = shifted(window.start, minutes(window) / 2.0);
    middle
        .to_zoned_datetime(season.scenario.zone().clone())
        .datetime()
}

fn told(html: &mut String, entry: &Entry<'_>, clock: &Clock) {
    let outing = entry.bar.outing;
    let window = &outing.window;
    let times = &window.timetable;
    let (by, from) = (Side::NotLater, Side::NotEarlier);
    let mut rows = Rows(html);
    rows.0.push_str("<dl>");
    if let Some(minutes) = entry
        .season
        .scenario
        .place_of(outing.seat)
        .from_home_minutes
    {
        rows.add(
            "Leave home",
            &clock.time(shifted(times.set_out, -minutes), by),
        );
    }
    rows.add(
        "Times",
        &format!(
            "set out {}, seated by {}, stand up {}, back by {}, overdue {}",
            clock.time(times.set_out, by),
            clock.time(times.seated_by, by),
            stand_up(outing, clock),
            clock.time(times.back_by, from),
            clock.time(times.overdue, from)
        ),
    );
    if let Some(contact) = entry.season.scenario.contact() {
        rows.add("Overdue", &format!("{} acts", contact.line()));
    }
    if let Some(parking) = &entry.season.scenario.place_of(outing.seat).parking {
        rows.add("Parking", parking);
    }
    let [start, middle, end] = window.light();
    let altitudes = match window.moon {
        None => format!("sun {}", sun_altitudes(outing, 1)),
        Some([start, _, end]) => format!(
            "moon {:.1} to {:.1}\u{b0}",
            near(start.altitude_deg, 1),
            near(end.altitude_deg, 1)
        ),
    };
    rows.add(
        "Light",
        &format!(
            "{altitudes}, {} ({:.0} to {:.0}\u{b0} from the shadow line)",
            side_name(middle.side),
            start.angle_deg,
            end.angle_deg
        ),
    );
    water(&mut rows, entry, clock);
    forecast(&mut rows, entry, clock);
    way(&mut rows, entry, clock);
    frame(&mut rows, entry);
    if let Some(chance) = outing.learned {
        rows.add("Log", &chance.reason("in range", "in this band"));
    }
    if !outing.brings.is_empty() {
        let brings = outing.brings.iter();
        let brings: Vec<_> = brings
            .map(|wanted| format!("{} ({} so far)", wanted.picture, wanted.taken))
            .collect();
        rows.add("May bring", &brings.join(", "));
    }
    rows.0.push_str("</dl>");
}

/// When to stand up: a limit where the water sets it, never told later than it is.
fn stand_up(outing: &Outing<'_>, clock: &Clock) -> String {
    let times = &outing.window.timetable;
    let side = match times.latest_departure {
        Some(latest) if latest == times.stand_up => Side::NotLater,
        _ => Side::NotEarlier,
    };
    clock.time(times.stand_up, side)
}

fn water(rows: &mut Rows<'_>, entry: &Entry<'_>, clock: &Clock) {
    let outing = entry.bar.outing;
    let window = &outing.window;
    let Some(tide) = &outing.occasion.high_water else {
        return;
    };
    let place = entry.season.scenario.place_of(outing.seat);
    rows.add(
        "Water",
        &format!(
            "high water {} at {:.2} m predicted, {} m upper; range {:.1} m; over the push level \
             of {:.2} m from {} to {}",
            clock.near(tide.at),
            tide.height_m,
            level_up(tide.upper_m(entry.season.scenario)),
            tide.range_m,
            place.push_m.unwrap_or_default(),
            clock.near(tide.roosting.start),
            clock.near(tide.roosting.end)
        ),
    );
    let lower = match &window.at_lower_water {
        Some(stretch) => format!(
            "at the lower water {} to {} remains",
            clock.time(stretch.start, Side::NotEarlier),
            clock.time(stretch.end, Side::NotLater)
        ),
        None => "at the lower water the animals are not pushed".to_owned(),
    };
    let above = window.chance_above_upper.map_or(String::new(), |chance| {
        format!("; of more than the upper water {}", percent(chance))
    });
    rows.add(
        "Chance",
        &format!(
            "that the water is in the band {}{above}; {lower}",
            percent(window.chance_of_water)
        ),
    );
    let cases = window.otherwise.iter().map(|case| match case.ended_by {
        None => format!(
            "{} cm: {:.0} min",
            signed(case.offset_cm.into()),
            case.minutes.floor()
        ),
        Some(condition) => format!("{} cm: none, {condition}", signed(case.offset_cm.into())),
    });
    let cases: Vec<_> = cases.collect();
    if !cases.is_empty() {
        rows.add("If the water differs", &cases.join(", "));
    }
}

fn forecast(rows: &mut Rows<'_>, entry: &Entry<'_>, clock: &Clock) {
    if let Some(at) = &entry.bar.outing.window.weather {
        let line = weather::in_a_line(entry.season.scenario, at, clock);
        rows.add("Weather", &line);
    }
}

fn way(rows: &mut Rows<'_>, entry: &Entry<'_>, clock: &Clock) {
    let outing = entry.bar.outing;
    let times = &outing.window.timetable;
    let scenario = entry.season.scenario;
    let name = scenario
        .way_in_of(outing.seat)
        .map_or("the way in", |way| way.name.as_str());
    let (by, from) = (Side::NotLater, Side::NotEarlier);
    if let Some(way) = times.way {
        rows.add(
            "Way in",
            &format!(
                "{name} cut {} and clear {} at the upper water; be across by {}, not back before \
                 {}",
                clock.time(way.cut, by),
                clock.time(way.clear, from),
                clock.time(way.cross_by, by),
                clock.time(way.cross_from, from)
            ),
        );
    }
    if let Some(way) = times.never_closes {
        rows.add("Way in", &format!("{name} {}", never_closes(way)));
    }
}

fn frame(rows: &mut Rows<'_>, entry: &Entry<'_>) {
    let outing = entry.bar.outing;
    let report = entry.season.seats.iter();
    let best = report
        .filter(|report| super::column::is_of(outing, report.seat, report.subject))
        .find_map(|report| report.framings.first());
    if let Some(framed) = best {
        rows.add(
            "Frame",
            &format!(
                "{} at {:.0} m: {:.1} % of the width, {:.0} px, f/{:.1}: {}",
                framed.kit,
                framed.distance_m,
                framed.share * 100.0,
                framed.pixels,
                framed.f_number,
                framed.picture.name()
            ),
        );
    }
}

/// The rows of a list of terms.
struct Rows<'h>(&'h mut String);

impl Rows<'_> {
    fn add(&mut self, term: &str, text: &str) {
        let _ = write!(self.0, "<dt>{term}</dt><dd>{}</dd>", escape(text));
    }
}

/// The figures from which the page draws tide and sun: every quarter of an hour from setting out to
/// the overdue contact, water in centimetres, the sun in tenths of a degree. Hours come with their
/// names, so that a change of the clocks is told as it is.
fn curve(html: &mut String, entry: &Entry<'_>, clock: &Clock) -> Result<(), Error> {
    let outing = entry.bar.outing;
    let window = &outing.window;
    let times = &window.timetable;
    let quarter = STEP_MINUTES * 60;
    let first = times.set_out.as_second().div_euclid(quarter) * quarter;
    let last = -(-times.overdue.as_second()).div_euclid(quarter) * quarter;
    let instants: Vec<Timestamp> = (0..=(last - first) / quarter)
        .filter_map(|n| Timestamp::from_second(first + n * quarter).ok())
        .collect();
    let Some(&start) = instants.first() else {
        return Ok(());
    };
    let minute = |at: Timestamp| format!("{:.0}", minutes_between(start, at));
    let sun = instants.iter().map(|at| {
        let altitude = outing.seat.observer.sun(*at).altitude_deg;
        format!("{:.0}", altitude * 10.0)
    });
    let hours = instants.iter().filter_map(|at| {
        let name = clock.near(*at);
        name.contains(":00")
            .then(|| format!("{} {name}", minute(*at)))
    });
    let _ = write!(
        html,
        "<div class=\"curve\" data-step=\"{STEP_MINUTES}\" data-window=\"{} {}\" data-sun=\"{}\" \
         data-hours=\"{}\"",
        minute(window.stretch.start),
        minute(window.stretch.end),
        joined(sun, " "),
        escape(&joined(hours, ","))
    );
    if let Some(tide) = entry.tide.filter(|_| touched_by_water(outing)) {
        let scenario = entry.season.scenario;
        let water = scenario.water();
        // One band for the whole curve: the widest of the outing.
        let raised_m = window.weather.as_ref().map_or(0.0, |at| at.upper_more_m);
        let heights_m = instants.iter().map(|at| tide.height_m(*at));
        let heights_m = heights_m.collect::<Result<Vec<f64>, _>>()?;
        let highest_m = instants
            .iter()
            .map(|at| tide.height_of_m(*at, Shape::Highest))
            .collect::<Result<Vec<f64>, _>>()?;
        // One distance for the whole drawing: the widest, where a printed table leaves more open
        // between its turns than at them.
        let over_m = heights_m
            .iter()
            .zip(&highest_m)
            .map(|(height_m, highest_m)| highest_m - height_m)
            .fold(0.0, f64::max);
        let levels = heights_m
            .iter()
            .map(|height_m| format!("{:.0}", (height_m + water.expected_m) * 100.0));
        let place = scenario.place_of(outing.seat);
        let way = scenario.way_in_of(outing.seat);
        let marks = [
            ("push", place.push_m),
            ("way lost", way.map(|way| way.cut_off_m())),
            ("seat", outing.seat.ground_m),
        ];
        let marks = marks
            .into_iter()
            .filter_map(|(name, level)| level.map(|level| format!("{:.0} {name}", level * 100.0)));
        let _ = write!(
            html,
            " data-water=\"{}\" data-upper=\"{:.0}\" data-levels=\"{}\"",
            joined(levels, " "),
            (over_m + water.upper_m() - water.expected_m + raised_m) * 100.0,
            joined(marks, ",")
        );
        let way_times = times.way.map(|way| (way.cut, way.clear));
        if let Some((cut, clear)) = way_times {
            let _ = write!(html, " data-shut=\"{} {}\"", minute(cut), minute(clear));
        }
        if let Some(latest) = times.latest_departure {
            let _ = write!(
                html,
                " data-leave=\"{} {}\"",
                minute(latest),
                clock.time(latest, Side::NotLater)
            );
        }
    }
    html.push_str("></div>");
    Ok(())
}

fn touched_by_water(outing: &Outing<'_>) -> bool {
    let times = &outing.window.timetable;
    outing.occasion.high_water.is_some() || times.way.is_some() || times.freeboard_m.is_some()
}

fn joined(parts: impl Iterator<Item = String>, by: &str) -> String {
    parts.collect::<Vec<_>>().join(by)
}

/// The water over all outings of a season, and an hour on both sides.
pub(super) fn tide_over(seasons: &[Season<'_>]) -> Result<Option<TideCurve>, Error> {
    let times = || {
        seasons
            .iter()
            .flat_map(|season| &season.outings)
            .map(|outing| &outing.window.timetable)
    };
    let first = times().map(|times| times.set_out).min();
    let last = times().map(|times| times.overdue).max();
    let tide = seasons.first().and_then(|season| season.scenario.tide());
    let (Some(first), Some(last), Some(tide)) = (first, last, tide) else {
        return Ok(None);
    };
    let hour = SignedDuration::from_hours(1);
    let span =
        first.saturating_sub(hour).unwrap_or(first)..last.saturating_add(hour).unwrap_or(last);
    Ok(Some(tide.curve(span)?))
}
