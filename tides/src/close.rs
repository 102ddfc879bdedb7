//! A closer look at a stretch of water whose turns the first tests cannot settle.
//!
//! Where lines cancel each other, the slope is far smaller than the bound on its curvature, and
//! halving would go on for ever. Twelve derivatives in the middle say how the slope runs over the
//! whole cell, with a remainder that is nothing for a cell of a few minutes:
//!
//! - |h′| > Σ |h⁽ⁿ⁾| rⁿ⁻¹/(n-1)!, n from 2, and the remainder: the slope keeps its sign, no turn;
//! - |h″| > the like sum from the third: the slope is monotone, at most one turn;
//! - |h′| and its sum within the rounding of the lines: the water stands, and has no turn to tell;
//! - otherwise the cell is halved.

#![allow(
    clippy::needless_range_loop,
    reason = "lanes of several arrays run side by side"
)]

use core::f64::consts::TAU;

use crate::curve::Segment;
use crate::wave::cos_turns;

/// Derivatives that are worked out.
const ORDERS: usize = 12;
/// Cells of at most this half-width, hours: the fastest line that can be defined, 1000° an hour,
/// turns by 2.2 radians over it, and the remainder is then 3e-5 of its speed; ordinary lines have
/// less than 1e-11.
pub(crate) const REACH_H: f64 = 0.125;
/// Error of the cosine of a line, with room for the rounding of the sum.
const ROUNDING: f64 = 1e-10;
/// A slope smaller than this share of the greatest that the lines could make together is not told
/// from nothing.
pub(crate) const LEAST_SLOPE: f64 = 4.0 * ROUNDING;

/// What is certain of the slope over a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Look {
    /// It keeps this sign (true: the water rises).
    Keeps(bool),
    /// It passes through nothing once at most.
    Monotone,
    /// It cannot be told from nothing.
    Stands,
    /// None of these.
    Unclear,
}

/// Looks at the cell of half-width `r` about an instant.
pub(crate) fn look(segment: &Segment<'_>, hours: f64, r: f64) -> Look {
    let t = hours - segment.start_h;
    let mut derivative = [0.0; ORDERS + 1];
    let (mut beyond, mut swing, mut swing_bend) = (0.0, 0.0, 0.0);
    for four in segment.fours {
        for k in 0..4 {
            let turns = four.phase[k] + four.speed[k] * t;
            let (cosine, sine) = (cos_turns(turns), cos_turns(turns - 0.25));
            // cos(θ + n π/2) for n = 0, 1, 2, 3.
            let quarter = [cosine, -sine, -cosine, sine];
            let now = four.amplitude[k] + four.growth[k] * t;
            let (omega, growth) = (four.speed[k] * TAU, four.growth[k]);
            let mut power = 1.0;
            for n in 1..=ORDERS {
                derivative[n] += power
                    * (now * omega * quarter[n % 4] + n as f64 * growth * quarter[(n - 1) % 4]);
                power *= omega;
            }
            let greatest = now.abs() + growth.abs() * r;
            let steepest = greatest * omega.abs() + growth.abs();
            swing += steepest;
            swing_bend += steepest * omega.abs();
            beyond += power.abs() * (steepest + ORDERS as f64 * growth.abs());
        }
    }
    // Remainders of the slope and of the bend, from the bound on the derivative after the last.
    let mut slope_rest = 0.0;
    let mut bend_rest = 0.0;
    let mut share = 1.0;
    for n in 1..=ORDERS {
        // share = rⁿ⁻¹/(n-1)!
        if n > 1 {
            slope_rest += derivative[n].abs() * share;
        }
        if n < ORDERS && n > 1 {
            bend_rest += derivative[n + 1].abs() * share;
        }
        if n == ORDERS {
            bend_rest += beyond * share;
        }
        share *= r / n as f64;
    }
    slope_rest += beyond * share;
    let noise = ROUNDING * swing;
    let (slope, bend) = (derivative[1], derivative[2]);
    if slope.abs() > slope_rest + noise {
        Look::Keeps(slope > 0.0)
    } else if bend.abs() > bend_rest + ROUNDING * swing_bend {
        Look::Monotone
    } else if slope.abs() + slope_rest <= LEAST_SLOPE * swing {
        Look::Stands
    } else {
        Look::Unclear
    }
}
