//! The tables of what draws of placement error and tension say of a search for better places.

use super::place_words::of_aim;
use crate::show::terminal::{Page, Set};
use crate::show::words::{num, percent, signed, tag};
use crate::study::result::Place;

/// Writes what was drawn, how the draws ended, and what they say.
pub(super) fn tables(page: &mut Page, found: &Place) {
    if found.gain.is_none() && found.draw_ends == [None, None] {
        return;
    }
    page.heading("Draws of placement error and tension");
    errors(page, found);
    ends(page, found);
    reached(page, found);
}

fn errors(page: &mut Page, found: &Place) {
    let rows: Vec<Vec<String>> = found
        .errors
        .iter()
        .map(|e| {
            let unit = match e.usage.as_str() {
                "factor" => "factor",
                _ => &e.unit,
            };
            vec![e.path.clone(), e.distribution.clone(), unit.to_owned(), tag(e.tag).to_owned()]
        })
        .collect();
    page.grid(&[("drawn", Set::Left), ("distribution", Set::Left), ("unit", Set::Left), ("backing", Set::Left)], &rows);
}

/// How the draws ended.
fn ends(page: &mut Page, found: &Place) {
    let [given, answer] = found.draw_ends;
    let fresh = found.gain.as_ref().map(|g| g.ends);
    let rows: Vec<Vec<String>> = [
        ("of the search, its bed, given", given),
        ("of the search, its bed, found", answer),
        ("of the search, full bed, given", found.given.draws),
        ("of the search, full bed, found", found.found.draws),
        ("fresh, full bed, given", fresh.map(|e| e[0])),
        ("fresh, full bed, found", fresh.map(|e| e[1])),
    ]
    .into_iter()
    .filter_map(|(name, ends)| {
        let e = ends?;
        let mut row = vec![name.to_owned()];
        let counts = [e.held, e.beyond, e.lost, e.impossible, e.uncertified];
        row.extend(counts.map(|n| n.to_string()));
        Some(row)
    })
    .collect();
    page.grid(
        &[
            ("draws", Set::Left),
            ("held", Set::Right),
            ("beyond", Set::Right),
            ("lost", Set::Right),
            ("off bone", Set::Right),
            ("uncertified", Set::Right),
        ],
        &rows,
    );
    page.paragraph(
        "A draw in which the fragment is lost, or an anchor misses its bone (or a number leaves its range), counts as \
         the worst. One without a certificate is left out; fewer than nine in ten that are certified give no percentile. \
         Beyond: of those held, draws in which a knot, strand, anchor or the bed passes its limit; nothing breaks in this \
         model, so they count, and their values are too good.",
    );
}

/// What nine of ten fresh draws reach.
fn reached(page: &mut Page, found: &Place) {
    let (Some(g), aim) = (&found.gain, &found.aims[0]) else {
        return;
    };
    let say = |v: Option<f64>| v.map_or_else(|| "none".to_owned(), |v| of_aim(aim, v));
    let change = |v: Option<f64>| v.map_or_else(|| "not known".to_owned(), |v| signed(v, aim.decimals()));
    let between = |v: Option<[f64; 2]>, words: &dyn Fn(f64) -> String| {
        v.map_or_else(String::new, |[a, b]| format!("{} to {}", words(a), words(b)))
    };
    let rows = vec![
        vec![
            format!("nine of ten of {} fresh draws reach", g.draws),
            say(g.given),
            say(g.found),
            change(g.difference),
            between(g.difference_interval, &|v| signed(v, aim.decimals())),
        ],
        vec![
            "the same on the bed of the search".to_owned(),
            String::new(),
            say(g.found_on_search_bed),
            String::new(),
            String::new(),
        ],
        vec![
            format!("better, of {} pairs", g.pairs),
            String::new(),
            g.better.map_or_else(|| "not known".to_owned(), |b| percent(b.value)),
            String::new(),
            between(g.better_interval, &|v| percent(v)),
        ],
    ];
    page.grid(
        &[
            ("", Set::Left),
            ("given", Set::Right),
            ("found", Set::Right),
            ("difference", Set::Right),
            ("95 % interval", Set::Right),
        ],
        &rows,
    );
    page.paragraph(&format!(
        "Full bed: about {} cells, {} steps; bed of the search: about {} cells, {} steps. Seed of the fresh draws {}. \
         Intervals: of the difference by a bootstrap over paired draws, of the share after Wilson; both take the draws \
         for independent. Medians and extremes stand in the reading; on one draw the answer differs by {} to {} in eight \
         of ten.",
        g.cells,
        g.steps,
        found.cells[0],
        found.steps[0],
        num(g.seed as f64, 0),
        change(g.low),
        change(g.high)
    ));
}
