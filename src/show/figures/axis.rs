//! Axes of a plot: scales, ticks and their words.

use super::canvas::{Align, Canvas, Stroke, Type};
use super::rect::{Point, Rect};
use super::theme::Theme;

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
        let numbers = self.ticks().iter().map(|t| set.width(&self.words(*t))).fold(0.0, f64::max);
        1.0 + set.capital() + 2.2 + numbers + 1.3
    }

    /// A tick in words, with the decimals that its step needs.
    pub fn words(&self, tick: f64) -> String {
        let decimals = (0..6)
            .find(|d| {
                let scaled = self.step * 10f64.powi(*d);
                (scaled - scaled.round()).abs() < 1e-6
            })
            .unwrap_or(6);
        let text = format!("{:.*}", decimals as usize, tick);
        signed(&text)
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

/// A number in print: a true minus sign.
pub(crate) fn signed(text: &str) -> String {
    text.replacen('-', "\u{2212}", 1)
}

/// The least of 1, 2, 2.5 and 5 times a power of ten that needs no more than `ticks` steps.
pub(crate) fn round_step(range: f64, ticks: usize) -> f64 {
    let raw = range / ticks.max(1) as f64;
    let power = 10f64.powf(raw.log10().floor());
    for factor in [1.0, 2.0, 2.5, 5.0] {
        if factor * power >= raw * (1.0 - 1e-9) {
            return factor * power;
        }
    }
    10.0 * power
}

/// A plot's rectangle with its two scales.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Plot {
    /// The data area, mm.
    pub area: Rect,
    /// Horizontal scale.
    pub x: Scale,
    /// Vertical scale.
    pub y: Scale,
}

impl Plot {
    /// Where a pair of values stands on the page.
    pub fn at(&self, x: f64, y: f64) -> Point {
        [
            self.area.x + (x - self.x.lo) / (self.x.hi - self.x.lo) * self.area.w,
            self.area.bottom() - (y - self.y.lo) / (self.y.hi - self.y.lo) * self.area.h,
        ]
    }

    /// Draws the left and lower axis with ticks, words and titles (empty: none). The title of the
    /// vertical axis is centred at `x_of_title`.
    pub fn axes(&self, canvas: &mut Canvas, theme: &Theme, titles: [&str; 2], x_of_title: f64, words_below: bool) {
        let a = self.area;
        let axis = Stroke::solid(theme.ink, theme.hair);
        let set = Type::new(theme.text, theme.ink);
        canvas.path(&[[a.x, a.y], [a.x, a.bottom()], [a.right(), a.bottom()]], axis);
        if self.y.lo < 0.0 {
            let zero = self.at(0.0, 0.0)[1];
            canvas.line([a.x, zero], [a.right(), zero], axis);
        }
        for tick in self.y.ticks() {
            let p = self.at(self.x.lo, tick);
            canvas.line([p[0] - 0.8, p[1]], p, axis);
            canvas.text(&self.y.words(tick), [p[0] - 1.3, p[1] + 0.5 * set.capital()], set.align(Align::Right));
        }
        for tick in self.x.ticks() {
            let p = self.at(tick, self.y.lo);
            canvas.line(p, [p[0], p[1] + 0.8], axis);
            if words_below {
                canvas.text(&self.x.words(tick), [p[0], p[1] + 1.4 + set.capital()], set.align(Align::Centre));
            }
        }
        if !titles[0].is_empty() {
            canvas.text(
                titles[0],
                [a.x + 0.5 * a.w, a.bottom() + 2.6 + 2.0 * set.capital() + 0.7],
                set.align(Align::Centre),
            );
        }
        if !titles[1].is_empty() {
            canvas.text_upward(titles[1], [x_of_title, a.y + 0.5 * a.h], set);
        }
    }
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
