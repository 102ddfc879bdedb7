//! Harmonic constants from readings, by least squares.
//!
//! The model is h(t) = mean + trend·t + Σ f A cos(V + u - G), linear in A cos G and A sin G, with f
//! and u of the chosen convention inside the fit. Readings may come at any instants, with gaps. The
//! normal equations are solved by Cholesky's factorisation (nalgebra).
//!
//! **Errors.** The residual of a tidal analysis is coloured: weather fills the low frequencies and
//! the cusps about each tidal band. The variance of each pair of coefficients is taken from the
//! residual's periodogram about the line's own frequency, lines left out, after the idea of R.
//! Pawlowicz, B. Beardsley & S. Lentz, "Classical tidal harmonic analysis including error estimates
//! in MATLAB using T_TIDE", Computers & Geosciences 28 (2002) 929-937. What the unknowns have taken
//! from the residual is given back by the degrees of freedom that are left. Where readings are few
//! or lines lean on each other, the errors cannot be trusted whatever is done, and the analysis
//! [says so](Warning).
//!
//! **Robust refit.** Readings far off are weighed down by Cauchy's function, w = 1/(1 + (r/2.385
//! s)²) with s from the median absolute residual, iterated (P. W. Holland & R. E. Welsch,
//! Communications in Statistics A6 (1977) 813-827).

use alloc::string::{String, ToString};
use alloc::vec::Vec;

use crate::astro::wrap_180;
use crate::constants::{Harmonic, Port, PortSpec, Reduction};
use crate::constituent::Constituent;
use crate::convention::Convention;
use crate::error::{Error, Likeness};
use crate::normal::{Design, Normal};
use crate::record::{MEDIAN_SHARE, Reading, Record, median};
use crate::selection::{AnalysisSpec, Groups};
use crate::spectrum::Periodogram;

/// One constituent as found, with its standard errors.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct FittedHarmonic {
    /// The constituent.
    pub name: String,
    /// Degrees an hour.
    pub speed_deg_per_h: f64,
    /// Amplitude, metres.
    pub amplitude_m: f64,
    /// Its standard error, metres.
    pub amplitude_error_m: f64,
    /// Greenwich phase lag for UTC, degrees.
    pub phase_lag_deg: f64,
    /// Its standard error, degrees, at most 180.
    pub phase_lag_error_deg: f64,
    /// Square of amplitude over its error: below about 10 the constituent is hardly there.
    pub signal_to_noise: f64,
    /// The constituent it was inferred from, if it was.
    pub inferred_from: Option<String>,
}

/// What is left when the fit is taken from the readings.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct ResidualSummary {
    /// Readings used.
    pub readings: usize,
    /// Standard deviation, metres.
    pub standard_deviation_m: f64,
    /// The greatest, metres.
    pub highest_m: f64,
    /// The least, metres.
    pub lowest_m: f64,
    /// Share of the readings' variance that the fit explains, 0 to 1.
    pub explained: f64,
    /// Sum of the readings' weights over their number: 1 without robust refit.
    pub mean_weight: f64,
}

/// Why the constants or their errors may be worse than they look.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
#[non_exhaustive]
pub enum Warning {
    /// Fewer than two readings for each unknown: the fit takes most of the noise with it, and what
    /// it leaves says little.
    FewReadings {
        /// Readings used.
        readings: usize,
        /// Unknowns found from them.
        unknowns: usize,
    },
    /// Two lines that lean on each other: what one takes too much, the other takes too little.
    Leaning {
        /// The line.
        name: String,
        /// The line, or the mean level, that is most like it over this record.
        on: String,
        /// How many times greater its error is than it would be alone.
        error_inflation: f64,
    },
    /// A line that high and low waters alone do not tell from others, and that was left out.
    LeftOut {
        /// The line.
        name: String,
    },
}

impl core::fmt::Display for Warning {
    fn fmt(&self, out: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::FewReadings { readings, unknowns } => write!(
                out,
                "{readings} readings for {unknowns} unknowns: the errors say little; give a \
                 longer record or ask for fewer constituents"
            ),
            Self::Leaning {
                name,
                on,
                error_inflation,
            } => write!(
                out,
                "{name} leans on {on}: its error is {error_inflation:.1} times what it would be \
                 alone; give a longer record, leave one out or infer it"
            ),
            Self::LeftOut { name } => write!(
                out,
                "{name} was left out: high and low waters alone do not tell it from other lines; \
                 readings between them would"
            ),
        }
    }
}

/// The result of an analysis.
#[derive(Clone, Debug, PartialEq)]
pub struct Analysis {
    /// Mean level above the gauge's zero at the middle of the record, metres.
    pub mean_level_m: f64,
    /// Rise of the mean level, metres a year of 365.25 days, if asked for.
    pub trend_m_per_year: Option<f64>,
    /// The constituents in order of speed.
    pub harmonics: Vec<FittedHarmonic>,
    /// What is left.
    pub residual: ResidualSummary,
    /// Reading less fit, metres, in the order of the readings that were used.
    pub residuals_m: Vec<f64>,
    /// What to beware of; empty for a record that is long enough for what was asked of it.
    pub warnings: Vec<Warning>,
    pub(crate) convention: Convention,
    pub(crate) reductions: Vec<Reduction>,
}

/// A column must keep this share of its square when all columns before it are taken out: its error
/// is then at most seven times that of a line alone. Two lines that drift apart by a twelfth of a
/// turn over the record are at this limit.
const LEAST_SHARE: f64 = 0.02;
/// Speeds closer than this are the same, degrees an hour: a turn apart after forty thousand years.
const SAME_SPEED: f64 = 1e-6;
/// A line's error may be this many times what it would be alone before it is said. Our default.
const INFLATION: f64 = 2.0;

impl Analysis {
    /// Analyses a record of any length within the years 1600 to 2400.
    ///
    /// # Errors
    /// [`Error::Readings`] for a record that is too short, not in order of time or holds a level
    /// that is not a number; [`Error::FarOff`] for a level that no water reaches;
    /// [`Error::TooFewReadings`] for fewer readings than unknowns; [`Error::NotSeparable`] if two
    /// of the constituents cannot be told apart, and why; unknown constituents and impossible
    /// inferences and reductions.
    pub fn of(readings: &[Reading], spec: &AnalysisSpec) -> Result<Self, Error> {
        let record = Record::new(readings, &spec.missing_m)?;
        let groups = Groups::choose(&record, spec)?;
        let (readings, unknowns) = (record.readings.len(), groups.unknowns());
        if readings <= unknowns {
            return Err(Error::TooFewReadings { readings, unknowns });
        }
        let unit = groups.unit_port(spec.convention)?;
        let fit = Fit {
            record: &record,
            groups: &groups,
        };
        let design = Design::new(&record.readings, &unit, &groups.columns, spec.trend)
            .ok_or(Error::TooFewReadings { readings, unknowns })?;

        let mut weights = Vec::new();
        let mut normal = Normal::new(&design, &weights)?;
        if normal.weakest().1 < LEAST_SHARE {
            return Err(fit.inseparable(&normal));
        }
        let mut solution = normal.solve().ok_or_else(|| fit.inseparable(&normal))?;
        let mut residuals = Vec::new();
        design.residuals(&solution, &mut residuals)?;
        if spec.robust {
            for _ in 0..30 {
                cauchy_weights(&residuals, &mut weights);
                normal = Normal::new(&design, &weights)?;
                let next = normal.solve().ok_or_else(|| fit.inseparable(&normal))?;
                let moved = next
                    .iter()
                    .zip(&solution)
                    .map(|(a, b)| (a - b).abs())
                    .fold(0.0, f64::max);
                solution = next;
                design.residuals(&solution, &mut residuals)?;
                if moved < 1e-6 {
                    break;
                }
            }
        }
        let inflations = normal
            .inflations()
            .ok_or_else(|| fit.inseparable(&normal))?;
        let variances = normal.variances(&inflations);
        let mean_weight = if weights.is_empty() {
            1.0
        } else {
            weights.iter().sum::<f64>() / weights.len() as f64
        };
        let periodogram = Periodogram::new(&record, &residuals, &weights, unknowns);
        Ok(Self {
            mean_level_m: solution.first().copied().unwrap_or_default(),
            trend_m_per_year: spec
                .trend
                .then(|| solution.get(1).copied().unwrap_or_default()),
            harmonics: fit.harmonics(&solution, &variances, &periodogram),
            residual: summary(&record.readings, &residuals, mean_weight),
            residuals_m: residuals,
            warnings: fit.warnings(&normal, &inflations),
            convention: spec.convention,
            reductions: groups.reductions.clone(),
        })
    }

    /// The constants as a port that predicts, with the mean level above the gauge's zero and
    /// without the trend.
    ///
    /// # Errors
    /// None in practice: the constants come from a fit; amplitudes above 50 m would be refused.
    pub fn port(&self) -> Result<Port, Error> {
        let harmonics: Vec<Harmonic> = self
            .harmonics
            .iter()
            .map(|fitted| Harmonic {
                name: fitted.name.clone(),
                amplitude_m: fitted.amplitude_m,
                phase_lag_deg: fitted.phase_lag_deg,
            })
            .collect();
        let spec = PortSpec {
            mean_level_m: self.mean_level_m,
            harmonics: &harmonics,
            convention: self.convention,
        };
        Port::new(spec)?.with_reductions(&self.reductions)
    }
}

/// A record and what is to be found in it.
pub(crate) struct Fit<'a> {
    pub(crate) record: &'a Record<'a>,
    pub(crate) groups: &'a Groups,
}

impl Fit<'_> {
    pub(crate) fn name_of_column(&self, column: usize) -> (String, f64) {
        let groups = self.groups;
        let pair = column.checked_sub(groups.offset()).map(|column| column / 2);
        pair.and_then(|pair| groups.columns.get(pair))
            .and_then(|column| groups.constituents.get(column.main))
            .map_or((String::from("the mean level"), 0.0), |constituent| {
                (
                    constituent.name().to_string(),
                    constituent.argument_speed_deg_per_h(),
                )
            })
    }

    pub(crate) fn inseparable(&self, normal: &Normal) -> Error {
        let (column, _) = normal.weakest();
        let partner = normal.most_like(column, self.groups.offset());
        let (first, first_speed) = self.name_of_column(partner);
        let (second, second_speed) = self.name_of_column(column);
        let apart = (first_speed - second_speed).abs();
        Error::NotSeparable {
            first,
            second,
            record_days: self.record.hours / 24.0,
            needed_days: (apart > SAME_SPEED).then(|| 15.0 / apart),
            cause: self.cause([first_speed, second_speed]),
        }
    }

    /// Why two speeds look alike in the record.
    fn cause(&self, [one, other]: [f64; 2]) -> Likeness {
        let apart = (one - other).abs();
        let record = self.record;
        if apart < SAME_SPEED {
            return Likeness::SameSpeed;
        }
        if apart * record.hours < 360.0 * (1.0 - 1e-3) {
            return Likeness::ShortRecord;
        }
        // From one reading to the next both turn by the same, but for whole turns, or by the same
        // backwards.
        let within = 360.0 * record.step_h / record.hours;
        let alike = |turn: f64| wrap_180(turn * record.step_h).abs() < within;
        if record.evenness > 0.9 && (alike(one - other) || alike(one + other)) {
            return Likeness::Sampling {
                step_h: record.step_h,
            };
        }
        if record.readings.len() < 2 * self.groups.unknowns() {
            return Likeness::FewReadings {
                readings: record.readings.len(),
                unknowns: self.groups.unknowns(),
            };
        }
        Likeness::Gaps
    }

    pub(crate) fn warnings(&self, normal: &Normal, inflations: &[f64]) -> Vec<Warning> {
        let (readings, unknowns) = (self.record.readings.len(), self.groups.unknowns());
        let mut warnings = Vec::new();
        if readings < 2 * unknowns {
            warnings.push(Warning::FewReadings { readings, unknowns });
        }
        let offset = self.groups.offset();
        for (index, pair) in inflations
            .get(offset..)
            .unwrap_or_default()
            .chunks_exact(2)
            .enumerate()
        {
            let [cosine, sine] = pair else { continue };
            let column = offset + 2 * index + usize::from(sine > cosine);
            let error_inflation = libm::sqrt(cosine.max(*sine));
            if error_inflation > INFLATION {
                warnings.push(Warning::Leaning {
                    name: self.name_of_column(column).0,
                    on: self.name_of_column(normal.most_like(column, offset)).0,
                    error_inflation,
                });
            }
        }
        warnings
    }

    pub(crate) fn harmonics(
        &self,
        solution: &[f64],
        variances: &[f64],
        periodogram: &Periodogram,
    ) -> Vec<FittedHarmonic> {
        let speeds: Vec<f64> = self
            .groups
            .constituents
            .iter()
            .map(Constituent::argument_speed_deg_per_h)
            .collect();
        let mut harmonics = Vec::new();
        for (index, column) in self.groups.columns.iter().enumerate() {
            let at = self.groups.offset() + 2 * index;
            let get = |values: &[f64], k: usize| values.get(at + k).copied().unwrap_or_default();
            let (x, y) = (get(solution, 0), get(solution, 1));
            let Some(main) = self.groups.constituents.get(column.main) else {
                continue;
            };
            let noise = periodogram.about(main.argument_speed_deg_per_h(), &speeds);
            let (var_x, var_y) = (get(variances, 0) * noise, get(variances, 1) * noise);
            let amplitude = libm::hypot(x, y);
            // Along and across the vector; at an amplitude of nothing both are the mean.
            let (cosine, sine) = if amplitude > 0.0 {
                (x / amplitude, y / amplitude)
            } else {
                (0.5, 0.5)
            };
            let along = libm::sqrt(cosine * cosine * var_x + sine * sine * var_y);
            let across = libm::sqrt(sine * sine * var_x + cosine * cosine * var_y);
            let lag = libm::atan2(y, x).to_degrees();
            let lag_error = (across / amplitude.max(f64::MIN_POSITIVE))
                .to_degrees()
                .min(180.0);
            let mut push =
                |constituent: &Constituent, ratio: f64, difference: f64, from: Option<&str>| {
                    harmonics.push(FittedHarmonic {
                        name: constituent.name().to_string(),
                        speed_deg_per_h: constituent.speed_deg_per_h(),
                        amplitude_m: amplitude * ratio,
                        amplitude_error_m: along * ratio,
                        phase_lag_deg: crate::astro::wrap_360(lag + difference),
                        phase_lag_error_deg: lag_error,
                        signal_to_noise: ratio_squared(amplitude, along),
                        inferred_from: from.map(ToString::to_string),
                    });
                };
            push(main, 1.0, 0.0, None);
            for (follower, ratio, difference) in &column.followers {
                if let Some(constituent) = self.groups.constituents.get(*follower) {
                    push(constituent, *ratio, *difference, Some(main.name()));
                }
            }
        }
        harmonics.sort_by(|a, b| a.speed_deg_per_h.total_cmp(&b.speed_deg_per_h));
        harmonics
    }
}

/// The square of a ratio, held below what a table can print.
fn ratio_squared(amplitude: f64, error: f64) -> f64 {
    let ratio = amplitude / error.max(1e-12);
    (ratio * ratio).min(1e12)
}

fn cauchy_weights(residuals: &[f64], weights: &mut Vec<f64>) {
    let size = median(residuals.iter().map(|r| r.abs()).collect());
    let scale = (2.385 * size / MEDIAN_SHARE).max(1e-9);
    weights.clear();
    weights.extend(
        residuals
            .iter()
            .map(|r| 1.0 / (1.0 + (r / scale) * (r / scale))),
    );
}

pub(crate) fn summary(
    readings: &[Reading],
    residuals: &[f64],
    mean_weight: f64,
) -> ResidualSummary {
    let n = residuals.len().max(1) as f64;
    let left = mean_square(residuals.iter().copied(), n);
    let all = mean_square(readings.iter().map(|reading| reading.height_m), n);
    ResidualSummary {
        readings: residuals.len(),
        standard_deviation_m: libm::sqrt(left),
        highest_m: residuals.iter().copied().fold(f64::MIN, f64::max),
        lowest_m: residuals.iter().copied().fold(f64::MAX, f64::min),
        explained: if all > 0.0 {
            (1.0 - left / all).clamp(0.0, 1.0)
        } else {
            0.0
        },
        mean_weight,
    }
}

/// Mean square about the mean.
fn mean_square(values: impl Iterator<Item = f64> + Clone, n: f64) -> f64 {
    let mean = values.clone().sum::<f64>() / n;
    values
        .map(|value| (value - mean) * (value - mean))
        .sum::<f64>()
        / n
}
