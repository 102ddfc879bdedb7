//! A season as a picture: one page that needs nothing but itself, and the same calendar for a wall.
//!
//! [`page`] and [`wall`] print the outings that the plan has judged and judge nothing. A browser
//! without a script shows the whole as a printed list; the script only filters, sorts, opens and
//! keeps the field sheet. Every text of a scenario goes through the one escape, and what the script
//! writes it writes as text.

mod column;
mod days;
mod entry;
mod field_sheet;
mod sky;
mod strip;
mod wall;
#[cfg(feature = "project")]
mod wanted;
mod why_not;
mod words;

use std::fmt::Write;

use wrackline_plan::cautions;
use wrackline_plan::experience::Experience;
#[cfg(feature = "project")]
use wrackline_plan::project::Project;
use wrackline_plan::season::{self, Season};

pub use wall::wall;

use crate::card;
use crate::markup::escape;
use crate::report::DEMO;
use crate::warnings::{line, of_a_kind};
use crate::weather;
use column::{Calendar, Column};
use entry::Entry;

/// What a page is made from.
#[derive(Clone, Copy, Debug)]
pub struct Contents<'p> {
    /// The season in one or more lights: the same scenario, days, seats and subjects. Each should
    /// have kept its refused tides, or the days without a window cannot say why.
    pub seasons: &'p [Season<'p>],
    /// What past visits tell; `None` where nobody has kept a log.
    pub experience: Option<&'p Experience>,
    /// How many cards the page holds: of the best of each light in turn.
    pub cards: usize,
    /// What the season holds for the wanted pictures; `None` where none is wanted.
    #[cfg(feature = "project")]
    pub project: Option<&'p Project<'p>>,
    /// Whether it is the invented demo that is shown, because no scenario was given.
    pub demo: bool,
}

impl<'p> Contents<'p> {
    /// Seasons and nothing beside them: no log, no cards, no project.
    pub fn of(seasons: &'p [Season<'p>]) -> Self {
        Self {
            seasons,
            experience: None,
            cards: 0,
            #[cfg(feature = "project")]
            project: None,
            demo: false,
        }
    }
}

/// Why there is no page.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// Nothing to show.
    #[error("there is no season to show; give at least one")]
    NoSeason,
    /// The days cannot be represented.
    #[error(transparent)]
    Season(#[from] season::Error),
    /// A card cannot be made.
    #[error(transparent)]
    Card(#[from] card::Error),
    /// The water cannot be predicted.
    #[error("the water cannot be predicted for these days: {0}; choose other dates")]
    Water(#[from] wrackline_tides::Error),
    /// Sun and moon cannot be computed.
    #[error("sun and moon cannot be computed for these days: {0}; choose other dates")]
    Sky(#[from] wrackline_solar::Error),
}

/// Nothing may be fetched or sent: neither a picture, nor a form, nor a frame. The script is known
/// by its hash, so that no other runs; styles cannot fetch anything under this policy.
const POLICY: &str = concat!(
    "default-src 'none'; script-src 'sha256-",
    include_str!("page.js.sha256"),
    "'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
);

/// Writes a season as one HTML page.
///
/// # Errors
/// No season; dates, water or sky that cannot be computed.
pub fn page(contents: &Contents<'_>) -> Result<String, Error> {
    let first = contents.seasons.first().ok_or(Error::NoSeason)?;
    let mut html = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n<meta \
         http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\"/>\n<meta name=\"viewport\" \
         content=\"width=device-width, initial-scale=1\"/>\n<meta name=\"referrer\" \
         content=\"no-referrer\"/>\n<title>{}</title>\n<style>\n{}{}{}</style>\n</head>\n<body>\n",
        escape(&heading(first)),
        include_str!("../card/style.css"),
        include_str!("strip.css"),
        include_str!("page.css"),
    );
    html.push_str(&fragment(contents)?);
    let _ = write!(
        html,
        "<script>{}</script>\n</body>\n</html>\n",
        include_str!("page.js")
    );
    Ok(html)
}

/// What a page shows, without its head, styles and script: for a page that brings these along and
/// is given one season after the other. Every text in it is escaped.
///
/// # Errors
/// As [`page`].
pub fn fragment(contents: &Contents<'_>) -> Result<String, Error> {
    let seasons = contents.seasons;
    let first = seasons.first().ok_or(Error::NoSeason)?;
    let calendar = Calendar::of(seasons, contents.experience)?;
    let mut html = String::new();
    let _ = writeln!(
        html,
        "<svg class=\"gone\" aria-hidden=\"true\">{}</svg>\n<main data-name=\"{}\" data-zone=\"{}\" \
         data-head=\"{}\" data-row=\"{}\">\n<h1>{}</h1>",
        strip::PATTERNS,
        escape(first.scenario.title()),
        escape(first.scenario.zone_name()),
        strip::HEAD,
        strip::ROW,
        escape(&heading(first))
    );
    if contents.demo {
        let _ = writeln!(html, "<p class=\"mind\">{}</p>", escape(DEMO));
    }
    let _ = writeln!(html, "<p class=\"soft\">{}</p>", escape(&basis(first)));
    for line in weather::remarks(first.scenario) {
        let _ = writeln!(html, "<p class=\"soft\">{}.</p>", escape(&line));
    }
    implausible(&mut html, first);
    controls(&mut html, seasons, &calendar);
    months(&mut html, &calendar);
    key(&mut html);
    #[cfg(feature = "project")]
    if let Some(project) = contents.project {
        wanted::write(&mut html, project);
    }
    html.push_str("<section class=\"warned\" id=\"cautions\"><h2>Cautions</h2>");
    for caution in cautions::ALL {
        let _ = write!(html, "<p>{}</p>", escape(caution));
    }
    html.push_str("</section>\n");
    windows(&mut html, contents, &calendar)?;
    html.push_str("<section id=\"whys\"><h2>Days without a window</h2>\n");
    for (light, season) in seasons.iter().enumerate() {
        for column in calendar.columns.iter().enumerate() {
            why_not::write(&mut html, &calendar, column, (light, season));
        }
    }
    html.push_str("</section>\n");
    field_sheet::write(&mut html, first.scenario);
    html.push_str(
        "</main>\n<dialog id=\"look\" aria-labelledby=\"look-name\"><div class=\"bar-top\"><h2 \
         id=\"look-name\"></h2><button type=\"button\" id=\"close\">Close</button></div><div \
         id=\"look-body\"></div></dialog>\n",
    );
    Ok(html)
}

/// The card of a window of a season that is at hand, by its rank, folded as a page holds it.
/// `number` keeps the names on it apart from those on other cards.
///
/// # Errors
/// A rank that the season does not have; a tide that cannot be predicted.
pub fn card(season: &Season<'_>, rank: usize, number: usize) -> Result<String, Error> {
    let mut html = String::new();
    entry::card(&mut html, season, rank, number)?;
    Ok(html)
}

fn heading(season: &Season<'_>) -> String {
    format!(
        "{}: {} to {}",
        season.scenario.title(),
        season.from.strftime("%-d %b %Y"),
        season.last.strftime("%-d %b %Y")
    )
}

/// Zone and heights: without them no figure of the page means anything.
fn basis(season: &Season<'_>) -> String {
    let scenario = season.scenario;
    let mut text = format!("Times in {}.", scenario.zone_name());
    if let Some(tide) = scenario.tide() {
        let water = scenario.water();
        let _ = write!(
            text,
            " Heights in metres above {}{}; the upper water is {:+.2} m over the prediction, the \
             lower {:+.2} m.",
            tide.datum,
            tide.printed()
                .map_or(String::new(), |table| format!(", {}", table.in_short())),
            water.upper_m(),
            water.lower_m()
        );
        if scenario.weather().is_some() {
            text.push_str(" Where a forecast speaks, the upper may be higher and the lower lower.");
        }
    }
    text
}

/// What is implausible in the scenario, above all that follows from it.
fn implausible(html: &mut String, season: &Season<'_>) {
    let kinds = of_a_kind(season.scenario.warnings());
    if kinds.is_empty() {
        return;
    }
    html.push_str("<section class=\"warned\"><h2>Warnings of the scenario</h2>");
    for kind in kinds {
        let _ = write!(html, "<p class=\"mind\">{}</p>", escape(&line(kind)));
    }
    html.push_str("</section>\n");
}

/// Choices that the script makes work; it shows them when it runs.
fn controls(html: &mut String, seasons: &[Season<'_>], calendar: &Calendar<'_>) {
    html.push_str("<form id=\"choose\" hidden=\"\">");
    let scenario = calendar.scenario;
    let columns = || calendar.columns.iter();
    let places = columns().map(|column| {
        let place = scenario.place_of(column.seat);
        (place.id.clone(), place.name.clone())
    });
    choice(html, "place", "Place", "all places", places);
    let seats = columns().map(|column| {
        let seat = column.seat;
        (seat.id.clone(), format!("{} {}", seat.id, seat.name))
    });
    choice(html, "seat", "Seat", "all seats", seats);
    let subjects = columns().map(|column| {
        let subject = column.subject;
        (subject.id.clone(), subject.name.clone())
    });
    choice(html, "subject", "Subject", "all subjects", subjects);
    let lights = seasons.iter().enumerate();
    let lights = lights.map(|(at, season)| (at.to_string(), season.light.name.clone()));
    choice(html, "light", "Light", "all lights", lights);
    html.push_str(
        "<label>Sort <select name=\"sort\"><option value=\"date\">by \
        date</option><option value=\"rank\">by rank</option></select></label><label \
        class=\"tick\"><input type=\"checkbox\" name=\"weekend\" value=\"1\"/> weekends \
        only</label><output id=\"shown\"></output></form>\n",
    );
}

fn choice(
    html: &mut String,
    name: &str,
    label: &str,
    all: &str,
    words: impl Iterator<Item = (String, String)>,
) {
    let mut told: Vec<(String, String)> = Vec::new();
    for word in words {
        if !told.contains(&word) {
            told.push(word);
        }
    }
    let _ = write!(
        html,
        "<label>{label} <select name=\"{name}\"><option value=\"all\">{all}</option>"
    );
    for (word, read) in told {
        let _ = write!(
            html,
            "<option value=\"{}\">{}</option>",
            escape(&word),
            escape(&read)
        );
    }
    html.push_str("</select></label>");
}

fn months(html: &mut String, calendar: &Calendar<'_>) {
    html.push_str("<section id=\"calendar\"><h2>Calendar</h2>\n");
    for rows in calendar.days.months() {
        let days = &calendar.days.all[rows.clone()];
        let name = days[0].date.strftime("%B %Y").to_string();
        let _ = writeln!(
            html,
            "<details class=\"month\" open=\"\"><summary>{name}</summary><div class=\"columns\">"
        );
        for (at, column) in calendar.columns.iter().enumerate() {
            figure(html, calendar, (at, column), rows.clone(), &name);
        }
        html.push_str("</div></details>\n");
    }
    html.push_str("</section>\n");
}

fn figure(
    html: &mut String,
    calendar: &Calendar<'_>,
    (at, column): (usize, &Column<'_>),
    rows: std::ops::Range<usize>,
    month: &str,
) {
    let place = calendar.scenario.place_of(column.seat);
    let name = format!(
        "{} {}, {}: {}",
        column.seat.id, column.seat.name, place.name, column.subject.name
    );
    let _ = write!(
        html,
        "<figure data-c=\"{at}\" data-place=\"{}\" data-seat=\"{}\" data-subject=\"{}\" \
         data-from=\"{}\"><figcaption>{}</figcaption><svg class=\"strip\" viewBox=\"0 0 {} \
         {:.0}\" role=\"group\" aria-label=\"{}\">",
        escape(&place.id),
        escape(&column.seat.id),
        escape(&column.subject.id),
        calendar.days.all[rows.start].date,
        escape(&name),
        strip::WIDTH,
        strip::height(rows.len()),
        escape(&format!("{month}, {name}")),
    );
    strip::draw(html, calendar, column, rows, Some("w"));
    html.push_str("</svg></figure>\n");
}

fn key(html: &mut String) {
    html.push_str("<ul class=\"signs\">");
    for (class, what) in strip::KEY {
        html.push_str("<li><svg class=\"strip\" viewBox=\"0 0 26 16\" aria-hidden=\"true\">");
        strip::sign(html, class, 1.0, 1.0);
        let _ = write!(html, "</svg>{what}</li>");
    }
    html.push_str("</ul>\n");
}

fn windows(
    html: &mut String,
    contents: &Contents<'_>,
    calendar: &Calendar<'_>,
) -> Result<(), Error> {
    let bars = calendar.bars();
    let _ = writeln!(html, "<section><h2>Windows</h2>");
    if bars.is_empty() {
        html.push_str("<p>No window. What stood against it is told below, day by day.</p>");
    }
    html.push_str("<ol id=\"list\">\n");
    let tide = entry::tide_over(contents.seasons)?;
    // The best of each light in turn, until there are enough.
    let lights = contents.seasons.len();
    let dealt = |light: usize, rank: usize| (rank - 1) * lights + light < contents.cards;
    for (column, bar) in bars {
        let entry = Entry {
            season: &contents.seasons[bar.light],
            bar,
            column,
            stand_off_m: calendar.columns[column].stand_off_m,
            tide: tide.as_ref(),
            with_card: dealt(bar.light, bar.rank),
        };
        entry::write(html, &entry)?;
    }
    html.push_str("</ol></section>\n");
    Ok(())
}
