//! What the arm may do: tables of the phases, and the JSON document.

use super::json::Body;
use super::summary::{CaseSummary, ConstructSummary};
use crate::show::table::{Cell, Column, Table};
use crate::show::terminal::Page;
use crate::show::words::{event, not_held_short, num, tag};
use crate::study::Allowed;
use crate::study::result::{Budget, Phase, Within};
use schemars::JsonSchema;
use serde::Serialize;

/// What `rimhold budget --format json` gives.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BudgetBody {
    /// The case as it was understood.
    pub case: CaseSummary,
    /// The construct as it was understood.
    pub construct: ConstructSummary,
    /// What was found.
    pub budget: Budget,
}

impl BudgetBody {
    /// A document of what was found.
    pub fn new(case: CaseSummary, construct: ConstructSummary, budget: Budget) -> Self {
        Self { case, construct, budget }
    }
}

impl Body for BudgetBody {
    const SCHEMA: &str = "rimhold-budget/1";
}

/// Writes the phases.
pub fn budget_short(page: &mut Page, found: &Budget) {
    page.titled(budget_table(found).filled());
    let allowed = &found.allowed;
    let memory = if allowed.motion == Allowed::default().motion { " (from memory)" } else { "" };
    page.paragraph(&format!(
        "Displacement of the fragment's centroid from as tied, residual under the least load and at the largest; motion: \
         their difference in one cycle. Limits: {} mm residual, {} mm at peak; {} mm of motion{memory}. Draws within: both \
         displacements, in this phase and all before. Loads and cycles are assumed unless the case gives them. No \
         healing, no loosening of screws: what the repair bears alone, and no rule for a patient's arm.",
        allowed.left, allowed.peak, allowed.motion
    ));
}

/// The phases: what each asks, and what it leaves.
pub fn budget_table(found: &Budget) -> Table {
    let last = |p: &Phase| p.points.last().filter(|_| p.outcome.is_held()).cloned();
    let lost = |p: &Phase| -> Cell { not_held_short(&p.outcome).map_or_else(Cell::none, |_| "fails".into()) };
    let columns: [Column<'_, &Phase>; 9] = [
        ("phase", "", &|p| (&p.name).into()),
        ("load", "N", &|p| format!("{} to {}", num(p.low, 0), num(p.high, 0)).into()),
        ("cycles", "", &|p| Cell::count(p.cycles as usize)),
        ("residual", "mm", &|p| p.left.map_or_else(|| lost(p), |v| Cell::fixed(v, 2))),
        ("at peak", "mm", &|p| p.peak.map(|v| Cell::fixed(v, 2)).into()),
        ("motion", "mm", &|p| p.motion().map(|v| Cell::fixed(v, 2)).into()),
        ("compression", "N", &|p| last(p).map(|l| Cell::of("compression", l.compression)).into()),
        ("step-off", "mm", &|p| last(p).map(|l| Cell::of("step", l.measures.step.value)).into()),
        ("draws within", "%", &|p| share(p, |w| w.both)),
    ];
    Table::of("phases", "Phase after phase", &found.phases, &columns).without_empty()
}

/// Writes how the fragment lies after each phase, every limb's tension, what gave, and what backs each phase.
pub fn budget_full(page: &mut Page, found: &Budget, limbs: &[String]) {
    page.titled(left(found, limbs).filled());
    page.titled(nearness(found).filled());
    page.paragraph("A failure load that is reached after more displacement is no strength gained.");
    page.titled(backing(found).filled());
}

/// The tables that have rows.
pub(crate) fn budget_tables(found: &Budget) -> Vec<Table> {
    [budget_table(found), left(found, &[]), nearness(found), backing(found)]
        .into_iter()
        .filter_map(Table::filled)
        .collect()
}

fn left(found: &Budget, limbs: &[String]) -> Table {
    let mut heads = vec!["after".to_owned()];
    heads.extend(["step-off inferior (mm)", "middle (mm)", "superior (mm)", "in contact (%)"].map(str::to_owned));
    heads.extend(limbs.iter().map(|limb| format!("{limb} (N)")));
    let mut table = Table::new("phases-left", "What each phase leaves", &heads);
    let named = found.phases.iter().filter_map(|p| Some((p.name.as_str(), p.points.last()?)));
    for (name, point) in found.tied.iter().map(|p| ("tying", p)).chain(named) {
        let stations = point.measures.stations.map(|v| Cell::of("step", v));
        let tensions = point.tensions.iter().take(limbs.len()).map(|t| Cell::fixed(*t, 1));
        table.row(std::iter::once(name.into()).chain(stations).chain([Cell::percent(point.contact)]).chain(tensions));
    }
    table
}

fn nearness(found: &Budget) -> Table {
    let gave = |p: &Phase| {
        let said = p.gave.iter().map(|(kind, name)| format!("{name}: {}", event(*kind)));
        not_held_short(&p.outcome).into_iter().chain(said).collect::<Vec<_>>().join("; ")
    };
    let columns: [Column<'_, &Phase>; 11] = [
        ("phase", "", &|p| (&p.name).into()),
        ("direction", "", &|p| (&p.direction).into()),
        ("failure load of what is left", "N", &|p| p.fails.as_ref().map(|f| Cell::of("failure-load", f.load)).into()),
        ("reached after", "mm", &|p| p.fails.as_ref().map(|f| Cell::fixed(f.displacement, 1)).into()),
        ("load of that", "%", &|p| p.fails.as_ref().map(|f| Cell::percent(p.high / f.load)).into()),
        ("draws judged", "", &|p| p.within.map(|w| Cell::count(w.of as usize)).into()),
        ("residual within", "%", &|p| share(p, |w| w.left)),
        ("at peak within", "%", &|p| share(p, |w| w.peak)),
        ("motion within", "%", &|p| share(p, |w| w.motion)),
        ("held", "%", &|p| share(p, |w| w.held)),
        ("gave", "", &|p| gave(p).into()),
    ];
    Table::of("phases-fail", "How near to failure", &found.phases, &columns).without_empty()
}

fn share(phase: &Phase, of: fn(&Within) -> u64) -> Cell {
    phase.within.filter(|w| w.of > 0).map(|w| Cell::percent(of(&w) as f64 / w.of as f64)).into()
}

fn backing(found: &Budget) -> Table {
    let columns: [Column<'_, &Phase>; 3] = [
        ("phase", "", &|p| (&p.name).into()),
        ("backing", "", &|p| tag(p.tag).into()),
        ("from", "", &|p| (&p.source).into()),
    ];
    Table::of("phases-backing", "What backs each phase", &found.phases, &columns).without_empty()
}
