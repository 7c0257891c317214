//! The search as a whole: check the box, seek, look again with the full bed, compare, map.

use super::super::result::{Place, Placement, Start};
use super::answer::{FULL, made, placement, remarks, settled, spread, starts, told};
use super::clash::{Seen, room};
use super::draws::{Common, gain};
use super::front::front;
use super::look::{Fate, Look};
use super::objective::Objective;
use super::question::{Effort, Question};
use super::wander::wander;
use crate::model::place::{Variable, variables};
use crate::model::spread::Subject;
use crate::optimise::{EndedBy, Found, Judged, Plan as Search, Watcher, seek};
use crate::par;
use crate::study::Refused;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Distance of the points of a wander map, mm.
const GRID: f64 = 0.5;
/// Draws on which answer and given construct are compared.
const PAIRS: u64 = 64;

/// Bed cells aimed at during the search, from the reduced and from the displaced pose. On the default
/// case 220 leave the step after tying two-by-two-crossed from displaced off by 0.2 mm, 300 by less than
/// 0.01 mm.
const CELLS: [usize; 2] = [220, 300];
/// Evaluations of a start: plain, robust.
const EVALUATIONS: [usize; 2] = [900, 240];
/// Particles and rounds of a swarm, of which a third of the evaluations is the most: twice the rounds of twice as many
/// found nothing better on the shipped constructs.
const SWARM: (usize, usize) = (12, 8);

/// What is asked.
#[derive(Debug, Clone)]
pub struct Plan {
    /// The objective.
    pub objective: Objective,
    /// One against it, for a front.
    pub against: Option<Objective>,
    /// Number of draws of which the 10th percentile is sought; as it stands in the file when absent.
    pub robust: Option<u64>,
    /// Where tying starts, where the objectives leave it open.
    pub from: Start,
    /// How finely to look during the search; without cells 220, from the displaced pose 300.
    pub effort: Effort,
    /// How much to seek.
    pub search: Search,
    /// Whether to map how far anchors may wander.
    pub wander: bool,
}

impl Default for Plan {
    fn default() -> Self {
        Self {
            objective: Objective::Inferior,
            against: None,
            robust: None,
            from: Start::Reduced,
            effort: Effort { cells: None, steps: 5 },
            search: Self::search(false, None),
            wander: true,
        }
    }
}

impl Plan {
    /// How much to seek for with so many evaluations of each start: by default 900, over draws 240.
    pub fn search(robust: bool, evaluations: Option<usize>) -> Search {
        let evaluations = evaluations.unwrap_or(EVALUATIONS[usize::from(robust)]);
        let (particles, rounds) = SWARM;
        Search {
            starts: 4,
            particles: particles.min(evaluations / 3).max(2),
            // A small budget is shared out the same way.
            rounds: rounds.min((evaluations / 3 / particles).max(1)),
            evaluations,
            ..Search::default()
        }
    }

    /// The objective, and the one against it.
    pub fn objectives(&self) -> Vec<Objective> {
        [Some(self.objective), self.against].into_iter().flatten().collect()
    }

    /// Where tying starts: displaced where either objective is what is reduced, so that both are of one
    /// repair.
    pub fn start(&self) -> Start {
        Objective::start(&self.objectives(), self.from)
    }

    fn effort(&self) -> Effort {
        let usual = CELLS[usize::from(self.start() == Start::Displaced)];
        Effort { cells: self.effort.cells.or(Some(usual)), ..self.effort }
    }
}

/// Seeks better places for the first construct of a subject.
///
/// # Errors
/// Mistakes of the `[place]` table; no free variable that changes anything; a box without an answer.
pub fn run(subject: &Subject, plan: &Plan, watch: &dyn Watcher) -> Result<Place, Refused> {
    run_telling(subject, plan, watch, &mut |_| ())
}

/// The same, told of the answer as soon as it has settled, before draws, fronts and maps are made.
///
/// # Errors
/// As [`run`].
pub fn run_telling(
    subject: &Subject,
    plan: &Plan,
    watch: &dyn Watcher,
    answered: &mut dyn FnMut(&Place),
) -> Result<Place, Refused> {
    if plan.against == Some(plan.objective) {
        return Err(Refused::Asked(
            "--against names the objective itself\n  give another one, or leave it out".to_owned(),
        ));
    }
    let (effort, search) = (plan.effort(), &plan.search);
    let all = variables(subject)?;
    let common = plan.robust.map(|count| Common::new(subject, count, search.seed)).transpose()?;
    let fresh = Common::new(subject, PAIRS, search.seed.wrapping_add(1))?;
    let (from, both) = (plan.start(), plan.objectives());
    let own = [plan.objective];
    let probe = Question::new(subject, &all, &both, from, effort);
    let idle = idle(&probe, &probe.look(None), watch);
    let free: Vec<Variable> = all.iter().zip(&idle).filter(|(_, idle)| !**idle).map(|(v, _)| v.clone()).collect();
    if free.is_empty() {
        let names: Vec<&str> = all.iter().map(Variable::path).collect();
        return Err(Refused::Asked(format!(
            "no free variable changes the objective or a constraint: {}\n  free others in [place], e.g. the anchors that a limb leads to",
            names.join(", ")
        )));
    }
    let asked = |objectives: &[Objective], effort: Effort| Question::new(subject, &free, objectives, from, effort);
    let question = asked(&own, effort).over(common.clone());
    room(subject, &question, from, search, watch).map_err(Refused::Asked)?;
    let given = question.looked(None, watch).ok_or(Refused::Ended)?;
    let (sought, seen, uncertified) = sought(&question, search, watch);
    let best = sought.point().clone();
    if !best.judged.is_feasible() {
        if watch.stops() {
            return Err(Refused::Ended);
        }
        return Err(Refused::Asked(seen.told(sought.evaluations())));
    }
    let full = asked(&own, FULL);
    let (at, unsettled) = settled(&full, &question, &best.at, search, watch);
    let reached = question.look(Some(&at));
    let starts = starts(&question, &sought, plan.objective);
    let by = made(&question);
    let both_full = asked(&both, FULL).over(common.clone());
    let found = placement(&both_full, "found", Some(&at), by, watch);
    let given_full = placement(&both_full, "given", None, by, watch);
    let mut unfinished = Vec::new();
    let mut lacks = |what: &str, is_cut: bool| {
        if is_cut {
            unfinished.push(what.to_owned());
        }
    };
    let cut = sought.starts.iter().any(|s| s.stopped == EndedBy::Interrupted);
    lacks("the search", cut);
    lacks("its last descent on the full bed", unsettled);
    let drawn = |p: &Placement| !p.over_draws.is_empty() || !p.why.is_empty();
    let undrawn = plan.robust.is_some() && !(drawn(&found) && drawn(&given_full));
    lacks("the draws of the search on the full bed", undrawn);
    let mut result = Place {
        case: subject.case().name.clone(),
        construct: subject.constructs().next().map(|c| c.name.clone()).unwrap_or_default(),
        from,
        aims: both.iter().map(|o| o.aim()).collect(),
        robust: plan.robust.is_some(),
        draws: plan.robust.unwrap_or(0),
        seed: search.seed,
        cells: [question.cells, full.cells],
        steps: [question.steps, full.steps],
        variables: told(&all, &idle, &found, &free),
        given: given_full,
        on_search_bed: [given.values[0].filter(|_| given.fate == Fate::Held), reached.values[0]],
        draw_ends: [given.draws, reached.draws],
        evaluations: sought.evaluations(),
        budget: search.evaluations,
        uncertified,
        disagreement: spread(&starts),
        disagreement_mm: starts.iter().map(|s| s.off).fold(0.0, f64::max),
        starts,
        found,
        errors: fresh.inputs(),
        gain: None,
        wander: Vec::new(),
        front: None,
        complete: false,
        unfinished,
        remarks: remarks(&all, &idle),
    };
    answered(&result);
    let mut lacks = |what: String| result.unfinished.push(what);
    result.gain = gain(&full, &question, &at, &fresh, watch);
    if result.gain.is_none() {
        lacks("fresh draws of placement error and tension".to_owned());
    }
    if plan.against.is_some() {
        let two = asked(&both, effort).over(common);
        let (front, cut) = front(&two, &both_full, &at, search, watch);
        result.front = front;
        if cut {
            lacks("the front".to_owned());
        }
    }
    for anchor in question.moved.iter().filter(|_| plan.wander) {
        match wander(&question, &at, anchor, GRID, watch) {
            Ok(map) => result.wander.extend(map),
            Err(_) => lacks(format!("how far {anchor} may wander")),
        }
    }
    result.complete = result.unfinished.is_empty();
    Ok(result)
}

/// Seeks, remembers how constraints stood while nothing feasible was met, and counts the designs
/// without a certificate.
fn sought(question: &Question, plan: &Search, watch: &dyn Watcher) -> (Found, Seen, usize) {
    let seen = Mutex::new(Seen::new());
    let uncertified = AtomicUsize::new(0);
    let judge = |at: &[f64]| -> Judged {
        let Some(look) = question.looked(Some(at), watch) else {
            return Judged::NONE;
        };
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

// Free variables that change nothing, one at a time.

/// How far each is moved, as a share of its range.
const MOVED: f64 = 0.05;
/// Relative change of an objective below which it is none: far above rounding, far below any meaning.
const NOTHING: f64 = 1e-9;

/// Whether each variable changes nothing when it alone is moved from where the construct has it: no
/// objective, and no violation of a constraint. When an end is asked for, nothing is said of the rest.
pub(super) fn idle(question: &Question, given: &Look, watch: &dyn Watcher) -> Vec<bool> {
    let at = question.given();
    if given.fate != Fate::Held {
        // Of a design without numbers nothing can be said to change nothing.
        return vec![false; at.len()];
    }
    let numbers: Vec<usize> = (0..at.len()).collect();
    par::map(&numbers, |&k| {
        let v = &question.variables[k];
        let step = MOVED * (v.high - v.low);
        [step, -step].into_iter().all(|step| {
            let mut moved = at.clone();
            moved[k] = (moved[k] + step).clamp(v.low, v.high);
            if moved[k] == at[k] {
                return true;
            }
            if watch.stops() {
                return false;
            }
            watch.step();
            same(given, &question.look(Some(&moved)))
        })
    })
}

fn same(a: &Look, b: &Look) -> bool {
    let near = |x: f64, y: f64| (x - y).abs() <= NOTHING * x.abs().max(y.abs());
    let values = a.values.iter().zip(&b.values).all(|pair| match pair {
        (Some(x), Some(y)) => near(*x, *y),
        (None, None) => true,
        _ => false,
    });
    let rules = a.rules.iter().zip(&b.rules).all(|pair| match pair {
        // Inside its limit a constraint asks for nothing.
        (Some(x), Some(y)) => near(x.excess.max(0.0), y.excess.max(0.0)),
        (None, None) => true,
        _ => false,
    });
    a.fate == b.fate && values && rules
}
