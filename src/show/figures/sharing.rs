//! Figure "load-sharing": what carries the load, stacked, one panel a construct.

mod carrier;
mod label;
mod stack;

use super::event::early;
use crate::show::chart::*;
use crate::study::result::Push;
use carrier::{Category, categories};
use stack::{Stack, stack};

/// Room between columns, mm.
const GUTTER: f64 = 5.0;

/// Draws the shares of the load, stacked, against displacement: positive shares upward from zero,
/// negative ones (what acts with the load) downward, the total as a black line. All panels
/// share their scales. Limbs stand alone when there are few, otherwise by group.
pub fn load_sharing(pushes: &[&Push], theme: &Theme) -> Figure {
    let categories = categories(pushes, theme);
    let set = theme.words();
    let columns = if theme.is_wide() && pushes.len() > 1 { 2 } else { 1 };
    let rows = pushes.len().div_ceil(columns).max(1);
    let stacks: Vec<Stack> = pushes.iter().map(|p| stack(p, &categories)).collect();
    let [lo, hi] = extremes(stacks.iter().flat_map(|s| s.reach).chain([0.0]));
    let reach = pushes.iter().filter_map(|p| p.curve.last()).map(|p| p.displacement).fold(0.0, f64::max);
    let (x, y) = (Scale::exact(reach, 5), Scale::load(lo, hi, 5));
    let left = y.room(&set);
    let column = (theme.width - GUTTER * (columns - 1) as f64) / columns as f64;
    let words = set.widest(categories.iter().map(|c| format!("{} \u{2212}000 N", c.name)));
    let room = End::lead(categories.len() + 1) + 4.4;
    let right = (room + words).min(0.5 * column);
    let heads: Vec<Vec<(String, Face)>> = pushes.iter().map(|p| heading(p, theme, column - left - 1.0)).collect();
    let most = heads.iter().map(Vec::len).max().unwrap_or(1);
    let tall = 38.0_f64.max((categories.len() + 1) as f64 * (set.leading() + 0.7));
    let head = 5.2 + (most - 1) as f64 * set.leading();
    let row = head + tall + 5.0;
    let mut canvas = Canvas::new(theme.width, rows as f64 * row + 4.2);
    for (k, (push, stacked)) in pushes.iter().zip(&stacks).enumerate() {
        let origin = [(k % columns) as f64 * (column + GUTTER), (k / columns) as f64 * row];
        let plot = Plot { area: Rect::new(origin[0] + left, origin[1] + head, column - left - right, tall), x, y };
        for (category, edges) in &stacked.bands {
            let outer = plot.all(edges.iter().map(|e| [e[0], e[2]]));
            let inner = plot.all(edges.iter().rev().map(|e| [e[0], e[1]]));
            categories[*category].fill(&mut canvas, &[outer.as_slice(), &inner].concat());
            canvas.path(&outer, Stroke::solid(WHITE, theme.outline));
        }
        let title = match k + columns >= pushes.len() {
            true => format!("{} displacement (mm)", capital(&push.direction)),
            false => String::new(),
        };
        plot.axes(&mut canvas, theme, [&title, if k % columns == 0 { "Share of load (N)" } else { "" }]);
        let total = plot.all(push.curve.iter().map(|p| [p.displacement, p.load]));
        let stroke = Stroke::solid(theme.ink, 1.3 * theme.curve);
        canvas.path(&total, stroke.casing());
        canvas.path(&total, stroke);
        canvas.text(&letter(k), [origin[0] + 0.6, origin[1] + 3.4], theme.heading());
        for (line, (words, face)) in heads[k].iter().enumerate() {
            let y = origin[1] + 3.4 + line as f64 * set.leading();
            canvas.text(words, [plot.area.x, y], set.face(*face));
        }
        label::draw(&mut canvas, theme, &plot, push, stacked, &categories, right - room);
    }
    Figure::new(
        "load-sharing",
        canvas,
        csv(pushes, &categories),
        caption(pushes, &categories),
        alt(pushes, &categories),
    )
}

/// The construct's name and, when the push ended early, where.
fn heading(push: &Push, theme: &Theme, room: f64) -> Vec<(String, Face)> {
    let name = wrap(&push.construct, theme.words().bold(), room);
    let end = push.curve.last().map_or(0.0, |p| p.displacement);
    let why = early(&push.outcome).map(|what| (format!("{what} beyond {end:.2} mm"), Face::Italic));
    name.into_iter().map(|l| (l, Face::Bold)).chain(why).collect()
}

fn csv(pushes: &[&Push], categories: &[Category]) -> String {
    let mut csv = Csv::new("construct,displacement_mm,carrier,drawn_as,share_N".split(','));
    for push in pushes {
        for p in &push.curve {
            for (of, share) in push.contributors.iter().zip(&p.shares) {
                let drawn = categories.iter().find(|c| c.holds(of)).map(|c| &c.name);
                csv.row(row![&push.construct, p.displacement, &of.name, drawn, share]);
            }
            csv.row(row![&push.construct, p.displacement, "load", "load", p.load]);
        }
    }
    csv.finish()
}

fn caption(pushes: &[&Push], categories: &[Category]) -> String {
    let names: Vec<&str> = categories.iter().map(|c| c.name.as_str()).collect();
    format!(
        "Load sharing while the fragment is pushed in the {} direction: shares of {}, stacked; above zero they resist, below zero they act with the applied load. The black line is the total load, to which the shares sum. Numbers: share at the end of the push. All panels have the same scales.",
        pushes.first().map_or("push", |p| p.direction.as_str()),
        names.join(", ")
    )
}

fn alt(pushes: &[&Push], categories: &[Category]) -> String {
    let panel = |push: &&Push| {
        let end = push.curve.last()?;
        let present = categories.iter().filter(|c| c.is_present(push));
        let (name, load) = (&push.construct, newtons(end.load));
        Some(format!(
            "{name} at {:.1} mm: load {load}, of which {}",
            end.displacement,
            joined(present.map(|c| format!("{} {}", c.name, newtons(c.share(push, end)))), ", ")
        ))
    };
    let panels: Vec<String> = pushes.iter().filter_map(panel).collect();
    format!("Stacked areas of the shares of the load against displacement. {}.", panels.join("; "))
}
