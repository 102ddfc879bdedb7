//! A number, or as many side by side as fill vector registers: one formula serves both, to the same
//! bits.

#![allow(
    clippy::needless_range_loop,
    reason = "lanes of several arrays run side by side"
)]

use core::ops::{Add, Mul, Sub};

use crate::angle::sincos_of_turns;
use crate::wide::square_roots;

/// What the formulas of moving directions are written in.
pub(crate) trait Number:
    Copy + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self>
{
    /// The same number for all.
    fn all(x: f64) -> Self;
    fn reciprocal(self) -> Self;
    fn square_root(self) -> Self;
    fn nearest_whole(self) -> Self;
    /// Sine and cosine of an angle in turns.
    fn sincos_of_turns(self) -> (Self, Self);
}

impl Number for f64 {
    #[inline(always)]
    fn all(x: f64) -> Self {
        x
    }

    #[inline(always)]
    fn reciprocal(self) -> Self {
        1.0 / self
    }

    #[inline(always)]
    fn square_root(self) -> Self {
        libm::sqrt(self)
    }

    #[inline(always)]
    fn nearest_whole(self) -> Self {
        crate::angle::nearest_whole(self)
    }

    #[inline(always)]
    fn sincos_of_turns(self) -> (Self, Self) {
        sincos_of_turns(self)
    }
}

/// How many run side by side.
pub(crate) const ABREAST: usize = 8;

/// Numbers side by side.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Abreast(pub(crate) [f64; ABREAST]);

impl Add for Abreast {
    type Output = Self;
    #[inline(always)]
    fn add(mut self, other: Self) -> Self {
        for i in 0..ABREAST {
            self.0[i] += other.0[i];
        }
        self
    }
}

impl Sub for Abreast {
    type Output = Self;
    #[inline(always)]
    fn sub(mut self, other: Self) -> Self {
        for i in 0..ABREAST {
            self.0[i] -= other.0[i];
        }
        self
    }
}

impl Mul for Abreast {
    type Output = Self;
    #[inline(always)]
    fn mul(mut self, other: Self) -> Self {
        for i in 0..ABREAST {
            self.0[i] *= other.0[i];
        }
        self
    }
}

impl Number for Abreast {
    #[inline(always)]
    fn all(x: f64) -> Self {
        Self([x; ABREAST])
    }

    #[inline(always)]
    fn reciprocal(mut self) -> Self {
        for i in 0..ABREAST {
            self.0[i] = 1.0 / self.0[i];
        }
        self
    }

    #[inline(always)]
    fn square_root(self) -> Self {
        Self(square_roots(self.0))
    }

    #[inline(always)]
    fn nearest_whole(mut self) -> Self {
        for i in 0..ABREAST {
            self.0[i] = self.0[i].nearest_whole();
        }
        self
    }

    #[inline(always)]
    fn sincos_of_turns(self) -> (Self, Self) {
        let (mut sine, mut cosine) = ([0.0; ABREAST], [0.0; ABREAST]);
        for i in 0..ABREAST {
            (sine[i], cosine[i]) = sincos_of_turns(self.0[i]);
        }
        (Self(sine), Self(cosine))
    }
}
