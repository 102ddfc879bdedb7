//! A value with its first and second derivative in time.

use core::ops::{Add, Mul, Sub};

/// A quantity as it moves: value, rate, and rate of the rate (per day).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Jet {
    pub(crate) value: f64,
    pub(crate) rate: f64,
    pub(crate) bend: f64,
}

impl Jet {
    /// Something that does not move.
    pub(crate) const fn constant(value: f64) -> Self {
        Self {
            value,
            rate: 0.0,
            bend: 0.0,
        }
    }

    #[inline]
    pub(crate) fn times(self, factor: f64) -> Self {
        Self {
            value: self.value * factor,
            rate: self.rate * factor,
            bend: self.bend * factor,
        }
    }

    /// The function of this, given the function's value and first two derivatives here.
    #[inline]
    fn through(self, value: f64, first: f64, second: f64) -> Self {
        Self {
            value,
            rate: first * self.rate,
            bend: first * self.bend + second * self.rate * self.rate,
        }
    }

    /// One over this.
    #[inline]
    pub(crate) fn reciprocal(self) -> Self {
        let r = 1.0 / self.value;
        self.through(r, -r * r, 2.0 * r * r * r)
    }

    /// The square root.
    #[inline]
    pub(crate) fn square_root(self) -> Self {
        let root = libm::sqrt(self.value);
        let first = 0.5 / root;
        self.through(root, first, -0.5 * first / self.value)
    }
}

impl Add for Jet {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        Self {
            value: self.value + other.value,
            rate: self.rate + other.rate,
            bend: self.bend + other.bend,
        }
    }
}

impl Sub for Jet {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        self + other.times(-1.0)
    }
}

impl Mul for Jet {
    type Output = Self;
    #[inline]
    fn mul(self, other: Self) -> Self {
        Self {
            value: self.value * other.value,
            rate: self.rate * other.value + self.value * other.rate,
            bend: self.bend * other.value + 2.0 * self.rate * other.rate + self.value * other.bend,
        }
    }
}
