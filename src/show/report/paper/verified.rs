//! What a report tells of verification: the case's own refinement and balance, and the suite.

use super::fact::Fact;
use crate::show::report::evidence::{by_category, by_law, expected, order, refined};
use crate::show::table::{Cell, Table};
use crate::show::words::{joined, pushed};
use crate::study::PushPlan;
use crate::verify::refinement::{CELLS, PULLS, PUSHES};
use crate::verify::{Check, Refined, Series, Verification};
use schemars::JsonSchema;
use serde::Serialize;

/// What was verified in a run.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Verified {
    /// The case with each of its constructs that is held.
    pub case: Verification,
    /// Constructs of which nothing could be refined, because they are not held.
    pub left_out: Vec<String>,
    /// The program's whole suite; absent when it was not run.
    pub suite: Option<Verification>,
}

impl Verified {
    /// Whether anything was refined, so that orders of convergence are told.
    pub(super) fn has_refined(&self) -> bool {
        !self.case.series.is_empty() || self.suite.as_ref().is_some_and(|s| !s.series.is_empty())
    }
}

/// How many checks and refinements there were, and how many were within tolerance.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Counts {
    /// Checks.
    pub checks: Fact,
    /// Those within tolerance.
    pub checks_within: Fact,
    /// Quantities refined.
    pub series: Fact,
    /// Those within tolerance.
    pub series_within: Fact,
    /// What is out of tolerance, in words.
    pub beyond: Vec<String>,
    /// What the checks are held against, each once.
    pub against: Vec<String>,
}

impl Counts {
    fn of(found: &Verification) -> Self {
        let within = |passed: usize| Fact::count(passed, "");
        let checks = found.checks.iter().filter(|c| !c.passed);
        let series = found.series.iter().filter(|s| !s.passed);
        let beyond = checks
            .map(|c| match &c.trouble {
                None => c.name.clone(),
                Some(trouble) => format!("{}: {trouble}", c.name),
            })
            .chain(series.map(|s| format!("{}: {} by {}", s.subject, s.quantity, refined(s.refined))))
            .collect();
        Self {
            checks: within(found.checks.len()),
            checks_within: within(found.checks.iter().filter(|c| c.passed).count()),
            series: within(found.series.len()),
            series_within: within(found.series.iter().filter(|s| s.passed).count()),
            beyond,
            against: against(found),
        }
    }
}

/// The sources of checks, each once.
fn against(found: &Verification) -> Vec<String> {
    let mut list: Vec<String> = Vec::new();
    for c in &found.checks {
        if !list.contains(&c.source) {
            list.push(c.source.clone());
        }
    }
    list
}

/// What page and methods section say of verification.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Checked {
    /// Of the case; absent when no construct is held.
    pub case: Option<Counts>,
    /// Constructs left out, joined; empty when there are none.
    pub left_out: String,
    /// Of the suite; absent when it was not run.
    pub suite: Option<Counts>,
    /// Cells of the bed aimed at, coarsest first.
    pub cells: String,
    /// Steps of the push, fewest first.
    pub pushes: String,
    /// Steps of each pull, fewest first.
    pub pulls: String,
    /// Direction of the push that was refined.
    pub pushed: String,
    /// Its distance.
    pub to: Fact,
}

impl Checked {
    pub(super) fn new(found: &Verified) -> Self {
        let plan = PushPlan::default();
        let list = |levels: &[usize]| joined(&levels.iter().map(usize::to_string).collect::<Vec<_>>());
        let any = !(found.case.checks.is_empty() && found.case.series.is_empty());
        Self {
            case: any.then(|| Counts::of(&found.case)),
            left_out: if found.left_out.is_empty() { String::new() } else { joined(&found.left_out) },
            suite: found.suite.as_ref().map(Counts::of),
            cells: list(&CELLS),
            pushes: list(&PUSHES),
            pulls: list(&PULLS),
            pushed: pushed(&plan.direction.name),
            to: Fact::exact(plan.to, "mm"),
        }
    }
}

fn within(passed: bool) -> Cell {
    if passed { "yes" } else { "no" }.into()
}

/// The tables of verification, those that there are.
pub(super) fn tables(found: &Verified, case: &str) -> Vec<Table> {
    let ending = format!(" on {case}");
    let cells = |s: &&Series| s.refined == Refined::Cells;
    let mut tables = Vec::new();
    let named = |table: Table| (!table.rows.is_empty()).then_some(table);
    tables.extend(named(series(
        "grid",
        "Refinement of the bed: order, extrapolated value and error",
        &ending,
        found.case.series.iter().filter(cells),
    )));
    tables.extend(named(series(
        "steps",
        "Refinement of the steps of push and pulls",
        &ending,
        found.case.series.iter().filter(|s| !cells(s)),
    )));
    tables.extend(named(balance(&found.case, case)));
    tables.extend(found.suite.as_ref().map(suite));
    tables
}

fn series<'a>(name: &str, title: &str, ending: &str, list: impl Iterator<Item = &'a Series>) -> Table {
    let mut table = Table::new(
        name,
        title,
        &[
            "refined",
            "quantity",
            "as used",
            "finest",
            "extrapolated",
            "order",
            "error (%)",
            "index (%)",
            "allowed (%)",
            "within",
        ],
    );
    for s in list {
        let subject = s.subject.strip_suffix(ending).unwrap_or(&s.subject);
        let what = match s.refined {
            Refined::Cells => subject.to_owned(),
            other => format!("{subject}, {}", refined(other)),
        };
        let quantity = match s.unit.as_str() {
            "" => s.quantity.clone(),
            unit => format!("{} ({unit})", s.quantity),
        };
        let value = |v: Option<f64>| Cell::from(v.map(|v| Fact::significant(v, 5, "")));
        let share = |v: Option<f64>| Cell::from(v.map(|v| Fact::significant(100.0 * v, 2, "%")));
        table.row([
            what.into(),
            quantity.into(),
            value(s.used),
            value(s.values.last().copied().flatten()),
            value(s.extrapolated),
            order(&s.order).into(),
            share(s.error),
            share(s.uncertainty),
            share(Some(s.tolerance)),
            within(s.passed),
        ]);
    }
    table
}

fn balance(found: &Verification, case: &str) -> Table {
    let mut table = Table::new(
        "balance",
        "Balance of forces, moments and energy, and the bound of the cone program",
        &["construct", "check", "demanded", "obtained", "allowed", "within"],
    );
    for c in &found.checks {
        let whose = format!(" on {case}: ");
        let (subject, name) = c.name.split_once(&whose).unwrap_or(("", &c.name));
        let name = match c.unit.as_str() {
            "" => name.to_owned(),
            unit => format!("{name} ({unit})"),
        };
        let obtained = match (&c.trouble, c.obtained) {
            (Some(trouble), _) => trouble.as_str().into(),
            (None, v) => v.map(|v| Fact::significant(v, 6, &c.unit)).into(),
        };
        table.row([
            subject.into(),
            name.into(),
            expected(c).into(),
            obtained,
            Fact::significant(c.tolerance, 2, &c.unit).into(),
            within(c.passed),
        ]);
    }
    table
}

fn suite(found: &Verification) -> Table {
    let mut table = Table::new(
        "suite",
        "The program's verification suite, run with this report",
        &["kind", "what", "against", "checks", "within tolerance"],
    );
    for (category, checks) in by_category(found) {
        let kind = category.words().0;
        // Of several constructs the same laws come again.
        let mut laws: Vec<Vec<Check>> = Vec::new();
        for law in by_law(&checks) {
            let same = laws.iter_mut().find(|l| l[0].law == law[0].law && l[0].source == law[0].source);
            match same {
                Some(list) => list.extend_from_slice(law),
                None => laws.push(law.to_vec()),
            }
        }
        for law in laws {
            let passed = law.iter().filter(|c| c.passed).count();
            table.row([
                kind.into(),
                law[0].law.as_str().into(),
                law[0].source.as_str().into(),
                Fact::count(law.len(), "").into(),
                Fact::count(passed, "").into(),
            ]);
        }
    }
    for refinement in [Refined::Cells, Refined::PushSteps, Refined::PullSteps] {
        let own = || found.series.iter().filter(move |s| s.refined == refinement);
        if own().next().is_none() {
            continue;
        }
        table.row([
            "Calculation verification".into(),
            format!("refinement: {}", refined(refinement)).into(),
            "the calculation itself, with finer ones".into(),
            Fact::count(own().count(), "").into(),
            Fact::count(own().filter(|s| s.passed).count(), "").into(),
        ]);
    }
    table
}
