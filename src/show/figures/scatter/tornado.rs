//! Bars of what moves an answer, the strongest on top, with intervals and values.

use crate::show::figures::axis::Scale;
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type, corners};
use crate::show::figures::colour::Colour;
use crate::show::figures::font::Face;
use crate::show::figures::hatch::Hatch;
use crate::show::figures::label::wrap;
use crate::show::figures::rect::Rect;
use crate::show::figures::subject::Panels;
use crate::show::figures::sweep::mark::{ROW, places};
use crate::show::figures::theme::Theme;

/// Least width of a panel, mm.
const LEAST: f64 = 80.0;

/// Most rows of a panel: fewer where words are large, or panels stand one under another.
pub(super) fn most_rows(theme: &Theme) -> usize {
    match (theme.text > 8.0, theme.is_wide()) {
        (true, _) => 7,
        (false, true) => 10,
        (false, false) => 7,
    }
}

/// A bar: its value and its interval.
pub(super) type Bar = (f64, [f64; 2]);

/// An input with its bars.
pub(super) struct Row {
    /// In plain words.
    pub name: String,
    /// One bar, or two of which the second is hatched.
    pub bars: Vec<Bar>,
}

/// The bars of one quantity.
pub(super) struct Panel {
    /// Heading.
    pub title: String,
    /// Inputs, strongest first.
    pub rows: Vec<Row>,
    /// What stands below: what was left out, and on how many samples it rests.
    pub note: String,
}

/// What a sign of the key shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    /// A full bar.
    Full,
    /// A hatched bar.
    Hatched,
    /// The line of an interval.
    Interval,
}

/// What all panels share.
pub(super) struct Bars<'a> {
    /// Whose bars they are: the heading of the figure.
    pub title: &'a str,
    /// What the bars and their lines mean.
    pub key: &'a [(Sign, &'a str)],
    /// The scale of all panels.
    pub scale: Scale,
    /// Words under the axis.
    pub axis: &'a str,
    /// Names of the bars: heads of the columns of values.
    pub heads: &'a [&'a str],
    /// Their decimals, and whether a plus sign is written.
    pub signed: bool,
    /// Colour.
    pub colour: Colour,
}

/// Draws panels side by side and one under another.
pub(super) fn draw(theme: &Theme, panels: &[Panel], bars: &Bars<'_>) -> Canvas {
    let set = Type::new(theme.text, theme.ink);
    let small = Type::new(theme.small, theme.muted);
    let titles: Vec<&str> = panels.iter().map(|p| p.title.as_str()).collect();
    let top = heading(theme, bars, None);
    let grid = Panels::titled(theme, &titles, theme.width, LEAST).below(top);
    let most = panels.iter().map(|p| p.rows.len().min(most_rows(theme))).max().unwrap_or(0).max(1);
    let row = (1.25 * set.leading()).max(2.0 * bars.heads.len() as f64);
    let notes: Vec<Vec<String>> = panels.iter().map(|p| wrap(&p.note, small, grid.width - 2.0)).collect();
    let lines = notes.iter().map(Vec::len).max().unwrap_or(0) as f64;
    let head = if bars.heads.len() > 1 { small.leading() + 0.6 } else { 0.8 };
    let foot = 1.4 + 2.0 * set.capital() + 3.6;
    let tall = head + row * most as f64 + foot + lines * small.leading() + 0.6;
    let name = panels
        .iter()
        .flat_map(|p| p.rows.iter().take(most_rows(theme)))
        .map(|r| set.width(&r.name))
        // Room at least for the first number of the axis.
        .fold(set.width("\u{2212}0.00"), f64::max)
        .min(0.48 * grid.width);
    let value = bars.heads.iter().map(|h| small.width(h)).fold(set.width("+0.00"), f64::max) + 1.6;
    let mut canvas = Canvas::new(theme.width, grid.height(tall).max(12.0));
    heading(theme, bars, Some(&mut canvas));
    for (k, panel) in panels.iter().enumerate() {
        grid.title(&mut canvas, theme, k, tall);
        let area = grid.area(k, tall);
        let values = value * bars.heads.len() as f64;
        let plot = Rect::new(area.x + 0.6 + name + 1.6, area.y + head, area.w - name - values - 3.8, row * most as f64);
        one(&mut canvas, theme, bars, panel, plot, [name + 0.01, value]);
        for (line, text) in notes[k].iter().enumerate() {
            let base = plot.bottom() + foot + small.capital() + line as f64 * small.leading();
            canvas.text(text, [area.x + 0.6, base], small);
        }
    }
    canvas
}

impl Sign {
    /// Draws it over a rectangle.
    fn draw(self, canvas: &mut Canvas, theme: &Theme, colour: Colour, r: Rect) {
        match self {
            Self::Full => canvas.fill(r, colour.tint(0.3)),
            Self::Hatched => {
                canvas.fill(r, colour.tint(0.8));
                let hair = Stroke::solid(colour, 0.4);
                Hatch::Rising.draw(canvas, &corners(r), 0.8, hair);
                canvas.outline(&corners(r), hair);
            }
            Self::Interval => {
                let hair = Stroke::solid(theme.ink, theme.hair);
                let y = r.y + 0.5 * r.h;
                canvas.line([r.x, y], [r.right(), y], hair);
                for x in [r.x, r.right()] {
                    canvas.line([x, r.y], [x, r.bottom()], hair);
                }
            }
        }
    }
}

/// The heading and the key below it, drawn when there is a canvas; the room that they take, mm.
fn heading(theme: &Theme, bars: &Bars<'_>, canvas: Option<&mut Canvas>) -> f64 {
    let title = Type::new(theme.text, theme.ink).face(Face::Bold);
    let small = Type::new(theme.small, theme.ink);
    let lines = wrap(bars.title, title, theme.width - 1.2);
    let under = 0.8 + lines.len() as f64 * title.leading();
    let entries: Vec<String> = bars.key.iter().map(|k| k.1.to_owned()).collect();
    let (places, key) = places(&entries, small, theme.width - 1.2);
    if let Some(canvas) = canvas {
        for (k, line) in lines.iter().enumerate() {
            let base = 0.8 + title.capital() + k as f64 * title.leading();
            canvas.text(line, [0.6, base], title);
        }
        for ((sign, words), p) in bars.key.iter().zip(places) {
            let middle = under + p[1] + 0.5 * ROW;
            let half = if *sign == Sign::Interval { 0.45 } else { 0.7 };
            let r = Rect::new(0.6 + p[0], middle - half, 3.4, 2.0 * half);
            sign.draw(canvas, theme, bars.colour, r);
            let base = middle + 0.5 * small.capital();
            canvas.text(words, [r.right() + 0.9, base], small);
        }
    }
    under + key + 1.6
}

fn one(canvas: &mut Canvas, theme: &Theme, bars: &Bars<'_>, panel: &Panel, plot: Rect, [name, value]: [f64; 2]) {
    let set = Type::new(theme.text, theme.ink);
    let small = Type::new(theme.small, theme.muted);
    let scale = bars.scale;
    let across = |v: f64| plot.x + (v.clamp(scale.lo, scale.hi) - scale.lo) / (scale.hi - scale.lo) * plot.w;
    let axis = Stroke::solid(theme.ink, theme.hair);
    for tick in scale.ticks() {
        let x = across(tick);
        canvas.line([x, plot.y], [x, plot.bottom()], Stroke::solid(theme.faint, theme.hair));
        canvas.line([x, plot.bottom()], [x, plot.bottom() + 0.8], axis);
        let base = plot.bottom() + 1.4 + set.capital();
        canvas.text(&scale.words(tick), [x, base], set.align(Align::Centre));
    }
    let column = |b: usize| plot.right() + 1.0 + (b + 1) as f64 * value;
    if bars.heads.len() > 1 {
        for (b, head) in bars.heads.iter().enumerate() {
            canvas.text(head, [column(b), plot.y - 0.9], small.align(Align::Right));
        }
    }
    let row = plot.h / plot_rows(plot, theme, bars);
    for (r, input) in panel.rows.iter().take(most_rows(theme)).enumerate() {
        let middle = plot.y + (r as f64 + 0.5) * row;
        let base = middle + 0.5 * set.capital();
        let words = fitted(&input.name, set, name);
        canvas.text(&words, [plot.x - 1.2, base], set.align(Align::Right));
        let count = input.bars.len() as f64;
        let thick = 0.72 * row / count;
        for (b, (v, interval)) in input.bars.iter().enumerate() {
            let y = middle + (b as f64 - 0.5 * (count - 1.0)) * thick;
            let (from, to) = (across(v.min(0.0)), across(v.max(0.0)));
            let bar = Rect::new(from, y - 0.45 * thick, to - from, 0.9 * thick);
            if b == 0 {
                Sign::Full.draw(canvas, theme, bars.colour, bar);
            } else if bar.w > 0.1 {
                Sign::Hatched.draw(canvas, theme, bars.colour, bar);
            }
            let [from, to] = interval.map(across);
            let line = Rect::new(from, y - 0.45, to - from, 0.9);
            Sign::Interval.draw(canvas, theme, bars.colour, line);
            let words = super::words::number(*v, 2);
            let plus = if bars.signed && *v > 0.0 && !words.chars().all(|c| "0.".contains(c)) { "+" } else { "" };
            canvas.text(&format!("{plus}{words}"), [column(b), base], set.align(Align::Right));
        }
    }
    if panel.rows.is_empty() {
        let at = [plot.x + 0.5 * plot.w, plot.y + 0.5 * plot.h];
        canvas.text_on_patch("too few samples", at, small.align(Align::Centre), theme.paper);
    }
    canvas.line([across(0.0), plot.y - 0.4], [across(0.0), plot.bottom()], Stroke::solid(theme.ink, theme.outline));
    canvas.line([plot.x, plot.bottom()], [plot.right(), plot.bottom()], axis);
    let base = plot.bottom() + 1.4 + 2.0 * set.capital() + 1.6;
    canvas.text(bars.axis, [plot.x + 0.5 * plot.w, base], set.align(Align::Centre));
}

/// Rows that a plot has room for.
fn plot_rows(plot: Rect, theme: &Theme, bars: &Bars<'_>) -> f64 {
    let set = Type::new(theme.text, theme.ink);
    let row = (1.25 * set.leading()).max(2.0 * bars.heads.len() as f64);
    (plot.h / row).round().max(1.0)
}

/// A name cut to so much room, mm.
fn fitted(name: &str, set: Type, room: f64) -> String {
    let mut cut = name.to_owned();
    let mut short = name.to_owned();
    while set.width(&cut) > room && short.pop().is_some() {
        cut = format!("{}…", short.trim_end());
    }
    cut
}
