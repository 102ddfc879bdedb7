//! The fit's columns and its normal equations.
#![allow(
    clippy::needless_range_loop,
    reason = "lanes and tiles of several arrays run side by side"
)]

use alloc::vec;
use alloc::vec::Vec;

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use crate::analysis::{Column, Reading};
use crate::constants::Port;
use crate::convention::hours_between;
use crate::error::Error;
use crate::predict::Predictor;

/// Columns handled together in the product of the matrix with itself.
const TILE: usize = 4;
/// Readings handled together: as many as keep the strips of the matrix in the first cache.
const STRIP: usize = 32;
const HOURS_PER_YEAR: f64 = 8_766.0;

/// One row for each reading: 1, the time in years from the middle (with a trend), and f cos(V + u), f sin(V + u) for each constituent.
pub(crate) struct Basis {
    /// Columns in use.
    columns: usize,
    /// Columns as stored, a multiple of the tile.
    stride: usize,
    rows: Vec<f64>,
}

impl Basis {
    pub(crate) fn new(
        readings: &[Reading],
        unit: &Port,
        pairs: &[Column],
        trend: bool,
    ) -> Result<Self, Error> {
        let (Some(first), Some(last)) = (readings.first(), readings.last()) else {
            return Err(Error::NoConstituents);
        };
        let end = last
            .at
            .checked_add(jiff::SignedDuration::from_secs(1))
            .unwrap_or(last.at);
        let predictor: Predictor = unit.predictor(first.at..end)?;
        let offset = if trend { 2 } else { 1 };
        let columns = offset + 2 * pairs.len();
        let stride = columns.next_multiple_of(TILE);
        let mut rows = vec![0.0; stride * readings.len()];
        let middle = 0.5 * hours_between(first.at, last.at);
        let mut waves = Vec::new();
        for (row, reading) in rows.chunks_exact_mut(stride).zip(readings) {
            row[0] = 1.0;
            if trend {
                row[1] = (hours_between(first.at, reading.at) - middle) / HOURS_PER_YEAR;
            }
            predictor.waves(reading.at, &mut waves);
            for (pair, column) in row[offset..columns].chunks_exact_mut(2).zip(pairs) {
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
        Ok(Self {
            columns,
            stride,
            rows,
        })
    }

    pub(crate) fn residuals(&self, levels: &[f64], solution: &[f64]) -> Vec<f64> {
        self.rows
            .chunks_exact(self.stride)
            .zip(levels)
            .map(|(row, level)| level - row.iter().zip(solution).map(|(a, x)| a * x).sum::<f64>())
            .collect()
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
    pub(crate) fn new(basis: &Basis, levels: &[f64], weights: &[f64]) -> Self {
        let (n, stride) = (basis.columns, basis.stride);
        let mut gram = vec![0.0; stride * stride];
        let mut right = vec![0.0; stride];
        let mut strip = vec![0.0; stride * STRIP];
        let plain = weights.iter().all(|weight| *weight == 1.0);
        for ((rows, weights), levels) in basis
            .rows
            .chunks(stride * STRIP)
            .zip(weights.chunks(STRIP))
            .zip(levels.chunks(STRIP))
        {
            for ((row, weight), level) in rows.chunks_exact(stride).zip(weights).zip(levels) {
                for (sum, value) in right.iter_mut().zip(row) {
                    *sum += weight * level * value;
                }
            }
            if plain {
                accumulate(rows, stride, &mut gram);
            } else {
                for ((to, from), weight) in strip
                    .chunks_exact_mut(stride)
                    .zip(rows.chunks_exact(stride))
                    .zip(weights)
                {
                    let root = libm::sqrt(*weight);
                    for (to, from) in to.iter_mut().zip(from) {
                        *to = root * from;
                    }
                }
                accumulate(
                    strip.get(..rows.len()).unwrap_or_default(),
                    stride,
                    &mut gram,
                );
            }
        }
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
        Self {
            matrix,
            right,
            scale,
            factor,
        }
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

    pub(crate) fn inverse_diagonal(&self) -> Option<Vec<f64>> {
        let inverse = self.factor.as_ref()?.inverse();
        Some(
            inverse
                .diagonal()
                .iter()
                .zip(&self.scale)
                .map(|(v, scale)| v * scale * scale)
                .collect(),
        )
    }

    /// The column that the columns before it come closest to making up, and what share of its square they leave.
    pub(crate) fn weakest(&self) -> (usize, f64) {
        let n = self.scale.len();
        let mut lower = self.matrix.clone();
        let mut weakest = (0, 1.0);
        for j in 0..n {
            let mut pivot = lower[(j, j)];
            for k in 0..j {
                pivot -= lower[(j, k)] * lower[(j, k)];
            }
            if pivot < weakest.1 {
                weakest = (j, pivot);
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
        weakest
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
