//! What a forecast means, in words: of the whole of it, and at a window.

use std::fmt::Write;

use crate::clock::Clock;
use crate::limits::level_up;
use wrackline_plan::scenario::Scenario;
use wrackline_plan::weather::{AtWindow, Reach};

/// What must be known of the forecast that a scenario is planned by, one line each; none without
/// one.
pub fn remarks(scenario: &Scenario) -> Vec<String> {
    let weather = scenario.weather().into_iter();
    let lines = weather.flat_map(|weather| {
        let source = weather.forecast().source();
        let remarks = weather.remarks(scenario).into_iter();
        remarks.map(move |remark| format!("forecast {source}: {remark}"))
    });
    lines.collect()
}

/// The cloud over a window, each with its hour.
pub(crate) fn cloud(at: &AtWindow, clock: &Clock) -> Option<String> {
    let told = at.cloud.iter().map(|cloud| {
        format!(
            "{} at {} ({} %)",
            cloud.cloud.name(),
            clock.near(cloud.at),
            cloud.percent
        )
    });
    let mut line = told.collect::<Vec<_>>().join(", ");
    match at.as_wanted {
        _ if line.is_empty() => return None,
        Some(true) => line.push_str(": as this light asks"),
        Some(false) => line.push_str(": NOT WHAT THIS LIGHT ASKS"),
        None => {}
    }
    Some(line)
}

/// Age, water and cloud in one line.
pub(crate) fn in_a_line(scenario: &Scenario, at: &AtWindow, clock: &Clock) -> String {
    let mut line = format!("forecast {}", at.age());
    if scenario.tide().is_some() {
        let _ = write!(line, "; {}", water(at));
    }
    if let Some(cloud) = cloud(at, clock) {
        let _ = write!(line, "; {cloud}");
    }
    line
}

/// By how much the water is shifted, and for which part of the outing nobody knows.
fn water(at: &AtWindow) -> String {
    let shifted = match (at.upper_more_m > 0.0, at.lower_less_m > 0.0) {
        (false, false) => "the water within the scenario's own allowances".to_owned(),
        (true, false) => format!("upper water up to {} m higher", level_up(at.upper_more_m)),
        (false, true) => format!("lower water up to {} m lower", level_up(at.lower_less_m)),
        (true, true) => format!(
            "upper water up to {} m higher, lower up to {} m lower",
            level_up(at.upper_more_m),
            level_up(at.lower_less_m)
        ),
    };
    match at.water {
        Reach::Whole => shifted,
        Reach::Part => format!(
            "{shifted}; for PART OF THIS OUTING there is no forecast, and the scenario's own \
             allowances hold"
        ),
        Reach::Nothing => {
            "no forecast for this time: the scenario's own allowances hold".to_owned()
        }
    }
}
