//! A value with its first and second derivative in time.

use core::ops::{Add, Mul, Sub};

use crate::number::Number;

/// A quantity as it moves: value, rate, and rate of the rate (per day); of one instant or of many
/// abreast.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Jet<T = f64> {
    pub(crate) value: T,
    pub(crate) rate: T,
    pub(crate) bend: T,
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

    /// The same some seconds on: what its third derivative does in that time is left out.
    pub(crate) fn later(self, days: f64) -> Self {
        Self {
            value: self.value + days * (self.rate + 0.5 * days * self.bend),
            rate: self.rate + days * self.bend,
            bend: self.bend,
        }
    }
}

impl<T: Number> Jet<T> {
    #[inline(always)]
    pub(crate) fn times(self, factor: f64) -> Self {
        let factor = T::all(factor);
        Self {
            value: self.value * factor,
            rate: self.rate * factor,
            bend: self.bend * factor,
        }
    }

    /// The function of this, given the function's value and first two derivatives here.
    #[inline(always)]
    fn through(self, value: T, first: T, second: T) -> Self {
        Self {
            value,
            rate: first * self.rate,
            bend: first * self.bend + second * self.rate * self.rate,
        }
    }

    /// One over this.
    #[inline(always)]
    pub(crate) fn reciprocal(self) -> Self {
        let r = self.value.reciprocal();
        let square = r * r;
        self.through(r, square * T::all(-1.0), T::all(2.0) * r * r * r)
    }

    /// The square root.
    #[inline(always)]
    pub(crate) fn square_root(self) -> Self {
        let root = self.value.square_root();
        let first = T::all(0.5) * root.reciprocal();
        let second = T::all(-0.5) * first * self.value.reciprocal();
        self.through(root, first, second)
    }
}

impl<T: Number> Add for Jet<T> {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        Self {
            value: self.value + other.value,
            rate: self.rate + other.rate,
            bend: self.bend + other.bend,
        }
    }
}

impl<T: Number> Sub for Jet<T> {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        Self {
            value: self.value - other.value,
            rate: self.rate - other.rate,
            bend: self.bend - other.bend,
        }
    }
}

impl<T: Number> Mul for Jet<T> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        let across = T::all(2.0) * self.rate * other.rate;
        Self {
            value: self.value * other.value,
            rate: self.rate * other.value + self.value * other.rate,
            bend: self.bend * other.value + across + self.value * other.bend,
        }
    }
}
