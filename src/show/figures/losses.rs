//! Figure "losses": what is left of a repair by what is lost.

use super::*;
use crate::show::report::{lost_words, parts_lost};

/// Height of a row, mm.
const ROW: f64 = 7.4;
/// Radius of a mark, mm.
const MARK: f64 = 0.9;

/// One row a loss, the one that leaves least on top: load at 1 mm lost after tying (full), never placed (open), and the
/// failure load after tying (bar), beside the whole repair's load (upright line). Rescues stand below.
pub fn losses(found: &Losses, theme: &Theme) -> Figure {
    let rows = rows(found);
    let (set, small) = (theme.words(), theme.fine());
    let names: Vec<Vec<String>> = rows.iter().map(|r| wrap(&r.name, small, 0.36 * theme.width)).collect();
    let left = small.widest(names.iter().flatten()) + 3.0;
    let tall = |name: &Vec<String>| ROW.max(name.len() as f64 * small.leading() + 2.0);
    let height: f64 = names.iter().map(tall).sum();
    let head = 3.0 * small.leading() + 2.6;
    let foot = 4.6 + 2.0 * set.leading();
    let mut canvas = Canvas::new(theme.width, head + height + foot);
    let area = Rect::new(left, head, theme.width - left - 4.0, height);
    let all = rows.iter().flat_map(|r| [Some(r.bearing.bears()), r.before.map(Bearing::bears), fails(r.bearing)]);
    let [_, hi] = extremes(all.flatten().chain([found.whole.bears()]).chain(fails(&found.whole)));
    let scale = Scale::load(0.0, hi, 6);
    let across = |v: f64| area.x + scale.share(v.max(0.0)) * area.w;
    level_axis(&mut canvas, theme, scale, area, Some(Stroke::solid(theme.faint.tint(0.4), theme.hair)));
    canvas.text("Load (N)", [area.middle()[0], head + height + foot - 0.6], set.centred());
    key(&mut canvas, theme, !found.rescues.is_empty(), [area.x, small.leading()]);
    if let Some(fails) = fails(&found.whole) {
        let x = across(fails);
        canvas.line([x, area.y], [x, area.bottom()], Stroke::dashed(theme.ink, theme.hair, &[0.3, 0.6]));
    }
    let whole = across(found.whole.bears());
    canvas.line([whole, area.y], [whole, area.bottom()], Stroke::dashed(theme.ink, theme.outline, &[0.9, 0.6]));
    let words = format!("nothing lost: {} N", number(found.whole.bears(), 0));
    let half = 0.5 * small.width(&words);
    canvas.text(&words, [whole.clamp(half, theme.width - half), area.y - 1.0], small.centred());
    let mut top = area.y;
    for (row, name) in rows.iter().zip(&names) {
        let y = top + 0.5 * tall(name);
        let (colour, _) = theme.series(row.series);
        let edge = Stroke::solid(colour, theme.outline);
        let base = y - 0.5 * (name.len() as f64 - 1.0) * small.leading() + 0.5 * small.capital();
        canvas.lines(name, [area.x - 2.0, base], small.in_colour(colour.shade(0.35)).right());
        if let Some(fails) = fails(row.bearing) {
            let x = across(fails);
            canvas.line([across(row.bearing.bears()), y], [x, y], edge);
            canvas.line([x, y - 1.4], [x, y + 1.4], edge);
        }
        if let Some(before) = row.before {
            marker(&mut canvas, row.series, [across(before.bears()), y], MARK, theme.paper, edge);
        }
        marker(&mut canvas, row.series, [across(row.bearing.bears()), y], MARK, colour, edge);
        top += tall(name);
    }
    Figure::new("losses", canvas, numbers(&rows), caption(found), alt(found)).of(&found.construct)
}

/// What the marks mean.
fn key(canvas: &mut Canvas, theme: &Theme, rescued: bool, [mut x, base]: Point) {
    let (small, (colour, _)) = (theme.fine(), theme.series(0));
    let edge = Stroke::solid(colour, theme.outline);
    let y = base - 0.5 * small.capital();
    let all = ["lost after tying", "never placed", "failure load", "tied in addition"];
    for (k, words) in all.into_iter().take(if rescued { 4 } else { 3 }).enumerate() {
        match k {
            3 => {
                let (colour, _) = theme.series(1);
                marker(canvas, 1, [x + MARK, y], MARK, colour, Stroke::solid(colour, theme.outline));
            }
            0 => marker(canvas, 0, [x + MARK, y], MARK, colour, edge),
            1 => marker(canvas, 0, [x + MARK, y], MARK, theme.paper, edge),
            _ => canvas.line([x + MARK, y - 1.4], [x + MARK, y + 1.4], edge),
        }
        canvas.text(words, [x + 2.0 * MARK + 1.2, base], small);
        x += 2.0 * MARK + 6.0 + small.width(words);
    }
}

/// A row of the figure.
struct Row<'a> {
    name: String,
    bearing: &'a Bearing,
    before: Option<&'a Bearing>,
    series: usize,
}

fn rows(found: &Losses) -> Vec<Row<'_>> {
    let lost =
        found.losses.iter().map(|l| Row { name: lost_words(l), bearing: &l.after, before: Some(&l.before), series: 0 });
    let tried = found.rescues.iter().map(|r| Row {
        name: format!("then {}", r.construct),
        bearing: &r.bearing,
        before: None,
        series: 1,
    });
    lost.chain(tried).collect()
}

fn fails(bearing: &Bearing) -> Option<f64> {
    bearing.failure.as_ref().map(|f| f.load)
}

fn numbers(rows: &[Row<'_>]) -> String {
    let rows = rows.iter().map(|r| {
        let step = r.bearing.measures.map(|m| m.step.value);
        json!([r.name, r.bearing.load, fails(r.bearing), step, r.before.map(|b| b.load), r.before.map(fails)])
    });
    let heads = "lost,load_1mm_N,failure_load_N,step_mm,never_placed_load_1mm_N,never_placed_failure_load_N";
    csv(heads.split(','), rows)
}

fn caption(found: &Losses) -> String {
    let tried = if found.rescues.is_empty() {
        String::new()
    } else {
        let lost = parts_lost(&found.rescued, " and ");
        format!(" Lowest rows, other mark: what can still be done after the loss of {lost}, tied after it.")
    };
    format!(
        "What {} hangs on: load at 1 mm, pushed {} and {}, when a part is lost after tying (full mark) and when it was \
         never placed (open mark), the part that leaves least on top; a line leads from the full mark to the failure \
         load. A mark at zero: the fragment is lost before 1 mm. Dashed, upright: with nothing lost; dotted: its failure load.{} An anchor takes \
         every limb along that touches it; a bite that tears loses its limb.{tried}",
        found.construct,
        pushed_words(found),
        if found.settled { "settled" } else { "as tied" },
        if found.fails_later() {
            " A failure load beyond that is reached after more displacement: no strength gained."
        } else {
            ""
        }
    )
}

fn pushed_words(found: &Losses) -> String {
    crate::show::words::pushed(&found.direction)
}

fn alt(found: &Losses) -> String {
    let said = |l: &Lost| format!("{}: {} N", lost_words(l), number(l.after.bears(), 0));
    let tried = |r: &Rescue| format!("{}: {} N", r.construct, number(r.bearing.bears(), 0));
    format!(
        "Marks along a load axis, a row a loss. With nothing lost {} N at 1 mm; lost after tying: {}. Rescues: {}.",
        number(found.whole.bears(), 0),
        joined(found.losses.iter().map(said), "; "),
        if found.rescues.is_empty() { "none tried".to_owned() } else { joined(found.rescues.iter().map(tried), "; ") }
    )
}
