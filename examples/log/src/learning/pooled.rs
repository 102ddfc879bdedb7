//! Chances of several places that inform one another.
//!
//! Each place's chance is drawn from a common Beta distribution whose mean and spread are
//! themselves unknown: a place with many visits keeps its own figure, one with few is drawn towards
//! the others. The prior is uniform in the common mean and in the inverse square root of the sum of
//! the shapes (Gelman, Carlin, Stern, Dunson, Vehtari and Rubin 2013, Bayesian Data Analysis, 3rd
//! edition, section 5.3), with the sum from 1 upwards.

use statrs::function::beta::ln_beta;
use wrackline_plan::experience::Interval;

use super::beta::{Beta, bisect};

/// Visits to one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tally {
    /// Visits that reached the rung; fractions where older winters count less.
    pub hits: f64,
    /// Visits that did not.
    pub misses: f64,
}

/// The common distribution, as a weighted set of Beta distributions.
#[derive(Debug, Clone, PartialEq)]
pub struct Pool {
    cells: Vec<(f64, Beta)>,
}

/// Steps of the common mean and of its spread across the box that is looked at. Twice as many
/// change no printed digit (see the tests against a general statistics library).
const STEPS: u32 = 40;

/// Cells that hold less than this share of the heaviest one do not count.
const NEGLIGIBLE: f64 = 1e-7;

/// A stretch of the common mean, or of its spread.
#[derive(Debug, Clone, Copy)]
struct Span {
    low: f64,
    high: f64,
}

impl Span {
    const WHOLE: Span = Span {
        low: 0.0,
        high: 1.0,
    };

    /// The middles of equal steps.
    fn steps(self) -> impl Iterator<Item = f64> {
        (0..STEPS).map(move |i| {
            self.low + (self.high - self.low) * (f64::from(i) + 0.5) / f64::from(STEPS)
        })
    }

    /// The stretch that holds the given middles, half a step and a bit on either side.
    fn around(self, middles: impl Iterator<Item = f64> + Clone) -> Span {
        let step = (self.high - self.low) / f64::from(STEPS);
        let low = middles.clone().fold(f64::INFINITY, f64::min);
        let high = middles.fold(f64::NEG_INFINITY, f64::max);
        Span {
            low: (low - step).max(self.low),
            high: (high + step).min(self.high),
        }
    }
}

/// A common mean and a spread with its likelihood, relative to the highest.
struct Cell {
    mean: f64,
    spread: f64,
    shapes: Beta,
    weight: f64,
}

/// The cells of a box that count.
fn cells(tallies: &[Tally], means: Span, spreads: Span) -> Vec<Cell> {
    let mut cells = Vec::new();
    for mean in means.steps() {
        for spread in spreads.steps() {
            let sum = spread.powi(-2);
            let (a, b) = (mean * sum, (1.0 - mean) * sum);
            let Some(shapes) = Beta::new(a, b) else {
                continue;
            };
            let log: f64 = tallies
                .iter()
                .map(|tally| ln_beta(a + tally.hits, b + tally.misses) - ln_beta(a, b))
                .sum();
            cells.push(Cell {
                mean,
                spread,
                shapes,
                weight: log,
            });
        }
    }
    let highest = cells
        .iter()
        .map(|cell| cell.weight)
        .fold(f64::NEG_INFINITY, f64::max);
    for cell in &mut cells {
        cell.weight = (cell.weight - highest).exp();
    }
    cells.retain(|cell| cell.weight > NEGLIGIBLE);
    cells
}

impl Pool {
    /// Learns the common distribution from all the places.
    pub fn learn(tallies: &[Tally]) -> Pool {
        // Many places leave little doubt about the common distribution: a first look finds where it
        // lies, a second one resolves it.
        let first = cells(tallies, Span::WHOLE, Span::WHOLE);
        let means = Span::WHOLE.around(first.iter().map(|cell| cell.mean));
        let spreads = Span::WHOLE.around(first.iter().map(|cell| cell.spread));
        let cells = cells(tallies, means, spreads);
        let total: f64 = cells.iter().map(|cell| cell.weight).sum();
        Pool {
            cells: cells
                .into_iter()
                .map(|cell| (cell.weight / total, cell.shapes))
                .collect(),
        }
    }

    /// The common distribution's expected shapes: their share is the common mean, and the larger
    /// their sum, the more alike the places are.
    pub fn expected_shapes(&self) -> (f64, f64) {
        let sum = |shape: fn(Beta) -> f64| {
            self.cells
                .iter()
                .map(|(weight, beta)| weight * shape(*beta))
                .sum()
        };
        (sum(Beta::a), sum(Beta::b))
    }

    /// The chance at one of the places that was learnt from; an empty tally gives the chance at a
    /// place not yet visited.
    pub fn at(&self, tally: Tally) -> Shrunk {
        // The common distribution already holds the tally's own evidence, so that each cell needs
        // only its update.
        let cells = self
            .cells
            .iter()
            .map(|(weight, beta)| (*weight, beta.after(tally.hits, tally.misses)))
            .collect();
        Shrunk { cells }
    }

    /// The chance at one of the places that was learnt from, with what somebody else knows of it
    /// alone: the common distribution has not seen that yet, so that it weighs the cells anew.
    pub fn at_with(&self, tally: Tally, known: Tally) -> Shrunk {
        let logs: Vec<f64> = self
            .cells
            .iter()
            .map(|(weight, beta)| {
                let (a, b) = (beta.a() + tally.hits, beta.b() + tally.misses);
                weight.ln() + ln_beta(a + known.hits, b + known.misses) - ln_beta(a, b)
            })
            .collect();
        let highest = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let total: f64 = logs.iter().map(|log| (log - highest).exp()).sum();
        let cells = self.cells.iter().zip(&logs).map(|((_, beta), log)| {
            let (hits, misses) = (tally.hits + known.hits, tally.misses + known.misses);
            ((log - highest).exp() / total, beta.after(hits, misses))
        });
        Shrunk {
            cells: cells.collect(),
        }
    }
}

/// A place's chance after pooling.
#[derive(Debug, Clone, PartialEq)]
pub struct Shrunk {
    cells: Vec<(f64, Beta)>,
}

impl Shrunk {
    /// The expected chance.
    pub fn mean(&self) -> f64 {
        self.cells
            .iter()
            .map(|(weight, beta)| weight * beta.mean())
            .sum()
    }

    /// Probability that the chance is at most `x`.
    pub fn cdf(&self, x: f64) -> f64 {
        self.cells
            .iter()
            .map(|(weight, beta)| weight * beta.cdf(x))
            .sum()
    }

    /// The equal-tailed interval that holds the chance with probability `level`.
    pub fn interval(&self, level: f64) -> Interval {
        let tail = (1.0 - level.clamp(0.0, 1.0)) / 2.0;
        let quantile = |p| bisect(p, |x| self.cdf(x));
        Interval {
            low: quantile(tail),
            high: quantile(1.0 - tail),
        }
    }
}
