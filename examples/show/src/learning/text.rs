//! The lessons in words and columns.

use std::fmt::Write as _;

use jiff::tz::TimeZone;

use super::water::{beside, water};
use crate::columns::Columns;
use wrackline_log::Wind;
use wrackline_log::learning::Chance;
use wrackline_log::learning::bracket::Bracket;
use wrackline_log::learning::lessons::{Lesson, Lessons};
use wrackline_log::learning::tides_to_try::TideToTry;
use wrackline_plan::scenario::Scenario;

/// A weather for which the residual is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weather {
    /// Air pressure at sea level, hectopascals.
    pub pressure_hpa: f64,
    /// Wind.
    pub wind: Wind,
}

/// What the next visit is to be, as far as the lessons can speak to it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Plan {
    /// Its weather.
    pub weather: Option<Weather>,
    /// The distance to the animals, metres.
    pub distance_m: Option<f64>,
}

/// Writes the lessons.
pub fn lessons(scenario: &Scenario, lessons: &Lessons<'_>, plan: Plan) -> String {
    let mut text = String::new();
    let days = lessons
        .days
        .map(|(first, last)| format!(", {first} to {last}"))
        .unwrap_or_default();
    let entries = if lessons.entries == 1 {
        "entry teaches"
    } else {
        "entries teach"
    };
    line(
        &mut text,
        &format!(
            "{}: what {} {entries}{days}",
            scenario.title(),
            lessons.entries
        ),
    );
    line(
        &mut text,
        "Ranges hold the true chance nine times in ten. Visits called off count nowhere.",
    );
    if lessons.elsewhere > 0 {
        line(
            &mut text,
            &format!(
                "{} of them are of places or subjects that the scenario does not have: is it the \
                 right one?",
                lessons.elsewhere
            ),
        );
    }
    if lessons.places.is_empty() {
        line(&mut text, "\nNo visit yet to the places asked for.");
    }
    for lesson in &lessons.places {
        let how = beside(scenario, &lessons.water);
        place(&mut text, lesson, scenario.zone(), &how, plan.distance_m);
    }
    water(&mut text, scenario, &lessons.water, plan.weather);
    for rest in &lessons.rests {
        let flushes: Vec<String> = rest
            .flushes
            .iter()
            .map(|(id, times)| format!("{id} ({times})"))
            .collect();
        line(
            &mut text,
            &format!(
                "\nPut to flight twice in a winter at {}: {}. Leave the place in peace until {}.",
                rest.place,
                flushes.join(", "),
                rest.until
            ),
        );
    }
    text
}

/// One place, without its heading.
pub(super) fn of_place(
    scenario: &Scenario,
    lessons: &Lessons<'_>,
    lesson: &Lesson<'_>,
    plan: Plan,
) -> String {
    let mut text = String::new();
    let how = beside(scenario, &lessons.water);
    place(&mut text, lesson, scenario.zone(), &how, plan.distance_m);
    // The first two lines are a blank and the heading.
    text.lines().skip(2).fold(String::new(), |mut rest, said| {
        line(&mut rest, said);
        rest
    })
}

/// The water, without its heading.
pub(super) fn of_water(scenario: &Scenario, lessons: &Lessons<'_>, plan: Plan) -> String {
    let mut text = String::new();
    water(&mut text, scenario, &lessons.water, plan.weather);
    text
}

pub(super) fn line(text: &mut String, what: &str) {
    text.push_str(what);
    text.push('\n');
}

fn cells(chance: &Chance) -> [String; 4] {
    if chance.visits == 0 {
        return [
            "0".to_owned(),
            "-".to_owned(),
            "-".to_owned(),
            "no visit yet".to_owned(),
        ];
    }
    let few = if chance.tells() {
        ""
    } else {
        "too few visits to tell"
    };
    [
        format!("{} of {}", chance.hits, chance.visits),
        format!("{:.0} %", chance.mean() * 100.0),
        chance.interval().to_string(),
        few.to_owned(),
    ]
}

fn place(
    text: &mut String,
    lesson: &Lesson<'_>,
    zone: &TimeZone,
    beside: &str,
    planned_m: Option<f64>,
) {
    let Lesson { place, subject, .. } = lesson;
    line(text, &format!("\n{}, {}", place.name, subject.name));
    let mut columns = Columns::headed(["  chance", "seen", "mean", "range", ""]);
    let mut row = |name: &str, chance: &Chance| {
        columns.push([format!("  {name}")].into_iter().chain(cells(chance)));
    };
    match (place.push_m, place.overtop_m) {
        (Some(push), Some(overtop)) => {
            row(
                &format!("in range, water {push:.2}-{overtop:.2} m"),
                &lesson.inside,
            );
            row("in range, other water", &lesson.outside);
        }
        (Some(push), None) => {
            row(&format!("in range, water from {push:.2} m"), &lesson.inside);
            row("in range, other water", &lesson.outside);
        }
        _ => row("in range", &lesson.inside),
    }
    for (rung, chance) in lesson
        .ladder
        .reached
        .iter()
        .filter(|(rung, _)| *rung != wrackline_log::Outcome::InRange)
    {
        row(rung_name(*rung), chance);
    }
    let _ = write!(text, "{columns}");
    if lesson.unknown > 0 {
        line(
            text,
            &format!(
                "  {} more with the day alone: their water is not known, they are left out.",
                lesson.unknown
            ),
        );
    }
    if let Some((mean, interval)) = lesson.pooled {
        let note = "together with the subject's other places";
        line(
            text,
            &format!("  In range, {note}: {:.0} % ({}).", mean * 100.0, interval),
        );
    }
    if !lesson.conditions.is_empty() {
        let mut columns =
            Columns::headed(["  on visits with", "in range", "range", "select", "range"]);
        for (name, in_range, select) in &lesson.conditions {
            columns.push([
                format!("  {name}"),
                format!("{} of {}", in_range.hits, in_range.visits),
                in_range.interval().to_string(),
                format!("{} of {}", select.hits, select.visits),
                select.interval().to_string(),
            ]);
        }
        let _ = write!(text, "{columns}");
    }
    levels(text, lesson, zone, beside);
    let blanks = lesson.blanks;
    if let Some(still) = blanks.still_used {
        let needed = blanks
            .needed
            .map(|n| format!("; {n} in a row would be needed to give it up"))
            .unwrap_or_default();
        let visits = if blanks.in_a_row == 1 {
            "the last visit"
        } else {
            "the last visits"
        };
        line(
            text,
            &format!(
                "  Absent on {visits} ({} in a row): still used with {:.0} %{needed}.",
                blanks.in_a_row,
                still * 100.0
            ),
        );
    }
    distances(text, lesson, planned_m);
}

fn distances(text: &mut String, lesson: &Lesson<'_>, planned_m: Option<f64>) {
    if !lesson.alarms_from_nowhere.is_empty() {
        line(
            text,
            &format!(
                "  Alarmed at a distance that nobody noted: {}; put it in with `fieldlog amend`.",
                lesson.alarms_from_nowhere.join(", ")
            ),
        );
    }
    let Some(alarm) = &lesson.alarm else { return };
    let kept: Vec<String> = lesson
        .larger
        .iter()
        .zip(["on foot", "from a hide"])
        .filter_map(|(larger, how)| Some(format!("keep {} m {how}", larger.as_ref()?.stand_off_m)))
        .collect();
    let kept = if kept.is_empty() {
        let subject = lesson.subject;
        format!(
            "the scenario's {} m on foot and {} m from a hide hold",
            subject.stand_off_on_foot_m, subject.stand_off_from_hide_m
        )
    } else {
        kept.join(", ")
    };
    line(
        text,
        &format!(
            "  Alarmed at {} m ({}): {kept}.",
            metres(alarm.distance_m),
            alarm.source()
        ),
    );
    let asks = |planned_m: f64| {
        let mut larger = lesson.larger.iter().flatten();
        larger.any(|larger| larger.asks_for_more_than(planned_m))
    };
    match planned_m {
        Some(planned_m) if planned_m <= alarm.distance_m => line(
            text,
            &format!(
                "  Planned {} m is inside what alarmed them: stay farther away.",
                metres(planned_m)
            ),
        ),
        Some(planned_m) if asks(planned_m) => line(
            text,
            &format!(
                "  Planned {} m is nearer than that: stay farther away.",
                metres(planned_m)
            ),
        ),
        _ => {}
    }
}

fn rung_name(rung: wrackline_log::Outcome) -> &'static str {
    use wrackline_log::Outcome;
    match rung {
        Outcome::OutOfRange => "there at all",
        Outcome::InRange => "in range",
        Outcome::Picture => "a picture",
        Outcome::Select => "a select",
        Outcome::CalledOff | Outcome::Absent => "visited",
    }
}

fn levels(text: &mut String, lesson: &Lesson<'_>, zone: &TimeZone, beside: &str) {
    let levels = &lesson.levels;
    for ((bracket, what), tides) in [(&levels.push, "Pushed"), (&levels.overtop, "Drowned")]
        .iter()
        .zip(&lesson.tides)
    {
        if let Some(said) = between(bracket, what) {
            line(text, &said);
            if !tides.is_empty() {
                line(
                    text,
                    &format!(
                        "    would tell most ({beside}): {}",
                        tides
                            .iter()
                            .map(|tide| tide_words(tide, zone))
                            .collect::<Vec<_>>()
                            .join("; ")
                    ),
                );
            }
        }
    }
    if !levels.set_aside.is_empty() {
        line(
            text,
            &format!(
                "  Set aside, other people were about: {}.",
                levels.set_aside.join(", ")
            ),
        );
    }
    if !levels.unexplained.is_empty() {
        let ids: Vec<&str> = levels
            .unexplained
            .iter()
            .map(|seen| seen.id.as_str())
            .collect();
        line(
            text,
            &format!(
                "  Blank at a level at which they came on other days: {}.",
                ids.join(", ")
            ),
        );
    }
}

fn between(bracket: &Bracket, what: &str) -> Option<String> {
    match (&bracket.above, &bracket.below) {
        (Some(above), Some(below)) => Some(format!(
            "  {what} between {:.2} m ({}) and {:.2} m ({}); a high water near {:.1} m would \
             narrow it most.",
            above.level_m,
            above.id,
            below.level_m,
            below.id,
            f64::midpoint(above.level_m, below.level_m)
        )),
        (Some(above), None) => Some(format!(
            "  {what} at more than {:.2} m ({}).",
            above.level_m, above.id
        )),
        (None, Some(below)) => Some(format!(
            "  {what} at {:.2} m ({}) or less.",
            below.level_m, below.id
        )),
        (None, None) => None,
    }
}

pub(super) fn tide_words(tide: &TideToTry, zone: &TimeZone) -> String {
    let at = tide.at.to_zoned_datetime(zone.clone());
    format!(
        "{} {:.2} m (leaves {:.2} m)",
        at.strftime("%Y-%m-%d %H:%M"),
        tide.expected_m,
        tide.left_m
    )
}

/// A distance to the decimetre: nobody paces it out more finely.
fn metres(distance_m: f64) -> f64 {
    (distance_m * 10.0).round() / 10.0
}
