//! Numbers side by side: the vector registers of whatever processor the program runs on, with the
//! signs of ordinary arithmetic.

use pulp::Simd;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// A multiple of every processor's number of lanes: what is gone over in lanes is filled up to it.
pub(super) const FILLED: usize = 8;

/// Numbers side by side.
pub(super) struct Lane<S: Simd>(pub S, pub S::f64s);

impl<S: Simd> Clone for Lane<S> {
    #[inline(always)]
    fn clone(&self) -> Self {
        *self
    }
}

impl<S: Simd> Copy for Lane<S> {}

impl<S: Simd> Lane<S> {
    /// The same number in every lane.
    #[inline(always)]
    pub fn of(simd: S, value: f64) -> Self {
        Self(simd, simd.splat_f64s(value))
    }

    #[inline(always)]
    pub fn sqrt(self) -> Self {
        Self(self.0, self.0.sqrt_f64s(self.1))
    }

    #[inline(always)]
    pub fn abs(self) -> Self {
        Self(self.0, self.0.abs_f64s(self.1))
    }

    #[inline(always)]
    pub fn max(self, other: Self) -> Self {
        Self(self.0, self.0.max_f64s(self.1, other.1))
    }

    #[inline(always)]
    pub fn min(self, other: Self) -> Self {
        Self(self.0, self.0.min_f64s(self.1, other.1))
    }

    /// This, with the product of `a` and `b` added: in one rounding where the processor can.
    #[inline(always)]
    pub fn plus_product(self, a: Self, b: Self) -> Self {
        Self(self.0, self.0.mul_add_e_f64s(a.1, b.1, self.1))
    }

    #[inline(always)]
    pub fn is_above(self, other: Self) -> Mask<S> {
        Mask(self.0, self.0.greater_than_f64s(self.1, other.1))
    }

    #[inline(always)]
    pub fn is_at_least(self, other: Self) -> Mask<S> {
        Mask(self.0, self.0.greater_than_or_equal_f64s(self.1, other.1))
    }

    /// The sum over the lanes.
    #[inline(always)]
    pub fn total(self) -> f64 {
        self.0.reduce_sum_f64s(self.1)
    }
}

impl<S: Simd> Add for Lane<S> {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        Self(self.0, self.0.add_f64s(self.1, other.1))
    }
}

impl<S: Simd> Sub for Lane<S> {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        Self(self.0, self.0.sub_f64s(self.1, other.1))
    }
}

impl<S: Simd> Mul for Lane<S> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        Self(self.0, self.0.mul_f64s(self.1, other.1))
    }
}

impl<S: Simd> Div for Lane<S> {
    type Output = Self;
    #[inline(always)]
    fn div(self, other: Self) -> Self {
        Self(self.0, self.0.div_f64s(self.1, other.1))
    }
}

impl<S: Simd> Neg for Lane<S> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        Self(self.0, self.0.neg_f64s(self.1))
    }
}

/// What holds in which lanes.
pub(super) struct Mask<S: Simd>(pub S, pub S::m64s);

impl<S: Simd> Clone for Mask<S> {
    #[inline(always)]
    fn clone(&self) -> Self {
        *self
    }
}

impl<S: Simd> Copy for Mask<S> {}

impl<S: Simd> Mask<S> {
    #[inline(always)]
    pub fn and(self, other: Self) -> Self {
        Self(self.0, self.0.and_m64s(self.1, other.1))
    }

    #[inline(always)]
    pub fn or(self, other: Self) -> Self {
        Self(self.0, self.0.or_m64s(self.1, other.1))
    }

    /// `yes` where it holds, `no` elsewhere.
    #[inline(always)]
    pub fn choose(self, yes: Lane<S>, no: Lane<S>) -> Lane<S> {
        Lane(self.0, self.0.select_f64s(self.1, yes.1, no.1))
    }

    /// Where it holds and `other` does not.
    #[inline(always)]
    pub fn and_not(self, other: Self) -> Self {
        Self(self.0, self.0.and_m64s(self.1, self.0.not_m64s(other.1)))
    }

    /// Whether it holds in any lane.
    #[inline(always)]
    pub fn any(self) -> bool {
        self.0.first_true_m64s(self.1) < S::F64_LANES
    }
}

/// A filled column in lanes.
#[inline(always)]
pub(super) fn lanes<S: Simd>(column: &[f64]) -> &[S::f64s] {
    S::as_simd_f64s(column).0
}

#[inline(always)]
pub(super) fn lanes_mut<S: Simd>(column: &mut [f64]) -> &mut [S::f64s] {
    S::as_mut_simd_f64s(column).0
}
