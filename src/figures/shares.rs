//! Figure "who resists": who carries the load, stacked, one panel a construct.

mod band;
mod carrier;

use super::axis::{Plot, Scale};
use super::canvas::{Canvas, Stroke, Type, casing};
use super::csv::{Csv, field};
use super::figure::Figure;
use super::font::Face;
use super::label::spread;
use super::rect::{Point, Rect};
use super::theme::Theme;
use crate::study::result::Push;
use band::stack;
use carrier::{Category, categories};

/// Draws the shares of the load, stacked, against displacement: positive shares upward from zero,
/// negative ones (who pushes along with the load) downward, the total as a black line. All panels
/// share their scales. Limbs stand alone when there are few, otherwise by group.
pub fn who_resists(pushes: &[&Push], theme: &Theme) -> Figure {
    let categories = categories(pushes, theme);
    let set = Type::new(theme.text, theme.ink);
    let small = Type::new(theme.small, theme.muted);
    let columns = if theme.is_wide() && pushes.len() > 1 {
        2
    } else {
        1
    };
    let rows = pushes.len().div_ceil(columns).max(1);

    let stacks: Vec<_> = pushes.iter().map(|p| stack(p, &categories)).collect();
    let lo = stacks.iter().map(|s| s.lowest).fold(0.0, f64::min);
    let hi = stacks.iter().map(|s| s.highest).fold(0.0, f64::max);
    let reach = pushes
        .iter()
        .filter_map(|p| p.curve.last())
        .map(|p| p.displacement)
        .fold(0.0, f64::max);
    let y = Scale::load(lo, hi, 5);
    let x = Scale::exact(reach, 5);
    let numbers = y
        .ticks()
        .iter()
        .map(|t| set.width(&y.words(*t)))
        .fold(0.0, f64::max);
    let left = 1.0 + set.capital() + 2.2 + numbers + 1.3;
    let words = categories
        .iter()
        .map(|c| set.width(&format!("{} {}000 N", c.name, '\u{2212}')))
        .fold(0.0, f64::max);
    let gutter = 5.0;
    let column = (theme.width - gutter * (columns - 1) as f64) / columns as f64;
    let right = (8.0 + words).min(0.5 * column);
    let tall = 38.0_f64.max((categories.len() + 1) as f64 * (set.leading() + 0.4));
    let head = 5.2;
    let row = head + tall + 5.0;
    let foot = 3.6;
    let mut canvas = Canvas::new(theme.width, rows as f64 * row + foot);
    for (k, (push, stacked)) in pushes.iter().zip(&stacks).enumerate() {
        let (r, c) = (k / columns, k % columns);
        let origin = [c as f64 * (column + gutter), r as f64 * row];
        let area = Rect::new(
            origin[0] + left,
            origin[1] + head,
            column - left - right,
            tall,
        );
        let plot = Plot { area, x, y };
        for band in &stacked.bands {
            band.draw(&mut canvas, theme, &plot, &categories[band.category]);
        }
        let last = k + columns >= pushes.len();
        let title = if last {
            format!("{} displacement (mm)", first_capital(&push.direction))
        } else {
            String::new()
        };
        plot.axes(
            &mut canvas,
            theme,
            [&title, if c == 0 { "Share of load (N)" } else { "" }],
            1.0 + set.capital(),
            last,
        );
        let total: Vec<Point> = push
            .curve
            .iter()
            .map(|p| plot.at(p.displacement, p.load))
            .collect();
        let stroke = Stroke::solid(theme.ink, 1.3 * theme.curve);
        canvas.path(&total, casing(stroke));
        canvas.path(&total, stroke);
        let letter = char::from(b'a' + (k % 26) as u8).to_string();
        let bold = Type::new(theme.title, theme.ink).face(Face::Bold);
        canvas.text(&letter, [origin[0] + 0.6, origin[1] + 3.4], bold);
        canvas.text(
            &push.construct,
            [area.x, origin[1] + 3.4],
            Type::new(theme.text, theme.ink).face(Face::Bold),
        );
        label(&mut canvas, theme, &plot, push, stacked, &categories);
        if let Some(end) = push.curve.last()
            && !push.outcome.is_held()
        {
            let bold = set.face(Face::Bold);
            canvas.text(
                &format!("not held beyond {:.2} mm", end.displacement),
                [area.x + bold.width(&push.construct) + 2.0, origin[1] + 3.4],
                small.face(Face::Italic),
            );
        }
    }
    Figure::new(
        "who-resists",
        canvas,
        csv(pushes, &categories),
        caption(pushes, &categories),
        alt(pushes, &categories),
    )
}

/// Names at the right end of the bands, each with a swatch of its colour and hatch.
fn label(
    canvas: &mut Canvas,
    theme: &Theme,
    plot: &Plot,
    push: &Push,
    stacked: &band::Stack,
    categories: &[Category],
) {
    let Some(end) = push.curve.last() else { return };
    let set = Type::new(theme.text, theme.ink);
    let from = plot.at(end.displacement, 0.0)[0];
    // (target, category or none for the total, words)
    let mut entries = vec![(
        plot.at(0.0, end.load)[1],
        None,
        format!("load {}", newtons(end.load)),
    )];
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
    let heights = vec![set.leading() + 0.4; entries.len()];
    let centres = spread(
        &targets,
        &heights,
        plot.area.y - 1.5,
        plot.area.bottom() + 1.5,
    );
    let column = plot.area.right() + 3.2;
    for ((target, category, words), centre) in entries.into_iter().zip(centres) {
        let hair = Stroke::solid(theme.muted, theme.hair);
        canvas.path(
            &[
                [from + 0.4, target],
                [plot.area.right() + 0.9, target],
                [column - 0.9, centre],
                [column - 0.4, centre],
            ],
            hair,
        );
        let swatch = Rect::new(column, centre - 0.9, 3.0, 1.8);
        let mut face = Face::Regular;
        if let Some(category) = category.map(|i| &categories[i]) {
            category.fill(canvas, &super::canvas::corners(swatch));
            canvas.outline(
                &super::canvas::corners(swatch),
                Stroke::solid(category.colour, 0.4),
            );
        } else {
            face = Face::Bold;
            canvas.line(
                [swatch.x, centre],
                [swatch.right(), centre],
                Stroke::solid(theme.ink, 1.3 * theme.curve),
            );
        }
        canvas.text(
            &words,
            [swatch.right() + 0.9, centre + 0.5 * set.capital()],
            set.face(face),
        );
    }
}

fn newtons(value: f64) -> String {
    let text = format!("{value:.0}");
    let text = if text == "-0" { "0".to_owned() } else { text };
    format!("{} N", super::axis::signed(&text))
}

fn first_capital(word: &str) -> String {
    let mut chars = word.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

fn csv(pushes: &[&Push], categories: &[Category]) -> String {
    let mut csv = Csv::new(&[
        "construct",
        "displacement_mm",
        "carrier",
        "drawn_as",
        "share_N",
    ]);
    for push in pushes {
        let name = field(&push.construct);
        for p in &push.curve {
            for (k, (contributor, share)) in push.contributors.iter().zip(&p.shares).enumerate() {
                let drawn = categories
                    .iter()
                    .find(|c| c.holds(push, k))
                    .map_or(String::new(), |c| field(&c.name));
                csv.row([
                    name.clone(),
                    p.displacement.to_string(),
                    field(&contributor.name),
                    drawn,
                    share.to_string(),
                ]);
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
    format!(
        "Stacked areas of the shares of the load against displacement. {}.",
        panels.join("; ")
    )
}
