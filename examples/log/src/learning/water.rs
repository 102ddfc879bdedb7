//! What the log teaches about the water, and what it makes of a coming tide.

use wrackline_plan::scenario::Scenario;

use super::bracket::Expected;
use super::diary::{Fit, Line, Reading, Spread, readings};
use crate::Record;

/// What the log teaches about the water.
#[derive(Debug, Clone)]
pub struct WaterLesson {
    /// The tides of which the level was read.
    pub readings: Vec<Reading>,
    /// How far they stood from the prediction.
    pub spread: Option<Spread>,
    /// Against pressure and wind, where those were noted too.
    pub fit: Option<Fit>,
}

/// Who says how a coming tide will differ from its prediction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Says {
    /// The levels of the log.
    Log,
    /// The scenario, for want of levels.
    Scenario,
}

impl WaterLesson {
    /// Learns from the whole log.
    pub fn of(records: &[Record]) -> WaterLesson {
        let readings = readings(records);
        let lines: Vec<Line> = readings.iter().filter_map(Reading::line).collect();
        WaterLesson {
            spread: Spread::of(&readings),
            fit: Fit::of(&lines),
            readings,
        }
    }

    /// Who says what a coming tide will do.
    pub fn says(&self) -> Says {
        if self.spread.is_some() {
            Says::Log
        } else {
            Says::Scenario
        }
    }

    /// What a tide will do that is predicted to reach `predicted_m`. Levels were read against the
    /// bare prediction, so their mean takes the place of what the scenario expects, and is not
    /// counted on top of it.
    pub fn expected(&self, scenario: &Scenario, predicted_m: f64) -> Expected {
        let water = scenario.water();
        let (beside_m, standard_deviation_m) = self
            .spread
            .map_or((water.expected_m, water.standard_deviation_m), |spread| {
                (spread.mean_m, spread.standard_deviation_m)
            });
        Expected {
            level_m: predicted_m + beside_m,
            standard_deviation_m,
        }
    }

    /// The mean of the levels, where they tell it apart from what the scenario expects: every plan
    /// goes by the scenario.
    pub fn mean_beside_the_scenario_m(&self, scenario: &Scenario) -> Option<f64> {
        let spread = self.spread?;
        let apart_m = (spread.mean_m - scenario.water().expected_m).abs();
        (apart_m > spread.margin_m).then_some(spread.mean_m)
    }
}
