//! The tables of what draws of placement error and tension say of a search for better places.

use super::aimed;
use crate::show::table::{Cell, Column, Table};
use crate::show::terminal::Page;
use crate::show::words::{percent, signed, tag};
use crate::study::result::{DrawEnds, DrawnInput, Place};

/// Writes what was drawn, how the draws ended, and what they say.
pub(super) fn print(page: &mut Page, found: &Place) {
    if found.gain.is_none() && found.draw_ends == [None, None] {
        return;
    }
    page.titled(Some(errors(found)));
    page.titled(Some(ends(found)));
    page.paragraph(
        "A draw in which fixation fails, or an anchor misses its bone (or a number leaves its range), counts as the worst. \
         One without a checked balance is left out; fewer than nine in ten that are checked give no percentile. Of the \
         stable draws, those in which a knot, strand, anchor or the bed passes its limit count too.",
    );
    let (Some(g), aim) = (&found.gain, &found.aims[0]) else {
        return;
    };
    page.titled(reached(found));
    let change = |v: Option<f64>| v.map_or_else(|| "not known".to_owned(), |v| signed(v, aim.decimals()));
    page.paragraph(&format!(
        "Full bed: about {} cells, {} steps; bed of the search: about {} cells, {} steps. Seed of the fresh draws {}. \
         Intervals: of the difference by a bootstrap over paired draws, of the share after Wilson; both take the draws \
         for independent. On one draw the answer differs by {} to {} in eight of ten.",
        g.cells,
        g.steps,
        found.cells[0],
        found.steps[0],
        g.seed,
        change(g.low),
        change(g.high)
    ));
}

pub(super) fn errors(place: &Place) -> Table {
    let columns: [Column<'_, &DrawnInput>; 6] = [
        ("input", "", &|e| (&e.path).into()),
        ("distribution", "", &|e| (&e.distribution).into()),
        ("use", "", &|e| (&e.usage).into()),
        ("unit", "", &|e| super::unit(&e.unit)),
        ("backing", "", &|e| tag(e.tag).into()),
        ("source", "", &|e| (&e.source).into()),
    ];
    Table::of("place-errors", "What draws of placement error and tension vary", place.errors.iter(), &columns)
}

/// Every kind of draws with how they ended.
pub(super) fn kinds(place: &Place) -> Vec<(&'static str, DrawEnds)> {
    let [given, found] = place.draw_ends;
    let fresh = place.gain.as_ref().map(|g| g.ends);
    [
        ("of the search on its bed, as given", given),
        ("of the search on its bed, as found", found),
        ("of the search on the full bed, as given", place.given.draws),
        ("of the search on the full bed, as found", place.found.draws),
        ("fresh, on the full bed, as given", fresh.map(|e| e[0])),
        ("fresh, on the full bed, as found", fresh.map(|e| e[1])),
    ]
    .into_iter()
    .filter_map(|(name, ends)| Some((name, ends?)))
    .collect()
}

/// How the draws ended.
pub(super) fn ends(place: &Place) -> Table {
    let count = |n: u64| Cell::count(n as usize);
    let columns: [Column<'_, (&str, DrawEnds)>; 6] = [
        ("draws", "", &|(name, _)| (*name).into()),
        ("stable", "", &|(_, e)| count(e.held)),
        ("of these beyond a limit of load", "", &|(_, e)| count(e.beyond)),
        ("fixation fails", "", &|(_, e)| count(e.lost)),
        ("off the bone", "", &|(_, e)| count(e.impossible)),
        ("balance not checked", "", &|(_, e)| count(e.uncertified)),
    ];
    Table::of("place-draws", "How draws of placement error and tension ended", kinds(place), &columns)
}

/// What nine of ten fresh draws reach.
pub(super) fn reached(found: &Place) -> Option<Table> {
    let (g, aim) = (found.gain.as_ref()?, &found.aims[0]);
    let between = |v: Option<[f64; 2]>, words: &dyn Fn(f64) -> String| {
        v.map(|[a, b]| Cell::from(format!("{} to {}", words(a), words(b)))).into()
    };
    let heads = ["fresh draws", "given", "found", "difference", "95 % interval"];
    let mut table = Table::new("place-reached", "What draws of placement error and tension reach", &heads);
    let signed_aim = |v: f64| signed(v, aim.decimals());
    table.row([
        format!("nine of ten of {} reach", g.draws).into(),
        aimed(aim, g.given),
        aimed(aim, g.found),
        g.difference.map(|v| Cell::signed(v, aim.decimals())).into(),
        between(g.difference_interval, &signed_aim),
    ]);
    let coarse = aimed(aim, g.found_on_search_bed);
    table.row(["the same, on the bed of the search".into(), Cell::none(), coarse, Cell::none(), Cell::none()]);
    let better = g.better.map(|b| Cell::from(percent(b.value))).into();
    let interval = between(g.better_interval, &percent);
    table.row([format!("better, of {} pairs", g.pairs).into(), Cell::none(), better, Cell::none(), interval]);
    Some(table)
}
