//! How far the water may stand from its prediction.

use super::bounds::Bound;
use super::reader::Table;

/// How far the water may stand from its prediction, in metres. The two allowances serve different
/// questions and are never merged: the upper one asks whether you can be cut off, the lower one
/// whether the animals are pushed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Water {
    /// Expected difference, observed minus predicted, from bias, pressure and the user's own surge
    /// figure.
    pub expected_m: f64,
    /// Standard deviation around that.
    pub standard_deviation_m: f64,
    /// Added to the expected level where being cut off is in question.
    pub upper_allowance_m: f64,
    /// Taken from the expected level where a picture is in question.
    pub lower_allowance_m: f64,
    /// The part of the expected difference that the scenario's own pressure makes: a forecast's
    /// takes its place.
    pub by_pressure_m: f64,
    /// Pressure at which it makes none, hectopascals.
    pub reference_pressure_hpa: f64,
    /// Metres for each hectopascal over that.
    pub inverse_barometer_m_per_hpa: f64,
}

impl Water {
    /// What to add to a prediction for the upper water.
    pub fn upper_m(&self) -> f64 {
        self.expected_m + self.upper_allowance_m
    }
    /// What to add to a prediction for the lower water.
    pub fn lower_m(&self) -> f64 {
        self.expected_m - self.lower_allowance_m
    }
}

/// Without a [water] table: our default allowances, 0.30 m either way around the prediction.
pub(super) const NO_RESIDUAL_GIVEN: Water = Water {
    expected_m: 0.0,
    standard_deviation_m: 0.15,
    upper_allowance_m: 0.30,
    lower_allowance_m: 0.30,
    by_pressure_m: 0.0,
    reference_pressure_hpa: 1013.0,
    inverse_barometer_m_per_hpa: -0.01,
};

/// From a little under the lowest pressure at sea level on record to a little over the highest, 870
/// and 1084 hPa (World Meteorological Organization, archive of extremes, from memory).
const PRESSURE_HPA: Bound = Bound::Within(870.0, 1090.0);

pub(super) fn read(table: Table<'_, '_>) -> Water {
    let small = Bound::Within(-5.0, 5.0);
    let allowance = Bound::Within(0.0, 5.0);
    let default = NO_RESIDUAL_GIVEN;
    let reference = table.number_or(
        "reference_pressure_hpa",
        PRESSURE_HPA,
        default.reference_pressure_hpa,
    );
    let per_hpa = table.number_or(
        "inverse_barometer_m_per_hpa",
        Bound::Within(-0.05, 0.0),
        default.inverse_barometer_m_per_hpa,
    );
    let pressure = table
        .optional_number("pressure_hpa", PRESSURE_HPA)
        .map_or(0.0, |pressure| (pressure - reference) * per_hpa);
    let water = Water {
        by_pressure_m: pressure,
        reference_pressure_hpa: reference,
        inverse_barometer_m_per_hpa: per_hpa,
        expected_m: table.number_or("bias_m", small, 0.0)
            + table.number_or("surge_m", small, 0.0)
            + pressure,
        standard_deviation_m: table.number_or(
            "standard_deviation_m",
            allowance,
            default.standard_deviation_m,
        ),
        upper_allowance_m: table.number_or(
            "upper_allowance_m",
            allowance,
            default.upper_allowance_m,
        ),
        lower_allowance_m: table.number_or(
            "lower_allowance_m",
            allowance,
            default.lower_allowance_m,
        ),
    };
    let _ = table.optional_text("note");
    table.finish();
    water
}
