//! Figure "tie-tensions": what each tie gives to and takes from the limbs and screws tied before it.

use super::scene::Scene;
use super::stage::{Sequence, Stage};
use super::{table, words};
use crate::show::figures::axis::signed;
use crate::show::figures::canvas::{Canvas, Stroke, Type, corners};
use crate::show::figures::figure::Figure;
use crate::show::figures::font::Face;
use crate::show::figures::hatch::Hatch;
use crate::show::figures::rect::Rect;
use crate::study::result::Orders;

/// Height of the highest tension, and room above it for its number, mm.
const TALL: f64 = 9.5;
const NUMBER: f64 = 4.2;
/// Room between rows, mm.
const GAP: f64 = 1.6;
/// Widest column, mm.
const WIDEST: f64 = 34.0;
/// Changes below this are not written, N.
const WRITTEN: f64 = 0.05;

/// Where things stand.
struct Grid {
    left: f64,
    column: f64,
    head: f64,
    /// Page mm per newton.
    scale: f64,
}

/// Draws one row a limb or screw and one column a tie of one order: bars of tension on one scale, with
/// what the tie changed.
pub(super) fn tensions(scene: &Scene<'_>, orders: &Orders, sequence: &Sequence<'_>) -> Figure {
    let theme = scene.theme;
    let stages: Vec<&Stage> = sequence.stages.iter().skip(1).collect();
    let set = Type::new(theme.text, theme.ink);
    let bold = set.face(Face::Bold);
    let title = Type::new(theme.title, theme.ink).face(Face::Bold);
    let room = if theme.is_wide() { 34.0 } else { 19.0 };
    let names: Vec<Vec<String>> = (0..scene.count()).map(|k| words::lines(scene.name(k), bold, room)).collect();
    let wide = names.iter().flatten().map(|l| bold.width(l)).fold(0.0, f64::max);
    let left = wide + 3.0;
    let column = ((theme.width - left - 1.0) / stages.len().max(1) as f64).min(WIDEST);
    let heads: Vec<Vec<String>> = stages.iter().map(|s| words::lines(&s.title, set, column - 5.4)).collect();
    let most = heads.iter().map(Vec::len).max().unwrap_or(1);
    let heading = if sequence.run.own {
        "Tensions (N) in the construct's own order"
    } else if orders.runs.len() > 1 {
        "Tensions (N) in the best order"
    } else {
        "Tensions (N) in the order run"
    };
    let lines = words::lines(&words::chain(sequence), set, theme.width - 1.6);
    let intro = 4.6 + lines.len() as f64 * set.leading();
    let highest = stages.iter().flat_map(|s| &s.tensions).copied().fold(1e-9, f64::max);
    let grid = Grid { left, column, head: intro + 1.6 + most as f64 * set.leading() + 0.6, scale: TALL / highest };
    let row = NUMBER + TALL + GAP;
    let small = Type::new(theme.small, theme.muted);
    let (_, key_height) = key_places(small, theme.width - 1.2);
    let height = grid.head + names.len() as f64 * row + 1.6 + key_height;
    let mut canvas = Canvas::new(theme.width, height);
    canvas.text(heading, [0.6, 3.4], title);
    for (k, line) in lines.iter().enumerate() {
        let base = 3.4 + (k + 1) as f64 * set.leading() + 0.4;
        canvas.text(line, [0.6, base], Type::new(theme.text, theme.muted));
    }
    for (k, (stage, head)) in stages.iter().zip(&heads).enumerate() {
        let x = left + k as f64 * column;
        let mut base = intro + 1.6 + set.capital();
        let mut indent = x;
        if !stage.now.is_empty() {
            let number = stage.number.to_string();
            canvas.text(&number, [x, base], bold);
            indent += bold.width(&number) + 1.3;
        }
        for line in head {
            canvas.text(line, [indent, base], set);
            base += set.leading();
        }
    }
    for (k, name) in names.iter().enumerate() {
        let floor = grid.head + k as f64 * row + NUMBER + TALL;
        let colour = scene.colour(k);
        let mut base = floor - 0.5 * TALL - 0.5 * (name.len() - 1) as f64 * bold.leading() + 0.5 * bold.capital();
        for line in name {
            let set = Type::new(theme.text, colour.shade(0.3)).face(Face::Bold);
            canvas.text(line, [0.6, base], set);
            base += bold.leading();
        }
        let end = left + stages.len() as f64 * column - 2.0;
        canvas.line([left, floor], [end, floor], Stroke::solid(theme.ink, theme.hair));
        for (j, stage) in stages.iter().enumerate() {
            bar(&mut canvas, scene, &grid, stage, k, j, floor);
        }
    }
    key(&mut canvas, scene, [0.6, height - key_height], small);
    Figure::new(
        "tie-tensions",
        canvas,
        table::tensions(scene, sequence),
        caption(scene, orders, sequence),
        alt(scene, &stages),
    )
}

fn bar(canvas: &mut Canvas, scene: &Scene<'_>, grid: &Grid, stage: &Stage, member: usize, place: usize, floor: f64) {
    let theme = scene.theme;
    let tied = stage.now.contains(&member);
    if stage.paths[member].is_empty() && !tied {
        return;
    }
    let colour = scene.colour(member);
    let (now, change) = (stage.tensions[member], stage.changes[member]);
    let x = grid.left + place as f64 * grid.column;
    let w = (0.4 * grid.column).min(9.0);
    let level = |t: f64| floor - grid.scale * t;
    let rect = |from: f64, to: f64| Rect::new(x, level(to), w, level(from) - level(to));
    if tied {
        canvas.fill(rect(0.0, now), colour);
    } else {
        let before = now - change;
        canvas.fill(rect(0.0, now.min(before)), colour.tint(0.55));
        if change < -WRITTEN {
            canvas.outline(&corners(rect(now, before)), Stroke::dashed(colour, 0.6, LOST));
        } else if change > WRITTEN {
            let gained = corners(rect(before, now));
            canvas.area(&gained, colour.tint(0.2));
            Hatch::Rising.draw(canvas, &gained, 0.8, Stroke::solid(theme.paper, 0.5));
        }
    }
    let set = Type::new(theme.text, theme.ink);
    let top = if tied { now } else { now.max(now - change) };
    let value = format!("{now:.1}");
    let base = level(top) - 0.9;
    canvas.text(&value, [x, base], set.face(if tied { Face::Bold } else { Face::Regular }));
    if !tied && change.abs() > WRITTEN {
        let words = signed(&format!("{change:+.1}"));
        let small = Type::new(theme.small, theme.ink);
        canvas.text(&words, [x + w + 0.9, floor - 0.7], small);
    }
}

/// Dashes of the outline of what was lost, mm.
const LOST: &[f64] = &[0.7, 0.5];

/// The key: what the fills mean.
const KEY: [&str; 4] = ["tied before", "just tied", "lost by this tie", "gained by it"];

/// Places of the key's entries from its upper left corner, and its height.
fn key_places(set: Type, room: f64) -> (Vec<[f64; 2]>, f64) {
    let (mut x, mut y) = (0.0, 0.0);
    let mut places = Vec::new();
    for word in KEY {
        let w = 4.6 + set.width(word);
        if x > 0.0 && x + w > room {
            x = 0.0;
            y += 3.3;
        }
        places.push([x, y]);
        x += w + 3.0;
    }
    (places, y + 2.8)
}

fn key(canvas: &mut Canvas, scene: &Scene<'_>, at: [f64; 2], set: Type) {
    let theme = scene.theme;
    let grey = theme.muted;
    let (places, _) = key_places(set, theme.width - at[0] - 0.6);
    for (k, (word, p)) in KEY.iter().zip(places).enumerate() {
        let rect = Rect::new(at[0] + p[0], at[1] + p[1], 3.6, 2.0);
        match k {
            0 => canvas.fill(rect, grey.tint(0.55)),
            1 => canvas.fill(rect, grey),
            2 => canvas.outline(&corners(rect), Stroke::dashed(grey, 0.6, LOST)),
            _ => {
                canvas.fill(rect, grey.tint(0.2));
                Hatch::Rising.draw(canvas, &corners(rect), 0.8, Stroke::solid(theme.paper, 0.5));
            }
        }
        let base = rect.y + 1.0 + 0.5 * set.capital();
        canvas.text(word, [rect.x + 4.6, base], set);
    }
}

fn caption(scene: &Scene<'_>, orders: &Orders, sequence: &Sequence<'_>) -> String {
    let which = if sequence.run.own { "its own order" } else { "the order run" };
    let members = scene.members();
    format!(
        "What each tie gives to and takes from the {members} tied before it: construct {} on the case {}, {which} ({}). A row for each, a column a tie; bars are tensions at the tie end after the tie{}, all on one scale from zero. Full colour: the {members} just tied. Pale: {members} tied before, with what this tie took from them as a dashed outline and what it gave as a hatched cap, and the change beside it; changes under {WRITTEN} N are not written.",
        orders.construct,
        scene.case.name,
        words::chain(sequence),
        if scene.construct.screws.is_empty() { "" } else { " (of a screw: the pull of its head)" }
    )
}

fn alt(scene: &Scene<'_>, stages: &[&Stage]) -> String {
    let parts: Vec<String> = stages
        .iter()
        .map(|stage| {
            let all: Vec<String> = (0..scene.count())
                .filter(|k| !stage.paths[*k].is_empty())
                .map(|k| {
                    let change = stage.changes[k];
                    let words = if stage.now.contains(&k) {
                        "just tied".to_owned()
                    } else {
                        signed(&format!("{change:+.1} N"))
                    };
                    format!("{} {:.1} N ({words})", scene.name(k), stage.tensions[k])
                })
                .collect();
            format!("After {}: {}", stage.title, all.join(", "))
        })
        .collect();
    format!("Bars of tension of {}, a row for each and a column a tie. {}.", scene.members(), parts.join(". "))
}
