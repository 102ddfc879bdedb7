//! Harmonic constants from readings, by least squares.
//!
//! The model is h(t) = mean + trend·t + Σ f A cos(V + u - G), linear in A cos G and A sin G, with f and u of the chosen convention inside
//! the fit. Readings may come at any instants, with gaps. The normal equations are solved by Cholesky's factorisation (nalgebra).
//!
//! **Which constituents.** By name, or from a list in order of importance by Rayleigh's criterion: a constituent enters if it turns
//! at least once more, over the record, than every one already in, and than the mean level.
//!
//! **Errors.** The residual of a tidal analysis is coloured: weather fills the low frequencies and the cusps about each tidal
//! band. The variance of each pair of coefficients is taken from the residual's periodogram about the line's own frequency,
//! lines left out, after the idea of R. Pawlowicz, B. Beardsley & S. Lentz, "Classical tidal harmonic analysis including error
//! estimates in MATLAB using T_TIDE", Computers & Geosciences 28 (2002) 929-937.
//!
//! **Robust refit.** Readings far off are weighed down by Cauchy's function, w = 1/(1 + (r/2.385 s)²) with s from the median absolute
//! residual, iterated (P. W. Holland & R. E. Welsch, Communications in Statistics A6 (1977) 813-827).

use alloc::string::{String, ToString};
use alloc::vec;
use alloc::vec::Vec;

use jiff::Timestamp;

use crate::constants::{Harmonic, Port, PortSpec, Reduction};
use crate::constituent::Constituent;
use crate::convention::{Convention, hours_between};
use crate::error::Error;
use crate::normal::{Basis, Normal};
use crate::spectrum::Periodogram;

/// One reading of the water level.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Reading {
    /// When.
    pub at: Timestamp,
    /// Level above the gauge's zero, metres.
    pub height_m: f64,
}

/// Which constituents to look for.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Selection {
    /// All that the record can tell apart: Rayleigh's criterion, usually 1 (turns over the record); smaller is bolder.
    Rayleigh(f64),
    /// These.
    Named(Vec<String>),
}

/// A constituent too close to another to be resolved, tied to it by a known ratio and a known difference of lag.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Inference {
    /// The constituent that is not resolved, P1 say.
    pub inferred: String,
    /// The resolved one that it follows, K1 say.
    pub from: String,
    /// Amplitude of the inferred over that of the resolved.
    pub amplitude_ratio: f64,
    /// Lag of the inferred less lag of the resolved, degrees.
    pub lag_difference_deg: f64,
}

/// How to analyse.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct AnalysisSpec {
    /// Which constituents.
    pub selection: Selection,
    /// The convention the constants shall belong to.
    pub convention: Convention,
    /// Whether the mean level may run up or down evenly.
    pub trend: bool,
    /// Whether readings far off are weighed down.
    pub robust: bool,
    /// Unresolved constituents to infer.
    pub inferences: Vec<Inference>,
    /// Reductions of node factors that the constants shall be used with.
    pub reductions: Vec<Reduction>,
}

impl AnalysisSpec {
    /// Rayleigh's criterion at 1, no trend, plain least squares, nothing inferred.
    #[must_use]
    pub fn new(convention: Convention) -> Self {
        Self {
            selection: Selection::Rayleigh(1.0),
            convention,
            trend: false,
            robust: false,
            inferences: Vec::new(),
            reductions: Vec::new(),
        }
    }
}

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
    /// Reading less fit, metres, in the order of the readings.
    pub residuals_m: Vec<f64>,
    convention: Convention,
    reductions: Vec<Reduction>,
}

impl Analysis {
    /// Analyses a record.
    ///
    /// # Errors
    /// [`Error::Readings`] for a record that is too short, not in order of time or holds a level that is not a number;
    /// [`Error::NotSeparable`] if two of the constituents cannot be told apart, with how long a record would do it; unknown
    /// constituents and impossible inferences.
    pub fn of(readings: &[Reading], spec: &AnalysisSpec) -> Result<Self, Error> {
        check(readings)?;
        let groups = Groups::choose(readings, spec)?;
        let unit = groups.unit_port(spec)?;
        let basis = Basis::new(readings, &unit, &groups.columns, spec.trend)?;

        let levels: Vec<f64> = readings.iter().map(|reading| reading.height_m).collect();
        let mut weights = vec![1.0; readings.len()];
        let mut normal = Normal::new(&basis, &levels, &weights);
        groups.check_separable(&normal, readings)?;
        let mut solution = normal
            .solve()
            .ok_or_else(|| groups.inseparable(&normal, readings))?;
        let mut residuals = basis.residuals(&levels, &solution);
        if spec.robust {
            for _ in 0..30 {
                cauchy_weights(&residuals, &mut weights);
                normal = Normal::new(&basis, &levels, &weights);
                let next = normal
                    .solve()
                    .ok_or_else(|| groups.inseparable(&normal, readings))?;
                let moved = next
                    .iter()
                    .zip(&solution)
                    .map(|(a, b)| (a - b).abs())
                    .fold(0.0, f64::max);
                solution = next;
                residuals = basis.residuals(&levels, &solution);
                if moved < 1e-6 {
                    break;
                }
            }
        }
        let variances = normal
            .inverse_diagonal()
            .ok_or_else(|| groups.inseparable(&normal, readings))?;
        let mean_weight = weights.iter().sum::<f64>() / weights.len() as f64;
        let weighed: Vec<f64> = residuals
            .iter()
            .zip(&weights)
            .map(|(r, w)| r * libm::sqrt(*w))
            .collect();
        let periodogram = Periodogram::new(readings, &weighed);
        let harmonics = groups.harmonics(&solution, &variances, &periodogram);
        let offset = if spec.trend { 2 } else { 1 };
        debug_assert_eq!(solution.len(), offset + 2 * groups.columns.len());
        Ok(Self {
            mean_level_m: solution.first().copied().unwrap_or_default(),
            trend_m_per_year: spec
                .trend
                .then(|| solution.get(1).copied().unwrap_or_default()),
            harmonics,
            residual: summary(&levels, &residuals, mean_weight),
            residuals_m: residuals,
            convention: spec.convention,
            reductions: spec.reductions.clone(),
        })
    }

    /// The constants as a port that predicts, with the mean level above the gauge's zero and without the trend.
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

fn check(readings: &[Reading]) -> Result<(), Error> {
    if readings.len() < 25 {
        return Err(Error::Readings {
            index: readings.len(),
            problem: "the record has fewer than 25 readings: give more",
        });
    }
    for (index, reading) in readings.iter().enumerate() {
        if reading.height_m.is_nan() || reading.height_m.abs() > 10_000.0 {
            return Err(Error::Readings {
                index,
                problem: "the level is not a number within 10000 m: drop the reading",
            });
        }
    }
    for (index, pair) in readings.windows(2).enumerate() {
        if let [one, next] = pair
            && next.at <= one.at
        {
            return Err(Error::Readings {
                index: index + 1,
                problem: "the reading is not later than the one before: sort the readings and drop doubles",
            });
        }
    }
    Ok(())
}

/// Candidates in order of importance, as found in the records of many ports: common practice, no source.
const CANDIDATES: &[&str] = &[
    "M2", "K1", "S2", "O1", "N2", "SA", "MM", "MF", "SSA", "MSF", "K2", "P1", "M4", "Q1", "NU2",
    "MS4", "MU2", "MN4", "M6", "L2", "2N2", "T2", "2MS6", "2MN6", "LAMBDA2", "J1", "OO1", "RHO1",
    "M3", "MK3", "2MK3", "SO3", "S1", "M1", "2Q1", "SIGMA1", "M8", "MK4", "SN4", "S4", "2SM6",
    "2MK6", "MSN2", "2SM2", "R2", "3MS8", "EPS2", "ETA2", "CHI1", "TAU1", "PHI1", "THETA1", "UPS1",
    "SO1", "2MK5", "2SK5", "SK3", "SK4", "MSK6", "MSN6", "2MSN8", "3MN8", "2(MS)8", "MSM", "MFM",
    "PI1", "PSI1", "MA2", "MB2", "MKS2", "SKM2", "OP2", "MNS2", "MO3", "M5", "S3", "S6", "M10",
    "4MS10", "M12", "5MS12",
];

/// A column must keep this share of its square when all columns before it are taken out: its error is then at most seven times that
/// of a line alone. Two lines that drift apart by a twelfth of a turn over the record are at this limit.
const LEAST_SHARE: f64 = 0.02;

/// A column pair of the fit: a main constituent with those inferred from it.
#[derive(Debug)]
pub(crate) struct Column {
    /// Index into the unit port's lines.
    pub(crate) main: usize,
    /// Index, amplitude ratio and lag difference (degrees) of each follower.
    pub(crate) followers: Vec<(usize, f64, f64)>,
}

struct Groups {
    constituents: Vec<Constituent>,
    columns: Vec<Column>,
    trend: bool,
}

impl Groups {
    fn choose(readings: &[Reading], spec: &AnalysisSpec) -> Result<Self, Error> {
        let mut mains: Vec<Constituent> = match &spec.selection {
            Selection::Named(names) => names
                .iter()
                .map(|name| Constituent::named(name))
                .collect::<Result<_, _>>()?,
            Selection::Rayleigh(criterion) => rayleigh(readings, *criterion)?,
        };
        if mains.is_empty() {
            return Err(Error::NoConstituents);
        }
        let followers: Vec<&Inference> = spec.inferences.iter().collect();
        let mut inferred = Vec::new();
        for inference in followers {
            let constituent = Constituent::named(&inference.inferred)?;
            let ratio = inference.amplitude_ratio;
            if !(ratio > 0.0 && ratio <= 10.0 && inference.lag_difference_deg.abs() <= 720.0) {
                return Err(Error::Inference {
                    inferred: inference.inferred.clone(),
                    amplitude_ratio: ratio,
                    lag_difference_deg: inference.lag_difference_deg,
                });
            }
            mains.retain(|main| main.name() != constituent.name());
            inferred.push((constituent, inference));
        }
        mains.sort_by(|a, b| a.speed_deg_per_h().total_cmp(&b.speed_deg_per_h()));
        for pair in mains.windows(2) {
            if let [one, other] = pair
                && one.name() == other.name()
            {
                return Err(Error::RepeatedConstituent {
                    first: one.name().to_string(),
                    second: other.name().to_string(),
                });
            }
        }
        let mut columns: Vec<Column> = (0..mains.len())
            .map(|main| Column {
                main,
                followers: Vec::new(),
            })
            .collect();
        let mut constituents = mains;
        for (constituent, inference) in inferred {
            let from = Constituent::named(&inference.from)?;
            let main = constituents
                .iter()
                .position(|main| main.name() == from.name());
            let Some(column) = main.and_then(|main| columns.get_mut(main)) else {
                return Err(Error::NotAmongConstants {
                    name: inference.from.clone(),
                });
            };
            column.followers.push((
                constituents.len(),
                inference.amplitude_ratio,
                inference.lag_difference_deg,
            ));
            constituents.push(constituent);
        }
        Ok(Self {
            constituents,
            columns,
            trend: spec.trend,
        })
    }

    /// A port with all amplitudes at 1 m and no lags: its lines are the columns of the fit.
    fn unit_port(&self, spec: &AnalysisSpec) -> Result<Port, Error> {
        let first = self.constituents.first().ok_or(Error::NoConstituents)?;
        let unit = |name: &str| Harmonic {
            name: name.to_string(),
            amplitude_m: 1.0,
            phase_lag_deg: 0.0,
        };
        let mut port = Port::new(PortSpec {
            mean_level_m: 0.0,
            harmonics: &[unit(first.name())],
            convention: spec.convention,
        })?;
        for constituent in self.constituents.iter().skip(1) {
            port = port.with_constituent(constituent.clone(), 1.0, 0.0)?;
        }
        let known: Vec<Reduction> = spec
            .reductions
            .iter()
            .filter(|reduction| {
                Constituent::named(&reduction.name).is_ok_and(|reduced| {
                    self.constituents
                        .iter()
                        .any(|have| have.name() == reduced.name())
                })
            })
            .cloned()
            .collect();
        port.with_reductions(&known)
    }

    fn offset(&self) -> usize {
        if self.trend { 2 } else { 1 }
    }

    fn name_of_column(&self, column: usize) -> (String, f64) {
        let pair = column.checked_sub(self.offset()).map(|column| column / 2);
        pair.and_then(|pair| self.columns.get(pair))
            .and_then(|column| self.constituents.get(column.main))
            .map_or((String::from("the mean level"), 0.0), |constituent| {
                (
                    constituent.name().to_string(),
                    constituent.argument_speed_deg_per_h(),
                )
            })
    }

    fn check_separable(&self, normal: &Normal, readings: &[Reading]) -> Result<(), Error> {
        if normal.weakest().1 < LEAST_SHARE {
            Err(self.inseparable(normal, readings))
        } else {
            Ok(())
        }
    }

    fn inseparable(&self, normal: &Normal, readings: &[Reading]) -> Error {
        let (column, _) = normal.weakest();
        let partner = normal.most_like(column, self.offset());
        let (first, first_speed) = self.name_of_column(partner);
        let (second, second_speed) = self.name_of_column(column);
        let apart = (first_speed - second_speed).abs();
        let record_days = record_hours(readings) / 24.0;
        let needed_days = if apart < 1e-6 {
            None
        } else {
            Some(15.0 / apart)
        };
        Error::NotSeparable {
            first,
            second,
            record_days,
            needed_days,
        }
    }

    fn harmonics(
        &self,
        solution: &[f64],
        variances: &[f64],
        periodogram: &Periodogram,
    ) -> Vec<FittedHarmonic> {
        let speeds: Vec<f64> = self
            .constituents
            .iter()
            .map(Constituent::argument_speed_deg_per_h)
            .collect();
        let mut harmonics = Vec::new();
        for (index, column) in self.columns.iter().enumerate() {
            let at = self.offset() + 2 * index;
            let get = |values: &[f64], k: usize| values.get(at + k).copied().unwrap_or_default();
            let (x, y) = (get(solution, 0), get(solution, 1));
            let Some(main) = self.constituents.get(column.main) else {
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
                if let Some(constituent) = self.constituents.get(*follower) {
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

fn record_hours(readings: &[Reading]) -> f64 {
    match (readings.first(), readings.last()) {
        (Some(first), Some(last)) => hours_between(first.at, last.at),
        _ => 0.0,
    }
}

fn rayleigh(readings: &[Reading], criterion: f64) -> Result<Vec<Constituent>, Error> {
    if !(0.1..=10.0).contains(&criterion) {
        return Err(Error::Criterion { criterion });
    }
    let hours = record_hours(readings);
    // One reading more than the intervals makes up for the half interval at either end.
    let record = hours * (1.0 + 1.0 / readings.len() as f64);
    let mut spacing: Vec<f64> = readings
        .windows(2)
        .map(|pair| {
            if let [a, b] = pair {
                hours_between(a.at, b.at)
            } else {
                0.0
            }
        })
        .collect();
    spacing.sort_by(f64::total_cmp);
    let median = spacing.get(spacing.len() / 2).copied().unwrap_or(1.0);
    let nyquist = 180.0 / median;
    let mut chosen: Vec<Constituent> = Vec::new();
    for name in CANDIDATES {
        let Ok(candidate) = Constituent::named(name) else {
            continue;
        };
        let speed = candidate.argument_speed_deg_per_h();
        let resolved =
            |other: f64| (speed - other).abs() * record >= 360.0 * criterion * (1.0 - 1e-3);
        if speed < nyquist
            && resolved(0.0)
            && chosen
                .iter()
                .all(|other| resolved(other.argument_speed_deg_per_h()))
        {
            chosen.push(candidate);
        }
    }
    Ok(chosen)
}

fn cauchy_weights(residuals: &[f64], weights: &mut [f64]) {
    let mut sizes: Vec<f64> = residuals.iter().map(|r| r.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let median = sizes.get(sizes.len() / 2).copied().unwrap_or_default();
    // The median absolute value of a normal deviate is 0.6745 of its standard deviation.
    let scale = (2.385 * median / 0.6745).max(1e-9);
    for (weight, r) in weights.iter_mut().zip(residuals) {
        *weight = 1.0 / (1.0 + (r / scale) * (r / scale));
    }
}

fn summary(levels: &[f64], residuals: &[f64], mean_weight: f64) -> ResidualSummary {
    let n = residuals.len().max(1) as f64;
    let square = |values: &[f64]| {
        let mean = values.iter().sum::<f64>() / n;
        values
            .iter()
            .map(|value| (value - mean) * (value - mean))
            .sum::<f64>()
            / n
    };
    let (left, all) = (square(residuals), square(levels));
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
