use jiff::civil::Date;
use wrackline_plan::scenario::Scenario;
use wrackline_plan::season::{Request, Season, season};
use wrackline_show::card::{Ask, Paper, card, page};
use wrackline_show::report::{Format, Options, Style, write};

use crate::support::{ask, words as words_of};
pub(crate) use crate::support::{demo, demo_with, leaving};

/// What is asked for: a day, a seat, an animal and a light.
#[derive(Clone, Copy)]
pub(crate) struct Wanted<'w> {
    pub(crate) day: Date,
    pub(crate) seat: &'w str,
    pub(crate) place: &'w str,
    pub(crate) subject: &'w str,
    pub(crate) light: &'w str,
}

/// The season of one day at one place.
pub(crate) fn one_day<'s>(scenario: &'s Scenario, wanted: Wanted<'_>) -> Season<'s> {
    let request = Request {
        place: Some(wanted.place),
        subject: Some(wanted.subject),
        light: Some(wanted.light),
        ..Request::new(wanted.day, 1)
    };
    let mut season = season(scenario, request).unwrap();
    season
        .outings
        .retain(|outing| outing.seat.id == wanted.seat);
    assert!(!season.outings.is_empty(), "no window to look at");
    season
}

pub(crate) fn written(season: &Season<'_>, format: Format) -> String {
    let mut out = Vec::new();
    // Wide enough for everything in one row.
    let style = Style {
        width: 400,
        ..Style::default()
    };
    let options = Options {
        style,
        ..Options::default()
    };
    write(season, format, options, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// A cell of the first row of a CSV.
pub(crate) fn cell(csv: &str, name: &str) -> String {
    let mut reader = csv_core(csv);
    let at = reader[0].iter().position(|head| head == name);
    reader
        .remove(1)
        .remove(at.unwrap_or_else(|| panic!("no column {name}")))
}

/// Rows of a CSV whose cells hold no line ends.
fn csv_core(csv: &str) -> Vec<Vec<String>> {
    csv.lines()
        .map(|line| {
            let (mut cells, mut quoted) = (vec![String::new()], false);
            for c in line.chars() {
                match c {
                    '"' => quoted = !quoted,
                    ',' if !quoted => cells.push(String::new()),
                    c => cells.last_mut().unwrap().push(c),
                }
            }
            cells
        })
        .collect()
}

/// The text of a calendar, its lines unfolded and its escapes undone.
pub(crate) fn calendar(season: &Season<'_>) -> String {
    let text = written(season, Format::ICalendar);
    let text = text.replace("\r\n ", "").replace("\\n", "\n");
    text.replace("\\,", ",").replace("\\;", ";")
}

/// The card of it, tags and style left out.
pub(crate) fn card_words(scenario: &Scenario, wanted: Wanted<'_>) -> String {
    let ask = Ask {
        subject: Some(wanted.subject),
        light: Some(wanted.light),
        ..ask(wanted.day, wanted.seat)
    };
    words_of(&page(&card(scenario, ask).unwrap(), Paper::A4))
}

/// Every output that is words.
pub(crate) fn words(scenario: &Scenario, wanted: Wanted<'_>) -> [(&'static str, String); 3] {
    let season = one_day(scenario, wanted);
    [
        ("text", written(&season, Format::Text)),
        ("calendar", calendar(&season)),
        ("card", card_words(scenario, wanted)),
    ]
}
