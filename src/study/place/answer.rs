//! What becomes of the best design that a search met: settled on the full bed, and told.

use super::super::result::{FreeVariable, Placed, Placement, Progressed, SearchStart, Tally};
use super::super::{PushPlan, push, rig, tie};
use super::look::Fate;
use super::objective::Objective;
use super::question::{Effort, Question};
use super::rule::Rule;
use crate::math::Vec3;
use crate::model::place::Variable;
use crate::model::spread::Subject;
use crate::optimise::{Beside, EndedBy, Found, Judged, Plan, Watcher, seek};
use crate::par;

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
        let sought = if question.common.is_some() { question.judged(&coarse, 0) } else { full.judged(&fine, 0) };
        Judged { violation: coarse.violation() + fine.violation(), ..sought }
    };
    let found = seek(&bounds, Some(&at), &judge, &plan, &Beside(watch));
    let cut = found.starts.iter().any(|s| s.stopped == EndedBy::Interrupted);
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
    par::map(&sought.starts, |start| {
        let feasible = start.best.judged.is_feasible();
        let own = points(&start.best.at);
        let off = own.iter().zip(&best).map(|(a, b)| (a - b).norm()).fold(0.0, f64::max);
        SearchStart {
            evaluations: start.evaluations,
            in_swarm: start.in_swarm,
            restarts: start.restarts,
            ended: start.stopped,
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

// A design looked at with the full bed, in the steps of `compare`, and written as a file.

/// Steps to 1 mm, as `compare` and `push` record them.
pub(super) const STEPS: usize = 20;

/// The effort of what is reported.
pub(super) const FULL: Effort = Effort { cells: None, steps: STEPS };

/// What names of answers get behind the construct's: plain, robust.
pub const PLACED: [&str; 2] = ["placed", "placed-robust"];

/// Longest name of a construct.
const LONGEST: usize = 40;

/// The name of a construct that was made from another.
pub(super) fn derived(name: &str, by: &str) -> String {
    let room = LONGEST - by.len() - 1;
    let kept: String = name.chars().take(room).collect();
    format!("{}-{by}", kept.trim_end())
}

/// What the answer of a question is called after its construct's name.
pub(super) fn made(by: &Question) -> &'static str {
    if by.common.is_some() { PLACED[1] } else { PLACED[0] }
}

/// A design on the full bed, or the construct as it is. `full` is a question asked with [`FULL`], over
/// the draws of a robust search; when an end is asked for, those are left out. `by` is what the
/// construct's name gets behind it when it is another one.
pub(super) fn placement(full: &Question, name: &str, at: Option<&[f64]>, by: &str, watch: &dyn Watcher) -> Placement {
    let tried = at.map(|at| full.tried(at));
    let over = full.looked(at, watch);
    let drawn = over.as_ref().is_some_and(|look| look.nominal.is_some());
    let look = over.unwrap_or_else(|| full.nominal(at));
    let subject = full.set(tried.as_deref());
    let given = subject.constructs().next().map(|c| c.name.clone());
    let given = given.unwrap_or_default();
    let file = match at {
        Some(_) => subject.construct_text(0, &derived(&given, by)),
        None => subject.construct_text(0, &given),
    };
    let mut placement = Placement {
        name: name.to_owned(),
        at: tried.unwrap_or_else(|| full.given()),
        values: look.nominal.clone().unwrap_or_else(|| look.values.clone()),
        over_draws: if drawn { look.values.clone() } else { Vec::new() },
        draws: look.draws,
        kept: Rule::ALL.iter().zip(&look.rules).map(|(rule, value)| full.rules.kept(*rule, value.as_ref())).collect(),
        violation: look.rules.iter().flatten().map(|v| v.excess).fold(0.0, f64::max),
        why: match &look.fate {
            // Over draws it may have no percentile, and is held all the same.
            _ if look.nominal.is_some() => String::new(),
            Fate::Held => String::new(),
            Fate::Far => "its geometry is not allowed".to_owned(),
            Fate::Impossible(why) | Fate::NotHeld(why) | Fate::Uncertified(why) | Fate::Silent(why) => why.clone(),
        },
        anchors: Vec::new(),
        hold: None,
        tally: Tally::default(),
        file,
    };
    tied(&mut placement, full, &subject);
    placement
}

/// Where the anchors sit, how it is tied, and what the certificates say.
fn tied(placement: &mut Placement, full: &Question, subject: &Subject) {
    let mut reading = subject.read();
    let Ok(case) = reading.case else {
        return;
    };
    let Ok(construct) = reading.constructs.swap_remove(0) else {
        return;
    };
    placement.anchors =
        construct.anchors.iter().map(|a| Placed { anchor: a.name.clone(), point: a.point.into() }).collect();
    let from = full.from;
    let rig = rig(&case, &construct, from);
    let (mut hold, tied) = tie(&case, &construct, &rig, from);
    hold.clear_if_doubtful();
    placement.tally = Tally::of_hold(&hold);
    let Some(tied) = tied else {
        placement.hold = Some(hold);
        return;
    };
    let objectives = full.objectives.iter();
    for (direction, _) in objectives.flat_map(|o| o.pushes(&case.fragment)) {
        let plan = PushPlan { direction, to: 1.0, steps: STEPS, ..PushPlan::default() };
        let push = push(&case, &construct, &rig, &tied, &plan);
        placement.tally.join(&Tally::of_push(&push));
    }
    placement.hold = Some(hold);
}
