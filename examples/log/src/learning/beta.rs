//! The Beta distribution: what is known about a chance after some visits.

use statrs::function::beta::checked_beta_reg;
use wrackline_plan::experience::{Interval, misses_in_a_row};

/// A Beta distribution with both shapes finite and above 0.
///
/// ```
/// use wrackline_log::learning::Beta;
///
/// // In range on 8 of 9 visits, nothing being known before.
/// let chance = Beta::UNIFORM.after(8.0, 1.0);
/// let interval = chance.interval(0.90);
/// assert_eq!((chance.a(), chance.b()), (9.0, 2.0));
/// let told = format!("{:.2}: {:.2} to {:.2}", chance.mean(), interval.low, interval.high);
/// assert_eq!(told, "0.82: 0.61 to 0.96");
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beta {
    a: f64,
    b: f64,
}

/// Shapes beyond this are as good as certainty, and the incomplete beta function loses its accuracy
/// there.
const LARGEST_SHAPE: f64 = 1e6;

impl Beta {
    /// Every chance equally likely: the state of mind before the first visit (Bayes, Laplace).
    pub const UNIFORM: Beta = Beta { a: 1.0, b: 1.0 };

    /// A distribution with the given shapes, each above 0 and up to a million.
    pub fn new(a: f64, b: f64) -> Option<Beta> {
        let fits = |shape: f64| shape > 0.0 && shape <= LARGEST_SHAPE;
        (fits(a) && fits(b)).then_some(Beta { a, b })
    }

    /// After `hits` and `misses` more, which may be fractions of a visit.
    pub fn after(self, hits: f64, misses: f64) -> Beta {
        let add = |shape: f64, more: f64| {
            if more > 0.0 {
                (shape + more).min(LARGEST_SHAPE)
            } else {
                shape
            }
        };
        Beta {
            a: add(self.a, hits),
            b: add(self.b, misses),
        }
    }

    /// First shape: hits and the prior's share.
    pub const fn a(self) -> f64 {
        self.a
    }

    /// Second shape: misses and the prior's share.
    pub const fn b(self) -> f64 {
        self.b
    }

    /// The mean: the chance of a hit on the next visit.
    pub fn mean(self) -> f64 {
        self.a / (self.a + self.b)
    }

    /// Probability that the chance is at most `x`.
    pub fn cdf(self, x: f64) -> f64 {
        // Shapes are in range and so is x: the fallback is never taken.
        checked_beta_reg(self.a, self.b, x.clamp(0.0, 1.0)).unwrap_or(f64::midpoint(0.0, 1.0))
    }

    /// The chance that is not exceeded with probability `p`.
    pub fn quantile(self, p: f64) -> f64 {
        bisect(p, |x| self.cdf(x))
    }

    /// The equal-tailed interval that holds the chance with probability `level`.
    pub fn interval(self, level: f64) -> Interval {
        let tail = (1.0 - level.clamp(0.0, 1.0)) / 2.0;
        Interval {
            low: self.quantile(tail),
            high: self.quantile(1.0 - tail),
        }
    }

    /// The expected probability that `n` visits in a row miss.
    pub fn misses_in_a_row(self, n: u32) -> f64 {
        misses_in_a_row(self.a, self.b, n)
    }
}

/// Where a distribution function on 0-1 reaches `p`. Halving cannot fail, and a quantile is wanted
/// only a few times.
pub(super) fn bisect(p: f64, cdf: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if cdf(middle) < p {
            low = middle
        } else {
            high = middle
        }
    }
    f64::midpoint(low, high)
}

/// Student's t that is not exceeded with probability `p` (0.5 up to below 1), with `freedom`
/// degrees of freedom above 0, from the incomplete beta function (Abramowitz and Stegun 1964,
/// Handbook of Mathematical Functions, 26.7.1 and 26.5.27).
pub fn students_t(freedom: f64, p: f64) -> f64 {
    let x = Beta {
        a: freedom / 2.0,
        b: 0.5,
    }
    .quantile(2.0 * (1.0 - p));
    (freedom * (1.0 - x) / x).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn eight_of_nine() {
        let beta = Beta::UNIFORM.after(8.0, 1.0);
        assert_eq!((beta.a(), beta.b()), (9.0, 2.0));
        // With b = 2 the distribution function has a closed form: I_x(9, 2) = 10 x^9 - 9 x^10.
        for x in [0.1, 0.5, 0.61, 0.9] {
            assert!(
                (beta.cdf(x) - (10.0 * f64::powi(x, 9) - 9.0 * f64::powi(x, 10))).abs() < 1e-14
            );
        }
    }

    #[test]
    fn shapes_that_make_no_sense_are_refused() {
        for (a, b) in [
            (0.0, 1.0),
            (1.0, -1.0),
            (f64::NAN, 1.0),
            (1.0, f64::INFINITY),
        ] {
            assert_eq!(Beta::new(a, b), None);
        }
    }
}
