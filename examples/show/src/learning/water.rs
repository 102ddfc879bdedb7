//! What the log teaches about the water, in words.

use wrackline_log::learning::water::{Says, WaterLesson};
use wrackline_plan::scenario::Scenario;

use super::text::{Weather, line};
use crate::limits::signed;

/// Which water coming tides are judged by, beside the prediction.
pub(super) fn beside(scenario: &Scenario, water: &WaterLesson) -> String {
    let expected = water.expected(scenario, 0.0);
    let who = match water.says() {
        Says::Log => "as in this log",
        Says::Scenario => "as the scenario has it",
    };
    format!(
        "{} beside the prediction, give or take {:.0} cm, {who}",
        cm(expected.level_m),
        expected.standard_deviation_m * 100.0
    )
}

fn cm(metres: f64) -> String {
    format!("{} cm", signed(metres * 100.0))
}

/// The water under its heading.
pub(super) fn water(
    text: &mut String,
    scenario: &Scenario,
    water: &WaterLesson,
    weather: Option<Weather>,
) {
    line(text, "\nWater: observed minus predicted");
    let Some(spread) = water.spread else {
        line(text, "  Too few visits with an observed level to tell.");
        return;
    };
    let tides = water.readings.len();
    line(
        text,
        &format!(
            "  {tides} levels: mean {}, standard deviation {:.0} cm.",
            cm(spread.mean_m),
            spread.standard_deviation_m * 100.0
        ),
    );
    if let Some(mean_m) = water.mean_beside_the_scenario_m(scenario) {
        let expected_m = scenario.water().expected_m;
        // Nobody is told to plan with lower water than they did.
        let advice = if mean_m > expected_m {
            format!(
                "plans and cut-offs go by that: if the readings hold, write bias_m = {mean_m:.2} \
                 there"
            )
        } else {
            "which is the careful side for plans and cut-offs".to_owned()
        };
        line(
            text,
            &format!("  The scenario expects {}; {advice}.", cm(expected_m)),
        );
    }
    let Some(fit) = water.fit else {
        line(
            text,
            "  Too few, or too much alike, to tell pressure and wind apart.",
        );
        return;
    };
    let term = |index: usize, scale: f64| {
        format!(
            "{:+.2} ± {:.2} cm",
            fit.coefficients[index] * scale * 100.0,
            fit.margin(index) * scale * 100.0
        )
    };
    line(
        text,
        &format!(
            "  Nine times in ten: per hectopascal {}; standard oceanography expects about -1 cm.",
            term(1, 1.0)
        ),
    );
    line(
        text,
        &format!(
            "  per m/s of southerly wind {}, of westerly wind {}; left over {:.0} cm.",
            term(2, 1.0),
            term(3, 1.0),
            fit.left_over_m * 100.0
        ),
    );
    if let Some(weather) = weather {
        let forecast = fit.forecast(weather.pressure_hpa, weather.wind);
        line(
            text,
            &format!(
                "  At {} hPa and {}: {}, nine times in ten between {} and {}.",
                weather.pressure_hpa,
                weather.wind,
                cm(forecast.residual_m),
                cm(forecast.residual_m - forecast.margin_m),
                cm(forecast.residual_m + forecast.margin_m)
            ),
        );
    }
}
