//! Numbers side by side, with the signs of ordinary arithmetic: laws are written once over them.
//!
//! Digits are a property of the program, not of the processor. Sums over cells go over eight numbers at
//! a time on every processor, be they one register, two, four or eight, and add the eight in one order;
//! a product that is added at once is rounded once, in software where hardware cannot. One number alone
//! (`f64`) is the one-lane case.

use pulp::{Arch, Simd, WithSimd};
use std::ops::{Add, Div, Mul, Neg, Sub};

/// Numbers that a sum goes over at a time.
pub(crate) const SUMMED: usize = 8;
/// What is gone over in lanes is filled up to a multiple of this: two of the widest registers, so that one is worked on
/// while the other waits for a root or a quotient.
pub(crate) const FILLED: usize = 16;

/// Numbers side by side.
pub(crate) trait Lane:
    Copy + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self> + Div<Output = Self> + Neg<Output = Self>
{
    /// Evidence that the processor has the registers.
    type Simd: Copy;
    /// What holds in which lanes.
    type Mask: Mask<Self>;
    /// The numbers as they lie in a column.
    type Packed: Copy;

    /// The same number in every lane.
    fn of(simd: Self::Simd, value: f64) -> Self;
    /// A filled column in lanes.
    fn column(column: &[f64]) -> &[Self::Packed];
    fn column_mut(column: &mut [f64]) -> &mut [Self::Packed];
    fn unpack(simd: Self::Simd, packed: Self::Packed) -> Self;
    fn pack(self) -> Self::Packed;
    fn sqrt(self) -> Self;
    fn abs(self) -> Self;
    /// This, with the product of `a` and `b` added, in one rounding.
    fn plus_product(self, a: Self, b: Self) -> Self;
    /// self − a b, rounded once.
    #[inline(always)]
    fn minus_product(self, a: Self, b: Self) -> Self {
        self.plus_product(-a, b)
    }
    fn is_above(self, other: Self) -> Self::Mask;
    fn is_at_least(self, other: Self) -> Self::Mask;
    /// The sum over the lanes, in one order.
    fn total(self) -> f64;

    /// The larger; `other` where they are equal or not comparable.
    #[inline(always)]
    fn max(self, other: Self) -> Self {
        self.is_above(other).choose(self, other)
    }

    /// The smaller; `other` where they are equal or not comparable.
    #[inline(always)]
    fn min(self, other: Self) -> Self {
        other.is_above(self).choose(self, other)
    }
}

/// What holds in which lanes.
pub(crate) trait Mask<L>: Copy {
    fn and(self, other: Self) -> Self;
    fn or(self, other: Self) -> Self;
    /// Where it holds and `other` does not.
    fn and_not(self, other: Self) -> Self;
    /// `yes` where it holds, `no` elsewhere.
    fn choose(self, yes: L, no: L) -> L;
    /// Whether it holds in any lane.
    fn any(self) -> bool;
}

/// Work over columns.
pub(crate) trait Work {
    type Output;
    /// `E`: numbers in as many registers as serve best, for what is done to each number by itself. `L`: eight numbers,
    /// for sums.
    ///
    /// No closure may stand between here and the arithmetic: it would be compiled without the registers, and every
    /// operation in it would become a call.
    fn run<E: Lane, L: Lane<Simd = E::Simd>>(self, simd: E::Simd) -> Self::Output;
}

/// Does the work in the widest registers that the processor has.
pub(crate) fn in_lanes<W: Work>(work: W) -> W::Output {
    Arch::new().dispatch(Eight(work))
}

pub(crate) struct Eight<W>(pub W);

impl<W: Work> WithSimd for Eight<W> {
    type Output = W::Output;

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) -> W::Output {
        match S::F64_LANES {
            8 => self.0.run::<Wide<S, 2>, Wide<S, 1>>(simd),
            4 => self.0.run::<Wide<S, 1>, Wide<S, 2>>(simd),
            2 => self.0.run::<Wide<S, 2>, Wide<S, 4>>(simd),
            _ => self.0.run::<Wide<S, 1>, Wide<S, 8>>(simd),
        }
    }
}

impl Lane for f64 {
    type Simd = ();
    type Mask = bool;
    type Packed = f64;

    #[inline(always)]
    fn of((): (), value: f64) -> Self {
        value
    }
    #[inline(always)]
    fn column(column: &[f64]) -> &[f64] {
        column
    }
    #[inline(always)]
    fn column_mut(column: &mut [f64]) -> &mut [f64] {
        column
    }
    #[inline(always)]
    fn unpack((): (), packed: f64) -> Self {
        packed
    }
    #[inline(always)]
    fn pack(self) -> f64 {
        self
    }
    #[inline(always)]
    fn sqrt(self) -> Self {
        f64::sqrt(self)
    }
    #[inline(always)]
    fn abs(self) -> Self {
        f64::abs(self)
    }
    #[inline(always)]
    fn plus_product(self, a: Self, b: Self) -> Self {
        a.mul_add(b, self)
    }
    #[inline(always)]
    fn is_above(self, other: Self) -> bool {
        self > other
    }
    #[inline(always)]
    fn is_at_least(self, other: Self) -> bool {
        self >= other
    }
    #[inline(always)]
    fn total(self) -> f64 {
        self
    }
}

impl Mask<f64> for bool {
    #[inline(always)]
    fn and(self, other: Self) -> Self {
        self & other
    }
    #[inline(always)]
    fn or(self, other: Self) -> Self {
        self | other
    }
    #[inline(always)]
    fn and_not(self, other: Self) -> Self {
        self & !other
    }
    #[inline(always)]
    fn choose(self, yes: f64, no: f64) -> f64 {
        if self { yes } else { no }
    }
    #[inline(always)]
    fn any(self) -> bool {
        self
    }
}

/// Numbers in `N` vector registers.
#[derive(Clone, Copy)]
pub(crate) struct Wide<S: Simd, const N: usize>(S, [S::f64s; N]);

/// What holds in which lanes of `N` vector registers.
#[derive(Clone, Copy)]
pub(crate) struct WideMask<S: Simd, const N: usize>(S, [S::m64s; N]);

impl<S: Simd, const N: usize> Lane for Wide<S, N> {
    type Simd = S;
    type Mask = WideMask<S, N>;
    type Packed = [S::f64s; N];

    #[inline(always)]
    fn of(simd: S, value: f64) -> Self {
        Self(simd, [simd.splat_f64s(value); N])
    }
    #[inline(always)]
    fn column(column: &[f64]) -> &[Self::Packed] {
        S::as_simd_f64s(column).0.as_chunks().0
    }
    #[inline(always)]
    fn column_mut(column: &mut [f64]) -> &mut [Self::Packed] {
        S::as_mut_simd_f64s(column).0.as_chunks_mut().0
    }
    #[inline(always)]
    fn unpack(simd: S, packed: Self::Packed) -> Self {
        Self(simd, packed)
    }
    #[inline(always)]
    fn pack(self) -> Self::Packed {
        self.1
    }
    #[inline(always)]
    fn sqrt(mut self) -> Self {
        for own in &mut self.1 {
            *own = self.0.sqrt_f64s(*own);
        }
        self
    }
    #[inline(always)]
    fn abs(mut self) -> Self {
        for own in &mut self.1 {
            *own = self.0.abs_f64s(*own);
        }
        self
    }
    #[inline(always)]
    fn plus_product(mut self, a: Self, b: Self) -> Self {
        for (own, (a, b)) in self.1.iter_mut().zip(a.1.iter().zip(&b.1)) {
            *own = self.0.mul_add_f64s(*a, *b, *own);
        }
        self
    }
    #[inline(always)]
    fn is_above(self, other: Self) -> Self::Mask {
        let mut mask = [self.0.greater_than_f64s(self.1[0], other.1[0]); N];
        for (mask, (own, other)) in mask.iter_mut().zip(self.1.iter().zip(&other.1)) {
            *mask = self.0.greater_than_f64s(*own, *other);
        }
        WideMask(self.0, mask)
    }
    #[inline(always)]
    fn is_at_least(self, other: Self) -> Self::Mask {
        let mut mask = [self.0.greater_than_or_equal_f64s(self.1[0], other.1[0]); N];
        for (mask, (own, other)) in mask.iter_mut().zip(self.1.iter().zip(&other.1)) {
            *mask = self.0.greater_than_or_equal_f64s(*own, *other);
        }
        WideMask(self.0, mask)
    }
    #[inline(always)]
    fn total(self) -> f64 {
        let mut all = [0.0; SUMMED];
        Self::column_mut(&mut all)[0] = self.1;
        let [a, b, c, d, e, f, g, h] = all;
        ((a + e) + (c + g)) + ((b + f) + (d + h))
    }
}

/// An operation of arithmetic, done in every register.
macro_rules! arithmetic {
    ($trait:ident, $name:ident, $each:ident) => {
        impl<S: Simd, const N: usize> $trait for Wide<S, N> {
            type Output = Self;
            #[inline(always)]
            fn $name(mut self, other: Self) -> Self {
                for (own, other) in self.1.iter_mut().zip(&other.1) {
                    *own = self.0.$each(*own, *other);
                }
                self
            }
        }
    };
}

arithmetic!(Add, add, add_f64s);
arithmetic!(Sub, sub, sub_f64s);
arithmetic!(Mul, mul, mul_f64s);
arithmetic!(Div, div, div_f64s);

impl<S: Simd, const N: usize> Neg for Wide<S, N> {
    type Output = Self;
    #[inline(always)]
    fn neg(mut self) -> Self {
        for own in &mut self.1 {
            *own = self.0.neg_f64s(*own);
        }
        self
    }
}

impl<S: Simd, const N: usize> Mask<Wide<S, N>> for WideMask<S, N> {
    #[inline(always)]
    fn and(mut self, other: Self) -> Self {
        for (own, other) in self.1.iter_mut().zip(&other.1) {
            *own = self.0.and_m64s(*own, *other);
        }
        self
    }
    #[inline(always)]
    fn or(mut self, other: Self) -> Self {
        for (own, other) in self.1.iter_mut().zip(&other.1) {
            *own = self.0.or_m64s(*own, *other);
        }
        self
    }
    #[inline(always)]
    fn and_not(mut self, other: Self) -> Self {
        for (own, other) in self.1.iter_mut().zip(&other.1) {
            *own = self.0.and_m64s(*own, self.0.not_m64s(*other));
        }
        self
    }
    #[inline(always)]
    fn choose(self, mut yes: Wide<S, N>, no: Wide<S, N>) -> Wide<S, N> {
        for (own, (mask, no)) in yes.1.iter_mut().zip(self.1.iter().zip(&no.1)) {
            *own = self.0.select_f64s(*mask, *own, *no);
        }
        yes
    }
    #[inline(always)]
    fn any(self) -> bool {
        let mut any = self.1[0];
        for mask in &self.1[1..] {
            any = self.0.or_m64s(any, *mask);
        }
        self.0.first_true_m64s(any) < S::F64_LANES
    }
}
