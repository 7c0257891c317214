//! Linear scales with round ticks, as coordinates of plotters.

use super::lettering::Type;
use super::number::number;
use plotters::coord::ranged1d::{DefaultFormatting, KeyPointHint, Ranged};
use std::ops::Range;

/// A linear scale with round ticks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scale {
    /// Lower end.
    pub lo: f64,
    /// Upper end.
    pub hi: f64,
    /// Distance of ticks: 1, 2, 2.5 or 5 times a power of ten.
    pub step: f64,
}

impl Scale {
    /// From zero (or below, when the data go there) to above the data: to half a step upward, to a
    /// quarter downward. A dip of less than 1/500 of the range is rounding, and stays on the axis.
    pub fn load(lo: f64, hi: f64, ticks: usize) -> Self {
        let lo = if lo.is_finite() { lo.min(0.0) } else { 0.0 };
        let hi = if hi.is_finite() && hi > 0.0 {
            hi
        } else if lo < 0.0 {
            0.0
        } else {
            1.0
        };
        let step = round_step(hi - lo, ticks);
        let lo = if lo > -0.002 * (hi - lo) { 0.0 } else { lo };
        Self { lo: (4.0 * lo / step).floor() * step / 4.0, hi: (2.0 * hi / step - 1e-9).ceil() * step / 2.0, step }
    }

    /// From zero to exactly `hi`.
    pub fn exact(hi: f64, ticks: usize) -> Self {
        let hi = if hi.is_finite() && hi > 0.0 { hi } else { 1.0 };
        Self { lo: 0.0, hi, step: round_step(hi, ticks) }
    }

    /// From `lo` to `hi`, both exactly; one value alone gets some room about it.
    pub fn between(lo: f64, hi: f64, ticks: usize) -> Self {
        let (lo, hi) = apart(lo, hi);
        Self { lo, hi, step: round_step(hi - lo, ticks) }
    }

    /// From below the data to above them, both to half a step; zero need not be there.
    pub fn around(lo: f64, hi: f64, ticks: usize) -> Self {
        let (lo, hi) = apart(lo, hi);
        let step = round_step(hi - lo, ticks);
        Self {
            lo: (2.0 * lo / step + 1e-9).floor() * step / 2.0,
            hi: (2.0 * hi / step - 1e-9).ceil() * step / 2.0,
            step,
        }
    }

    /// The ticks.
    pub fn ticks(&self) -> Vec<f64> {
        let first = (self.lo / self.step - 1e-9).ceil() as i64;
        let last = (self.hi / self.step + 1e-9).floor() as i64;
        (first..=last).map(|k| k as f64 * self.step).collect()
    }

    /// Room left of an upright axis for its title and numbers, mm.
    pub fn room(&self, set: &Type) -> f64 {
        1.0 + set.capital() + 2.2 + set.widest(self.ticks().iter().map(|t| self.words(*t))) + 1.3
    }

    /// A tick in words, with the decimals that its step needs.
    pub fn words(&self, tick: f64) -> String {
        let whole = |d: &i32| {
            let scaled = self.step * 10f64.powi(*d);
            (scaled - scaled.round()).abs() < 1e-6
        };
        number(tick, (0..6).find(whole).unwrap_or(6) as usize)
    }

    /// The share of the way from the lower to the upper end at which a value stands.
    pub fn share(&self, value: f64) -> f64 {
        (value - self.lo) / (self.hi - self.lo)
    }
}

impl Ranged for Scale {
    type FormatOption = DefaultFormatting;
    type ValueType = f64;

    fn map(&self, value: &f64, (from, to): (i32, i32)) -> i32 {
        (f64::from(from) + self.share(*value) * f64::from(to - from)).round() as i32
    }

    fn key_points<H: KeyPointHint>(&self, _: H) -> Vec<f64> {
        self.ticks()
    }

    fn range(&self) -> Range<f64> {
        self.lo..self.hi
    }
}

/// The ends of a range, drawn apart when they fall together.
fn apart(lo: f64, hi: f64) -> (f64, f64) {
    if !(lo.is_finite() && hi.is_finite()) {
        return (0.0, 1.0);
    }
    let room = 1e-9 * lo.abs().max(hi.abs()).max(1e-3);
    if hi - lo > room {
        return (lo, hi);
    }
    let half = (0.1 * lo.abs()).max(0.5);
    (lo - half, lo + half)
}

/// The least of 1, 2, 2.5 and 5 times a power of ten that needs no more than `ticks` steps.
pub(crate) fn round_step(range: f64, ticks: usize) -> f64 {
    let raw = range / ticks.max(1) as f64;
    let power = libm::pow(10.0, libm::log10(raw).floor());
    for factor in [1.0, 2.0, 2.5, 5.0] {
        if factor * power >= raw * (1.0 - 1e-9) {
            return factor * power;
        }
    }
    10.0 * power
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn load_scales_start_at_zero_and_end_round() {
        let s = Scale::load(0.0, 94.4, 5);
        assert_eq!((s.lo, s.hi, s.step), (0.0, 100.0, 20.0));
        assert_eq!(s.ticks().len(), 6);
        let s = Scale::load(-3.0, 40.0, 5);
        assert_eq!((s.lo, s.hi, s.step), (-5.0, 40.0, 10.0));
        assert_eq!(Scale::load(-1e-14, 94.4, 5).lo, 0.0);
        assert_eq!(Scale::load(0.0, 1.0, 4).words(0.25), "0.25");
    }
}
