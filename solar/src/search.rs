//! Roots and turning points of a smooth function of time, none missed.
//!
//! The functions are components of a unit vector that turns with the Earth. Their derivatives are
//! bounded, so a stretch of time can be proved to hold no root, or the function to be monotone on
//! it; where neither is proved, the stretch is halved.

use crate::angle::whole_below;
use crate::bounds::Bounds;
use crate::jet::Jet;
use crate::number::ABREAST;

/// First length of a stretch in days.
const STRIDE: f64 = 0.25;
/// So many strides are looked at one by one rather than abreast.
const FEW: usize = 2;
/// A stretch this short (0.1 s) is taken as monotone: what could be lost is a pair of roots within
/// 0.1 s.
const SHORTEST: f64 = 1e-6;

/// A function of time that is searched.
pub(crate) trait Searched {
    /// What the function is taken from, for whoever is told of a root.
    type Seen: Copy;

    /// Its value and derivatives at a time, and what they are taken from.
    fn at(&self, time: f64) -> (Jet, Self::Seen);

    /// Its values and derivatives at many times, which may be cheaper together; to the same bits.
    fn abreast(&self, times: &[f64; ABREAST]) -> [Jet; ABREAST] {
        times.map(|time| self.at(time).0)
    }

    /// What was seen, a few seconds on.
    fn later(seen: Self::Seen, days: f64) -> Self::Seen;
}

impl<F: Fn(f64) -> Jet> Searched for F {
    type Seen = ();

    #[inline]
    fn at(&self, time: f64) -> (Jet, ()) {
        (self(time), ())
    }

    fn later((): (), _: f64) {}
}

/// A point of the function.
#[derive(Debug, Clone, Copy)]
struct Point {
    time: f64,
    jet: Jet,
}

/// What a walk along the function meets.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Found {
    /// A root, and whether the function rises through it.
    Root {
        /// When.
        time: f64,
        /// Upwards.
        rising: bool,
    },
    /// A turning point.
    Turn {
        /// When.
        time: f64,
    },
}

/// Whether two rates or bends, with a bound of the departure from the line between them, leave the
/// sign certain.
fn certain(a: f64, b: f64, departure: f64) -> bool {
    (a > departure && b > departure) || (a < -departure && b < -departure)
}

/// Whether the cubic through values and rates of both ends, with a bound of the departure from it,
/// leaves the sign certain: at six hours' width twelve times as sharp as the values alone.
fn cubic_certain(width: f64, [(a, a_rate), (b, b_rate)]: [(f64, f64); 2], departure: f64) -> bool {
    // It keeps within its control values.
    certain(a, b, departure)
        && certain(a, a + a_rate * width / 3.0, departure)
        && certain(b, b - b_rate * width / 3.0, departure)
}

/// Splits a stretch into parts on which the function is monotone; parts whose values surely stay
/// further than `far` from zero are left out. The visitor gets the ends of each part, and what is
/// seen at the later one if that is a turning point.
fn monotone<F: Searched>(
    f: &F,
    bounds: Bounds,
    far: f64,
    (a, b): (Point, Point),
    visit: &mut impl FnMut(Point, Point, Option<F::Seen>),
) {
    // A stack instead of recursion: the depth is bounded by the halvings from a stride down to the
    // shortest.
    let mut stack = [b; 24];
    let mut top = 1;
    let mut a = a;
    while top > 0 {
        let b = stack[top - 1];
        let width = b.time - a.time;
        // The function departs from the line between its ends by no more than this times the bound
        // of its second derivative.
        let eighth = width * width / 8.0;
        // And from Hermite's cubic by no more than this times that of its fourth.
        let small = eighth * eighth / 6.0;
        let values = [a, b].map(|end| (end.jet.value, end.jet.rate));
        let rates = [a, b].map(|end| (end.jet.rate, end.jet.bend));
        if certain(a.jet.value, b.jet.value, bounds.second * eighth + far)
            || cubic_certain(width, values, bounds.fourth * small + far)
        {
            // Too far from zero to matter.
        } else if width < SHORTEST
            || certain(a.jet.rate, b.jet.rate, bounds.third * eighth)
            || cubic_certain(width, rates, bounds.fifth * small)
        {
            visit(a, b, None);
        } else if certain(a.jet.bend, b.jet.bend, bounds.fourth * eighth) {
            if (a.jet.rate > 0.0) == (b.jet.rate > 0.0) {
                visit(a, b, None);
            } else {
                let (turn, seen) = turn_between(f, a, b);
                visit(a, turn, Some(seen));
                visit(turn, b, None);
            }
        } else if top < stack.len() {
            let time = 0.5 * (a.time + b.time);
            stack[top] = look(f, time).0;
            top += 1;
            continue;
        } else {
            visit(a, b, None);
        }
        a = b;
        top -= 1;
    }
}

/// The function at a time.
fn look<F: Searched>(f: &F, time: f64) -> (Point, F::Seen) {
    let (jet, seen) = f.at(time);
    (Point { time, jet }, seen)
}

/// The turning point between two points whose rates differ in sign and whose bend does not change
/// sign.
fn turn_between<F: Searched>(f: &F, mut a: Point, mut b: Point) -> (Point, F::Seen) {
    let mut time = a.time + (b.time - a.time) * a.jet.rate / (a.jet.rate - b.jet.rate);
    let (mut point, mut seen) = look(f, time);
    for _ in 0..60 {
        if (point.jet.rate > 0.0) == (a.jet.rate > 0.0) {
            a = point;
        } else {
            b = point;
        }
        let step = -point.jet.rate / point.jet.bend;
        time = point.time + step;
        if !(a.time < time && time < b.time) {
            time = 0.5 * (a.time + b.time);
        }
        let moved = (time - point.time).abs();
        (point, seen) = look(f, time);
        // The function is flat here: 1e-6 of a day misses its extreme by 2e-11.
        if moved < 1e-6 {
            break;
        }
    }
    (point, seen)
}

/// The root between two points of differing sign of a monotone function, and what is seen there.
fn root_between<F: Searched>(f: &F, mut a: Point, mut b: Point) -> (f64, F::Seen) {
    let above = a.jet.value >= 0.0;
    let mut time = guess(a, b);
    let mut rounds = 0;
    loop {
        if !(a.time < time && time < b.time) {
            time = 0.5 * (a.time + b.time);
        }
        let (point, seen) = look(f, time);
        if (point.jet.value >= 0.0) == above {
            a = point;
        } else {
            b = point;
        }
        // Halley's step: what it leaves of itself goes with its square, and with that of the share
        // by which it changes the rate.
        let Jet { value, rate, bend } = point.jet;
        let step = -value / (rate - 0.5 * value * bend / rate);
        let turned = step * bend / rate;
        time = point.time + step;
        let near = step.abs() < 5e-5 && turned * turned * step.abs() < 4e-12;
        rounds += 1;
        // In a grazing crossing the bracket decides.
        if (near && a.time <= time && time <= b.time) || b.time - a.time < 1e-11 || rounds == 80 {
            // What stands still has no step to take.
            let time = if time.is_nan() { point.time } else { time };
            let time = time.clamp(a.time, b.time);
            return (time, F::later(seen, time - point.time));
        }
    }
}

/// Where the polynomial through values, rates and bends of both ends has its root: from points six
/// hours apart within a few seconds.
fn guess(a: Point, b: Point) -> f64 {
    let h = b.time - a.time;
    let [v0, r0, c0] = [a.jet.value, a.jet.rate * h, 0.5 * a.jet.bend * h * h];
    let [v1, r1, c1] = [b.jet.value, b.jet.rate * h, 0.5 * b.jet.bend * h * h];
    // Powers from the third on, from what the first three leave at the far end.
    let p = v1 - v0 - r0 - c0;
    let q = r1 - r0 - 2.0 * c0;
    let r = c1 - c0;
    let (c3, c4, c5) = (
        10.0 * p - 4.0 * q + r,
        -15.0 * p + 7.0 * q - 2.0 * r,
        6.0 * p - 3.0 * q + r,
    );
    let mut s = v0 / (v0 - v1);
    // Halley's steps: a tenth of the stretch becomes 4e-4 of it, and then 3e-11.
    for _ in 0..2 {
        let value = ((((c5 * s + c4) * s + c3) * s + c0) * s + r0) * s + v0;
        let rate = (((5.0 * c5 * s + 4.0 * c4) * s + 3.0 * c3) * s + 2.0 * c0) * s + r0;
        let half_bend = ((10.0 * c5 * s + 6.0 * c4) * s + 3.0 * c3) * s + c0;
        s -= value * rate / (rate * rate - value * half_bend);
    }
    // Beyond the ends, or nowhere, it is of no use; the caller halves instead.
    a.time + s * h
}

/// Walks a stretch stride by stride.
fn strides(
    f: &impl Searched,
    from: f64,
    to: f64,
    carried: Option<Jet>,
    mut visit: impl FnMut(Point, Point),
) -> Jet {
    let mut a = Point {
        time: from,
        jet: carried.unwrap_or_else(|| f.at(from).0),
    };
    while a.time < to {
        // Strides end on multiples, so that a long span and a short one see the same points.
        let next = whole_below(a.time / STRIDE) + 1.0;
        let ends = core::array::from_fn(|i| ((next + i as f64) * STRIDE).min(to));
        let count = ends.iter().take_while(|end| **end < to).count() + 1;
        let count = count.min(ABREAST);
        let mut jets = [a.jet; ABREAST];
        if count > FEW {
            jets = f.abreast(&ends);
        } else {
            for (jet, end) in jets.iter_mut().zip(ends).take(count) {
                *jet = f.at(end).0;
            }
        }
        for (time, jet) in ends.into_iter().zip(jets).take(count) {
            let b = Point { time, jet };
            visit(a, b);
            a = b;
        }
    }
    a.jet
}

/// All roots of the function in a stretch in order, and all turning points whose values may lie
/// within `far` of zero, each with what is seen there.
///
/// Returns the function at the end, to be carried into the next stretch so that no root is lost or
/// doubled at the join.
pub(crate) fn roots<F: Searched>(
    f: &F,
    bounds: Bounds,
    far: f64,
    (from, to): (f64, f64),
    carried: Option<Jet>,
    found: &mut impl FnMut(Found, F::Seen),
) -> Jet {
    strides(f, from, to, carried, |a, b| {
        monotone(f, bounds, far, (a, b), &mut |a, b, turn| {
            if (a.jet.value >= 0.0) != (b.jet.value >= 0.0) {
                let rising = b.jet.value >= 0.0;
                let (time, seen) = root_between(f, a, b);
                found(Found::Root { time, rising }, seen);
            }
            if let Some(seen) = turn {
                found(Found::Turn { time: b.time }, seen);
            }
        });
    })
}

/// All instants in a stretch at which a function of bounded rate (in its unit a day) changes its
/// sign, in order.
///
/// For functions that have corners, where [`roots`] has no bounds to go by. What could be lost is a
/// pair within 0.1 s.
pub(crate) fn sign_changes(
    f: &impl Fn(f64) -> f64,
    fastest: f64,
    (from, to): (f64, f64),
    found: &mut impl FnMut(f64),
) {
    let mut a = (from, f(from));
    while a.0 < to {
        let next = (whole_below(a.0 / STRIDE) + 1.0) * STRIDE;
        let end = next.min(to);
        // A stack instead of recursion, as above.
        let mut stack = [(end, f(end)); 24];
        let mut top = 1;
        while top > 0 {
            let b = stack[top - 1];
            let width = b.0 - a.0;
            let same = (a.1 >= 0.0) == (b.1 >= 0.0);
            // Two values of one sign from which the function cannot come down to zero and back in
            // time.
            let far = same && a.1.abs() + b.1.abs() > fastest * width;
            if !far && width > SHORTEST && top < stack.len() {
                let time = 0.5 * (a.0 + b.0);
                stack[top] = (time, f(time));
                top += 1;
                continue;
            }
            if !same {
                found(halved(f, a, b.0));
            }
            a = b;
            top -= 1;
        }
    }
}

/// The change of sign between two points, to less than a microsecond.
fn halved(f: &impl Fn(f64) -> f64, (mut a, value): (f64, f64), mut b: f64) -> f64 {
    let above = value >= 0.0;
    for _ in 0..60 {
        let time = 0.5 * (a + b);
        if b - a < 1e-12 || time <= a || time >= b {
            break;
        }
        if (f(time) >= 0.0) == above {
            a = time;
        } else {
            b = time;
        }
    }
    b
}

#[cfg(test)]
mod tests {
    use super::*;

    /// No direction does that; nothing that is searched may ever become an instant that is none.
    #[test]
    fn a_step_that_stands_still_is_found_by_halving() {
        let step = |time: f64| Jet {
            value: if time < 0.3 { -1.0 } else { 1.0 },
            rate: 0.0,
            bend: 0.0,
        };
        let [a, b] = [0.0, 1.0].map(|time| look(&step, time).0);
        let (time, ()) = root_between(&step, a, b);
        assert!((time - 0.3).abs() < 1e-10, "{time}");
    }
}
