//! Bars of what moves an answer, the strongest on top, with intervals and values.

use crate::show::chart::*;

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

/// What all panels share.
pub(super) struct Bars<'a> {
    /// Whose bars they are: the heading of the figure.
    pub title: &'a str,
    /// What full and hatched bars mean.
    pub key: &'a [&'a str],
    /// The scale of all panels.
    pub scale: Scale,
    /// Words under the axis.
    pub axis: &'a str,
    /// Names of the bars: heads of the columns of values.
    pub heads: &'a [&'a str],
    /// Colour.
    pub colour: Colour,
}

/// Draws panels side by side and one under another.
pub(super) fn draw(theme: &Theme, panels: &[Panel], bars: &Bars<'_>) -> Canvas {
    let (set, note, bold) = (theme.words(), theme.note(), theme.words().bold());
    let titles: Vec<&str> = panels.iter().map(|p| p.title.as_str()).collect();
    let heading = wrap(bars.title, bold, theme.width - 1.2);
    let mut key = Key::new(theme.fine(), theme.width - 1.2);
    for (b, words) in bars.key.iter().enumerate() {
        key.add(3.4, *words, move |canvas, r| bar(canvas, bars.colour, b, r.grown(-0.4)));
    }
    let hair = theme.axis();
    key.add(3.4, "95 % interval", move |canvas, r| whisker(canvas, r.grown(-0.7), hair));
    let under = 0.8 + heading.len() as f64 * bold.leading();
    let grid = Panels::new(theme, &titles, theme.width, LEAST).below(under + key.height() + 1.6);
    let rows = |p: &Panel| p.rows.len().min(most_rows(theme));
    let most = panels.iter().map(rows).max().unwrap_or(0).max(1) as f64;
    let row = (1.25 * set.leading()).max(2.0 * bars.heads.len() as f64);
    let notes: Vec<Vec<String>> = panels.iter().map(|p| wrap(&p.note, note, grid.width - 2.0)).collect();
    let lines = notes.iter().map(Vec::len).max().unwrap_or(0) as f64;
    let head = if bars.heads.len() > 1 { note.leading() + 0.6 } else { 0.8 };
    let foot = 5.0 + 2.0 * set.capital();
    let tall = head + row * most + foot + lines * note.leading() + 0.6;
    let names = panels.iter().flat_map(|p| p.rows.iter().take(most_rows(theme))).map(|r| r.name.as_str());
    // Room at least for the first number of the axis.
    let name = set.widest(names.chain(["\u{2212}0.00"])).min(0.48 * grid.width);
    let value = note.widest(bars.heads).max(set.width("+0.00")) + 1.6;
    let mut canvas = Canvas::new(theme.width, grid.height(tall).max(12.0));
    canvas.lines(&heading, [0.6, 0.8 + bold.capital()], bold);
    key.draw(&mut canvas, [0.6, under]);
    grid.draw(&mut canvas, theme, tall, "", |canvas, k, area| {
        let width = area.w - name - value * bars.heads.len() as f64 - 3.8;
        let plot = Rect::new(area.x + name + 2.2, area.y + head, width, row * most);
        one(canvas, theme, bars, &panels[k], plot, [row, name + 0.01, value]);
        canvas.lines(&notes[k], [area.x + 0.6, plot.bottom() + foot + note.capital()], note);
    });
    canvas
}

/// A bar over a rectangle: the first full, the second hatched.
fn bar(canvas: &mut Canvas, colour: Colour, b: usize, r: Rect) {
    if b == 0 {
        canvas.fill(r, colour.tint(0.3));
    } else if r.w > 0.1 {
        let hair = Stroke::solid(colour, 0.4);
        canvas.fill(r, colour.tint(0.8));
        canvas.textured(&r.corners(), Texture::Rising, 0.8, hair);
        canvas.frame(r, hair);
    }
}

fn one(canvas: &mut Canvas, theme: &Theme, bars: &Bars<'_>, panel: &Panel, plot: Rect, [row, name, value]: [f64; 3]) {
    let (set, note, scale, axis) = (theme.words(), theme.note(), bars.scale, theme.axis());
    let across = |v: f64| plot.x + scale.share(v.clamp(scale.lo, scale.hi)) * plot.w;
    level_axis(canvas, theme, scale, plot, Some(theme.reference()));
    let column = |b: usize| plot.right() + 1.0 + (b + 1) as f64 * value;
    for (b, head) in bars.heads.iter().enumerate().filter(|_| bars.heads.len() > 1) {
        canvas.text(head, [column(b), plot.y - 0.9], note.right());
    }
    for (r, input) in panel.rows.iter().take(most_rows(theme)).enumerate() {
        let middle = plot.y + (r as f64 + 0.5) * row;
        let base = middle + 0.5 * set.capital();
        canvas.text(&fitted(&input.name, set, name), [plot.x - 1.2, base], set.right());
        let count = input.bars.len() as f64;
        let thick = 0.72 * row / count;
        for (b, (v, [low, high])) in input.bars.iter().enumerate() {
            let y = middle + (b as f64 - 0.5 * (count - 1.0)) * thick;
            let (from, to) = (across(v.min(0.0)), across(v.max(0.0)));
            bar(canvas, bars.colour, b, Rect::new(from, y - 0.45 * thick, to - from, 0.9 * thick));
            whisker(canvas, Rect::new(across(*low), y - 0.45, across(*high) - across(*low), 0.9), axis);
            let words = if scale.lo < -0.5 { with_plus(*v, 2) } else { number(*v, 2) };
            canvas.text(&words, [column(b), base], set.right());
        }
    }
    if panel.rows.is_empty() {
        canvas.text_on_patch("too few samples", plot.middle(), note.centred(), theme.paper);
    }
    let (zero, foot) = (across(0.0), plot.bottom());
    canvas.line([zero, plot.y - 0.4], [zero, foot], Stroke::solid(theme.ink, theme.outline));
    canvas.text(bars.axis, [plot.middle()[0], foot + 3.0 + 2.0 * set.capital()], set.centred());
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
