//! Figure "tie-strip": one view en face a tie, best and worst order on one scale.

mod grid;

use super::key::key;
use super::stage::Sequence;
use super::study::Study;
use super::words;
use crate::show::chart::*;
use crate::show::scene::side;
use crate::study::result::Orders;
use grid::Grid;

/// Draws the strip of the given orders, each with its heading.
pub(super) fn strip(study: &Study<'_>, orders: &Orders, rows: &[(Sequence<'_>, String)]) -> Figure {
    let theme = study.theme;
    let grid = Grid::new(study, rows);
    let (bold, set) = (theme.heading(), Type { colour: theme.muted, ..theme.words() });
    let chain_of = |(sequence, heading): &(Sequence<'_>, String)| {
        let chain = words::chain(sequence);
        // Behind the heading when it fits there, otherwise below.
        if bold.width(heading) + 6.5 + set.width(&chain) < theme.width - 1.0 {
            return vec![chain];
        }
        let below = wrap_at_spaces(&chain, set, theme.width - 6.0);
        std::iter::once(String::new()).chain(below).collect()
    };
    let chains: Vec<Vec<String>> = rows.iter().map(chain_of).collect();
    let above = |row: usize| 4.6 + (chains[row].len() - 1) as f64 * set.leading();
    let height_of = |row: usize| above(row) + rows[row].0.cells().div_ceil(grid.columns) as f64 * grid.line();
    let key = key(study, grid.scale, true, theme.width - 2.0);
    let body: f64 = (0..rows.len()).map(height_of).sum();
    let mut canvas = Canvas::new(theme.width, body + 1.4 + key.height());
    let mut top = 0.0;
    for (row, (sequence, heading)) in rows.iter().enumerate() {
        let indent = if rows.len() > 1 { 4.4 } else { 0.6 };
        if rows.len() > 1 {
            canvas.text(&letter(row), [0.6, top + 3.4], bold);
        }
        canvas.text(heading, [indent, top + 3.4], bold);
        canvas.text(&chains[row][0], [indent + bold.width(heading) + 2.4, top + 3.4], set);
        canvas.lines(&chains[row][1..], [indent, top + 3.4 + set.leading()], set);
        let first = top + above(row);
        for (k, stage) in sequence.stages.iter().enumerate() {
            grid.cell(&mut canvas, stage, grid.corner(k, first), k + 1 == sequence.stages.len());
        }
        if let Some(lost) = &sequence.lost {
            grid.lost(&mut canvas, sequence, lost, grid.corner(sequence.stages.len(), first));
        }
        top += height_of(row);
    }
    key.draw(&mut canvas, [1.0, top + 0.8]);
    let table = words::csv(study.case, study.construct, orders);
    let alt = format!(
        "Rows of scale drawings of a rim fragment seen en face, one drawing a tie. {}.",
        joined(rows.iter().map(|(s, heading)| format!("{heading}. {}", words::all_spoken(s))), ". ")
    );
    Figure::new("tie-strip", canvas, table, caption(study, orders, rows), alt)
}

fn caption(study: &Study<'_>, orders: &Orders, rows: &[(Sequence<'_>, String)]) -> String {
    let named = rows.iter().enumerate().map(|(k, (sequence, heading))| {
        let letter = if rows.len() > 1 { format!("({}) ", letter(k)) } else { String::new() };
        format!("{letter}{heading}: {}", words::chain(sequence))
    });
    format!(
        "What each tie does to the fragment: construct {} on the case {}, {}, en face from lateral, every state solved. {}. All views have one scale. Dashed: outline of the reduced fragment; darker bone: bed that the fragment does not cover; dotted: the fragment before tying. {}; pale: {} tied before. Full lines are bridges, hollow lines loops, dashed where they run behind bone; an eye is an anchor on the face, a broken ring one behind the bone, a diamond a bite, a bar a crossing over bone{}. Below each view, true to scale: the fragment's articular edge (thick) along the fracture line against the intact edge (thin), lateral upward; hatched where it stands proud, plain where it is recessed. Residuals: largest step-off and gap (open, or pressed into the bed) along the fracture line, inferior shift of the end or middle that is shifted most, turn about the chord (lateral tilt) and about the bed's normal (spin). Worse: in what the tie left the fragment lying more than {} mm worse than before it. {}",
        orders.construct,
        study.case.name,
        side(study.case),
        joined(named, ". "),
        words::emphasis(study.construct),
        study.members(),
        words::screws(study.construct),
        orders.band,
        words::choice(orders)
    )
}
