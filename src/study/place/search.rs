//! The search as a whole: check the box, seek, look again with the full bed, compare, map.

use super::super::result::{
    EndedBy, FreeVariable, Place, Placement, Progressed, SearchStart, Start,
};
use super::clash::{Seen, room};
use super::design::{FULL, made, placement};
use super::draws::Common;
use super::front::front;
use super::gain::gain;
use super::idle::idle;
use super::look::Fate;
use super::objective::Objective;
use super::question::{Effort, Question};
use super::wander::wander;
use crate::case::Problems;
use crate::case::place::{Variable, variables};
use crate::case::spread::Subject;
use crate::math::Vec3;
use crate::seek::{Found, Judged, Plan, Stopped, Watch, seek};
use rayon::prelude::*;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Distance of the points of a wander map, mm.
const GRID: f64 = 0.5;
/// Draws on which answer and given construct are compared.
const PAIRS: u64 = 64;
/// Violation above which an answer is looked for again with the full bed.
const KEPT: f64 = 1e-6;
/// Share of each range in which that is done, and its evaluations.
const NEAR: f64 = 0.05;
const NEAR_EVALUATIONS: usize = 150;

/// What is asked.
#[derive(Debug, Clone)]
pub struct Ask {
    /// The objective.
    pub objective: Objective,
    /// One against it, for a front.
    pub against: Option<Objective>,
    /// Number of draws of which the 10th percentile is sought; as it stands in the file when absent.
    pub robust: Option<u64>,
    /// Where tying starts, where the objective leaves it open.
    pub from: Start,
    /// How finely to look during the search.
    pub effort: Effort,
    /// How much to seek.
    pub plan: Plan,
    /// Whether to map how far anchors may wander.
    pub wander: bool,
}

/// Why there is nothing to tell.
#[derive(Debug, Clone, PartialEq)]
pub enum Refused {
    /// Mistakes of a file.
    Files(Box<Problems>),
    /// What was asked cannot be: why, and what to do.
    Asked(String),
    /// Ended before anything was found.
    Ended,
}

impl From<Problems> for Refused {
    fn from(problems: Problems) -> Self {
        Self::Files(Box::new(problems))
    }
}

/// Seeks better places for the first construct of a subject.
///
/// # Errors
/// Mistakes of the `[place]` table; no free variable that changes anything; a box without an answer.
pub fn place(subject: &Subject, ask: &Ask, watch: &dyn Watch) -> Result<Place, Refused> {
    let all = variables(subject)?;
    let common = ask
        .robust
        .map(|count| Common::new(subject, count, ask.plan.seed))
        .transpose()?;
    let objectives = [ask.objective];
    let probe = Question::new(subject, &all, &objectives, ask.from, ask.effort);
    let given = probe.look(None);
    let idle = idle(&probe, &given);
    let free: Vec<Variable> = all
        .iter()
        .zip(&idle)
        .filter(|(_, idle)| !**idle)
        .map(|(v, _)| v.clone())
        .collect();
    if free.is_empty() {
        let names: Vec<&str> = all.iter().map(Variable::path).collect();
        return Err(Refused::Asked(format!(
            "no free variable changes the objective or a constraint: {}\n  free others in [place], e.g. the anchors that a limb leads to",
            names.join(", ")
        )));
    }
    let question = Question::new(subject, &free, &objectives, ask.from, ask.effort).over(common);
    room(subject, &question, ask.from, &ask.plan).map_err(Refused::Asked)?;
    let given = question.look(None);
    let (sought, seen, uncertified) = sought(&question, &ask.plan, watch);
    let best = sought.point().clone();
    if !best.judged.is_feasible() {
        if watch.ends() {
            return Err(Refused::Ended);
        }
        return Err(Refused::Asked(seen.told(sought.evaluations())));
    }
    let full = Question::new(subject, &free, &objectives, ask.from, FULL);
    let (found, at) = settled(&full, &question, best.at.clone(), &ask.plan, watch);
    let reached = question.look(Some(&at));
    let starts = starts(&question, &sought, ask.objective);
    let robust = ask.robust.is_some();
    let by = made(&question);
    let mut result = Place {
        case: subject.case().name.clone(),
        construct: subject
            .constructs()
            .next()
            .map(|c| c.name.clone())
            .unwrap_or_default(),
        from: ask.objective.start(ask.from),
        aims: [Some(ask.objective), ask.against]
            .into_iter()
            .flatten()
            .map(Objective::aim)
            .collect(),
        robust,
        draws: ask.robust.unwrap_or(0),
        seed: ask.plan.seed,
        cells: [
            ask.effort.cells.unwrap_or(subject.case().bed.cells),
            subject.case().bed.cells,
        ],
        steps: [ask.effort.steps, FULL.steps],
        variables: told(&all, &idle, &found, &free),
        given: placement(&full, "given", None, by).0,
        on_search_bed: [
            given.values[0].filter(|_| given.fate == Fate::Held),
            reached.values[0],
        ],
        draw_ends: [given.draws, reached.draws],
        evaluations: sought.evaluations(),
        uncertified,
        disagreement: spread(&starts),
        disagreement_mm: starts.iter().map(|s| s.off).fold(0.0, f64::max),
        starts,
        found,
        gain: None,
        wander: Vec::new(),
        front: None,
        complete: true,
        remarks: remarks(&all, &idle),
        reading: Vec::new(),
    };
    if !watch.ends() {
        let fresh = Common::new(subject, PAIRS, ask.plan.seed.wrapping_add(1))?;
        result.gain = Some(gain(&question, &at, &fresh));
    }
    if let Some(against) = ask.against.filter(|_| !watch.ends()) {
        let both = [ask.objective, against];
        let two = Question::new(subject, &free, &both, ask.from, ask.effort);
        let common = ask
            .robust
            .map(|count| Common::new(subject, count, ask.plan.seed))
            .transpose()?;
        let two = two.over(common);
        let full = Question::new(subject, &free, &both, ask.from, FULL);
        result.front = front(&two, &full, &at, &ask.plan, watch);
        result.given = placement(&full, "given", None, by).0;
        result.found = placement(&full, "found", Some(&at), by).0;
    }
    if ask.wander && !watch.ends() {
        result.wander = question
            .moved()
            .iter()
            .filter_map(|anchor| wander(&question, &at, anchor, GRID))
            .collect();
    }
    result.complete = !watch.ends();
    Ok(result)
}

/// Seeks, remembers how constraints stood while nothing feasible was met, and counts the designs
/// without a certificate.
fn sought(question: &Question, plan: &Plan, watch: &dyn Watch) -> (Found, Seen, usize) {
    let seen = Mutex::new(Seen::new());
    let uncertified = AtomicUsize::new(0);
    let judge = |at: &[f64]| -> Judged {
        let look = question.look(Some(at));
        let judged = question.judged(&look, 0);
        if matches!(look.fate, Fate::Uncertified(_)) {
            uncertified.fetch_add(1, Ordering::Relaxed);
        }
        if !judged.is_feasible()
            && let Ok(mut seen) = seen.lock()
        {
            seen.add(at, look);
        }
        judged
    };
    let first = question.given();
    let found = seek(&question.bounds(), Some(&first), &judge, plan, watch);
    let seen = seen.into_inner().unwrap_or_else(|_| Seen::new());
    (found, seen, uncertified.into_inner())
}

/// The answer with the full bed. Where the finer bed shows a constraint violated, a last descent with
/// that bed begins there.
fn settled(
    full: &Question,
    question: &Question,
    at: Vec<f64>,
    plan: &Plan,
    watch: &dyn Watch,
) -> (Placement, Vec<f64>) {
    let at = question.tried(&at);
    let by = made(question);
    let (found, look) = placement(full, "found", Some(&at), by);
    if look.violation() <= KEPT || watch.ends() {
        return (found, at);
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
    let plan = Plan {
        starts: 1,
        particles: 0,
        evaluations: NEAR_EVALUATIONS,
        edge: 0.1,
        ..*plan
    };
    let judge = |at: &[f64]| {
        // Both beds have to agree: the search's own answer stays one on its bed. What is sought over
        // draws is known on that bed alone.
        let (coarse, fine) = (question.look(Some(at)), full.look(Some(at)));
        let sought = if question.is_robust() {
            question.judged(&coarse, 0)
        } else {
            full.judged(&fine, 0)
        };
        Judged {
            violation: coarse.violation() + fine.violation(),
            ..sought
        }
    };
    let found = seek(&bounds, Some(&at), &judge, &plan, watch);
    let at = question.tried(&found.point().at);
    (placement(full, "found", Some(&at), by).0, at)
}

fn starts(question: &Question, sought: &Found, objective: Objective) -> Vec<SearchStart> {
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
            let off = own
                .iter()
                .zip(&best)
                .map(|(a, b)| (a - b).norm())
                .fold(0.0, f64::max);
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
                    .map(|t| Progressed {
                        evaluations: t.evaluations,
                        value: objective.cost(t.cost),
                    })
                    .collect(),
            }
        })
        .collect()
}

/// Largest difference between answers.
fn spread(starts: &[SearchStart]) -> f64 {
    let values = || starts.iter().filter_map(|s| s.value);
    let high = values().fold(f64::NEG_INFINITY, f64::max);
    let low = values().fold(f64::INFINITY, f64::min);
    if high >= low { high - low } else { 0.0 }
}

fn told(
    all: &[Variable],
    idle: &[bool],
    found: &Placement,
    free: &[Variable],
) -> Vec<FreeVariable> {
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
            }
        })
        .collect()
}

fn remarks(all: &[Variable], idle: &[bool]) -> Vec<String> {
    let names: Vec<&str> = all
        .iter()
        .zip(idle)
        .filter(|(_, idle)| **idle)
        .map(|(v, _)| v.path())
        .collect();
    if names.is_empty() {
        return Vec::new();
    }
    vec![format!(
        "{} changed neither the objective nor a constraint when moved alone, and was left where it is",
        names.join(", ")
    )]
}
