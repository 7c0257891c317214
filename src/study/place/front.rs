//! Two objectives at once.
//!
//! Both ends of the front are sought first; between them, augmented Chebyshev distances from the ideal
//! point are minimised for a row of weights (Steuer and Choo, Math Program 1983;26:326, from memory),
//! through the same driver. Every feasible design that was looked at on the way counts: the front is
//! what none of them beats in both objectives.

use super::super::result::{Front, FrontPoint, Placement};
use super::answer::{made, placement};
use super::question::Question;
use crate::optimise::{Beside, EndedBy, Judged, Plan, Watcher, seek};
use crate::par;
use std::sync::Mutex;

/// Weights between the two ends.
const WEIGHTS: usize = 9;
/// Share of the sum in an augmented distance.
const SUM: f64 = 0.02;
/// Points nearer than this share of the front's extent in both objectives are told once.
const NEAR: f64 = 0.004;
/// Evaluations between the ends, as a share of a start's.
const PART: usize = 4;

/// A feasible design with both costs.
#[derive(Clone)]
struct Seen {
    at: Vec<f64>,
    costs: [f64; 2],
}

/// What came of a search between.
struct Sought {
    seen: Vec<Seen>,
    evaluations: usize,
    /// Whether an end was asked for.
    cut: bool,
}

impl Sought {
    fn join(&mut self, more: Self) {
        self.seen.extend(more.seen);
        self.evaluations += more.evaluations;
        self.cut |= more.cut;
    }
}

/// Seeks with a cost made of both, and keeps every feasible design looked at.
fn sought(
    two: &Question,
    first: Option<&[f64]>,
    plan: &Plan,
    watch: &dyn Watcher,
    cost: &(dyn Fn([f64; 2]) -> f64 + Sync),
) -> Sought {
    let kept = Mutex::new(Vec::new());
    let judge = |at: &[f64]| {
        let Some(look) = two.looked(Some(at), watch) else {
            return Judged::NONE;
        };
        let pair = [two.judged(&look, 0), two.judged(&look, 1)];
        let costs = pair.map(|j| j.cost);
        if pair.iter().all(Judged::is_feasible)
            && let Ok(mut kept) = kept.lock()
        {
            kept.push(Seen { at: two.tried(at), costs });
        }
        Judged {
            cost: if costs.iter().all(|c| c.is_finite()) { cost(costs) } else { f64::NAN },
            violation: pair[0].violation,
        }
    };
    let found = seek(&two.bounds(), first, &judge, plan, &Beside(watch));
    Sought {
        seen: kept.into_inner().unwrap_or_default(),
        evaluations: found.evaluations(),
        cut: found.starts.iter().any(|s| s.stopped == EndedBy::Interrupted),
    }
}

/// The front; absent when no design is feasible in both. `best` is the answer for the first objective.
/// Also whether an end was asked for on the way.
pub(super) fn front(
    two: &Question,
    full: &Question,
    best: &[f64],
    plan: &Plan,
    watch: &dyn Watcher,
) -> (Option<Front>, bool) {
    let near = Plan { starts: 1, particles: 0, evaluations: plan.evaluations / PART, ..*plan };
    let mut whole = sought(two, Some(best), &near, watch, &|c| c[0]);
    let other = Plan { starts: plan.starts.div_ceil(2), ..*plan };
    whole.join(sought(two, Some(best), &other, watch, &|c| c[1]));
    let ends = non_dominated(whole.seen.clone());
    let Some((low, high)) = extent(&ends) else {
        return (None, whole.cut);
    };
    let size = [0, 1].map(|k| (high[k] - low[k]).max(1e-12));
    let rows: Vec<Sought> = par::map(&(1..=WEIGHTS).collect::<Vec<_>>(), |k| {
        let weight = *k as f64 / (WEIGHTS + 1) as f64;
        let distance = |c: [f64; 2]| {
            let a = weight * (c[0] - low[0]) / size[0];
            let b = (1.0 - weight) * (c[1] - low[1]) / size[1];
            a.max(b) + SUM * (a + b)
        };
        let from = ends.iter().min_by(|a, b| distance(a.costs).total_cmp(&distance(b.costs))).map(|s| s.at.clone());
        sought(two, from.as_deref(), &near, watch, &distance)
    });
    for more in rows {
        whole.join(more);
    }
    let front = thinned(non_dominated(whole.seen));
    let value = |s: &Seen| [0, 1].map(|k| two.objectives[k].cost(s.costs[k]));
    let given = two.look(None);
    let given = match given.values.as_slice() {
        [Some(a), Some(b)] => Some([*a, *b]),
        _ => None,
    };
    let beaten = given.is_some_and(|g| {
        let g = [0, 1].map(|k| two.objectives[k].cost(g[k]));
        front.iter().any(|s| s.costs[0] < g[0] && s.costs[1] < g[1])
    });
    let aims = [0, 1].map(|k| two.objectives[k].key());
    let names = [format!("best {}", aims[0]), "knee".to_owned(), format!("best {}", aims[1])];
    let chosen = [0, knee(&front), front.len() - 1];
    let found = Front {
        designs: names
            .iter()
            .zip(chosen)
            .map(|(name, k)| placement(full, name, Some(&front[k].at), made(two), watch))
            .collect(),
        points: front.iter().map(|s| FrontPoint { at: s.at.clone(), values: value(s) }).collect(),
        given,
        given_is_beaten: beaten,
        evaluations: whole.evaluations,
    };
    // Also where only the draws of its designs were left out.
    let drawn = |p: &Placement| two.common.is_none() || !p.over_draws.is_empty() || !p.why.is_empty();
    let cut = whole.cut || !found.designs.iter().all(drawn);
    (Some(found), cut)
}

/// Those that none beats in both, best of the first objective first. Designs are put in an order of
/// their own first, so that the threads that found them do not show.
fn non_dominated(mut all: Vec<Seen>) -> Vec<Seen> {
    all.sort_by(|a, b| {
        let costs = a.costs[0].total_cmp(&b.costs[0]).then(a.costs[1].total_cmp(&b.costs[1]));
        let places = || {
            let pairs = a.at.iter().zip(&b.at);
            pairs.map(|(x, y)| x.total_cmp(y)).find(|o| o.is_ne()).unwrap_or(std::cmp::Ordering::Equal)
        };
        costs.then_with(places)
    });
    let mut least = f64::INFINITY;
    all.retain(|s| {
        let kept = s.costs[1] < least;
        least = least.min(s.costs[1]);
        kept
    });
    all
}

fn extent(front: &[Seen]) -> Option<([f64; 2], [f64; 2])> {
    let (first, last) = (front.first()?, front.last()?);
    // In order of the first cost the second falls.
    Some(([first.costs[0], last.costs[1]], [last.costs[0], first.costs[1]]))
}

/// Leaves out what lies next to its neighbour; both ends stay.
fn thinned(front: Vec<Seen>) -> Vec<Seen> {
    let Some((low, high)) = extent(&front) else {
        return front;
    };
    let size = [0, 1].map(|k| (high[k] - low[k]).max(f64::MIN_POSITIVE));
    let last = front.len() - 1;
    let mut kept: Vec<Seen> = Vec::new();
    for (k, s) in front.into_iter().enumerate() {
        let near = kept.last().is_some_and(|p| (0..2).all(|i| (s.costs[i] - p.costs[i]).abs() <= NEAR * size[i]));
        if k == last && near && kept.len() > 1 {
            kept.pop();
        }
        if !near || k == last {
            kept.push(s);
        }
    }
    kept
}

/// The point farthest from the straight line between the ends, both objectives in shares of their
/// extents.
fn knee(front: &[Seen]) -> usize {
    let Some((low, high)) = extent(front) else {
        return 0;
    };
    let size = [0, 1].map(|k| (high[k] - low[k]).max(f64::MIN_POSITIVE));
    let depth = |s: &Seen| {
        let [a, b] = [0, 1].map(|k| (s.costs[k] - low[k]) / size[k]);
        1.0 - a - b
    };
    let mut best = 0;
    for (k, s) in front.iter().enumerate() {
        if depth(s) > depth(&front[best]) {
            best = k;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seen(list: &[[f64; 2]]) -> Vec<Seen> {
        list.iter().map(|c| Seen { at: vec![c[0]], costs: *c }).collect()
    }

    #[test]
    fn what_another_beats_in_both_is_not_on_the_front() {
        let front = non_dominated(seen(&[[2.0, 2.0], [1.0, 3.0], [3.0, 1.0], [2.5, 2.5], [1.0, 4.0], [3.0, 1.0]]));
        let costs: Vec<[f64; 2]> = front.iter().map(|s| s.costs).collect();
        assert_eq!(costs, [[1.0, 3.0], [2.0, 2.0], [3.0, 1.0]]);
    }

    #[test]
    fn the_knee_is_farthest_from_the_line_between_the_ends() {
        let front = seen(&[[0.0, 1.0], [0.1, 0.3], [0.5, 0.2], [1.0, 0.0]]);
        assert_eq!(knee(&front), 1);
        assert_eq!(thinned(front).len(), 4);
    }
}
