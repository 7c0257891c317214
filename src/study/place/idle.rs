//! Free variables that change nothing, one at a time.

use super::look::{Fate, Look};
use super::question::Question;
use crate::optimise::Watcher;
use crate::par::*;

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
    (0..at.len())
        .into_par_iter()
        .map(|k| {
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
        .collect()
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
