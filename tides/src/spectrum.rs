//! The residual's periodogram, for errors that know the colour of the noise.

use alloc::vec;
use alloc::vec::Vec;
use core::f64::consts::TAU;

use crate::convention::hours_between;
use crate::record::{Reading, Record};

/// Longest grid, as a power of two: sixty years of hours.
const LARGEST: u32 = 19;

/// Power of the residual by frequency, scaled so that white noise has its variance everywhere.
pub(crate) struct Periodogram {
    power: Vec<f64>,
    /// Degrees an hour from one power to the next.
    bin_deg_per_h: f64,
    /// Degrees an hour that one turn over the record makes.
    turn_deg_per_h: f64,
    variance: f64,
    /// Whether the readings are so few or so scattered that what is left about a line says nothing
    /// of the noise there.
    sparse: bool,
}

impl Periodogram {
    /// Residuals are put on the nearest points of a grid with the median spacing; gaps hold zeros.
    /// The unknowns of the fit are taken from the number of readings that share the squares. A
    /// weight for each residual, or none.
    pub(crate) fn new(
        record: &Record<'_>,
        residuals: &[f64],
        weights: &[f64],
        unknowns: usize,
    ) -> Self {
        let readings: &[Reading] = &record.readings;
        let free = residuals.len().saturating_sub(unknowns).max(1) as f64;
        let weight = |k: usize| weights.get(k).copied().unwrap_or(1.0);
        let squares = residuals.iter().enumerate().map(|(k, r)| r * r * weight(k));
        let variance = squares.sum::<f64>() / free;
        // A window full of gaps smears each line that was taken out over its neighbours.
        let covered = residuals.len() as f64 * record.step_h;
        let sparse = residuals.len() < 4 * unknowns || covered < 0.5 * record.hours;
        let step = record
            .step_h
            .max(record.hours / f64::from(1_u32 << LARGEST));
        let points = (libm::ceil(record.hours / step) as usize + 1).next_power_of_two();
        let mut grid = vec![(0.0, 0.0); points];
        let start = readings
            .first()
            .map(|reading| reading.at)
            .unwrap_or_default();
        for (k, (reading, residual)) in readings.iter().zip(residuals).enumerate() {
            let at = libm::rint(hours_between(start, reading.at) / step) as usize;
            if let Some(cell) = grid.get_mut(at) {
                cell.0 += residual * libm::sqrt(weight(k));
            }
        }
        transform(&mut grid);
        let power = grid
            .iter()
            .take(points / 2 + 1)
            .map(|(re, im)| (re * re + im * im) / free)
            .collect();
        Self {
            power,
            bin_deg_per_h: 360.0 / (points as f64 * step),
            turn_deg_per_h: 360.0 / record.hours.max(step),
            variance,
            sparse,
        }
    }

    /// The same for readings so few that what is left about a line says nothing of the noise there.
    pub(crate) fn of_few(record: &Record<'_>, residuals: &[f64], unknowns: usize) -> Self {
        Self {
            sparse: true,
            ..Self::new(record, residuals, &[], unknowns)
        }
    }

    /// Mean power about a speed, the lines themselves left out: the fit has taken their noise with
    /// them.
    pub(crate) fn about(&self, speed_deg_per_h: f64, lines_deg_per_h: &[f64]) -> f64 {
        // Bins hold overlapping turns because of the padding; ten turns either side, or more until
        // a dozen bins are free.
        for turns in [10.0, 20.0, 40.0, 80.0, 160.0] {
            let half = turns * self.turn_deg_per_h;
            let from = libm::ceil(
                (speed_deg_per_h - half).max(0.5 * self.turn_deg_per_h) / self.bin_deg_per_h,
            );
            let to = libm::floor((speed_deg_per_h + half) / self.bin_deg_per_h);
            let (mut sum, mut count) = (0.0, 0.0);
            let mut bin = from;
            while bin <= to {
                let at = bin * self.bin_deg_per_h;
                let free = lines_deg_per_h
                    .iter()
                    .all(|line| (line - at).abs() > 0.7 * self.turn_deg_per_h);
                if free && let Some(power) = self.power.get(bin as usize) {
                    sum += power;
                    count += 1.0;
                }
                bin += 1.0;
            }
            if count >= 12.0 {
                let power = sum / count;
                return if self.sparse {
                    power.max(self.variance)
                } else {
                    power
                };
            }
        }
        self.variance
    }
}

/// Fast Fourier transform in place, radix 2 (Cooley & Tukey 1965), length a power of two.
fn transform(values: &mut [(f64, f64)]) {
    let n = values.len();
    if n < 2 {
        return;
    }
    let bits = n.trailing_zeros();
    for i in 0..n {
        let j = i.reverse_bits() >> (usize::BITS - bits);
        if i < j {
            values.swap(i, j);
        }
    }
    let mut size = 2;
    while size <= n {
        let angle = -TAU / size as f64;
        let twiddles: Vec<(f64, f64)> = (0..size / 2)
            .map(|k| (libm::cos(angle * k as f64), libm::sin(angle * k as f64)))
            .collect();
        for block in values.chunks_exact_mut(size) {
            let (low, high) = block.split_at_mut(size / 2);
            for ((a, b), (c, s)) in low.iter_mut().zip(high).zip(&twiddles) {
                let turned = (b.0 * c - b.1 * s, b.0 * s + b.1 * c);
                *b = (a.0 - turned.0, a.1 - turned.1);
                *a = (a.0 + turned.0, a.1 + turned.1);
            }
        }
        size *= 2;
    }
}
