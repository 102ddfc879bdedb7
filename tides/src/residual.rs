//! Uncertain water: what weather adds to or takes from the predicted tide, as an upper and a lower
//! level.
//!
//! The two sides serve different questions and are never merged: the upper level asks whether one
//! can be cut off, the lower whether the water will come up far enough. The residual is normal with
//! a bias and a standard deviation from observation; air pressure enters as an inverse barometer,
//! 1/(ρ g) = 0.9948 cm of water for each hectopascal under the standard 1013.25 hPa (A. E. Gill,
//! *Atmosphere-Ocean Dynamics*, 1982, section 9.9); wind set-up and waves are the caller's to give.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::convention::{hours_after, hours_between};
use crate::error::{Error, in_range};
use crate::level::level;
use crate::predict::Predictor;

/// Rise of the water for each hectopascal of missing air pressure, metres.
pub const INVERSE_BAROMETER_M_PER_HPA: f64 = 0.009_948;
/// The standard pressure from which the inverse barometer counts, hectopascals.
pub const STANDARD_PRESSURE_HPA: f64 = 1_013.25;

/// What is known of the difference between the water and the prediction.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct ResidualSpec {
    /// Mean of observed less predicted, metres, -5 to 5.
    pub bias_m: f64,
    /// Standard deviation of observed less predicted about that, metres, 0 to 5.
    pub standard_deviation_m: f64,
    /// Expected air pressure at sea level, hectopascals, 850 to 1100; none: the standard.
    pub pressure_hpa: Option<f64>,
    /// Expected surge or wind set-up, metres, -10 to 10; 0 if not known.
    pub surge_m: f64,
    /// Added to the upper level only, for waves and swash: 0 to 10 m.
    pub upper_allowance_m: f64,
    /// Taken from the lower level only: 0 to 10 m.
    pub lower_allowance_m: f64,
    /// For how long the residual keeps its value, hours, 1 to 240: a day or two for weather.
    pub memory_h: f64,
}

/// A residual whose figures have been checked.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "ResidualSpec", into = "ResidualSpec")
)]
pub struct Residual(ResidualSpec);

/// What bounds of the water can be, metres.
const BOUND_M: [f64; 2] = [-100.0, 100.0];

/// How far the water may stand from the prediction, each side at its own one-sided confidence.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct WaterBounds {
    /// To be added to the prediction for the upper level, metres; negative if even the upper level
    /// stays under the prediction.
    pub upper_m: f64,
    /// To be added to the prediction for the lower level, metres; mostly negative.
    pub lower_m: f64,
}

impl From<Residual> for ResidualSpec {
    fn from(residual: Residual) -> Self {
        residual.0
    }
}

impl TryFrom<ResidualSpec> for Residual {
    type Error = Error;

    fn try_from(spec: ResidualSpec) -> Result<Self, Error> {
        Self::new(spec)
    }
}

impl Residual {
    /// Checks the figures.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] with the field, its value and its range.
    pub fn new(spec: ResidualSpec) -> Result<Self, Error> {
        let pressure = spec.pressure_hpa.unwrap_or(STANDARD_PRESSURE_HPA);
        for (what, value, range, unit) in [
            ("bias_m", spec.bias_m, [-5.0, 5.0], "m"),
            (
                "standard_deviation_m",
                spec.standard_deviation_m,
                [0.0, 5.0],
                "m",
            ),
            ("pressure_hpa", pressure, [850.0, 1_100.0], "hPa"),
            ("surge_m", spec.surge_m, [-10.0, 10.0], "m"),
            (
                "upper_allowance_m",
                spec.upper_allowance_m,
                [0.0, 10.0],
                "m",
            ),
            (
                "lower_allowance_m",
                spec.lower_allowance_m,
                [0.0, 10.0],
                "m",
            ),
            ("memory_h", spec.memory_h, [1.0, 240.0], "h"),
        ] {
            in_range(what, value, range, unit)?;
        }
        Ok(Self(spec))
    }

    /// The figures it was made from.
    #[must_use]
    pub fn spec(&self) -> ResidualSpec {
        self.0
    }

    /// The expected difference from the prediction: bias, surge and inverse barometer, metres.
    #[must_use]
    pub fn expected_m(&self) -> f64 {
        let missing = STANDARD_PRESSURE_HPA - self.0.pressure_hpa.unwrap_or(STANDARD_PRESSURE_HPA);
        self.0.bias_m + self.0.surge_m + INVERSE_BAROMETER_M_PER_HPA * missing
    }

    /// Upper and lower bound of the water against the prediction, each held with the given
    /// probability at any one instant.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] unless the confidence is from 0.5 to 0.9999.
    pub fn bounds(&self, confidence: f64) -> Result<WaterBounds, Error> {
        in_range("confidence", confidence, [0.5, 0.9999], "")?;
        let reach = normal_quantile(confidence) * self.0.standard_deviation_m;
        let expected = self.expected_m();
        Ok(WaterBounds {
            upper_m: expected + reach + self.0.upper_allowance_m,
            lower_m: expected - reach - self.0.lower_allowance_m,
        })
    }
}

impl Predictor {
    /// The stretches in which the water may stand above a level: the upper level does. For access
    /// and ground.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a level that [`Predictor::above`] refuses, or a bound beyond
    /// 100 m.
    pub fn possibly_above(
        &self,
        level_m: f64,
        bounds: WaterBounds,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        let upper_m = in_range("upper bound", bounds.upper_m, BOUND_M, "m")?;
        self.above(level_m - upper_m)
    }

    /// The stretches in which even the lower level stands above a level. For what needs the water
    /// to come.
    ///
    /// # Errors
    /// As [`Predictor::possibly_above`].
    pub fn surely_above(
        &self,
        level_m: f64,
        bounds: WaterBounds,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        let lower_m = in_range("lower bound", bounds.lower_m, BOUND_M, "m")?;
        self.above(level_m - lower_m)
    }

    /// Probability that the water passes a level at some instant of the prepared span.
    ///
    /// The residual is taken to keep its value for its memory and to be independent from one such
    /// stretch to the next; the upper allowance counts, the lower does not.
    ///
    /// ```
    /// # use wrackline_tides::{Convention, Harmonic, Port, PortSpec, Residual, ResidualSpec};
    /// # let m2 = Harmonic { name: "M2".into(), amplitude_m: 2.0, phase_lag_deg: 0.0 };
    /// # let convention = Convention::IhoInstant;
    /// # let port = Port::new(PortSpec { mean_level_m: 3.0, harmonics: &[m2], convention })?;
    /// let night = "2026-11-25T00:00:00Z".parse()?.."2026-11-26T00:00:00Z".parse()?;
    /// let residual = Residual::new(ResidualSpec {
    ///     bias_m: 0.0, standard_deviation_m: 0.2, pressure_hpa: Some(990.0), surge_m: 0.0,
    ///     upper_allowance_m: 0.0, lower_allowance_m: 0.0, memory_h: 24.0,
    /// })?;
    /// let flooded = port.predictor(night)?.probability_above(5.2, &residual)?;
    /// assert!(flooded > 0.4 && flooded < 0.9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a level that [`Predictor::above`] refuses.
    pub fn probability_above(&self, level_m: f64, residual: &Residual) -> Result<f64, Error> {
        let level_m = level(level_m)?;
        let span = self.span();
        let turns = self.turns();
        let missing = level_m - residual.expected_m() - residual.0.upper_allowance_m;
        let deviation = residual.0.standard_deviation_m;
        let pieces = libm::ceil(hours_between(span.start, span.end) / residual.0.memory_h) as u32;
        let mut stays_under = 1.0;
        for piece in 0..pieces {
            let from = hours_after(span.start, f64::from(piece) * residual.0.memory_h);
            let to =
                hours_after(span.start, f64::from(piece + 1) * residual.0.memory_h).min(span.end);
            let highest = turns
                .iter()
                .filter(|turn| (from..to).contains(&turn.at))
                .map(|turn| turn.height_m)
                .fold(self.height_m(from)?.max(self.height_m(to)?), f64::max);
            stays_under *= if deviation > 0.0 {
                normal_below((missing - highest) / deviation)
            } else if highest > missing {
                0.0
            } else {
                1.0
            };
        }
        Ok(1.0 - stays_under)
    }
}

/// Probability that a normal deviate stays below z.
fn normal_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z * core::f64::consts::FRAC_1_SQRT_2)
}

/// The deviate below which a normal one stays with a probability of 0.5 to 0.9999: by halving, to
/// 1e-12.
fn normal_quantile(probability: f64) -> f64 {
    let (mut low, mut high) = (0.0, 8.0);
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if normal_below(middle) < probability {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}
