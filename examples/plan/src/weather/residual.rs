//! How far the water of one coast stands from its prediction under a pressure and a wind.

use super::forecast::WindVector;
use crate::scenario::Water;

/// What explains a residual: a constant, pressure, wind to the north, wind to the east.
pub const TERMS: usize = 4;

/// What a log has taught about the water's answer to the weather. Every figure in it is a number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taught(LinearFit);

/// A linear fit of residuals to pressure and wind, with its errors.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinearFit {
    /// Constant (m), slope with pressure (m/hPa), and with wind blowing towards the north and the
    /// east (m per m/s).
    pub coefficients: [f64; TERMS],
    /// Their covariance.
    pub covariance: [[f64; TERMS]; TERMS],
    /// Standard deviation of what they leave unexplained, metres.
    pub left_over_m: f64,
    /// Half the width, in standard errors, of the interval that holds a new residual nine times in
    /// ten.
    pub widths: f64,
    /// Pressure to which the constant refers, hectopascals.
    pub reference_hpa: f64,
    /// The strongest wind that it was learned from, metres a second.
    pub strongest_mps: f64,
    /// The tides that it was learned from.
    pub tides: usize,
}

/// A residual to be expected, and how far the water may stand from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Residual {
    /// Observed minus predicted, metres.
    pub mean_m: f64,
    /// Standard deviation around that.
    pub standard_deviation_m: f64,
    /// What to add to the mean for the upper water.
    pub upper_m: f64,
    /// What to take from it for the lower water.
    pub lower_m: f64,
}

impl Residual {
    /// What a pressure alone makes of a scenario's water: the inverse barometer in place of the
    /// scenario's own pressure, with the scenario's allowances.
    pub(super) fn by_pressure(water: &Water, pressure_hpa: f64) -> Self {
        let by_pressure =
            (pressure_hpa - water.reference_pressure_hpa) * water.inverse_barometer_m_per_hpa;
        Self {
            mean_m: water.expected_m - water.by_pressure_m + by_pressure,
            standard_deviation_m: water.standard_deviation_m,
            upper_m: water.upper_allowance_m,
            lower_m: water.lower_allowance_m,
        }
    }
}

impl Taught {
    /// From a fit; `None` where a figure of it is no number, or an error is below zero.
    pub fn new(fit: LinearFit) -> Option<Self> {
        let errors = [fit.left_over_m, fit.widths, fit.strongest_mps];
        let numbers = fit
            .coefficients
            .iter()
            .chain(fit.covariance.iter().flatten());
        let numbers = numbers.chain(&errors).chain([&fit.reference_hpa]);
        let sound =
            numbers.copied().all(f64::is_finite) && errors.iter().all(|error| *error >= 0.0);
        sound.then_some(Self(fit))
    }

    /// The fit.
    pub fn fit(&self) -> &LinearFit {
        &self.0
    }

    /// The residual under a pressure and a wind, by the fit as it stands.
    pub fn residual(&self, pressure_hpa: f64, wind: WindVector) -> Residual {
        let x = [
            1.0,
            pressure_hpa - self.0.reference_hpa,
            wind.north_mps,
            wind.east_mps,
        ];
        let of_the_mean = dot(self.0.covariance.map(|row| dot(row, x)), x).max(0.0);
        let error_m = (of_the_mean + self.0.left_over_m.powi(2)).sqrt();
        Residual {
            mean_m: dot(self.0.coefficients, x),
            standard_deviation_m: error_m,
            upper_m: self.0.widths * error_m,
            lower_m: self.0.widths * error_m,
        }
    }

    /// The same, and beside it what a wind stronger than any that was learned from may do. The pull
    /// of the wind on the water grows with the square of its speed (standard oceanography), so a
    /// line through lighter winds says too little of a gale: there its part is taken once more in
    /// proportion to the speed.
    pub(super) fn residuals(&self, pressure_hpa: f64, wind: WindVector) -> [Residual; 2] {
        let linear = self.residual(pressure_hpa, wind);
        let beyond = wind.speed_mps() / self.0.strongest_mps.max(1.0);
        if beyond <= 1.0 {
            return [linear; 2];
        }
        [linear, self.residual(pressure_hpa, wind.times(beyond))]
    }
}

fn dot(a: [f64; TERMS], b: [f64; TERMS]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    const TAUGHT: Taught = Taught(LinearFit {
        coefficients: [0.05, -0.01, 0.0, 0.02],
        covariance: [[0.0; TERMS]; TERMS],
        left_over_m: 0.1,
        widths: 2.0,
        reference_hpa: 1013.0,
        strongest_mps: 10.0,
        tides: 12,
    });

    /// By hand: 0.05 + 13 hPa too little at 1 cm + 8 m/s at 2 cm.
    #[test]
    fn a_fit_is_evaluated() {
        let found = TAUGHT.residual(1000.0, WindVector::from(8.0, 270.0));
        assert!((found.mean_m - 0.34).abs() < 1e-12);
        assert!((found.upper_m - 0.2).abs() < 1e-12);
    }

    /// Twice the strongest wind learned from: 20 m/s count as 40.
    #[test]
    fn a_gale_beyond_what_was_learned_counts_by_its_square() {
        let gale = WindVector::from(20.0, 270.0);
        let [linear, squared] = TAUGHT.residuals(1013.0, gale);
        assert!((linear.mean_m - 0.45).abs() < 1e-12);
        assert!((squared.mean_m - 0.85).abs() < 1e-12);
    }

    #[test]
    fn what_is_no_number_teaches_nothing() {
        let fit = LinearFit {
            left_over_m: f64::NAN,
            ..*TAUGHT.fit()
        };
        assert_eq!(Taught::new(fit), None);
        assert_eq!(Taught::new(*TAUGHT.fit()), Some(TAUGHT));
    }
}
