//! The residual diary: how far the water differed from the prediction, against air pressure and
//! wind.
//!
//! Ordinary least squares with Student intervals (Draper and Smith 1998, Applied Regression
//! Analysis, 3rd edition, chapters 1 and 5). Standard oceanography expects about -1 cm per
//! hectopascal; the wind's part only the diary knows.

use jiff::{SignedDuration, Timestamp};

use wrackline_plan::weather::{LinearFit, TERMS, Taught};

use super::beta::students_t;
use crate::{Record, Wind};

/// Pressure to which the intercept refers, hectopascals.
pub const REFERENCE_HPA: f64 = 1013.0;

/// One line of the diary.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Observed minus predicted high water, metres.
    pub residual_m: f64,
    /// Air pressure at sea level, hectopascals.
    pub pressure_hpa: f64,
    /// Wind.
    pub wind: Wind,
}

/// One tide of which the level was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Observed minus predicted high water, metres; the mean where several entries give it.
    pub residual_m: f64,
    /// Air pressure at sea level, hectopascals, where it was noted; the mean of several.
    pub pressure_hpa: Option<f64>,
    /// Wind, where it was noted; the first of several.
    pub wind: Option<Wind>,
}

impl Reading {
    /// The reading as a line of the diary; `None` without the weather.
    pub fn line(&self) -> Option<Line> {
        Some(Line {
            residual_m: self.residual_m,
            pressure_hpa: self.pressure_hpa?,
            wind: self.wind?,
        })
    }
}

/// High waters nearer than this to one another are one tide, found from two instants: tides follow
/// one another in six hours at the least, where there are two to a tide.
const ONE_TIDE: SignedDuration = SignedDuration::from_mins(30);

/// The readings of the log, one a tide, by time: one tide that was logged for two subjects is one
/// level. Visits called off count too: the gauge was read whether or not anyone went.
pub fn readings<'a>(records: impl IntoIterator<Item = &'a Record>) -> Vec<Reading> {
    let mut read: Vec<(Timestamp, &Record, f64)> = records
        .into_iter()
        .filter_map(|record| {
            let conditions = record.conditions?;
            let residual_m = conditions.residual_m(record.entry.observed_level_m)?;
            Some((conditions.high_water_at?, record, residual_m))
        })
        .collect();
    read.sort_by_key(|(at, _, _)| *at);
    read.chunk_by(|(a, _, _), (b, _, _)| b.duration_since(*a) < ONE_TIDE)
        .map(|tide| Reading {
            residual_m: mean(tide.iter().map(|(_, _, residual_m)| *residual_m)).unwrap_or(0.0),
            pressure_hpa: mean(tide.iter().filter_map(|(_, r, _)| r.entry.pressure_hpa)),
            wind: tide.iter().find_map(|(_, record, _)| record.entry.wind),
        })
        .collect()
}

/// `None` of nothing.
fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), x| (sum + x, count + 1.0));
    (count > 0.0).then(|| sum / count)
}

/// Degrees of freedom below which a fit is too loose to print: our choice.
const FEWEST_FREE: usize = 4;

/// A fitted diary.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// Intercept (m), slope with pressure (m/hPa), and with wind blowing towards the north and the
    /// east (m per m/s).
    pub coefficients: [f64; TERMS],
    /// Standard errors of the coefficients.
    pub standard_errors: [f64; TERMS],
    /// Standard deviation of what is left unexplained, metres.
    pub left_over_m: f64,
    /// Lines.
    pub lines: usize,
    taught: Taught,
}

/// A residual to be expected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Forecast {
    /// Central value, metres.
    pub residual_m: f64,
    /// Half the width of the interval that holds a single new residual nine times in ten, metres.
    pub margin_m: f64,
}

/// Mean and standard deviation of the residuals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Mean, metres.
    pub mean_m: f64,
    /// Standard deviation, metres.
    pub standard_deviation_m: f64,
    /// Half the width of the interval that holds the true mean nine times in ten, metres.
    pub margin_m: f64,
}

impl Spread {
    /// Of the readings; `None` for fewer than two. The weather plays no part.
    pub fn of(readings: &[Reading]) -> Option<Spread> {
        let n = readings.len() as f64;
        let mean_m = mean(readings.iter().map(|reading| reading.residual_m))?;
        let squares: f64 = readings
            .iter()
            .map(|reading| (reading.residual_m - mean_m).powi(2))
            .sum();
        let standard_deviation_m = (squares / (n - 1.0)).sqrt();
        (readings.len() > 1).then(|| Spread {
            mean_m,
            standard_deviation_m,
            margin_m: students_t(n - 1.0, 0.95) * standard_deviation_m / n.sqrt(),
        })
    }
}

fn terms(pressure_hpa: f64, wind: Wind) -> [f64; TERMS] {
    let vector = wind.vector();
    [
        1.0,
        pressure_hpa - REFERENCE_HPA,
        vector.north_mps,
        vector.east_mps,
    ]
}

impl Fit {
    /// Fits the diary. `None` when there are too few lines, or when they do not tell pressure and
    /// wind apart.
    pub fn of(lines: &[Line]) -> Option<Fit> {
        if lines.len() < TERMS + FEWEST_FREE {
            return None;
        }
        let mut normal = [[0.0; TERMS]; TERMS];
        let mut right = [0.0; TERMS];
        for line in lines {
            let x = terms(line.pressure_hpa, line.wind);
            for i in 0..TERMS {
                right[i] += x[i] * line.residual_m;
                for j in 0..TERMS {
                    normal[i][j] += x[i] * x[j];
                }
            }
        }
        let inverse = invert(normal)?;
        let coefficients = inverse.map(|row| dot(row, right));
        let squares: f64 = lines
            .iter()
            .map(|line| {
                (line.residual_m - dot(coefficients, terms(line.pressure_hpa, line.wind))).powi(2)
            })
            .sum();
        let variance = squares / (lines.len() - TERMS) as f64;
        let covariance = inverse.map(|row| row.map(|x| x * variance));
        let mut standard_errors = [0.0; TERMS];
        for (i, error) in standard_errors.iter_mut().enumerate() {
            *error = covariance[i][i].max(0.0).sqrt();
        }
        let left_over_m = variance.sqrt();
        let winds = lines.iter().map(|line| line.wind.speed_mps());
        let taught = Taught::new(LinearFit {
            coefficients,
            covariance,
            left_over_m,
            widths: students_t((lines.len() - TERMS) as f64, 0.95),
            reference_hpa: REFERENCE_HPA,
            strongest_mps: winds.fold(0.0, f64::max),
            tides: lines.len(),
        })?;
        Some(Fit {
            coefficients,
            standard_errors,
            left_over_m,
            lines: lines.len(),
            taught,
        })
    }

    /// What the diary has taught, for a plan by a forecast.
    pub fn taught(&self) -> &Taught {
        &self.taught
    }

    /// The residual to expect under a pressure and a wind, with its interval.
    pub fn forecast(&self, pressure_hpa: f64, wind: Wind) -> Forecast {
        let expected = self.taught.residual(pressure_hpa, wind.vector());
        Forecast {
            residual_m: expected.mean_m,
            margin_m: expected.upper_m,
        }
    }

    /// Half the width of the 90 % interval of a coefficient.
    pub fn margin(&self, index: usize) -> f64 {
        students_t((self.lines - TERMS) as f64, 0.95)
            * self.standard_errors.get(index).copied().unwrap_or(0.0)
    }
}

fn dot(a: [f64; TERMS], b: [f64; TERMS]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Gauss-Jordan with pivoting; `None` for a matrix that is singular to the precision that matters.
fn invert(mut m: [[f64; TERMS]; TERMS]) -> Option<[[f64; TERMS]; TERMS]> {
    let mut inverse = [[0.0; TERMS]; TERMS];
    for (i, row) in inverse.iter_mut().enumerate() {
        row[i] = 1.0;
    }
    let scale = (0..TERMS).map(|i| m[i][i]).fold(0.0, f64::max);
    for column in 0..TERMS {
        let pivot =
            (column..TERMS).max_by(|a, b| m[*a][column].abs().total_cmp(&m[*b][column].abs()))?;
        if m[pivot][column].abs() <= scale * 1e-12 {
            return None;
        }
        m.swap(column, pivot);
        inverse.swap(column, pivot);
        let divisor = m[column][column];
        m[column] = m[column].map(|x| x / divisor);
        inverse[column] = inverse[column].map(|x| x / divisor);
        for row in (0..TERMS).filter(|row| *row != column) {
            let factor = m[row][column];
            for k in 0..TERMS {
                m[row][k] -= factor * m[column][k];
                inverse[row][k] -= factor * inverse[column][k];
            }
        }
    }
    Some(inverse)
}
