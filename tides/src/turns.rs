//! Harmonic constants from high and low waters, by least squares on their heights and times.
//!
//! Each turn gives two rows: the height there, and that the water stands still, dh/dt = 0. The
//! second row is what the printed time is worth. It is brought to metres by the pace of the tide,
//! the mean interval between turns being half a turn of it, and weighed against the first by the
//! scatter of both about the fit: a table that prints to the centimetre and to the minute knows
//! either about as well, a gauge's record in rough weather knows its heights far better than its
//! times.
//!
//! **What turns cannot tell.** They come in step with the tide itself, so that its overtides look
//! like the tide and like the mean level: M6 like M2, M4 like a change of the mean level. What tells
//! them apart is only that S2, N2 and the daily tide push the turns about. A line that the lines
//! before it make up but for a small share is left out, and named.

use alloc::string::String;
use alloc::vec;
use alloc::vec::Vec;

use jiff::SignedDuration;

use crate::analysis::{Analysis, Fit, Warning, summary};
use crate::error::Error;
use crate::normal::{Design, Normal};
use crate::record::{Reading, Record};
use crate::selection::{AnalysisSpec, Groups, Selection};
use crate::spectrum::Periodogram;
use crate::turning::Turn;

/// Half of the span over which the slope is taken, seconds: short beside any tide, long beside the
/// rounding of a double.
const BESIDE: SignedDuration = SignedDuration::from_secs(60);
/// Turns that follow one another more closely are refused, seconds.
const CLOSEST_S: i64 = 180;
/// A column must keep this share of its square when all columns before it are taken out. Printed
/// turns have no weather in them, so that a line may lean on others more than in a gauge's record.
const LEAST_SHARE: f64 = 0.002;
/// How far apart the weights of heights and times may come.
const MOST_WEIGHT: f64 = 100.0;

impl Analysis {
    /// Analyses high and low waters, such as a printed table has them, of any length within the
    /// years 1600 to 2400. Of the lines that [`Selection::Rayleigh`] brings, those that turns cannot
    /// tell from others are left out and named among the [warnings](Warning). The residual is that
    /// of the heights.
    ///
    /// # Errors
    /// As [`Analysis::of`], for turns in place of readings, and turns within three minutes of one
    /// another.
    pub fn of_turns(turns: &[Turn], spec: &AnalysisSpec) -> Result<Self, Error> {
        let readings: Vec<Reading> = turns
            .iter()
            .map(|turn| Reading {
                at: turn.at,
                height_m: turn.height_m,
            })
            .collect();
        let mut record = Record::new(&readings, &[])?;
        close_turns(turns)?;
        let step_h = record.step_h;
        // A height and a slope at each turn, and turns in step with the tide: up to eight tides a
        // day are looked for, and the equations themselves say what can be told.
        record.step_h = step_h / 5.0;
        // Half a tide before the first turn and after the last is known as well as what is between.
        record.hours += 2.0 * step_h;
        let mut groups = Groups::choose(&record, spec)?;
        record.step_h = step_h;
        record.hours -= 2.0 * step_h;

        let mut left_out: Vec<String> = Vec::new();
        let (rows, normal) = loop {
            let rows = Rows::new(&record, &groups, spec, step_h)?;
            let unknowns = groups.unknowns();
            if 2 * turns.len() <= unknowns {
                return Err(Error::TooFewReadings {
                    readings: 2 * turns.len(),
                    unknowns,
                });
            }
            let (column, share) = rows.weakest(&groups.by_importance());
            let normal = rows.normal(1.0);
            if share >= LEAST_SHARE {
                break (rows, normal);
            }
            let fit = Fit {
                record: &record,
                groups: &groups,
            };
            let by_name = matches!(spec.selection, Selection::Named(_));
            let pair = column.checked_sub(groups.offset()).map(|column| column / 2);
            let Some(pair) = pair.filter(|_| !by_name && groups.columns.len() > 1) else {
                return Err(fit.inseparable(&normal));
            };
            left_out.push(fit.name_of_column(column).0);
            groups = groups.without(pair);
        };
        let fit = Fit {
            record: &record,
            groups: &groups,
        };
        let mut normal = normal;
        let mut solution = normal.solve().ok_or_else(|| fit.inseparable(&normal))?;
        for _ in 0..3 {
            let [heights, slopes] = rows.residuals(&solution).map(|left| mean_square(&left));
            let weight = heights / slopes.max(f64::MIN_POSITIVE);
            normal = rows.normal(weight.clamp(1.0 / MOST_WEIGHT, MOST_WEIGHT));
            solution = normal.solve().ok_or_else(|| fit.inseparable(&normal))?;
        }
        let inflations = normal
            .inflations()
            .ok_or_else(|| fit.inseparable(&normal))?;
        let variances = normal.variances(&inflations);
        let [heights, _] = rows.residuals(&solution);
        let periodogram = Periodogram::of_few(&record, &heights, groups.unknowns());
        let mut warnings: Vec<Warning> = left_out
            .into_iter()
            .map(|name| Warning::LeftOut { name })
            .collect();
        warnings.extend(fit.warnings(&normal, &inflations));
        Ok(Self {
            mean_level_m: solution.first().copied().unwrap_or_default(),
            trend_m_per_year: spec
                .trend
                .then(|| solution.get(1).copied().unwrap_or_default()),
            harmonics: fit.harmonics(&solution, &variances, &periodogram),
            residual: summary(&record.readings, &heights, 1.0),
            residuals_m: heights,
            warnings,
            convention: spec.convention,
            reductions: groups.reductions.clone(),
        })
    }
}

fn close_turns(turns: &[Turn]) -> Result<(), Error> {
    for (index, pair) in turns.windows(2).enumerate() {
        if let [one, next] = pair
            && next.at.duration_since(one.at).as_secs() < CLOSEST_S
        {
            return Err(Error::Readings {
                index: index + 1,
                problem: "the turn comes within three minutes of the one before: keep one of them",
            });
        }
    }
    Ok(())
}

fn mean_square(left: &[f64]) -> f64 {
    left.iter().map(|x| x * x).sum::<f64>() / left.len().max(1) as f64
}

/// The columns at each turn: those of the height, and those of the slope in metres.
struct Rows {
    unknowns: usize,
    heights: Vec<f64>,
    slopes: Vec<f64>,
    values: Vec<f64>,
}

impl Rows {
    fn new(
        record: &Record<'_>,
        groups: &Groups,
        spec: &AnalysisSpec,
        step_h: f64,
    ) -> Result<Self, Error> {
        let unit = groups.unit_port(spec.convention)?;
        // A little before, at and a little after each turn.
        let mut around = Vec::with_capacity(3 * record.readings.len());
        for reading in record.readings.iter() {
            let outside = |_| Error::OutsideYears { at: reading.at };
            for at in [
                reading.at.checked_sub(BESIDE).map_err(outside)?,
                reading.at,
                reading.at.checked_add(BESIDE).map_err(outside)?,
            ] {
                around.push(Reading {
                    at,
                    height_m: reading.height_m,
                });
            }
        }
        let unknowns = groups.unknowns();
        let few = Error::TooFewReadings {
            readings: record.readings.len(),
            unknowns,
        };
        let design = Design::new(&around, &unit, &groups.columns, spec.trend).ok_or(few)?;
        let mut all = Vec::with_capacity(around.len() * unknowns);
        design.each_row(&mut all)?;
        // Radians an hour that half a tide takes from turn to turn.
        let pace = core::f64::consts::PI / step_h;
        let span_h = 2.0 * BESIDE.as_secs_f64() / 3600.0;
        let (mut heights, mut slopes) = (Vec::new(), Vec::new());
        for trio in all.chunks_exact(3 * unknowns) {
            let (before, rest) = trio.split_at(unknowns);
            let (at, after) = rest.split_at(unknowns);
            heights.extend_from_slice(at);
            let slope = before.iter().zip(after);
            slopes.extend(slope.map(|(before, after)| (after - before) / (span_h * pace)));
        }
        Ok(Self {
            unknowns,
            heights,
            slopes,
            values: record.readings.iter().map(|it| it.height_m).collect(),
        })
    }

    /// The column that those before it in an order come closest to making up, and what share of its
    /// square they leave.
    fn weakest(&self, order: &[usize]) -> (usize, f64) {
        let n = self.unknowns;
        let (gram, _) = self.products(1.0);
        let ordered: Vec<f64> = order
            .iter()
            .flat_map(|i| order.iter().map(move |j| (*i, *j)))
            .map(|(i, j)| gram.get(i * n + j).copied().unwrap_or_default())
            .collect();
        let (place, share) = Normal::of_products(&ordered, &vec![0.0; n]).weakest();
        (order.get(place).copied().unwrap_or_default(), share)
    }

    /// The normal equations with a weight for the slopes; the heights have 1.
    fn normal(&self, weight: f64) -> Normal {
        let (gram, right) = self.products(weight);
        Normal::of_products(&gram, &right)
    }

    fn products(&self, weight: f64) -> (Vec<f64>, Vec<f64>) {
        let n = self.unknowns;
        let mut gram = vec![0.0; n * n];
        let mut right = vec![0.0; n];
        let mut add = |row: &[f64], value: f64, weight: f64| {
            for (i, a) in row.iter().enumerate() {
                let weighted = weight * a;
                for (sum, b) in gram.iter_mut().skip(i * n).zip(row) {
                    *sum += weighted * b;
                }
                if let Some(sum) = right.get_mut(i) {
                    *sum += weighted * value;
                }
            }
        };
        let heights = self.heights.chunks_exact(n).zip(&self.values);
        for ((row, value), slope) in heights.zip(self.slopes.chunks_exact(n)) {
            add(row, *value, 1.0);
            add(slope, 0.0, weight);
        }
        (gram, right)
    }

    /// What the fit leaves of the heights and of the slopes, metres.
    fn residuals(&self, solution: &[f64]) -> [Vec<f64>; 2] {
        let fitted = |row: &[f64]| -> f64 { row.iter().zip(solution).map(|(a, b)| a * b).sum() };
        let heights = self.heights.chunks_exact(self.unknowns).zip(&self.values);
        let slopes = self.slopes.chunks_exact(self.unknowns);
        [
            heights.map(|(row, value)| value - fitted(row)).collect(),
            slopes.map(|row| -fitted(row)).collect(),
        ]
    }
}
