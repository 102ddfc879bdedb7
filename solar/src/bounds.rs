//! How fast what is searched can bend: the ground of every proof that no root is missed.

use crate::body::Body;

/// Upper limits of the second to the fifth derivative of a function, per day.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bounds {
    pub(crate) second: f64,
    pub(crate) third: f64,
    pub(crate) fourth: f64,
    pub(crate) fifth: f64,
}

/// What the monthly wobble of the Earth about its centre of mass with the moon (6.4") and the
/// fortnightly nutation (0.2") add to the fourth and fifth derivatives of where the sun stands; the
/// lower ones have room for it.
const WOBBLE: f64 = 1e-6;

impl Bounds {
    /// For the lit fraction of the moon: at least twice what its polynomials reach over 1900-2100
    /// (0.031, 0.0072, 0.0036 and 0.0015).
    pub(crate) const LIT_FRACTION: Self = Self {
        second: 0.064,
        third: 0.02,
        fourth: 0.01,
        fifth: 0.004,
    };

    /// For a component of the unit vector towards a body, in a frame that turns with the Earth.
    ///
    /// `across` is how much of the component lies across the Earth's axis: that part turns with the
    /// Earth plus the body's own speed among the stars, the rest with that speed alone. Parallax
    /// (1/60 for the moon) adds harmonics of the turn whose derivatives grow by powers of two.
    pub(crate) fn of(body: Body, across: f64) -> Self {
        let (own, parallax) = match body {
            Body::Sun => (0.018, 1e-4),
            Body::Moon => (0.32, 0.0175),
        };
        let turn = 6.301 + own;
        let power = |n: i32, harmonic: f64| {
            let (mut fast, mut slow) = (1.0, 1.0);
            for _ in 0..n {
                fast *= turn;
                slow *= own;
            }
            1.02 * (across * fast * (1.0 + harmonic * parallax) + slow) + WOBBLE
        };
        Self {
            second: power(2, 8.0),
            third: power(3, 16.0),
            fourth: power(4, 32.0),
            fifth: power(5, 64.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use alloc::vec::Vec;

    use super::*;
    use crate::observer::{Observer, Site};
    use crate::piece::Piece;
    use crate::time::EarthTime;

    #[test]
    fn directions_keep_them() {
        // An hour apart: differences of the second derivative are the third to the fifth, within
        // some hundredths.
        let step = 1.0 / 24.0;
        for (body, numbers) in [(Body::Sun, 570..593), (Body::Moon, 2_280..2_371)] {
            let mut most_of_bound = [0.0_f64; 4];
            for latitude_deg in [-90.0, -54.0, -20.0, 0.0, 35.0, 66.0, 89.0] {
                let observer = Observer::new(Site {
                    latitude_deg,
                    longitude_deg: 3.0,
                    elevation_m: 0.0,
                })
                .expect("a place");
                for number in numbers.clone() {
                    let piece = Piece::numbered(body, EarthTime::Observed, f64::from(number));
                    let from = piece.end() - body.piece_days();
                    let count = (body.piece_days() / step) as usize;
                    let seen: Vec<_> = (0..=count)
                        .map(|i| piece.moving(&observer, from + step * i as f64))
                        .collect();
                    for seen in seen.windows(5) {
                        for (bends, across) in [
                            (
                                core::array::from_fn(|i| seen[i].up.bend),
                                observer.cosine_latitude,
                            ),
                            (core::array::from_fn(|i| seen[i].east.bend), 1.0),
                            (core::array::from_fn(|i| seen[i].north.bend), 1.0),
                        ] {
                            let [a, b, c, d, e]: [f64; 5] = bends;
                            let bounds = Bounds::of(body, across);
                            let derivatives = [
                                (c, bounds.second),
                                ((d - b) / (2.0 * step), bounds.third),
                                ((d - 2.0 * c + b) / (step * step), bounds.fourth),
                                (
                                    (e - 2.0 * d + 2.0 * b - a) / (2.0 * step * step * step),
                                    bounds.fifth,
                                ),
                            ];
                            for (most, (value, bound)) in most_of_bound.iter_mut().zip(derivatives)
                            {
                                *most = most.max(value.abs() / bound);
                            }
                        }
                    }
                }
            }
            for most in most_of_bound {
                // None is passed, and none is so wide that it proves nothing.
                assert!((0.4..1.0).contains(&most), "{body:?} {most_of_bound:?}");
            }
        }
    }
}
