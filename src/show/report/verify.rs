//! A verification, and predictions beside publications: tables for terminal, Markdown and report from the
//! same rows, and the JSON document.

use super::CAUTION;
use super::json::Body;
use crate::show::table::{Cell, Column, NONE, Table};
use crate::show::terminal::Page;
use crate::show::words::{not_held, significant};
use crate::study::result::{Start, with_unit};
use crate::verify::published::{Band, Comparison, Fact, Input, Predictions, Published, Verdict, Where};
use crate::verify::{Category, Check, Order, Refined, Relation, Series, Verification};
use schemars::JsonSchema;
use serde::Serialize;

/// What was requested.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct AskedToVerify {
    /// Whether the published comparisons were requested.
    pub published: bool,
    /// The case whose calculation is verified too.
    pub case: Option<String>,
    /// The construct on it.
    pub construct: Option<String>,
    /// Where tying starts.
    pub from: Option<Start>,
}

/// What `rimhold verify --format json` gives.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct VerifyBody {
    /// What was requested.
    pub asked: AskedToVerify,
    /// Whether everything is within tolerance; absent for predictions, which pass and fail nothing.
    pub passed: Option<bool>,
    /// The verification.
    pub verification: Option<Verification>,
    /// Predictions beside publications.
    pub published: Option<Predictions>,
}

impl Body for VerifyBody {
    const SCHEMA: &str = "rimhold-verify/1";
}

/// What the words of [`order`] mean.
const ORDERS: &str = "Order: a number is the observed order of convergence on the three finest levels; with a \
     question mark the three coarsest show another or none, so it is not settled. \"alternates\": the last \
     changes have opposite signs; \"none\": they do not shrink by an order of a half: then no order is \
     claimed, nothing is extrapolated, and the error is the largest change to a finer level. Index: grid \
     convergence index (Roache 1994; ASME V&V 20): the error times 1.25 where the order is settled and \
     times 3 elsewhere, in percent of the value.";

/// What the verdicts mean.
const VERDICTS: &str = "Predicted: median, and the band that holds 90 % of the draws that give a value. How many do \
     stands beside: a fragment whose fixation fails before gives none, and with those counted as bearing \
     nothing the bands of loads would reach lower. Verdict: inside (the band lies in the published range), overlaps (both have something in common; where only a mean was published, \
     the band holds it), outside. A wide band overlaps easily: an overlap is no validation.";

/// Head of the clinical rules of thumb.
const RULES: &str = "Clinical rules of thumb (common practice, no source), put to the model";

fn digits(value: Option<f64>, digits: usize) -> Cell {
    value.map(|v| Cell::significant(v, digits)).into()
}

/// A share in percent with two significant digits.
fn share(value: Option<f64>) -> Cell {
    digits(value.map(|v| 100.0 * v), 2)
}

/// What is expected of a check.
fn expected(check: &Check) -> Cell {
    let value = significant(check.expected, 6);
    match (&check.trouble, check.relation) {
        (Some(_), _) => Cell::none(),
        (None, Relation::Equal) => Cell::significant(check.expected, 6),
        (None, Relation::AtMost) => format!("<= {value}").into(),
        (None, Relation::AtLeast) => format!(">= {value}").into(),
    }
}

/// What was obtained; of a trouble its first line, JSON has all of it.
fn obtained(check: &Check) -> Cell {
    match check.trouble.as_deref().and_then(|t| t.lines().next()) {
        Some(trouble) => trouble.into(),
        None => digits(check.obtained, 6),
    }
}

/// `ok`, or what cannot be overlooked.
fn ok(passed: bool) -> Cell {
    if passed { "ok" } else { "FAIL" }.into()
}

/// Order of convergence in a word or two.
fn order(order: &Order) -> Cell {
    match order {
        Order::Settled { order, .. } => Cell::fixed(*order, 2),
        Order::Unsettled { order, .. } => format!("{order:.1}?").into(),
        Order::Alternates => "alternates".into(),
        Order::DoesNotShrink => "none".into(),
        Order::NoChange => "no change".into(),
    }
}

/// What is refined.
pub(super) fn refined(refined: Refined) -> &'static str {
    match refined {
        Refined::Cells => "cells of the bed",
        Refined::PushSteps => "steps of the push",
        Refined::PullSteps => "steps of each pull",
        Refined::CycleSteps => "steps of each load of a cycle",
    }
}

/// The checks by what they verify, in the order in which that is told.
fn by_category(found: &Verification) -> [(Category, Vec<Check>); 2] {
    [Category::CodeVerification, Category::CalculationVerification].map(|category| {
        let checks = found.checks.iter().filter(|c| c.category == category);
        (category, checks.cloned().collect())
    })
}

/// Checks of one law stand together.
fn by_law(checks: &[Check]) -> Vec<&[Check]> {
    checks.chunk_by(|a, b| a.law == b.law && a.source == b.source).collect()
}

/// The end of it in a sentence.
fn summary(found: &Verification) -> String {
    let all = format!("{} checks and {} refinements", found.checks.len(), found.series.len());
    let end = match found.failures() {
        0 => "all within their tolerances".to_owned(),
        n => format!("{n} OUT OF TOLERANCE"),
    };
    let mut text = format!("{all}: {end}.");
    // A finding about the construct, not a fault of the calculation.
    for lost in &found.lost {
        if let Some(words) = not_held(&lost.outcome) {
            text += &format!(" {}: {words}; there is nothing of it to refine or to balance.", lost.subject);
        }
    }
    text
}

/// The checks of one law.
fn law_table(law: &[Check]) -> Table {
    let columns: [Column<'_, &Check>; 7] = [
        ("check", "", &|c| with_unit(&c.name, &c.unit).into()),
        ("expected", "", &|c| expected(c)),
        ("obtained", "", &|c| obtained(c)),
        ("off by", "", &|c| digits(c.error, 2)),
        ("allowed", "", &|c| Cell::significant(c.tolerance, 2)),
        ("because", "", &|c| (&c.reason).into()),
        ("", "", &|c| ok(c.passed)),
    ];
    Table::of("checks", &law[0].law, law.iter(), &columns)
}

/// The refinements of one subject in one way, level by level.
fn levels_table(group: &[Series]) -> Table {
    let levels = group[0].levels.map(|n| n.to_string());
    let value = |k: usize| move |s: &&Series| digits(s.values[k], 5);
    let values: [_; 4] = std::array::from_fn(value);
    let columns: [Column<'_, &Series>; 13] = [
        ("quantity", "", &|s| with_unit(&s.quantity, &s.unit).into()),
        (&levels[0], "", &values[0]),
        (&levels[1], "", &values[1]),
        (&levels[2], "", &values[2]),
        (&levels[3], "", &values[3]),
        ("used", "", &|s| digits(s.used, 5)),
        ("order", "", &|s| order(&s.order)),
        ("extrapolated", "", &|s| digits(s.extrapolated, 5)),
        ("error", "%", &|s| share(s.error)),
        ("index", "%", &|s| share(s.uncertainty)),
        ("error allowed", "%", &|s| share(Some(s.tolerance))),
        ("because", "", &|s| (&s.reason).into()),
        ("", "", &|s| ok(s.passed)),
    ];
    let title = format!("{}: {}", group[0].subject, refined(group[0].refined));
    Table::of("levels", &title, group.iter(), &columns)
}

/// What a verification consists of, in order: a heading of a rank, a sentence, or a table.
enum Part {
    Chapter(String),
    Said(String),
    Tabled(Table),
}

fn parts(found: &Verification) -> Vec<Part> {
    let mut parts = Vec::new();
    for (category, checks) in by_category(found) {
        let series = if category == Category::CalculationVerification { found.series.as_slice() } else { &[] };
        if checks.is_empty() && series.is_empty() {
            continue;
        }
        let (name, question) = category.words();
        parts.push(Part::Chapter(format!("{name}: {question}")));
        for law in by_law(&checks) {
            parts.push(Part::Tabled(law_table(law)));
            parts.push(Part::Said(format!("Source: {}.", law[0].source)));
        }
        for group in series.chunk_by(|a, b| a.subject == b.subject && a.refined == b.refined) {
            parts.push(Part::Tabled(levels_table(group)));
        }
        if !series.is_empty() {
            parts.push(Part::Said(ORDERS.to_owned()));
        }
    }
    parts
}

fn on_page(page: &mut Page, parts: Vec<Part>) {
    for part in parts {
        match part {
            Part::Chapter(words) => page.heading(&words.to_uppercase()),
            Part::Said(words) => page.paragraph(&words),
            // Reasons are long: Markdown and JSON have them.
            Part::Tabled(table) => page.titled(Some(table.without("because"))),
        }
    }
}

fn in_markdown(parts: &[Part]) -> String {
    let one = |part: &Part| match part {
        Part::Chapter(words) => format!("\n### {words}\n"),
        Part::Said(words) => format!("\n{words}\n"),
        Part::Tabled(table) if table.title.is_empty() => format!("\n{}", table.markdown()),
        Part::Tabled(table) => format!("\n**{}.**\n\n{}", table.title, table.markdown()),
    };
    parts.iter().map(one).collect()
}

/// Writes how many checks of each kind there were, and each that is out of tolerance.
pub fn verify_short(page: &mut Page, found: &Verification) {
    for (category, checks) in by_category(found) {
        let within = checks.iter().filter(|c| c.passed).count();
        page.value(category.words().0, format!("{within} of {} checks within tolerance", checks.len()));
    }
    let within = found.series.iter().filter(|s| s.passed).count();
    page.value("Refinement", format!("{within} of {} within tolerance", found.series.len()));
    for check in found.checks.iter().filter(|c| !c.passed) {
        let trouble = check.trouble.as_deref().and_then(|t| t.lines().next());
        page.item(&format!("FAIL {}: {}: {}", check.law, check.name, trouble.unwrap_or("out of tolerance")));
    }
    for s in found.series.iter().filter(|s| !s.passed) {
        let (off, allowed) = (share(s.error).text, share(Some(s.tolerance)).text);
        let finer = refined(s.refined);
        page.item(&format!("FAIL {}: {} on finer {finer}: off by {off} %, allowed {allowed} %", s.subject, s.quantity));
    }
}

/// The verification: each law with its source and checks, each refinement, and the end of it.
pub fn verify_table(page: &mut Page, found: &Verification) {
    on_page(page, parts(found));
    page.heading("Result");
    page.paragraph(&summary(found));
    page.paragraph("--format markdown and json give the reason of each tolerance.");
}

/// The verification as Markdown.
pub fn verify_markdown(found: &Verification) -> String {
    format!("{}\n{}", summary(found), in_markdown(&parts(found)))
}

/// A predicted band: median and where 90 % of the draws that give a value lie.
fn band(band: &Option<Band>) -> Cell {
    let words =
        |b: &Band| format!("{} ({} to {})", significant(b.median, 3), significant(b.low, 3), significant(b.high, 3));
    band.as_ref().map_or_else(|| "fails in every draw".to_owned(), words).into()
}

/// What was published: mean and range.
fn published(published: &Option<Published>) -> Cell {
    match published {
        None => "not read".into(),
        Some(Published { mean, range: Some([low, high]), .. }) => {
            format!("{} ({} to {})", significant(*mean, 3), significant(*low, 3), significant(*high, 3)).into()
        }
        Some(p) => Cell::significant(p.mean, 3),
    }
}

/// What the design is.
fn design(found: &Predictions) -> String {
    let calibrated = match found.calibrated.as_slice() {
        [] => "No number of the model was changed to agree with one of these studies. One was read from the first: the toe \
               stiffness of a labral bite, from its single row at 10 N, so that its single rows are no independent test."
            .to_owned(),
        some => format!("Calibrated, so that no comparison with it counts: {}.", some.join("; ")),
    };
    format!(
        "{} draws of {} inputs (Latin hypercube, seed {}) over the spread of the program's table of values, half \
         of the draws on either side of each default. {calibrated}",
        found.draws,
        found.inputs.len(),
        found.seed
    )
}

fn predictions(found: &Predictions) -> Vec<Part> {
    let mut parts = vec![Part::Said(design(found)), Part::Said(VERDICTS.to_owned())];
    let columns: [Column<'_, &Comparison>; 7] = [
        ("quantity", "", &|c| with_unit(&c.quantity, &c.unit).into()),
        ("predicted", "", &|c| band(&c.predicted)),
        ("at defaults", "", &|c| digits(c.predicted.and_then(|b| b.at_defaults), 3)),
        ("published", "", &|c| published(&c.published)),
        ("range", "", &|c| c.published.as_ref().map(|p| &p.range_is).map(Cell::from).into()),
        ("draws", "", &|c| {
            c.predicted.map_or_else(|| "0".into(), |b| format!("{} of {}", b.draws, b.draws + b.without).into())
        }),
        ("verdict", "", &|c| compared(c)),
    ];
    for study in found.comparisons.chunk_by(|a, b| a.study == b.study) {
        parts.push(Part::Tabled(Table::of("published", &study[0].study, study.iter(), &columns)));
    }
    let columns: [Column<'_, &Fact>; 7] = [
        ("rule", "", &|f| (&f.fact).into()),
        ("put as", "", &|f| (&f.asked).into()),
        ("at defaults", "", &|f| f.at_defaults.map_or("no answer", |yes| if yes { "yes" } else { "no" }).into()),
        ("yes", "", &|f| Cell::count(f.yes)),
        ("no", "", &|f| Cell::count(f.no)),
        ("no answer", "", &|f| Cell::count(f.without)),
        ("over which inputs", "", &|f| range(f).into()),
    ];
    parts.push(Part::Tabled(Table::of("rules", RULES, found.facts.iter(), &columns)));
    let columns: [Column<'_, &Input>; 4] = [
        ("input", "", &|i| with_unit(&i.path, &i.unit).into()),
        ("low", "", &|i| Cell::significant(i.spread[0], 4)),
        ("default", "", &|i| Cell::significant(i.spread[1], 4)),
        ("high", "", &|i| Cell::significant(i.spread[2], 4)),
    ];
    let left_out: String = found.left_out.iter().map(|words| format!("\n- {words}.")).collect();
    parts.push(Part::Said(format!("Not compared:\n{left_out}")));
    parts.push(Part::Tabled(Table::of("drawn", "Inputs drawn", found.inputs.iter(), &columns)));
    parts
}

/// Writes each prediction beside what was published.
pub fn published_short(page: &mut Page, found: &Predictions) {
    let columns: [Column<'_, &Comparison>; 4] = [
        ("quantity", "", &|c| with_unit(&c.quantity, &c.unit).into()),
        ("predicted", "", &|c| band(&c.predicted)),
        ("published", "", &|c| published(&c.published)),
        ("verdict", "", &|c| compared(c)),
    ];
    page.table(&Table::of("published", "", found.comparisons.iter(), &columns));
}

/// How a comparison ends.
fn compared(c: &Comparison) -> Cell {
    match c.verdict {
        Some(Verdict::Inside) => "inside",
        Some(Verdict::Overlaps) => "overlaps",
        Some(Verdict::Outside) => "OUTSIDE",
        None => NONE,
    }
    .into()
}

/// Predictions beside publications, and clinical rules of thumb.
pub fn published_table(page: &mut Page, found: &Predictions) {
    page.heading("Predictions beside published bench tests");
    on_page(page, predictions(found));
}

/// The same as Markdown.
pub fn published_markdown(found: &Predictions) -> String {
    in_markdown(&predictions(found)).trim_start().to_owned()
}

/// A whole page: what it is, the caution, and its parts.
pub fn evidence_page(title: &str, parts: &[String]) -> String {
    let version = env!("CARGO_PKG_VERSION");
    format!("## {title} (rimhold {version})\n\n> **Caution.** {CAUTION}\n\n{}", parts.join("\n"))
}

/// The range of inputs over which a rule holds, and over which it does not.
fn range(fact: &Fact) -> String {
    let at = |w: &Where| {
        let side = if w.upward { "from" } else { "up to" };
        let bound = format!("{} {}", significant(w.bound, 3), w.unit);
        format!("{} {side} {} ({} draws)", w.input, bound.trim_end(), w.draws)
    };
    let whole = |answer: &str| match fact.without {
        0 => format!("{answer} over the whole spread"),
        none => format!("{answer} in every draw that answers; {none} of {} do not", fact.yes + fact.no + none),
    };
    match (&fact.always, &fact.never) {
        _ if fact.no == 0 && fact.yes > 0 => whole("yes"),
        _ if fact.yes == 0 && fact.no > 0 => whole("no"),
        (None, None) => "no end of one input's spread decides it beyond chance".to_owned(),
        (Some(a), None) => format!("always yes with {}", at(a)),
        (None, Some(n)) => format!("always no with {}", at(n)),
        (Some(a), Some(n)) => format!("always yes with {}; always no with {}", at(a), at(n)),
    }
}

/// The tables of a report: refinement and balance of its case, and the suite.
pub(super) fn tables(found: &Verification, suite: Option<&Verification>, case: &str) -> Vec<Table> {
    let cells = |s: &&Series| s.refined == Refined::Cells;
    let grid = series(case, "grid", "Refinement of the bed", found.series.iter().filter(cells));
    let steps = series(case, "steps", "Refinement of the steps", found.series.iter().filter(|s| !cells(s)));
    [grid, steps, balance(found, case), suite.and_then(suite_table)].into_iter().flatten().collect()
}

fn series<'a>(case: &str, name: &str, title: &str, list: impl Iterator<Item = &'a Series>) -> Option<Table> {
    let ending = format!(" on {case}");
    let columns: [Column<'_, &Series>; 10] = [
        ("refined", "", &|s| {
            let subject = s.subject.strip_suffix(&ending).unwrap_or(&s.subject);
            match s.refined {
                Refined::Cells => subject.into(),
                other => format!("{subject}, {}", refined(other)).into(),
            }
        }),
        ("quantity", "", &|s| with_unit(&s.quantity, &s.unit).into()),
        ("as used", "", &|s| digits(s.used, 5)),
        ("finest", "", &|s| digits(s.values.last().copied().flatten(), 5)),
        ("extrapolated", "", &|s| digits(s.extrapolated, 5)),
        ("order", "", &|s| order(&s.order)),
        ("error", "%", &|s| share(s.error)),
        ("index", "%", &|s| share(s.uncertainty)),
        ("error allowed", "%", &|s| share(Some(s.tolerance))),
        ("within", "", &|s| if s.passed { "yes" } else { "no" }.into()),
    ];
    Table::of(name, &format!("{title}: order, extrapolated value and error"), list, &columns).filled()
}

fn balance(found: &Verification, case: &str) -> Option<Table> {
    let whose = format!(" on {case}: ");
    let split = |c: &Check| {
        let (subject, name) = c.name.split_once(&whose).unwrap_or(("", &c.name));
        (subject.to_owned(), with_unit(name, &c.unit))
    };
    let columns: [Column<'_, &Check>; 6] = [
        ("construct", "", &|c| split(c).0.into()),
        ("check", "", &|c| split(c).1.into()),
        ("demanded", "", &|c| expected(c)),
        ("obtained", "", &|c| obtained(c)),
        ("allowed", "", &|c| Cell::significant(c.tolerance, 2)),
        ("within", "", &|c| if c.passed { "yes" } else { "no" }.into()),
    ];
    let title = "Balance of forces, moments and energy, and the bound of the cone program";
    Table::of("balance", title, found.checks.iter(), &columns).filled()
}

fn suite_table(found: &Verification) -> Option<Table> {
    let heads = ["kind", "what", "against", "checks", "within tolerance"];
    let mut table = Table::new("suite", "The program's verification suite, run with this report", &heads);
    let mut row = |kind: &str, what: &str, against: &str, passed: &[bool]| {
        let within = passed.iter().filter(|p| **p).count();
        table.row([kind.into(), what.into(), against.into(), Cell::count(passed.len()), Cell::count(within)]);
    };
    for (category, checks) in by_category(found) {
        // Of several constructs the same laws come again.
        let mut laws: Vec<(&Check, Vec<bool>)> = Vec::new();
        for c in &checks {
            match laws.iter_mut().find(|(first, _)| first.law == c.law && first.source == c.source) {
                Some((_, passed)) => passed.push(c.passed),
                None => laws.push((c, vec![c.passed])),
            }
        }
        laws.iter().for_each(|(law, passed)| row(category.words().0, &law.law, &law.source, passed));
    }
    for refinement in [Refined::Cells, Refined::PushSteps, Refined::PullSteps, Refined::CycleSteps] {
        let own = found.series.iter().filter(|s| s.refined == refinement);
        let passed: Vec<bool> = own.map(|s| s.passed).collect();
        if !passed.is_empty() {
            let (what, against) = (refined(refinement), "the calculation itself, with finer ones");
            row("Calculation verification", &format!("refinement: {what}"), against, &passed);
        }
    }
    table.filled()
}
