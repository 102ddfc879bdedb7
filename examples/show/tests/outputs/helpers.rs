use jiff::civil::Date;
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
use wrackline_plan::season::{Request, Season, season};
use wrackline_plan::windows::Phase;
use wrackline_show::card::{Ask, Paper, card, page};
use wrackline_show::report::{Format, Options, Style, write};

pub(crate) fn demo() -> Scenario {
    Scenario::parse(DEMO_NAME, DEMO).unwrap()
}

/// The demo with pieces of text replaced; every piece must be there.
pub(crate) fn demo_with(changes: &[(&str, &str)]) -> Scenario {
    let mut text = DEMO.to_owned();
    for (old, new) in changes {
        assert!(text.contains(old), "the demo no longer has: {old}");
        text = text.replacen(old, new, 1);
    }
    Scenario::parse("test.toml", &text).unwrap()
}

/// Seat C with animals that come up early and a way that is lost late, so that there is time between the two.
pub(crate) fn leaving() -> Scenario {
    demo_with(&[
        ("low_point_m = 7.45", "low_point_m = 8.0"),
        ("level_m = 6.95", "level_m = 7.6"),
        ("loaded_dark_minutes = 25", "loaded_dark_minutes = 5"),
        ("margin_minutes = 40", "margin_minutes = 10"),
        ("push_m = 7.2", "push_m = 3.5"),
        (
            "[\"longbill-marshpiper\", \"slate-knotling\"]",
            "[\"slate-knotling\"]",
        ),
        ("altitude_deg = [6, 60]", "altitude_deg = [-12, 60]"),
    ])
}

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
        date: Some(wanted.day),
        today: wanted.day,
        seat: Some(wanted.seat),
        subject: Some(wanted.subject),
        light: Some(wanted.light),
        phase: Phase::Both,
        experience: None,
    };
    let page = page(&card(scenario, ask).unwrap(), Paper::A4);
    let body = &page[page.find("<body>").unwrap()..];
    let mut out = String::new();
    let mut inside = false;
    for c in body.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                out.push(' ');
            }
            c if !inside => out.push(c),
            _ => {}
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
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
