//! The share of visits with an animal through the year, smoothed around the circle of half-months.
//!
//! A visit of half-month *h* finds the animal with the chance *p(h)*, and logit *p* runs around the
//! year as a random walk without an end: its second differences from one half-month to the next are
//! normal with one unknown size (Rue and Held 2005, Gaussian Markov Random Fields, chapter 3). A
//! walk follows an arrival in a fortnight where the visits ask for it and a resident's flat year
//! where they do not, which a few harmonics cannot, and neighbours weighed by a fixed rule would
//! blunt every arrival. How far the walk may go is not chosen but averaged over, each size with the
//! weight that the visits give it. For each size the posterior is taken as normal about its mode on
//! the scale of the logit, and the sizes are mixed (Rue, Martino and Chopin 2009, Approximate
//! Bayesian inference for latent Gaussian models, Journal of the Royal Statistical Society B 71).
//!
//! A normal distribution has two tails, and of a half-month in which nobody ever saw the animal it
//! would leave half of the shares open. So what its own visits say is taken out of that normal
//! distribution again and put back as the binomial that it is (Cseke and Heskes 2011, Approximate
//! Marginals in Latent Gaussian Models, Journal of Machine Learning Research 12, from memory).

use nalgebra::{Cholesky, SMatrix, SVector};
use wrackline_plan::experience::Interval;
use wrackline_plan::scenario::HALF_MONTHS;

/// Visits of a half-month and those of them with the animal. Fractions, where visits that are much
/// alike count less than one.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tally {
    /// All visits.
    pub visits: f64,
    /// Visits with the animal.
    pub with: f64,
}

/// The share of visits in a half-month.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// The expected share.
    pub mean: f64,
    /// The interval that holds it nine times in ten.
    pub interval: Interval,
}

/// The probability that the interval holds the share: nine in ten.
pub const LEVEL: f64 = 0.90;

type Matrix = SMatrix<f64, HALF_MONTHS, HALF_MONTHS>;
type Vector = SVector<f64, HALF_MONTHS>;

/// The standard deviation of the mean logit before any visit: at two of them a share is a third of
/// a thousandth, so that little is said. Our default.
const LEVEL_SD: f64 = 4.0;

/// How many times in a hundred the seasonal curve is expected to run farther from its mean than
/// [`FAR`], on the scale of the logit: a penalty on complexity (Simpson, Rue, Riebler, Martins and
/// Sørbye 2017, Penalising Model Component Complexity, Statistical Science 32). At 5 a share falls
/// from one half to less than one in a hundred. Both are our defaults.
const BEYOND_FAR: f64 = 0.10;
const FAR: f64 = 5.0;

/// Sizes of the walk that are looked at, from a year as flat as a table to one that jumps from
/// never to always; evenly on the scale of the logarithm.
const SIZES: usize = 24;
const SMALLEST: f64 = 0.03;
const LARGEST: f64 = 30.0;

/// Sizes that weigh less than this share of the heaviest do not count.
const NEGLIGIBLE: f64 = 1e-6;

/// The year, as a mixture over the sizes of the walk.
#[derive(Clone, Debug)]
pub(super) struct Curve {
    cells: Vec<Cell>,
    tallies: [Tally; HALF_MONTHS],
}

/// One size of the walk.
#[derive(Clone, Debug)]
struct Cell {
    weight: f64,
    mode: Vector,
    sd: Vector,
    /// What the other half-months say of each, without its own visits: normal distributions by
    /// their precision and by its product with their mean.
    others: [(f64, f64); HALF_MONTHS],
}

/// Smooths the visits of a year. What is no count (below zero, not finite, more with the animal
/// than there were) counts as no visit.
pub(super) fn smooth(tallies: &[Tally; HALF_MONTHS]) -> Curve {
    let tallies = tallies.map(|tally| {
        let counts = tally.visits.is_finite() && (0.0..=tally.visits).contains(&tally.with);
        if counts { tally } else { Tally::default() }
    });
    let walk = Walk::new();
    let mut start = Vector::repeat(0.0);
    let mut cells: Vec<Cell> = (0..SIZES)
        .filter_map(|step| {
            let along = step as f64 / (SIZES - 1) as f64;
            let size = SMALLEST * (LARGEST / SMALLEST).powf(along);
            let cell = walk.at(size, &tallies, start)?;
            start = cell.mode;
            Some(cell)
        })
        .collect();
    let weights = cells.iter().map(|cell| cell.weight);
    let highest = weights.fold(f64::NEG_INFINITY, f64::max);
    for cell in &mut cells {
        cell.weight = (cell.weight - highest).exp();
    }
    cells.retain(|cell| cell.weight > NEGLIGIBLE);
    let total: f64 = cells.iter().map(|cell| cell.weight).sum();
    for cell in &mut cells {
        cell.weight /= total;
    }
    Curve { cells, tallies }
}

/// What the walk expects before any visit.
struct Walk {
    /// The precision of a walk of size 1, scaled so that the typical half-month lies one standard
    /// deviation from the mean of the year (Sørbye and Rue 2014, Scaling intrinsic Gaussian Markov
    /// random field priors, Spatial Statistics 8).
    structure: Matrix,
    /// The precision of the mean of the year.
    level: f64,
}

impl Walk {
    fn new() -> Self {
        let second = |row: usize, column: usize| match (column + HALF_MONTHS - row) % HALF_MONTHS {
            0 => -2.0,
            1 => 1.0,
            far if far == HALF_MONTHS - 1 => 1.0,
            _ => 0.0,
        };
        let differences = Matrix::from_fn(second);
        // The eigenvalues of a walk on a circle are known; the first, of the mean, is none.
        let turn = std::f64::consts::TAU / HALF_MONTHS as f64;
        let variances =
            (1..HALF_MONTHS).map(|wave| (2.0 - 2.0 * (turn * wave as f64).cos()).powi(-2));
        let variance = variances.sum::<f64>() / HALF_MONTHS as f64;
        Self {
            structure: differences.transpose() * differences * variance,
            level: (HALF_MONTHS as f64 * LEVEL_SD).powi(-2),
        }
    }

    /// The mode and the spread about it for one size, and the logarithm of its weight. `None` where
    /// the arithmetic fails, which no tally has been seen to bring about.
    fn at(&self, size: f64, tallies: &[Tally; HALF_MONTHS], start: Vector) -> Option<Cell> {
        let prior = self.structure / (size * size) + Matrix::repeat(self.level);
        let value = |eta: &Vector| {
            let told = tallies.iter().zip(eta.iter());
            let told: f64 = told
                .map(|(tally, eta)| tally.with * eta - tally.visits * log_one_plus_exp(*eta))
                .sum();
            told - 0.5 * (prior * eta).dot(eta)
        };
        let mut mode = start;
        let mut best = value(&mode);
        let mut spread = None;
        for _ in 0..MOST_STEPS {
            let shares = mode.map(expit);
            let pull =
                Vector::from_fn(|half, _| tallies[half].with - tallies[half].visits * shares[half])
                    - prior * mode;
            let weights = Vector::from_fn(|half, _| {
                tallies[half].visits * shares[half] * (1.0 - shares[half])
            });
            let here = Cholesky::new(prior + Matrix::from_diagonal(&weights))?;
            let step = here.solve(&pull);
            spread = Some(here);
            // The curve is concave: of a Newton step some part always gains.
            let mut part = 1.0;
            let gained = loop {
                let next = mode + step * part;
                let there = value(&next);
                if there >= best {
                    let gained = there - best;
                    (mode, best) = (next, there);
                    break gained;
                }
                part /= 2.0;
                if part < 1e-6 {
                    break 0.0;
                }
            };
            if gained < CLOSE {
                break;
            }
        }
        let spread = spread?;
        let halves = spread.l().diagonal().map(f64::ln).sum();
        // The prior's own determinant, but for what is the same for every size; and the penalty,
        // on a scale of the logarithm, whose steps are the sizes.
        let waves = (HALF_MONTHS - 1) as f64;
        let penalty = -BEYOND_FAR.ln() / FAR;
        let weight = best - waves * size.ln() - halves - penalty * size + size.ln();
        let sd = spread.inverse().diagonal().map(f64::sqrt);
        let others = std::array::from_fn(|half| {
            let Tally { visits, with } = tallies[half];
            let share = expit(mode[half]);
            let own = visits * share * (1.0 - share);
            // What the others say has a spread, however little: rounding must not take it away.
            let precision = (sd[half].powi(-2) - own).max(sd[half].powi(-2) * 1e-9);
            let pull = mode[half] * sd[half].powi(-2) - (own * mode[half] + with - visits * share);
            (precision, pull)
        });
        (weight.is_finite() && sd.iter().all(|sd| sd.is_finite())).then_some(Cell {
            weight,
            mode,
            sd,
            others,
        })
    }
}

/// Newton's steps at the most; ten are many.
const MOST_STEPS: usize = 60;
/// A gain in the logarithm of the posterior below which the mode is found.
const CLOSE: f64 = 1e-10;

/// Logits beyond which a share is as good as none, or all: 2 in a hundred million.
const END: f64 = 18.0;
/// Steps across the logits of a half-month. Our choice.
const STEPS: usize = 400;
/// Standard deviations on either side that are looked at.
const WIDE: f64 = 8.0;

impl Curve {
    /// The share in a half-month, counted from 0.
    ///
    /// Where no visit of the half-month and of its two neighbours found the animal, the interval
    /// begins at 0, and where every one did it ends at 1: a distribution with two tails would else
    /// leave out what the visits show (as Brown, Cai and DasGupta 2001, Interval Estimation for a
    /// Binomial Proportion, Statistical Science 16, do with the interval of Jeffreys's prior, from
    /// memory).
    pub(super) fn share(&self, half: usize) -> Share {
        let half = half % HALF_MONTHS;
        let tail = (1.0 - LEVEL) / 2.0;
        let near = [HALF_MONTHS - 1, 0, 1].map(|by| self.tallies[(half + by) % HALF_MONTHS]);
        let never = near.iter().all(|tally| tally.with <= 0.0);
        let always = near
            .iter()
            .all(|tally| tally.visits > 0.0 && tally.with >= tally.visits);
        let (logits, mass) = self.distribution(half);
        let shares = logits.iter().zip(&mass);
        Share {
            mean: shares.map(|(logit, mass)| mass * expit(*logit)).sum(),
            interval: Interval {
                low: if never {
                    0.0
                } else {
                    quantile(&logits, &mass, tail)
                },
                high: if always {
                    1.0
                } else {
                    quantile(&logits, &mass, 1.0 - tail)
                },
            },
        }
    }

    /// Logits of a half-month at equal steps, and the probability of each.
    fn distribution(&self, half: usize) -> (Vec<f64>, Vec<f64>) {
        let ends = |side: f64| {
            let ends = self
                .cells
                .iter()
                .map(move |cell| cell.mode[half] + side * cell.sd[half]);
            ends.map(|end| end.clamp(-END, END))
        };
        let low = ends(-WIDE).fold(END, f64::min);
        let high = ends(WIDE).fold(-END, f64::max);
        // A mode beyond an end would leave nothing between them.
        let (low, high) = (low.min(END - 1.0), high.max(1.0 - END));
        let step = (high - low) / STEPS as f64;
        let logits: Vec<f64> = (0..=STEPS).map(|at| low + step * at as f64).collect();
        let Tally { visits, with } = self.tallies[half];
        let own = logits
            .iter()
            .map(|eta| with * eta - visits * log_one_plus_exp(*eta));
        let own: Vec<f64> = own.collect();
        let mut mass = vec![0.0; logits.len()];
        for cell in &self.cells {
            let (precision, pull) = cell.others[half];
            let logs = logits.iter().zip(&own);
            let logs: Vec<f64> = logs
                .map(|(eta, own)| own + eta * (pull - 0.5 * precision * eta))
                .collect();
            let highest = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let densities: Vec<f64> = logs.iter().map(|log| (log - highest).exp()).collect();
            let whole: f64 = densities.iter().sum();
            for (mass, density) in mass.iter_mut().zip(densities) {
                *mass += cell.weight * density / whole;
            }
        }
        (logits, mass)
    }
}

/// The share that is not exceeded with probability `p`. The probability of a step lies evenly about
/// its middle.
fn quantile(logits: &[f64], mass: &[f64], p: f64) -> f64 {
    let step = logits[1] - logits[0];
    let mut below = 0.0;
    for (logit, mass) in logits.iter().zip(mass) {
        if below + mass >= p && *mass > 0.0 {
            return expit(logit + step * ((p - below) / mass - 0.5));
        }
        below += mass;
    }
    expit(logits[logits.len() - 1])
}

fn expit(eta: f64) -> f64 {
    1.0 / (1.0 + (-eta).exp())
}

fn log_one_plus_exp(eta: f64) -> f64 {
    eta.max(0.0) + (-eta.abs()).exp().ln_1p()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn year(of: impl Fn(usize) -> (f64, f64)) -> Curve {
        smooth(&std::array::from_fn(|half| {
            let (visits, with) = of(half);
            Tally { visits, with }
        }))
    }

    /// Where nothing is known every share is possible, and the same in every half-month.
    #[test]
    fn without_visits_nothing_is_known() {
        let curve = year(|_| (0.0, 0.0));
        let share = curve.share(5);
        assert!((share.mean - 0.5).abs() < 1e-6, "{share:?}");
        assert!(
            share.interval.low <= 0.001 && share.interval.high > 0.999,
            "{share:?}"
        );
        assert!((share.mean - curve.share(17).mean).abs() < 1e-9);
    }

    /// Many visits overrule what was expected: the share is theirs within their own error, 0.007
    /// for a thousand of them, and the interval no wider than theirs alone, 1.645 errors a side,
    /// with a tenth to spare.
    #[test]
    fn many_visits_speak_for_themselves() {
        let curve = year(|half| (1_000.0, if half < 12 { 50.0 } else { 600.0 }));
        for half in 2..10 {
            let share = curve.share(half);
            assert!((share.mean - 0.05).abs() < 0.007, "{half} {share:?}");
            let error = (0.05_f64 * 0.95 / 1_000.0).sqrt();
            assert!(
                share.interval.width() < 2.0 * 1.645 * error * 1.1,
                "{half} {share:?}"
            );
        }
        assert!((curve.share(18).mean - 0.6).abs() < 0.016);
    }

    /// The circle has no first half-month: turned by any, the answer turns with it.
    #[test]
    fn the_year_has_no_beginning() {
        let count = |half: usize| (12.0, [0.0, 1.0, 4.0, 9.0, 7.0, 2.0][half % HALF_MONTHS / 4]);
        let (straight, turned) = (year(count), year(|half| count(half + 7)));
        for half in 0..HALF_MONTHS {
            let (a, b) = (straight.share(half + 7), turned.share(half));
            assert!((a.mean - b.mean).abs() < 1e-7, "{half}");
            assert!((a.interval.high - b.interval.high).abs() < 1e-7, "{half}");
        }
    }

    #[test]
    fn more_sightings_never_lower_a_share() {
        let mut before = 0.0;
        for with in 0..=20 {
            let curve = year(|half| (20.0, if half == 9 { f64::from(with) } else { 5.0 }));
            let share = curve.share(9);
            assert!(share.mean > before, "{with}");
            assert!(share.interval.low <= share.mean && share.mean <= share.interval.high);
            before = share.mean;
        }
    }

    #[test]
    fn what_is_no_count_says_nothing() {
        let none = year(|_| (0.0, 0.0));
        for (visits, with) in [
            (f64::NAN, 0.0),
            (5.0, 6.0),
            (5.0, -1.0),
            (f64::INFINITY, 0.0),
        ] {
            let curve = year(|_| (visits, with));
            assert_eq!(curve.share(3), none.share(3));
        }
    }

    #[test]
    fn extremes_stay_within_bounds() {
        for (visits, with) in [(1e9, 0.0), (1e9, 1e9), (1e9, 5e8), (0.001, 0.0005)] {
            for half in 0..HALF_MONTHS {
                let share = year(|_| (visits, with)).share(half);
                let Interval { low, high } = share.interval;
                assert!(0.0 <= low && low <= share.mean && share.mean <= high && high <= 1.0);
            }
        }
    }
}
