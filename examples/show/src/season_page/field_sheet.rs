//! A form for what was seen: its fields are those of the log, so that what is saved goes into the
//! log unchanged.

use std::fmt::Write;

use crate::markup::escape;
use wrackline_log::{FIELDS, Outcome, Sky};
use wrackline_plan::scenario::Scenario;

/// Signs of unease [T] in words that hold for any animal; a sheet may be filled in for any of them.
const SIGNS: [&str; 5] = [
    "feeding or asleep",
    "heads up",
    "calling, bunching, walking off",
    "wings up, or ready to run",
    "flight, or running off",
];

/// How a field is filled in.
enum Input {
    /// Chosen from words, each with what a person reads.
    Choice(Vec<Word>),
    /// A number with its least, its most and its step.
    Number(&'static str, &'static str, &'static str),
    When,
    Text,
    Lines,
    /// Made by the page.
    Hidden,
}

/// One of a closed list: what goes into the file, what a person reads, and of a seat the place that
/// it is at.
struct Word {
    word: String,
    read: String,
    place: Option<String>,
}

impl Word {
    fn new(word: &str, read: impl Into<String>) -> Self {
        Self {
            word: word.to_owned(),
            read: read.into(),
            place: None,
        }
    }
}

/// The bounds are those that the log's own reader holds a field to; a test sends every extreme
/// through it.
fn input(name: &str, scenario: &Scenario) -> Input {
    match name {
        "when" => Input::When,
        "place" => {
            let places = scenario.places().iter();
            Input::Choice(places.map(|p| Word::new(&p.id, &p.name)).collect())
        }
        "seat" => Input::Choice(
            scenario
                .seats()
                .iter()
                .map(|seat| Word {
                    place: Some(scenario.place_of(seat).id.clone()),
                    ..Word::new(&seat.id, format!("{} {}", seat.id, seat.name))
                })
                .collect(),
        ),
        "subject" => {
            let subjects = scenario.subjects().iter();
            Input::Choice(subjects.map(|s| Word::new(&s.id, &s.name)).collect())
        }
        "outcome" => {
            let rungs = Outcome::ALL.iter();
            Input::Choice(
                rungs
                    .map(|rung| Word::new(rung.word(), rung.to_string()))
                    .collect(),
            )
        }
        "sky" => {
            let skies = Sky::ALL.iter();
            Input::Choice(skies.map(|(_, word)| Word::new(word, *word)).collect())
        }
        "unease" => {
            let signs = SIGNS.iter().enumerate();
            Input::Choice(
                signs
                    .map(|(sign, what)| Word::new(&sign.to_string(), format!("{sign} {what}")))
                    .collect(),
            )
        }
        "count" => Input::Number("0", "10000000", "1"),
        "minutes" => Input::Number("0", "2880", "1"),
        "frozen_days" => Input::Number("0", "366", "1"),
        "people" => Input::Number("0", "100000", "1"),
        "flushes" => Input::Number("0", "1000", "1"),
        "pictures" | "selects" => Input::Number("0", "1000000", "1"),
        "distance_m" | "unease_distance_m" => Input::Number("0.1", "20000", "any"),
        "observed_level_m" => Input::Number("-20", "30", "any"),
        "pressure_hpa" => Input::Number("850", "1100", "any"),
        "air_c" => Input::Number("-70", "60", "any"),
        "notes" => Input::Lines,
        "id" => Input::Hidden,
        _ => Input::Text,
    }
}

/// What a person is asked; a closed list of words needs none of the words in its question.
fn question(ask: &str) -> &str {
    ask.split(" (").next().unwrap_or(ask)
}

/// Appends the form. Without a script there is nothing that could keep what is filled in: it then
/// stays hidden.
pub(super) fn write(html: &mut String, scenario: &Scenario) {
    let _ = write!(
        html,
        "<section id=\"sheet\" hidden=\"\"><h2>After the visit</h2><p class=\"soft\">Kept on this \
         device until you take it out; sent nowhere. Save the file and give it to <code>fieldlog \
         import</code>. Times in {}.</p><form id=\"visit\" autocomplete=\"off\" novalidate=\"\">",
        escape(scenario.zone_name())
    );
    for field in FIELDS {
        let (name, required) = (
            field.name,
            if field.required { " required=\"\"" } else { "" },
        );
        let label = |words: &str| {
            let star = if field.required { " (needed)" } else { "" };
            format!("<label for=\"f-{name}\">{}{star}</label>", escape(words))
        };
        let attributes = format!("id=\"f-{name}\" name=\"{name}\"{required}");
        match input(name, scenario) {
            Input::Hidden => continue,
            Input::When => {
                let label = label("when");
                let _ = write!(
                    html,
                    "<p>{label}<input type=\"datetime-local\" {attributes}/></p>"
                );
            }
            Input::Choice(words) => {
                let label = label(question(field.ask));
                let _ = write!(
                    html,
                    "<p>{label}<select {attributes}><option value=\"\"></option>"
                );
                for Word { word, read, place } in words {
                    let place = place.map_or(String::new(), |id| {
                        format!(" data-place=\"{}\"", escape(&id))
                    });
                    let _ = write!(
                        html,
                        "<option value=\"{}\"{place}>{}</option>",
                        escape(&word),
                        escape(&read)
                    );
                }
                html.push_str("</select></p>");
            }
            Input::Number(least, most, step) => {
                let label = label(field.ask);
                let keys = if step == "1" { "numeric" } else { "decimal" };
                let _ = write!(
                    html,
                    "<p>{label}<input type=\"number\" inputmode=\"{keys}\" min=\"{least}\" \
                     max=\"{most}\" step=\"{step}\" {attributes}/></p>"
                );
            }
            Input::Text => {
                let label = label(field.ask);
                let _ = write!(html, "<p>{label}<input type=\"text\" {attributes}/></p>");
            }
            Input::Lines => {
                let label = label(field.ask);
                let _ = write!(
                    html,
                    "<p class=\"wide\">{label}<textarea rows=\"3\" {attributes}></textarea></p>"
                );
            }
        }
    }
    html.push_str(
        "<p class=\"wide\" id=\"wrong\" role=\"alert\"></p><p class=\"wide\"><button \
        type=\"submit\">Keep this visit</button> <button type=\"button\" id=\"save\">Save all \
        visits as a file</button> <button type=\"button\" id=\"share\" hidden=\"\">Share the \
        file</button></p></form><ol id=\"visits\"></ol><p id=\"kept\" \
        role=\"status\"></p></section>\n",
    );
}
