//! The search as a whole: check the box, seek, look again with the full bed, compare, map.

use super::super::result::{Place, Placement, Start};
use super::answer::{remarks, settled, spread, starts, told};
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
use crate::model::Problems;
use crate::model::place::{Variable, variables};
use crate::model::spread::Subject;
use crate::optimise::{Found, Judged, Plan, Stopped, Watch, seek};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Distance of the points of a wander map, mm.
const GRID: f64 = 0.5;
/// Draws on which answer and given construct are compared.
const PAIRS: u64 = 64;

/// What is asked.
#[derive(Debug, Clone)]
pub struct Ask {
    /// The objective.
    pub objective: Objective,
    /// One against it, for a front.
    pub against: Option<Objective>,
    /// Number of draws of which the 10th percentile is sought; as it stands in the file when absent.
    pub robust: Option<u64>,
    /// Where tying starts, where the objectives leave it open.
    pub from: Start,
    /// How finely to look during the search.
    pub effort: Effort,
    /// How much to seek.
    pub plan: Plan,
    /// Whether to map how far anchors may wander.
    pub wander: bool,
}

impl Ask {
    /// The objective, and the one against it.
    pub fn objectives(&self) -> Vec<Objective> {
        [Some(self.objective), self.against].into_iter().flatten().collect()
    }

    /// Where tying starts: displaced where either objective is what is reduced, so that both are of one
    /// repair.
    pub fn start(&self) -> Start {
        Objective::start(&self.objectives(), self.from)
    }
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
    place_telling(subject, ask, watch, &mut |_| ())
}

/// The same, told of the answer as soon as it has settled, before draws, fronts and maps are made.
///
/// # Errors
/// As [`place`].
pub fn place_telling(
    subject: &Subject,
    ask: &Ask,
    watch: &dyn Watch,
    answered: &mut dyn FnMut(&Place),
) -> Result<Place, Refused> {
    let all = variables(subject)?;
    let common = ask.robust.map(|count| Common::new(subject, count, ask.plan.seed)).transpose()?;
    let fresh = Common::new(subject, PAIRS, ask.plan.seed.wrapping_add(1))?;
    let (from, both) = (ask.start(), ask.objectives());
    let own = [ask.objective];
    let probe = Question::new(subject, &all, &both, from, ask.effort);
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
    let question = asked(&own, ask.effort).over(common.clone());
    room(subject, &question, from, &ask.plan, watch).map_err(Refused::Asked)?;
    let given = question.looked(None, watch).ok_or(Refused::Ended)?;
    let (sought, seen, uncertified) = sought(&question, &ask.plan, watch);
    let best = sought.point().clone();
    if !best.judged.is_feasible() {
        if watch.ends() {
            return Err(Refused::Ended);
        }
        return Err(Refused::Asked(seen.told(sought.evaluations())));
    }
    let full = asked(&own, FULL);
    let (at, unsettled) = settled(&full, &question, &best.at, &ask.plan, watch);
    let reached = question.look(Some(&at));
    let starts = starts(&question, &sought, ask.objective);
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
    let cut = sought.starts.iter().any(|s| s.stopped == Stopped::Asked);
    lacks("the search", cut);
    lacks("its last descent on the full bed", unsettled);
    let drawn = |p: &Placement| !p.over_draws.is_empty() || !p.why.is_empty();
    let undrawn = ask.robust.is_some() && !(drawn(&found) && drawn(&given_full));
    lacks("the draws of the search on the full bed", undrawn);
    let mut result = Place {
        case: subject.case().name.clone(),
        construct: subject.constructs().next().map(|c| c.name.clone()).unwrap_or_default(),
        from,
        aims: both.iter().map(|o| o.aim()).collect(),
        robust: ask.robust.is_some(),
        draws: ask.robust.unwrap_or(0),
        seed: ask.plan.seed,
        cells: [question.cells(), full.cells()],
        steps: [question.steps(), full.steps()],
        variables: told(&all, &idle, &found, &free),
        given: given_full,
        on_search_bed: [given.values[0].filter(|_| given.fate == Fate::Held), reached.values[0]],
        draw_ends: [given.draws, reached.draws],
        evaluations: sought.evaluations(),
        budget: ask.plan.evaluations,
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
        reading: Vec::new(),
    };
    answered(&result);
    let mut lacks = |what: String| result.unfinished.push(what);
    result.gain = gain(&full, &question, &at, &fresh, watch);
    if result.gain.is_none() {
        lacks("fresh draws of placement error and tension".to_owned());
    }
    if ask.against.is_some() {
        let two = asked(&both, ask.effort).over(common);
        let (front, cut) = front(&two, &both_full, &at, &ask.plan, watch);
        result.front = front;
        if cut {
            lacks("the front".to_owned());
        }
    }
    for anchor in question.moved().iter().filter(|_| ask.wander) {
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
fn sought(question: &Question, plan: &Plan, watch: &dyn Watch) -> (Found, Seen, usize) {
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
