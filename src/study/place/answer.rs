//! What becomes of the best design that a search met: settled on the full bed, and told.

use super::super::result::{EndedBy, FreeVariable, Placement, Progressed, SearchStart};
use super::objective::Objective;
use super::question::Question;
use crate::math::Vec3;
use crate::model::place::Variable;
use crate::optimise::{Beside, Found, Judged, Plan, Stopped, Watcher, seek};
use crate::par::*;

/// Violation above which an answer is looked for again with the full bed.
const KEPT: f64 = 1e-6;
/// Share of each range in which that is done, and its evaluations.
const NEAR: f64 = 0.05;
const NEAR_EVALUATIONS: usize = 150;

/// The answer with the full bed. Where the finer bed shows a constraint violated, a last descent with
/// that bed begins there. Also whether that was left undone, or cut off, as an end was asked for.
pub(super) fn settled(
    full: &Question,
    question: &Question,
    at: &[f64],
    plan: &Plan,
    watch: &dyn Watcher,
) -> (Vec<f64>, bool) {
    let at = question.tried(at);
    if full.look(Some(&at)).violation() <= KEPT {
        return (at, false);
    }
    let bounds: Vec<[f64; 2]> = question
        .bounds()
        .iter()
        .zip(&at)
        .map(|([low, high], x)| {
            let reach = NEAR * (high - low);
            [low.max(x - reach), high.min(x + reach)]
        })
        .collect();
    let plan = Plan { starts: 1, particles: 0, evaluations: NEAR_EVALUATIONS, edge: 0.1, ..*plan };
    let judge = |at: &[f64]| {
        // Both beds have to agree: the search's own answer stays one on its bed. What is sought over
        // draws is known on that bed alone.
        let Some(coarse) = question.looked(Some(at), watch) else {
            return Judged::NONE;
        };
        let fine = full.look(Some(at));
        let sought = if question.is_robust() { question.judged(&coarse, 0) } else { full.judged(&fine, 0) };
        Judged { violation: coarse.violation() + fine.violation(), ..sought }
    };
    let found = seek(&bounds, Some(&at), &judge, &plan, &Beside(watch));
    let cut = found.starts.iter().any(|s| s.stopped == Stopped::Asked);
    let point = found.point();
    // Of a descent cut off before it was worth anything, where it began.
    let better = point.judged.violation.is_finite();
    let at = if better { question.tried(&point.at) } else { at };
    (at, cut)
}

/// The starts as a record.
pub(super) fn starts(question: &Question, sought: &Found, objective: Objective) -> Vec<SearchStart> {
    let points = |at: &[f64]| -> Vec<Vec3> {
        let reading = question.set(Some(&question.tried(at))).read();
        match reading.constructs.into_iter().next() {
            Some(Ok(construct)) => construct.anchors.iter().map(|a| a.point).collect(),
            _ => Vec::new(),
        }
    };
    let best = points(&sought.point().at);
    sought
        .starts
        .par_iter()
        .map(|start| {
            let feasible = start.best.judged.is_feasible();
            let own = points(&start.best.at);
            let off = own.iter().zip(&best).map(|(a, b)| (a - b).norm()).fold(0.0, f64::max);
            SearchStart {
                evaluations: start.evaluations,
                in_swarm: start.in_swarm,
                restarts: start.restarts,
                ended: match start.stopped {
                    Stopped::Settled => EndedBy::Settled,
                    Stopped::Budget => EndedBy::Budget,
                    Stopped::Asked => EndedBy::Interrupted,
                },
                // A cost is a value or its negative, and so the other way round.
                value: feasible.then(|| objective.cost(start.best.judged.cost)),
                at: question.tried(&start.best.at),
                off: if feasible { off } else { 0.0 },
                progress: start
                    .trace
                    .iter()
                    .map(|t| Progressed { evaluations: t.evaluations, value: objective.cost(t.cost) })
                    .collect(),
            }
        })
        .collect()
}

/// Largest difference between answers.
pub(super) fn spread(starts: &[SearchStart]) -> f64 {
    let values = || starts.iter().filter_map(|s| s.value);
    let high = values().fold(f64::NEG_INFINITY, f64::max);
    let low = values().fold(f64::INFINITY, f64::min);
    if high >= low { high - low } else { 0.0 }
}

/// The free variables and what became of each.
pub(super) fn told(all: &[Variable], idle: &[bool], found: &Placement, free: &[Variable]) -> Vec<FreeVariable> {
    all.iter()
        .zip(idle)
        .map(|(v, idle)| {
            let k = free.iter().position(|f| f.path() == v.path());
            let at = k.map_or(v.given, |k| found.at[k]);
            let end = |end: f64| (at - end).abs() <= 1e-3 * (v.high - v.low);
            FreeVariable {
                path: v.path().to_owned(),
                unit: v.known.unit.to_owned(),
                low: v.low,
                high: v.high,
                given: v.given,
                found: at,
                at_end: !idle && (end(v.low) || end(v.high)),
                idle: *idle,
                tag: v.tag,
                source: v.source.clone(),
            }
        })
        .collect()
}

/// What changed nothing.
pub(super) fn remarks(all: &[Variable], idle: &[bool]) -> Vec<String> {
    let names: Vec<&str> = all.iter().zip(idle).filter(|(_, idle)| **idle).map(|(v, _)| v.path()).collect();
    if names.is_empty() {
        return Vec::new();
    }
    vec![format!(
        "{} changed neither the objective nor a constraint when moved alone, and was left where it is",
        names.join(", ")
    )]
}
