//! Figure "who resists": who carries the load, stacked, one panel a construct.

mod band;
mod carrier;

use super::axis::{Plot, Scale};
use super::canvas::{Canvas, Stroke, Type, casing};
use super::csv::{Csv, field};
use super::figure::Figure;
use super::font::Face;
use super::label::{spread, wrap};
use super::rect::{Point, Rect};
use super::theme::Theme;
use crate::study::result::{Outcome, Push};
use band::stack;
use carrier::{Category, categories};

/// Draws the shares of the load, stacked, against displacement: positive shares upward from zero,
/// negative ones (who pushes along with the load) downward, the total as a black line. All panels
/// share their scales. Limbs stand alone when there are few, otherwise by group.
pub fn who_resists(pushes: &[&Push], theme: &Theme) -> Figure {
    let categories = categories(pushes, theme);
    let set = Type::new(theme.text, theme.ink);
    let columns = if theme.is_wide() && pushes.len() > 1 { 2 } else { 1 };
    let rows = pushes.len().div_ceil(columns).max(1);

    let stacks: Vec<_> = pushes.iter().map(|p| stack(p, &categories)).collect();
    let lo = stacks.iter().map(|s| s.lowest).fold(0.0, f64::min);
    let hi = stacks.iter().map(|s| s.highest).fold(0.0, f64::max);
    let reach = pushes.iter().filter_map(|p| p.curve.last()).map(|p| p.displacement).fold(0.0, f64::max);
    let y = Scale::load(lo, hi, 5);
    let x = Scale::exact(reach, 5);
    let left = y.room(&set);
    let words = categories.iter().map(|c| set.width(&format!("{} {}000 N", c.name, '\u{2212}'))).fold(0.0, f64::max);
    let gutter = 5.0;
    let column = (theme.width - gutter * (columns - 1) as f64) / columns as f64;
    let right = (8.0 + words).min(0.5 * column);
    let heads: Vec<Vec<Head>> = pushes.iter().map(|p| heading(p, theme, column - left - 1.0)).collect();
    let most = heads.iter().map(Vec::len).max().unwrap_or(1);
    let tall = 38.0_f64.max((categories.len() + 1) as f64 * (set.leading() + 0.4));
    let head = 5.2 + (most - 1) as f64 * set.leading();
    let row = head + tall + 5.0;
    let foot = 3.6;
    let mut canvas = Canvas::new(theme.width, rows as f64 * row + foot);
    for (k, (push, stacked)) in pushes.iter().zip(&stacks).enumerate() {
        let (r, c) = (k / columns, k % columns);
        let origin = [c as f64 * (column + gutter), r as f64 * row];
        let area = Rect::new(origin[0] + left, origin[1] + head, column - left - right, tall);
        let plot = Plot { area, x, y };
        for band in &stacked.bands {
            band.draw(&mut canvas, theme, &plot, &categories[band.category]);
        }
        let last = k + columns >= pushes.len();
        let title = if last { format!("{} displacement (mm)", first_capital(&push.direction)) } else { String::new() };
        plot.axes(
            &mut canvas,
            theme,
            [&title, if c == 0 { "Share of load (N)" } else { "" }],
            1.0 + set.capital(),
            last,
        );
        let total: Vec<Point> = push.curve.iter().map(|p| plot.at(p.displacement, p.load)).collect();
        let stroke = Stroke::solid(theme.ink, 1.3 * theme.curve);
        canvas.path(&total, casing(stroke));
        canvas.path(&total, stroke);
        let letter = char::from(b'a' + (k % 26) as u8).to_string();
        let bold = Type::new(theme.title, theme.ink).face(Face::Bold);
        canvas.text(&letter, [origin[0] + 0.6, origin[1] + 3.4], bold);
        for (line, (words, face)) in heads[k].iter().enumerate() {
            let y = origin[1] + 3.4 + line as f64 * set.leading();
            canvas.text(words, [area.x, y], set.face(*face));
        }
        label(&mut canvas, theme, &plot, push, stacked, &categories, right);
    }
    Figure::new("who-resists", canvas, csv(pushes, &categories), caption(pushes, &categories), alt(pushes, &categories))
}

/// A line above a panel.
type Head = (String, Face);

/// The construct's name and, when the push ended early, where.
fn heading(push: &Push, theme: &Theme, room: f64) -> Vec<Head> {
    let set = Type::new(theme.text, theme.ink).face(Face::Bold);
    let mut lines: Vec<Head> = wrap(&push.construct, set, room).into_iter().map(|l| (l, Face::Bold)).collect();
    let what = match push.outcome {
        Outcome::Held => return lines,
        Outcome::NotHeld { .. } => "not held",
        Outcome::Uncertified { .. } => "not certified",
    };
    let end = push.curve.last().map_or(0.0, |p| p.displacement);
    lines.push((format!("{what} beyond {end:.2} mm"), Face::Italic));
    lines
}

/// Names at the right end of the bands, each with a swatch of its colour and hatch.
fn label(
    canvas: &mut Canvas,
    theme: &Theme,
    plot: &Plot,
    push: &Push,
    stacked: &band::Stack,
    categories: &[Category],
    right: f64,
) {
    let Some(end) = push.curve.last() else { return };
    let set = Type::new(theme.text, theme.ink);
    let from = plot.at(end.displacement, 0.0)[0];
    // (target, category or none for the total, words)
    let mut entries = vec![(plot.at(0.0, end.load)[1], None, format!("load {}", newtons(end.load)))];
    for (index, category) in categories.iter().enumerate() {
        if !category.is_present(push) {
            continue;
        }
        let share = category.share(push, end);
        entries.push((
            plot.at(0.0, stacked.middle_at_end[index])[1],
            Some(index),
            format!("{} {}", category.name, newtons(share)),
        ));
    }
    let targets: Vec<f64> = entries.iter().map(|e| e.0).collect();
    let column = plot.area.right() + 3.2;
    let room = right - 3.2 - 3.0 - 0.9 - 0.5;
    let lines: Vec<Vec<String>> = entries
        .iter()
        .map(|(_, category, words)| {
            let face = if category.is_some() { Face::Regular } else { Face::Bold };
            wrap(words, set.face(face), room)
        })
        .collect();
    let heights: Vec<f64> = lines.iter().map(|l| l.len() as f64 * set.leading() + 0.4).collect();
    let centres = spread(&targets, &heights, plot.area.y - 1.5, plot.area.bottom() + 1.5);
    for (((target, category, _), centre), lines) in entries.into_iter().zip(centres).zip(lines) {
        let hair = Stroke::solid(theme.muted, theme.hair);
        canvas.path(
            &[[from + 0.4, target], [plot.area.right() + 0.9, target], [column - 0.9, centre], [column - 0.4, centre]],
            hair,
        );
        let swatch = Rect::new(column, centre - 0.9, 3.0, 1.8);
        let mut face = Face::Regular;
        if let Some(category) = category.map(|i| &categories[i]) {
            category.fill(canvas, &super::canvas::corners(swatch));
            canvas.outline(&super::canvas::corners(swatch), Stroke::solid(category.colour, 0.4));
        } else {
            face = Face::Bold;
            canvas.line([swatch.x, centre], [swatch.right(), centre], Stroke::solid(theme.ink, 1.3 * theme.curve));
        }
        let mut y = centre - 0.5 * (lines.len() - 1) as f64 * set.leading() + 0.5 * set.capital();
        for line in lines {
            canvas.text(&line, [swatch.right() + 0.9, y], set.face(face));
            y += set.leading();
        }
    }
}

fn newtons(value: f64) -> String {
    let text = format!("{value:.0}");
    let text = if text == "-0" { "0".to_owned() } else { text };
    format!("{} N", super::axis::signed(&text))
}

fn first_capital(word: &str) -> String {
    let mut chars = word.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

fn csv(pushes: &[&Push], categories: &[Category]) -> String {
    let mut csv = Csv::new(&["construct", "displacement_mm", "carrier", "drawn_as", "share_N"]);
    for push in pushes {
        let name = field(&push.construct);
        for p in &push.curve {
            for (k, (contributor, share)) in push.contributors.iter().zip(&p.shares).enumerate() {
                let drawn = categories.iter().find(|c| c.holds(push, k)).map_or(String::new(), |c| field(&c.name));
                csv.row([name.clone(), p.displacement.to_string(), field(&contributor.name), drawn, share.to_string()]);
            }
            csv.row([
                name.clone(),
                p.displacement.to_string(),
                "load".to_owned(),
                "load".to_owned(),
                p.load.to_string(),
            ]);
        }
    }
    csv.finish()
}

fn caption(pushes: &[&Push], categories: &[Category]) -> String {
    let names: Vec<&str> = categories.iter().map(|c| c.name.as_str()).collect();
    let direction = pushes.first().map_or("push", |p| p.direction.as_str());
    format!(
        "Who carries the load while the fragment is pushed in the {direction} direction: shares of {}, stacked; above zero they resist, below zero they push along with the load. The black line is the total load, to which the shares sum. Numbers: share at the end of the push. All panels have the same scales.",
        names.join(", ")
    )
}

fn alt(pushes: &[&Push], categories: &[Category]) -> String {
    let panels: Vec<String> = pushes
        .iter()
        .filter_map(|push| {
            let end = push.curve.last()?;
            let parts: Vec<String> = categories
                .iter()
                .filter(|c| c.is_present(push))
                .map(|c| format!("{} {}", c.name, newtons(c.share(push, end))))
                .collect();
            Some(format!(
                "{} at {:.1} mm: load {}, of which {}",
                push.construct,
                end.displacement,
                newtons(end.load),
                parts.join(", ")
            ))
        })
        .collect();
    format!("Stacked areas of the shares of the load against displacement. {}.", panels.join("; "))
}
