//! What a repair hangs on: its tables and its JSON document.

use super::json::Body;
use super::repair::fails_by;
use super::summary::{CaseSummary, ConstructSummary};
use crate::show::table::{Cell, Column, Table};
use crate::show::terminal::Page;
use crate::show::words::{not_held_short, pushed, word};
use crate::study::result::{Bearing, Losses, Lost, LostPart, Rescue};
use schemars::JsonSchema;
use serde::Serialize;

/// What `rimhold lose --format json` gives.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LoseBody {
    /// The case as it was understood.
    pub case: CaseSummary,
    /// The construct as it was understood.
    pub construct: ConstructSummary,
    /// What was found.
    pub losses: Losses,
}

impl LoseBody {
    /// A document of what was found.
    pub fn new(case: CaseSummary, construct: ConstructSummary, losses: Losses) -> Self {
        Self { case, construct, losses }
    }
}

impl Body for LoseBody {
    const SCHEMA: &str = "rimhold-lose/1";
}

/// What is lost in words: "anchor medial or limb bridge", either of which takes the same along; "and" where both are lost.
pub(crate) fn lost(l: &Lost) -> String {
    parts(&l.parts, if l.together { " and " } else { " or " })
}

/// Parts in words.
pub(crate) fn parts(parts: &[LostPart], between: &str) -> String {
    parts.iter().map(|p| format!("{} {}", word(&p.kind), p.name)).collect::<Vec<_>>().join(between)
}

/// Writes what is left by what is lost, and what was tried.
pub fn lose_short(page: &mut Page, found: &Losses) {
    page.titled(lose_table(found).filled());
    page.titled(rescues(found).filled());
    page.paragraph(&format!(
        "Pushed {}, {}. Lost after tying: before loads come on; what is left finds its rest. Never placed: tied without \
         it. A bite that tears loses its limb.{}{}",
        pushed(&found.direction),
        if found.settled { "settled" } else { "as tied" },
        if found.fails_later() {
            " A failure load above the whole repair's is reached after more displacement (--full): no strength gained."
        } else {
            ""
        },
        if found.rescues.is_empty() {
            ""
        } else {
            " A rescue is tied beside what still holds. A new hole is taken to hold like a first one wherever it lies, \
             and labrum stitched again like labrum that never tore: `drill` looks at distances."
        }
    ));
}

/// What is left by what is lost, the whole repair first.
pub fn lose_table(found: &Losses) -> Table {
    let rows = std::iter::once(("nothing".to_owned(), &found.whole, None));
    let rows = rows.chain(found.losses.iter().map(|l| (lost(l), &l.after, Some(&l.before))));
    let columns: [Column<'_, (String, &Bearing, Option<&Bearing>)>; 6] = [
        ("lost", "", &|r| (&r.0).into()),
        ("load at 1 mm", "N", &|r| load(r.1)),
        ("failure load", "N", &|r| failure(r.1)),
        ("step-off", "mm", &|r| step(r.1)),
        ("next failure", "", &|r| next(r.1)),
        ("never placed: load at 1 mm", "N", &|r| r.2.map(load).into()),
    ];
    Table::of("losses", "What is left when this is lost after tying", rows, &columns)
}

fn rescues(found: &Losses) -> Table {
    let columns: [Column<'_, &Rescue>; 7] = [
        ("tied in addition", "", &|r| (&r.construct).into()),
        ("load at 1 mm", "N", &|r| load(&r.bearing)),
        ("failure load", "N", &|r| failure(&r.bearing)),
        ("step-off", "mm", &|r| step(&r.bearing)),
        ("next failure", "", &|r| next(&r.bearing)),
        ("new limbs and screws", "", &|r| Cell::count(r.tied.len())),
        ("from a hole", "mm", &|r| r.from_hole.map(|d| Cell::fixed(d, 1)).into()),
    ];
    let title = format!("What can still be done after the loss of {}", parts(&found.rescued, " and "));
    Table::of("rescues", &title, &found.rescues, &columns).without_empty()
}

/// Writes which limbs each loss takes along and what each way leaves.
pub fn lose_full(page: &mut Page, found: &Losses) {
    page.titled(along(found).filled());
    let columns: [Column<'_, &Rescue>; 3] = [
        ("rescue", "", &|r| (&r.construct).into()),
        ("tied in this order", "", &|r| r.tied.join(", ").into()),
        ("there already, and left as it is", "", &|r| r.kept.join(", ").into()),
    ];
    page.titled(Table::of("rescues-tied", "What each rescue ties", &found.rescues, &columns).filled());
}

/// The tables that have rows.
pub(crate) fn lose_tables(found: &Losses) -> Vec<Table> {
    [lose_table(found), rescues(found), along(found)].into_iter().filter_map(Table::filled).collect()
}

fn along(found: &Losses) -> Table {
    let columns: [Column<'_, &Lost>; 7] = [
        ("lost", "", &|l| lost(l).into()),
        ("limbs that bear nothing", "", &|l| l.limbs.join(", ").into()),
        ("compression, after tying", "N", &|l| compression(&l.after)),
        ("never placed", "N", &|l| compression(&l.before)),
        ("step-off, never placed", "mm", &|l| step(&l.before)),
        ("failure load, never placed", "N", &|l| failure(&l.before)),
        ("failure after tying, reached after", "mm", &|l| {
            l.after.failure.as_ref().map(|f| Cell::fixed(f.displacement, 1)).into()
        }),
    ];
    let title = "What each loss takes along";
    Table::of("losses-along", title, &found.losses, &columns)
}

/// Every loss and every rescue, a line each.
pub fn lose_csv(found: &Losses) -> String {
    let mut table = lose_table(found);
    table.heads.insert(1, "tied in addition".to_owned());
    table.rows.iter_mut().for_each(|row| row.insert(1, Cell::none()));
    let lost = parts(&found.rescued, " and ");
    for r in &found.rescues {
        let b = &r.bearing;
        table.row([(&lost).into(), (&r.construct).into(), load(b), failure(b), step(b), next(b), Cell::none()]);
    }
    table.csv()
}

fn load(bearing: &Bearing) -> Cell {
    match bearing.load {
        Some(load) => Cell::of("load-1mm", load),
        None => not_held_short(&bearing.outcome).map_or_else(Cell::none, |_| "fails before".into()),
    }
}

fn failure(bearing: &Bearing) -> Cell {
    bearing.failure.as_ref().map(|f| Cell::of("failure-load", f.load)).into()
}

fn step(bearing: &Bearing) -> Cell {
    bearing.measures.map(|m| Cell::of("step", m.step.value)).into()
}

fn compression(bearing: &Bearing) -> Cell {
    bearing.compression.map(|c| Cell::of("compression", c)).into()
}

fn next(bearing: &Bearing) -> Cell {
    match (&bearing.failure, not_held_short(&bearing.outcome)) {
        (Some(failure), _) => fails_by(failure),
        (None, Some(how)) => how.into(),
        (None, None) => "nothing".into(),
    }
}
