//! Roots and turning points of a smooth function of time, none missed.
//!
//! The functions are components of a unit vector that turns with the Earth. Their derivatives are bounded, so a stretch of time can be
//! proved to hold no root, or the function to be monotone on it; where neither is proved, the stretch is halved.

use crate::jet::Jet;

/// Radians a day, above the speed with which any body of ours turns over the sky.
const SPEED: f64 = 6.34;
/// Bounds of the second, third and fourth derivative: the powers of the speed, with room for the harmonics that the moon's parallax
/// (1/60) adds.
const SECOND: f64 = SPEED * SPEED * 1.1;
const THIRD: f64 = SECOND * SPEED * 1.1;
const FOURTH: f64 = THIRD * SPEED * 1.15;
/// First length of a stretch in days.
const STRIDE: f64 = 0.25;
/// A stretch this short (0.1 s) is taken as monotone: what is lost is a pair of roots within 0.1 s.
const SHORTEST: f64 = 1e-6;

/// A point of the function.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Point {
    time: f64,
    jet: Jet,
}

/// Whether two rates or bends, with a bound of the departure from the line between them, leave the sign certain.
fn certain(a: f64, b: f64, departure: f64) -> bool {
    (a > departure && b > departure) || (a < -departure && b < -departure)
}

/// Splits a stretch into parts on which the function is monotone; parts of which `skip` is certain are left out.
fn monotone(
    f: &impl Fn(f64) -> Jet,
    a: Point,
    b: Point,
    skip: &impl Fn(Point, Point) -> bool,
    visit: &mut impl FnMut(Point, Point),
) {
    // A stack instead of recursion: the depth is bounded by the halvings from a stride down to the shortest.
    let mut stack = [b; 24];
    let mut top = 1;
    let mut a = a;
    while top > 0 {
        let b = stack[top - 1];
        let width = b.time - a.time;
        let eighth = width * width / 8.0;
        if skip(a, b) {
        } else if width < SHORTEST || certain(a.jet.rate, b.jet.rate, THIRD * eighth) {
            visit(a, b);
        } else if certain(a.jet.bend, b.jet.bend, FOURTH * eighth) {
            if (a.jet.rate > 0.0) == (b.jet.rate > 0.0) {
                visit(a, b);
            } else {
                let turn = turn_between(f, a, b);
                visit(a, turn);
                visit(turn, b);
            }
        } else if top < stack.len() {
            let time = 0.5 * (a.time + b.time);
            stack[top] = Point { time, jet: f(time) };
            top += 1;
            continue;
        } else {
            visit(a, b);
        }
        a = b;
        top -= 1;
    }
}

/// The turning point between two points whose rates differ in sign and whose bend does not change sign.
fn turn_between(f: &impl Fn(f64) -> Jet, mut a: Point, mut b: Point) -> Point {
    let mut time = a.time + (b.time - a.time) * a.jet.rate / (a.jet.rate - b.jet.rate);
    let mut point = Point { time, jet: f(time) };
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
        point = Point { time, jet: f(time) };
        // The function is flat here: 1e-6 of a day misses its extreme by 2e-11.
        if moved < 1e-6 {
            break;
        }
    }
    point
}

/// The root between two points of differing sign of a monotone function.
fn root_between(f: &impl Fn(f64) -> Jet, mut a: Point, mut b: Point) -> f64 {
    let above = a.jet.value >= 0.0;
    let mut time = a.time + (b.time - a.time) * a.jet.value / (a.jet.value - b.jet.value);
    for _ in 0..80 {
        if !(a.time < time && time < b.time) {
            time = 0.5 * (a.time + b.time);
        }
        let point = Point { time, jet: f(time) };
        if (point.jet.value >= 0.0) == above {
            a = point;
        } else {
            b = point;
        }
        let step = -point.jet.value / point.jet.rate;
        time = point.time + step;
        // Quadratic convergence: a step of 1e-6 of a day leaves 1e-11 of it; in a grazing crossing the bracket decides.
        if (step.abs() < 1e-7 && a.time <= time && time <= b.time) || b.time - a.time < 1e-11 {
            break;
        }
    }
    time.clamp(a.time, b.time)
}

/// Walks a stretch stride by stride.
fn strides(
    f: &impl Fn(f64) -> Jet,
    from: f64,
    to: f64,
    carried: Option<Jet>,
    mut visit: impl FnMut(Point, Point),
) -> Jet {
    let mut a = Point {
        time: from,
        jet: carried.unwrap_or_else(|| f(from)),
    };
    while a.time < to {
        // Strides end on multiples, so that a long span and a short one see the same points.
        let next = (libm::floor(a.time / STRIDE) + 1.0) * STRIDE;
        let time = next.min(to);
        let b = Point { time, jet: f(time) };
        visit(a, b);
        a = b;
    }
    a.jet
}

/// All roots of the function in a stretch, in order, with whether it rises through them; returns the function at the end, to be
/// carried into the next stretch so that no root is lost or doubled at the join.
pub(crate) fn roots(
    f: &impl Fn(f64) -> Jet,
    from: f64,
    to: f64,
    carried: Option<Jet>,
    found: &mut impl FnMut(f64, bool),
) -> Jet {
    let skip = |a: Point, b: Point| {
        let width = b.time - a.time;
        certain(a.jet.value, b.jet.value, SECOND * width * width / 8.0)
    };
    strides(f, from, to, carried, |a, b| {
        monotone(f, a, b, &skip, &mut |a, b| {
            if (a.jet.value >= 0.0) != (b.jet.value >= 0.0) {
                found(root_between(f, a, b), b.jet.value >= 0.0);
            }
        });
    })
}

/// The ends of a stretch and all turning points in it.
pub(crate) fn turns(f: &impl Fn(f64) -> Jet, from: f64, to: f64, found: &mut impl FnMut(f64)) {
    found(from);
    strides(f, from, to, None, |a, b| {
        monotone(f, a, b, &|_, _| false, &mut |_, b| found(b.time));
    });
}
