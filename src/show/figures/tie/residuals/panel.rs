//! One panel of the residuals: axes, faint orders, and the orders that stand out with their labels.

use super::{FAINT, LABEL, Line, Measure};
use crate::show::figures::axis::Plot;
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type, casing};
use crate::show::figures::colour::{Colour, WHITE};
use crate::show::figures::font::Face;
use crate::show::figures::label::spread;
use crate::show::figures::rect::Point;
use crate::show::figures::theme::Theme;
use crate::show::figures::tie::stage::Sequence;
use crate::show::figures::tie::words;

/// One panel.
pub(super) struct Panel<'a> {
    pub plot: Plot,
    pub theme: &'a Theme,
    /// What it shows, mm.
    pub of: Measure,
    /// Where the settled state stands on the horizontal axis.
    pub settled: Option<usize>,
}

impl Panel<'_> {
    pub fn axes(&self, canvas: &mut Canvas, title: &str, x_of_title: f64) {
        let (theme, plot) = (self.theme, &self.plot);
        plot.axes(canvas, theme, ["Ties done", title], x_of_title, false);
        let set = Type::new(theme.text, theme.ink).align(Align::Centre);
        for tick in plot.x.ticks() {
            let p = plot.at(tick, plot.y.lo);
            let words =
                if self.settled.is_some_and(|s| s as f64 == tick) { "end".to_owned() } else { plot.x.words(tick) };
            canvas.text(&words, [p[0], p[1] + 1.4 + set.capital()], set);
        }
    }

    fn curve(&self, sequence: &Sequence<'_>) -> Vec<Point> {
        sequence.stages.iter().map(|s| self.plot.at(s.number as f64, (self.of)(s))).collect()
    }

    pub fn faint(&self, canvas: &mut Canvas, faint: &[Sequence<'_>]) {
        for sequence in faint {
            let curve = self.curve(sequence);
            let stroke = Stroke::solid(FAINT, 0.6);
            canvas.path(&curve, stroke);
            if let (Some(_), Some(end)) = (&sequence.lost, curve.last()) {
                cross(canvas, *end, FAINT.shade(0.25), 0.8);
            }
        }
    }

    pub fn lines(&self, canvas: &mut Canvas, lines: &[Line<'_>]) {
        let theme = self.theme;
        let curves: Vec<Vec<Point>> = lines.iter().map(|l| self.curve(&l.sequence)).collect();
        // Paper round all of them first: where two run together, both are seen.
        let width = 1.3 * theme.curve;
        for (line, curve) in lines.iter().zip(&curves) {
            canvas.path(curve, casing(Stroke::solid(line.colour, width)));
        }
        for (line, curve) in lines.iter().zip(&curves) {
            canvas.path(curve, Stroke::dashed(line.colour, width, line.dash));
        }
        for (line, curve) in lines.iter().zip(&curves) {
            for (stage, at) in line.sequence.stages.iter().zip(curve) {
                marker(canvas, line.marker, *at, line.colour, !stage.worse.is_empty());
            }
            if let (Some(_), Some(end)) = (&line.sequence.lost, curve.last()) {
                cross(canvas, *end, line.colour, 1.6);
            }
        }
        let set = Type::new(theme.text, theme.ink).face(Face::Bold);
        let ends: Vec<f64> = curves.iter().map(|c| c.last().map_or(self.plot.area.bottom(), |p| p[1])).collect();
        let room = LABEL - 5.2;
        let texts: Vec<Vec<String>> = lines
            .iter()
            .map(|l| {
                let value = l.sequence.stages.last().map_or(0.0, self.of);
                let mut words = words::lines(&l.name, set, room);
                words.push(format!("{value:.2} mm"));
                words
            })
            .collect();
        let heights: Vec<f64> = texts.iter().map(|w| w.len() as f64 * set.leading() + 0.6).collect();
        let area = self.plot.area;
        let centres = spread(&ends, &heights, area.y - 1.0, area.bottom() + 2.0);
        for (k, (line, words)) in lines.iter().zip(&texts).enumerate() {
            let column = area.right() + 4.2;
            if let Some(end) = curves[k].last() {
                canvas.path(
                    &[
                        [end[0] + 1.4, end[1]],
                        [(area.right() + 1.6).max(end[0] + 1.4), end[1]],
                        [column - 0.6, centres[k]],
                    ],
                    Stroke::solid(line.colour, theme.hair),
                );
            }
            let mut base = centres[k] - 0.5 * (words.len() - 1) as f64 * set.leading() + 0.5 * set.capital();
            for (i, word) in words.iter().enumerate() {
                let face = if i + 1 == words.len() { Face::Regular } else { Face::Bold };
                let set = Type::new(theme.text, line.colour.shade(0.3)).face(face);
                canvas.text(word, [column, base], set);
                base += set.leading();
            }
        }
    }
}

fn cross(canvas: &mut Canvas, at: Point, colour: Colour, width: f64) {
    let d = 1.15;
    let stroke = Stroke::solid(colour, width);
    canvas.line([at[0] - d, at[1] - d], [at[0] + d, at[1] + d], stroke);
    canvas.line([at[0] - d, at[1] + d], [at[0] + d, at[1] - d], stroke);
}

/// A disc, a square or a triangle; hollow where the tie left the fragment worse than before.
pub(super) fn marker(canvas: &mut Canvas, kind: usize, at: Point, colour: Colour, hollow: bool) {
    let [x, y] = at;
    let shape = |r: f64| -> Vec<Point> {
        if kind == 1 {
            vec![[x - r, y - r], [x + r, y - r], [x + r, y + r], [x - r, y + r]]
        } else {
            let r = 1.35 * r;
            vec![[x, y - r], [x + 0.87 * r, y + 0.5 * r], [x - 0.87 * r, y + 0.5 * r]]
        }
    };
    if kind == 0 {
        canvas.disc(at, 1.2, WHITE);
        canvas.disc(at, 0.95, colour);
        if hollow {
            canvas.disc(at, 0.55, WHITE);
        }
        return;
    }
    canvas.area(&shape(1.1), WHITE);
    canvas.area(&shape(0.85), colour);
    if hollow {
        canvas.area(&shape(0.45), WHITE);
    }
}
