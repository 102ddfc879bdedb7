//! The fit's columns and its normal equations.
//!
//! The columns are worked out strip by strip and thrown away again, so that a century of hours needs no more memory than a day.
#![allow(
    clippy::needless_range_loop,
    reason = "lanes and tiles of several arrays run side by side"
)]

use alloc::vec;
use alloc::vec::Vec;
use core::ops::Range;

use jiff::{SignedDuration, Timestamp};
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use crate::constants::Port;
use crate::convention::hours_between;
use crate::error::Error;
use crate::predict::Predictor;
use crate::record::Reading;
use crate::selection::Column;

/// Columns handled together in the product of the matrix with itself.
const TILE: usize = 4;
/// Readings handled together: as many as keep the strips of the matrix in the first cache.
const STRIP: usize = 32;
const HOURS_PER_YEAR: f64 = 8_766.0;
/// The curves of the lines are prepared for this long at a time.
const PIECE: SignedDuration = SignedDuration::from_hours(366 * 24);

/// One row for each reading: 1, the time in years from the middle (with a trend), and f cos(V + u), f sin(V + u) for each constituent.
pub(crate) struct Design<'a> {
    readings: &'a [Reading],
    unit: &'a Port,
    pairs: &'a [Column],
    trend: bool,
    /// Columns in use.
    columns: usize,
    /// Columns as stored, a multiple of the tile.
    stride: usize,
    /// The middle of the record.
    start: Timestamp,
    middle_h: f64,
}

impl<'a> Design<'a> {
    /// None for a record without readings.
    pub(crate) fn new(
        readings: &'a [Reading],
        unit: &'a Port,
        pairs: &'a [Column],
        trend: bool,
    ) -> Option<Self> {
        let (first, last) = (readings.first()?, readings.last()?);
        let columns = if trend { 2 } else { 1 } + 2 * pairs.len();
        Some(Self {
            readings,
            unit,
            pairs,
            trend,
            columns,
            stride: columns.next_multiple_of(TILE),
            start: first.at,
            middle_h: 0.5 * hours_between(first.at, last.at),
        })
    }

    /// Hands the rows over in strips, with the indices of their readings.
    fn each_strip(&self, mut take: impl FnMut(Range<usize>, &[f64])) -> Result<(), Error> {
        let mut rows = vec![0.0; self.stride * STRIP];
        let mut waves = Vec::new();
        let mut done = 0;
        while let Some(rest) = self.readings.get(done..).filter(|rest| !rest.is_empty()) {
            let (predictor, length) = self.piece(rest)?;
            let piece = rest.get(..length).unwrap_or(rest);
            for strip in piece.chunks(STRIP) {
                for (row, reading) in rows.chunks_exact_mut(self.stride).zip(strip) {
                    self.fill(&predictor, reading.at, row, &mut waves);
                }
                let indices = done..done + strip.len();
                let filled = rows.get(..self.stride * strip.len()).unwrap_or_default();
                take(indices, filled);
                done += strip.len();
            }
        }
        Ok(())
    }

    /// The lines' curves over the first readings of a record, and how many of them they cover.
    fn piece(&self, readings: &[Reading]) -> Result<(Predictor, usize), Error> {
        let start = readings.first().map_or(self.start, |reading| reading.at);
        let latest = start.checked_add(PIECE).unwrap_or(Timestamp::MAX);
        let length = readings
            .partition_point(|reading| reading.at <= latest)
            .max(1);
        let last = readings.get(length - 1).map_or(start, |reading| reading.at);
        let end = last
            .checked_add(SignedDuration::from_secs(1))
            .unwrap_or(Timestamp::MAX);
        Ok((self.unit.predictor(start..end)?, length))
    }

    fn fill(
        &self,
        predictor: &Predictor,
        at: Timestamp,
        row: &mut [f64],
        waves: &mut Vec<(f64, f64)>,
    ) {
        row[0] = 1.0;
        if self.trend {
            row[1] = (hours_between(self.start, at) - self.middle_h) / HOURS_PER_YEAR;
        }
        predictor.waves(at, waves);
        let offset = if self.trend { 2 } else { 1 };
        for (pair, column) in row[offset..self.columns]
            .chunks_exact_mut(2)
            .zip(self.pairs)
        {
            let (cosine, sine) = waves.get(column.main).copied().unwrap_or_default();
            (pair[0], pair[1]) = (cosine, sine);
            for (follower, ratio, difference) in &column.followers {
                let (cosine, sine) = waves.get(*follower).copied().unwrap_or_default();
                let turn = difference.to_radians();
                let (c, s) = (libm::cos(turn), libm::sin(turn));
                pair[0] += ratio * (cosine * c + sine * s);
                pair[1] += ratio * (sine * c - cosine * s);
            }
        }
    }

    /// Reading less fit, for every reading.
    pub(crate) fn residuals(
        &self,
        solution: &[f64],
        residuals: &mut Vec<f64>,
    ) -> Result<(), Error> {
        residuals.clear();
        residuals.reserve_exact(self.readings.len());
        self.each_strip(|indices, rows| {
            let readings = self.readings.get(indices).unwrap_or_default();
            for (row, reading) in rows.chunks_exact(self.stride).zip(readings) {
                let fit: f64 = row.iter().zip(solution).map(|(a, x)| a * x).sum();
                residuals.push(reading.height_m - fit);
            }
        })
    }
}

/// The normal equations, scaled to ones on the diagonal.
pub(crate) struct Normal {
    matrix: DMatrix<f64>,
    right: DVector<f64>,
    scale: Vec<f64>,
    factor: Option<Cholesky<f64, Dyn>>,
}

impl Normal {
    /// With a weight for each reading, or with equal weights where there is none.
    pub(crate) fn new(design: &Design<'_>, weights: &[f64]) -> Result<Self, Error> {
        let (n, stride) = (design.columns, design.stride);
        let mut gram = vec![0.0; stride * stride];
        let mut right = vec![0.0; stride];
        let mut weighed = vec![0.0; stride * STRIP];
        design.each_strip(|indices, rows| {
            let readings = design.readings.get(indices.clone()).unwrap_or_default();
            let weights = weights.get(indices).unwrap_or_default();
            let weight_of = |k: usize| weights.get(k).copied().unwrap_or(1.0);
            for (k, (row, reading)) in rows.chunks_exact(stride).zip(readings).enumerate() {
                let level = weight_of(k) * reading.height_m;
                for (sum, value) in right.iter_mut().zip(row) {
                    *sum += level * value;
                }
            }
            if weights.is_empty() {
                accumulate(rows, stride, &mut gram);
                return;
            }
            for (k, (to, from)) in weighed
                .chunks_exact_mut(stride)
                .zip(rows.chunks_exact(stride))
                .enumerate()
            {
                let root = libm::sqrt(weight_of(k));
                for (to, from) in to.iter_mut().zip(from) {
                    *to = root * from;
                }
            }
            let weighed = weighed.get(..rows.len()).unwrap_or_default();
            accumulate(weighed, stride, &mut gram);
        })?;
        let scale: Vec<f64> = (0..n)
            .map(|i| {
                let square: f64 = gram[i * stride + i];
                if square > 0.0 {
                    1.0 / libm::sqrt(square)
                } else {
                    0.0
                }
            })
            .collect();
        let matrix = DMatrix::from_fn(n, n, |i, j| {
            let (low, high) = (i.min(j), i.max(j));
            gram[low * stride + high] * scale[i] * scale[j]
        });
        let right = DVector::from_fn(n, |i, _| right[i] * scale[i]);
        let factor = Cholesky::new(matrix.clone());
        Ok(Self {
            matrix,
            right,
            scale,
            factor,
        })
    }

    pub(crate) fn solve(&self) -> Option<Vec<f64>> {
        let scaled = self.factor.as_ref()?.solve(&self.right);
        let solution: Vec<f64> = scaled
            .iter()
            .zip(&self.scale)
            .map(|(x, scale)| x * scale)
            .collect();
        solution.iter().all(|x| x.is_finite()).then_some(solution)
    }

    /// The diagonal of the inverse of the scaled equations: by how much more a coefficient varies than if its column stood alone.
    pub(crate) fn inflations(&self) -> Option<Vec<f64>> {
        let lower = self.factor.as_ref()?.l_dirty();
        let n = self.scale.len();
        let mut inflations = vec![0.0; n];
        // Columns of the inverse of the lower factor, one at a time; their squares add up to the diagonal of the whole inverse.
        let mut column = vec![0.0; n];
        for j in 0..n {
            column[j] = 1.0 / lower[(j, j)];
            for i in j + 1..n {
                column[i] = 0.0;
            }
            for k in j..n {
                if k > j {
                    column[k] /= lower[(k, k)];
                }
                let value = column[k];
                let below = lower.column(k);
                for (sum, entry) in column[k + 1..].iter_mut().zip(below.iter().skip(k + 1)) {
                    *sum -= value * entry;
                }
            }
            inflations[j] = column[j..].iter().map(|x| x * x).sum();
        }
        inflations
            .iter()
            .all(|x| x.is_finite())
            .then_some(inflations)
    }

    /// What the inverse of the unscaled equations has on its diagonal.
    pub(crate) fn variances(&self, inflations: &[f64]) -> Vec<f64> {
        inflations
            .iter()
            .zip(&self.scale)
            .map(|(inflation, scale)| inflation * scale * scale)
            .collect()
    }

    /// The column that the columns before it come closest to making up, and what share of its square they leave.
    pub(crate) fn weakest(&self) -> (usize, f64) {
        let n = self.scale.len();
        if let Some(factor) = &self.factor {
            let lower = factor.l_dirty();
            return (0..n)
                .map(|j| (j, lower[(j, j)] * lower[(j, j)]))
                .min_by(|a, b| a.1.total_cmp(&b.1))
                .unwrap_or((0, 1.0));
        }
        // Where the factorisation broke down, it is done again up to there.
        let mut lower = self.matrix.clone();
        for j in 0..n {
            let mut pivot = lower[(j, j)];
            for k in 0..j {
                pivot -= lower[(j, k)] * lower[(j, k)];
            }
            if pivot < 1e-12 {
                return (j, pivot);
            }
            let root = libm::sqrt(pivot);
            lower[(j, j)] = root;
            for i in j + 1..n {
                let mut sum = lower[(i, j)];
                for k in 0..j {
                    sum -= lower[(i, k)] * lower[(j, k)];
                }
                lower[(i, j)] = sum / root;
            }
        }
        (n.saturating_sub(1), 0.0)
    }

    /// The column most like another, of a different constituent.
    pub(crate) fn most_like(&self, column: usize, offset: usize) -> usize {
        let group = |i: usize| i.checked_sub(offset).map_or(usize::MAX, |i| i / 2);
        (0..self.scale.len())
            .filter(|other| *other != column && group(*other) != group(column))
            .max_by(|a, b| {
                let likeness = |i: &usize| self.matrix[(*i, column)].abs();
                likeness(a).total_cmp(&likeness(b))
            })
            .unwrap_or(0)
    }
}

/// Adds the product of a strip with itself to the upper triangle, tile by tile.
fn accumulate(rows: &[f64], stride: usize, gram: &mut [f64]) {
    for i in (0..stride).step_by(TILE) {
        for j in (i..stride).step_by(TILE) {
            let mut tile = [[0.0; TILE]; TILE];
            for row in rows.chunks_exact(stride) {
                let (Some(a), Some(b)) = (row.get(i..i + TILE), row.get(j..j + TILE)) else {
                    continue;
                };
                for k in 0..TILE {
                    for l in 0..TILE {
                        tile[k][l] += a[k] * b[l];
                    }
                }
            }
            for (k, lane) in tile.iter().enumerate() {
                let start = (i + k) * stride + j;
                if let Some(target) = gram.get_mut(start..start + TILE) {
                    for (sum, value) in target.iter_mut().zip(lane) {
                        *sum += value;
                    }
                }
            }
        }
    }
}
