//! Figures "scatter-ranking-…" and "scatter-indices-…": which inputs move the answers of a construct.

use super::*;
use crate::stats::SobolIndex;

/// Partial rank correlation of the inputs with compression, step-off and loads, strongest first: one
/// figure a construct.
pub fn scatter_ranking(found: &Scatter, theme: &Theme) -> Vec<Figure> {
    let figure = |(k, construct): (usize, &Scattered)| {
        let own = |key: &&str| construct.rankings.iter().find(|r| r.quantity.key == **key);
        let panel = |of: &Ranking| {
            let rows = of.ranks.iter().map(|r| (input::words(&r.path), vec![(r.coefficient, r.interval)]));
            panel(theme, &of.quantity, format!("{} of {}", of.of, counted(found.done, "sample")), rows)
        };
        let panels: Vec<Panel> = KEYS.iter().filter_map(own).map(panel).collect();
        let name = &construct.construct;
        let bars = Bars {
            title: name,
            key: &["coefficient: more of the input, more (+) or less (\u{2212}) of the quantity"],
            scale: Scale::between(-1.0, 1.0, 4),
            axis: "partial rank correlation",
            heads: &[""],
            colour: theme.series(k).0,
        };
        let rows = construct.rankings.iter().flat_map(|of| {
            let row = |r: &Rank| json!([input::words(&r.path), r.path, r.coefficient, r.interval]);
            of.ranks.iter().map(move |r| json!([of.quantity.key, of.of, row(r)]))
        });
        let table = csv("quantity,samples,input,path,coefficient,interval_low,interval_high".split(','), rows);
        let drawn = drawn(found);
        let caption = format!(
            "What moves the answers of {name}: partial rank correlation of each input with the quantity, all other inputs held, strongest first, with its 95 % interval (Fisher's transformation: for independent draws, a little wide for these). Positive: more of the input, more of the quantity. A bar says how surely an input moves the answer in one direction, not by how much. {drawn}"
        );
        let alt = alt(bars.axis, name, &panels);
        Figure::new(&format!("scatter-ranking-{name}"), draw(theme, &panels, &bars), table, caption, alt)
    };
    found.constructs.iter().enumerate().map(figure).collect()
}

/// Sobol' indices of the inputs, largest total first: one figure for each construct that has some.
pub fn scatter_indices(found: &Scatter, theme: &Theme) -> Vec<Figure> {
    let all = found.constructs.iter().flat_map(|c| &c.indices).flat_map(|i| &i.indices).map(|i| i.index);
    let ends = all.flat_map(|i| [[i.first, i.total], i.first_interval, i.total_interval]).flatten();
    let [lo, hi] = extremes(ends.chain([0.0, 1.0]));
    let figure = |(k, construct): (usize, &Scattered)| {
        let own = |key: &&str| construct.indices.iter().find(|i| i.quantity.key == **key);
        let panel = |of: &Indices| {
            let bars = |i: SobolIndex| vec![(i.first, i.first_interval), (i.total, i.total_interval)];
            let base = counted(of.of as u64, "base sample");
            let rows = of.indices.iter().map(|i| (input::words(&i.path), bars(i.index)));
            panel(theme, &of.quantity, format!("{base}, {} left out", of.left_out), rows)
        };
        let panels: Vec<Panel> = KEYS.iter().filter_map(own).map(panel).collect();
        let (name, case, spread) = (&construct.construct, &found.case, &found.spread);
        let bars = Bars {
            title: name,
            key: &[
                "first: share that goes when the input is known",
                "total: share that stays when all others are known",
            ],
            scale: Scale::load(lo.max(-0.25), hi.min(1.25), 4),
            axis: "share of the variance",
            heads: &["first", "total"],
            colour: theme.series(k).0,
        };
        let heading =
            "quantity,base_samples,left_out,variance,input,path,first,first_low,first_high,total,total_low,total_high";
        let rows = construct.indices.iter().flat_map(|of| {
            let bars = |i: SobolIndex| json!([i.first, i.first_interval, i.total, i.total_interval]);
            let begin = json!([of.quantity.key, of.of, of.left_out, of.variance]);
            of.indices.iter().map(move |i| json!([begin, input::words(&i.path), i.path, bars(i.index)]))
        });
        let base = counted(found.index_base, "base sample");
        let caption = format!(
            "What the uncertainty of {name} is made of: Sobol' indices of each input, largest total first. Upper, full bar: first-order index, the share of the variance that goes when this input is known. Lower, hatched bar: total index, the share that stays when all others are known. Thin lines: bootstrap intervals of 95 %; a first-order index can come out below zero or above its total by chance, and an interval that runs beyond the axis is cut there. Inputs that are correlated stand as one; the limbs' tensions, like other inputs with a star in their path, are drawn independently and taken together. Case {case}; {base}, of which those left out (below each panel) had a run without the quantity; spread: {spread}."
        );
        let alt = alt("total Sobol' index", name, &panels);
        let table = csv(heading.split(','), rows);
        Figure::new(&format!("scatter-indices-{name}"), draw(theme, &panels, &bars), table, caption, alt)
    };
    found.constructs.iter().enumerate().filter(|(_, c)| !c.indices.is_empty()).map(figure).collect()
}

fn alt(what: &str, construct: &str, panels: &[Panel]) -> String {
    let said = |panel: &Panel| {
        let rows =
            panel.rows.iter().take(5).map(|(name, bars)| format!("{name} {}", number(bars[bars.len() - 1].0, 2)));
        let rows = if panel.rows.is_empty() { "too few samples".to_owned() } else { joined(rows, ", ") };
        format!("{}: {rows}", panel.title)
    };
    let panels = joined(panels.iter().map(said), ". ");
    format!("Bars of what moves the answers of {construct} ({what}), strongest first. {panels}.")
}

/// Least width of a panel, mm.
const LEAST: f64 = 80.0;

/// An input in plain words with its bars, each with its interval: one, or two of which the second is hatched.
type Row = (String, Vec<(f64, [f64; 2])>);

/// The bars of one quantity.
struct Panel {
    /// Heading.
    title: String,
    /// Inputs, strongest first.
    rows: Vec<Row>,
    /// What stands below: on how many samples it rests, and what was left out.
    note: String,
}

/// A panel of as many rows as there is room for: fewer where words are large, or panels stand one under another.
fn panel(theme: &Theme, quantity: &Quantity, rests_on: String, rows: impl Iterator<Item = Row>) -> Panel {
    let most = if theme.text <= 8.0 && theme.is_wide() { 10 } else { 7 };
    let mut rows: Vec<Row> = rows.collect();
    let rest = rows.get(most).map_or_else(String::new, |(_, bars)| {
        let more = rows.len() - most;
        let them = if more == 1 { "input" } else { "inputs, each" };
        // Rounded up, so that it is no more than is said.
        let next = (100.0 * bars[bars.len() - 1].0.abs()).ceil() / 100.0;
        format!("; {more} more {them} at most {next:.2} in size")
    });
    rows.truncate(most);
    Panel { title: short(quantity), rows, note: rests_on + &rest }
}

/// What all panels share.
struct Bars<'a> {
    /// Whose bars they are: the heading of the figure.
    title: &'a str,
    /// What full and hatched bars mean.
    key: &'a [&'a str],
    /// The scale of all panels.
    scale: Scale,
    /// Words under the axis.
    axis: &'a str,
    /// Names of the bars: heads of the columns of values.
    heads: &'a [&'a str],
    /// Colour.
    colour: Colour,
}

/// Draws panels side by side and one under another.
fn draw(theme: &Theme, panels: &[Panel], bars: &Bars<'_>) -> Canvas {
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
    let most = panels.iter().map(|p| p.rows.len()).max().unwrap_or(0).max(1) as f64;
    let row = (1.25 * set.leading()).max(2.0 * bars.heads.len() as f64);
    let notes: Vec<Vec<String>> = panels.iter().map(|p| wrap(&p.note, note, grid.width - 2.0)).collect();
    let lines = notes.iter().map(Vec::len).max().unwrap_or(0) as f64;
    let head = if bars.heads.len() > 1 { note.leading() + 0.6 } else { 0.8 };
    let foot = 5.0 + 2.0 * set.capital();
    let tall = head + row * most + foot + lines * note.leading() + 0.6;
    let names = panels.iter().flat_map(|p| &p.rows).map(|(name, _)| name.as_str());
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

fn one(canvas: &mut Canvas, theme: &Theme, bars: &Bars<'_>, panel: &Panel, plot: Rect, [row, room, value]: [f64; 3]) {
    let (set, note, scale, axis) = (theme.words(), theme.note(), bars.scale, theme.axis());
    let across = |v: f64| plot.x + scale.share(v.clamp(scale.lo, scale.hi)) * plot.w;
    level_axis(canvas, theme, scale, plot, Some(theme.reference()));
    let column = |b: usize| plot.right() + 1.0 + (b + 1) as f64 * value;
    for (b, head) in bars.heads.iter().enumerate().filter(|_| bars.heads.len() > 1) {
        canvas.text(head, [column(b), plot.y - 0.9], note.right());
    }
    for (r, (name, bars_of)) in panel.rows.iter().enumerate() {
        let middle = plot.y + (r as f64 + 0.5) * row;
        let base = middle + 0.5 * set.capital();
        canvas.text(&fitted(name, set, room), [plot.x - 1.2, base], set.right());
        let count = bars_of.len() as f64;
        let thick = 0.72 * row / count;
        for (b, (v, [low, high])) in bars_of.iter().enumerate() {
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
