//! High and low waters of a day, and the water between them.

use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};
use serde::Serialize;
use wrackline_plan::cautions;
use wrackline_plan::port::Shape;
use wrackline_plan::scenario::Scenario;
use wrackline_plan::season::civil_span;
use wrackline_tides::TurnKind;

use crate::answer::Failure;

/// Minutes between the points of the curve.
const STEP_MINUTES: i64 = 15;

/// A day at the scenario's port.
#[derive(Debug, Serialize)]
pub(crate) struct OfDay {
    port: String,
    datum: String,
    zone: String,
    turns: Vec<Water>,
    step_minutes: i64,
    /// Predicted, metres, from the first instant of the day to the first of the next; null where the
    /// water is not known.
    heights_m: Vec<Option<f64>>,
    /// The upper water at the same instants.
    upper_m: Vec<Option<f64>>,
    warnings: Vec<String>,
    cautions: [&'static str; 1],
}

#[derive(Debug, Serialize)]
struct Water {
    clock: String,
    /// Minutes since the day began.
    minute: f64,
    high: bool,
    height_m: f64,
    upper_m: Option<f64>,
}

pub(crate) fn of_day(scenario: &Scenario, day: Date) -> Result<OfDay, Failure> {
    let tide = scenario
        .tide()
        .ok_or_else(|| Failure::trouble("the scenario has no [port], so it has no tide"))?;
    let span = civil_span(scenario, day, day).map_err(Failure::trouble)?;
    // The last point is the first instant of the next day.
    let reach = span.start..span.end + SignedDuration::from_secs(1);
    let curve = tide.curve(reach).map_err(Failure::trouble)?;
    let minute = |at: Timestamp| at.duration_since(span.start).as_secs_f64() / 60.0;
    // As high as people are kept from it: the curve's own error and the upper allowance over it.
    let upper_m = |at: Timestamp| {
        let highest = curve.height_of_m(at, Shape::Highest).ok()?;
        Some(highest + scenario.water().upper_m())
    };
    let turns = curve.turns().iter().filter(|turn| span.contains(&turn.at));
    let turns = turns.map(|turn| Water {
        clock: to_minute(turn.at)
            .to_zoned_datetime(scenario.zone().clone())
            .strftime("%H:%M")
            .to_string(),
        minute: minute(turn.at),
        high: turn.kind == TurnKind::HighWater,
        height_m: turn.height_m,
        upper_m: upper_m(turn.at),
    });
    let steps = (0..).map(|n| span.start + SignedDuration::from_mins(n * STEP_MINUTES));
    let steps: Vec<Timestamp> = steps.take_while(|at| *at <= span.end).collect();
    Ok(OfDay {
        port: tide.name.clone(),
        datum: tide.datum.clone(),
        zone: scenario.zone_name().to_owned(),
        turns: turns.collect(),
        step_minutes: STEP_MINUTES,
        heights_m: steps.iter().map(|at| curve.height_m(*at).ok()).collect(),
        upper_m: steps.iter().map(|at| upper_m(*at)).collect(),
        warnings: tide.to_be_told().into_iter().collect(),
        cautions: [cautions::WATER],
    })
}

/// To the nearest minute, as tables are printed.
fn to_minute(at: Timestamp) -> Timestamp {
    Timestamp::from_second((at.as_second() + 30).div_euclid(60) * 60).unwrap_or(at)
}
