//! The fit's columns and its normal equations.
//!
//! The columns are worked out strip by strip and thrown away again, so that a century of hours
//! needs no more memory than a day.
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
use crate::wave::{LANES, Vectors, each, sum};

/// Columns before those of the lines: 1, the time in years from the middle (with a trend), the
/// reading itself, so that the products with it come along with the others, and nothing.
const PREFIX: usize = 8;
const LEVEL: usize = 2;
/// Cosines and sines of four lines.
const GROUP: usize = 2 * LANES;
/// Readings handled together: as many as keep the strips of the matrix in the first cache.
const STRIP: usize = 24;
const HOURS_PER_YEAR: f64 = 8_766.0;
/// The curves of the lines are prepared for this long at a time.
const PIECE: SignedDuration = SignedDuration::from_hours(366 * 24);

/// One row for each reading: the columns before, and f cos(V + u) and f sin(V + u) of the lines, in
/// groups of four cosines and four sines.
pub(crate) struct Design<'a> {
    readings: &'a [Reading],
    unit: &'a Port,
    pairs: &'a [Column],
    trend: bool,
    vectors: Vectors,
    /// Columns as stored for all lines, and for those that have a column of their own.
    stride: usize,
    used: usize,
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
        Some(Self {
            readings,
            unit,
            pairs,
            trend,
            vectors: Vectors::widest(),
            stride: PREFIX + GROUP * unit.lines().len().div_ceil(LANES),
            used: PREFIX + GROUP * pairs.len().div_ceil(LANES),
            start: first.at,
            middle_h: 0.5 * hours_between(first.at, last.at),
        })
    }

    fn offset(&self) -> usize {
        if self.trend { 2 } else { 1 }
    }

    /// Unknowns in order: the mean level, the trend, cosine and sine of each pair.
    fn unknowns(&self) -> usize {
        self.offset() + 2 * self.pairs.len()
    }

    /// Where the column of an unknown is stored.
    fn place(&self, unknown: usize) -> usize {
        match unknown.checked_sub(self.offset()) {
            None => unknown,
            Some(column) => cosine_of(column / 2) + LANES * (column % 2),
        }
    }

    /// Hands the rows over in strips, with the indices of their readings.
    fn each_strip(&self, mut take: impl FnMut(Range<usize>, &mut [f64])) -> Result<(), Error> {
        let mut rows = vec![0.0; self.stride * STRIP];
        let mut done = 0;
        while let Some(rest) = self.readings.get(done..).filter(|rest| !rest.is_empty()) {
            let (predictor, length) = self.piece(rest)?;
            let piece = rest.get(..length).unwrap_or(rest);
            for strip in piece.chunks(STRIP) {
                for (row, reading) in rows.chunks_exact_mut(self.stride).zip(strip) {
                    self.fill(&predictor, reading, row);
                }
                let indices = done..done + strip.len();
                let filled = rows.get_mut(..self.stride * strip.len());
                take(indices, filled.unwrap_or_default());
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

    fn fill(&self, predictor: &Predictor, reading: &Reading, row: &mut [f64]) {
        row[0] = 1.0;
        if self.trend {
            row[1] = (hours_between(self.start, reading.at) - self.middle_h) / HOURS_PER_YEAR;
        }
        row[LEVEL] = reading.height_m;
        let hours = hours_between(predictor.base(), reading.at);
        let segment = predictor.segment_at(hours);
        let groups = row.get_mut(PREFIX..).unwrap_or_default();
        self.vectors.run(
            #[inline(always)]
            || segment.waves(hours, groups),
        );
        if self.unit.lines().len() == self.pairs.len() {
            return;
        }
        for (index, column) in self.pairs.iter().enumerate() {
            let to = cosine_of(index);
            for (follower, ratio, difference) in &column.followers {
                let from = cosine_of(*follower);
                let (cosine, sine) = (row[from], row[from + LANES]);
                let turn = difference.to_radians();
                let (c, s) = (libm::cos(turn), libm::sin(turn));
                row[to] += ratio * (cosine * c + sine * s);
                row[to + LANES] += ratio * (sine * c - cosine * s);
            }
        }
        // Followers that share a group with the last pairs have no column of their own.
        for spare in self.pairs.len()..self.pairs.len().next_multiple_of(LANES) {
            (row[cosine_of(spare)], row[cosine_of(spare) + LANES]) = (0.0, 0.0);
        }
    }

    /// The columns of the unknowns in their order, for every reading, row after row.
    pub(crate) fn each_row(&self, all: &mut Vec<f64>) -> Result<(), Error> {
        let places: Vec<usize> = (0..self.unknowns()).map(|it| self.place(it)).collect();
        self.each_strip(|_, rows| {
            for row in rows.chunks_exact(self.stride) {
                all.extend(places.iter().map(|place| row[*place]));
            }
        })
    }

    /// Reading less fit, for every reading.
    pub(crate) fn residuals(
        &self,
        solution: &[f64],
        residuals: &mut Vec<f64>,
    ) -> Result<(), Error> {
        let mut stored = vec![0.0; self.used];
        for (unknown, value) in solution.iter().enumerate() {
            stored[self.place(unknown)] = -value;
        }
        stored[LEVEL] = 1.0;
        residuals.clear();
        residuals.reserve_exact(self.readings.len());
        self.each_strip(|_, rows| {
            for row in rows.chunks_exact(self.stride) {
                residuals.push(self.vectors.run(
                    #[inline(always)]
                    || product(row, &stored),
                ));
            }
        })
    }
}

/// Where the cosines of a line are stored; its sines stand four farther.
fn cosine_of(line: usize) -> usize {
    PREFIX + GROUP * (line / LANES) + line % LANES
}

#[inline(always)]
fn product(row: &[f64], by: &[f64]) -> f64 {
    let mut total = [0.0; LANES];
    for (a, b) in row.chunks_exact(LANES).zip(by.chunks_exact(LANES)) {
        total = each(|k| total[k] + a[k] * b[k]);
    }
    sum(total)
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
        let (n, stride, used) = (design.unknowns(), design.stride, design.used);
        let mut gram = vec![0.0; used * used];
        design.each_strip(|indices, rows| {
            let weights = weights.get(indices).unwrap_or_default();
            for (row, weight) in rows.chunks_exact_mut(stride).zip(weights) {
                let root = libm::sqrt(*weight);
                for value in row {
                    *value *= root;
                }
            }
            design.vectors.run(
                #[inline(always)]
                || accumulate(rows, stride, used, &mut gram),
            );
        })?;
        let places: Vec<usize> = (0..n).map(|unknown| design.place(unknown)).collect();
        let product = |a: usize, b: usize| gram[a.min(b) * used + a.max(b)];
        Ok(Self::scaled(
            n,
            |i, j| product(places[i], places[j]),
            |i| product(LEVEL, places[i]),
        ))
    }

    /// From the products of the columns with one another, row after row, and with the values.
    pub(crate) fn of_products(gram: &[f64], right: &[f64]) -> Self {
        let n = right.len();
        Self::scaled(n, |i, j| gram[i * n + j], |i| right[i])
    }

    fn scaled(
        n: usize,
        product: impl Fn(usize, usize) -> f64,
        with_value: impl Fn(usize) -> f64,
    ) -> Self {
        let scale: Vec<f64> = (0..n)
            .map(|i| {
                let square: f64 = product(i, i);
                if square > 0.0 {
                    1.0 / libm::sqrt(square)
                } else {
                    0.0
                }
            })
            .collect();
        let matrix = DMatrix::from_fn(n, n, |i, j| product(i, j) * scale[i] * scale[j]);
        let right = DVector::from_fn(n, |i, _| with_value(i) * scale[i]);
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

    /// The diagonal of the inverse of the scaled equations: by how much more a coefficient varies
    /// than if its column stood alone.
    pub(crate) fn inflations(&self) -> Option<Vec<f64>> {
        let n = self.scale.len();
        // Columns of the lower factor one after another.
        let lower = self.factor.as_ref()?.l_dirty().as_slice();
        let mut inflations = vec![0.0; n];
        // Columns of the inverse of the lower factor, one at a time; their squares add up to the
        // diagonal of the whole inverse.
        let mut column = vec![0.0; n];
        for j in 0..n {
            column.fill(0.0);
            column[j] = 1.0;
            for (k, below) in lower.chunks_exact(n).enumerate().skip(j) {
                let value = column[k] / below[k];
                column[k] = value;
                for (sum, entry) in column[k + 1..].iter_mut().zip(&below[k + 1..]) {
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

    /// The column that the columns before it come closest to making up, and what share of its
    /// square they leave.
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

/// Adds the product of a strip with itself to the upper triangle, in tiles of four rows and eight
/// columns.
#[inline(always)]
fn accumulate(rows: &[f64], stride: usize, used: usize, gram: &mut [f64]) {
    // The second four columns hold nothing.
    for i in (0..used).step_by(LANES).filter(|i| *i != LANES) {
        for j in (i / GROUP * GROUP..used).step_by(GROUP) {
            let mut tile = [[0.0; GROUP]; LANES];
            for row in rows.chunks_exact(stride) {
                let (Some(a), Some(b)) = (
                    row.get(i..).and_then(|rest| rest.first_chunk::<LANES>()),
                    row.get(j..).and_then(|rest| rest.first_chunk::<GROUP>()),
                ) else {
                    continue;
                };
                for k in 0..LANES {
                    for l in 0..GROUP {
                        tile[k][l] += a[k] * b[l];
                    }
                }
            }
            for (k, lane) in tile.iter().enumerate() {
                let start = (i + k) * used + j;
                if let Some(target) = gram.get_mut(start..start + GROUP) {
                    for (sum, value) in target.iter_mut().zip(lane) {
                        *sum += value;
                    }
                }
            }
        }
    }
}
