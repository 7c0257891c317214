//! Why a box holds no answer: which constraints never hold, or never together.

use super::super::result::Start;
use super::look::{Fate, Look};
use super::question::{Effort, Question};
use super::rule::Rule;
use crate::optimise::{Beside, Judged, Plan, Watcher, seek};
use crate::par;
use crate::stats::{Draws, Method};
use std::cmp::Ordering;

/// Points of the box that are tried before a search.
const TRIED: u64 = 512;

/// The violation bits of looks, and the closest miss.
pub(super) struct Seen {
    /// Whether each rule held, in the order of [`Rule::ALL`], then on the bone, then held.
    rows: Vec<[bool; Rule::ALL.len() + 2]>,
    nearest: Option<(Vec<f64>, Look)>,
    /// Whether any look was lost in tying or pushing.
    lost: bool,
    /// Whether of any look that was tied it is not known if it is held.
    unknown: bool,
}

const BONE: usize = Rule::ALL.len();
const HELD: usize = Rule::ALL.len() + 1;

impl Seen {
    pub fn new() -> Self {
        Self { rows: Vec::new(), nearest: None, lost: false, unknown: false }
    }

    /// Takes a look into account.
    pub fn add(&mut self, at: &[f64], look: Look) {
        let mut row = [true; HELD + 1];
        for (ok, value) in row.iter_mut().zip(&look.rules) {
            *ok = value.as_ref().is_none_or(|v| v.excess <= 0.0);
        }
        row[BONE] = !matches!(look.fate, Fate::Impossible(_));
        // What was not tied because its geometry is far off is not known to be held.
        row[HELD] = look.fate == Fate::Held;
        self.lost |= matches!(look.fate, Fate::NotHeld(_));
        self.unknown |= matches!(look.fate, Fate::Uncertified(_) | Fate::Silent(_));
        self.rows.push(row);
        // Starts run side by side: of equal misses the first by its point is the nearest, whichever
        // arrives first.
        let nearer = |(point, n): &(Vec<f64>, Look)| {
            let by_point = || at.partial_cmp(point.as_slice());
            let order = look.violation().total_cmp(&n.violation());
            order.then_with(|| by_point().unwrap_or(Ordering::Equal)) == Ordering::Less
        };
        if self.nearest.as_ref().is_none_or(nearer) {
            self.nearest = Some((at.to_vec(), look));
        }
    }

    fn name(&self, k: usize) -> String {
        match k {
            BONE => "every anchor on its bone".to_owned(),
            HELD => "the fragment held".to_owned(),
            _ => {
                let row = Rule::ALL[k].row();
                let nearest = self.nearest.as_ref().and_then(|n| n.1.rules[k].as_ref());
                match nearest {
                    Some(v) => {
                        format!("{} ({}: {:.2} {} at the nearest miss)", row.label, v.subject, v.value, row.unit)
                    }
                    None => row.label.to_owned(),
                }
            }
        }
    }

    /// What never holds, or which pair never holds together.
    pub fn told(&self, tried: usize) -> String {
        let holds = |k: usize| self.rows.iter().any(|r| r[k]);
        let last = if self.lost || self.unknown { HELD } else { BONE };
        let never: Vec<usize> = (0..=last).filter(|k| !holds(*k)).collect();
        if never == [HELD] {
            let how = match (self.lost, self.unknown) {
                (true, true) => "is lost, or cannot be certified,",
                (false, true) => "cannot be certified",
                _ => "is lost",
            };
            return format!(
                "the construct is held nowhere in the box: the fragment {how} at all {tried} points tried\n  widen the ranges of the free variables, or look at the construct with `rimhold compare`"
            );
        }
        if !never.is_empty() {
            let list: Vec<String> = never.iter().map(|k| self.name(*k)).collect();
            return format!(
                "the bounds exclude every start: at none of {tried} points of the box holds: {}\n  widen the ranges of the free variables, or change the limit",
                list.join("; ")
            );
        }
        for a in 0..=last {
            for b in a + 1..=last {
                if !self.rows.iter().any(|r| r[a] && r[b]) {
                    return format!(
                        "two constraints contradict each other: at none of {tried} points of the box hold both: {}; and {}\n  widen the ranges of the free variables, or change one of the two limits",
                        self.name(a),
                        self.name(b)
                    );
                }
            }
        }
        let broken = self.nearest.as_ref().and_then(|n| n.1.broken());
        format!(
            "no point of the box keeps all constraints at once ({tried} tried); the nearest miss is at: {}\n  widen the ranges of the free variables, or change a limit",
            broken.map_or_else(|| "none".to_owned(), |b| b.1)
        )
    }
}

/// Whether the box has a point that geometry allows; otherwise why not. When an end is asked for, nothing
/// is said.
pub(super) fn room(
    subject: &crate::model::spread::Subject,
    question: &Question,
    from: Start,
    plan: &Plan,
    watch: &dyn Watcher,
) -> Result<(), String> {
    let effort = Effort { cells: None, steps: 1 };
    // Without objectives nothing is tied.
    let geometry = Question::new(subject, &question.variables, &[], from, effort);
    let bounds = geometry.bounds();
    let draws = Draws::replicated(Method::LatinHypercube, plan.seed, TRIED, bounds.len(), 1);
    let mut seen = Seen::new();
    let mut count = 0;
    let looks: Vec<(Vec<f64>, Look)> = par::until(
        TRIED + 1,
        || (),
        |(), k| {
            if watch.stops() {
                return None;
            }
            watch.step();
            if k == 0 {
                let given = geometry.given();
                let look = geometry.look(Some(&given));
                return Some((given, look));
            }
            let mut point = vec![0.0; bounds.len()];
            draws.point(k - 1, &mut point);
            let at: Vec<f64> = point.iter().zip(&bounds).map(|(u, [low, high])| low + u * (high - low)).collect();
            let look = geometry.look(Some(&at));
            Some((at, look))
        },
    );
    for (at, look) in looks {
        if look.violation() == 0.0 {
            return Ok(());
        }
        count += 1;
        seen.add(&at, look);
    }
    // Chance may miss a small corner: look for it.
    let judge = |at: &[f64]| Judged { cost: 0.0, violation: geometry.look(Some(at)).violation() };
    let found = seek(&bounds, None, &judge, plan, &Beside(watch));
    if watch.stops() {
        return Ok(());
    }
    let point = found.point();
    if point.judged.violation == 0.0 {
        return Ok(());
    }
    seen.add(&point.at, geometry.look(Some(&point.at)));
    count += found.evaluations();
    Err(seen.told(count))
}

#[cfg(test)]
mod tests {
    use super::super::rule::Value;
    use super::*;

    fn miss(subject: &str, excess: f64) -> Look {
        let mut rules = vec![None; Rule::ALL.len()];
        rules[0] = Some(Value { value: 1.0, limit: 1.0, excess, subject: subject.to_owned() });
        Look { fate: Fate::Far, values: vec![None], nominal: None, rules, draws: None }
    }

    /// Starts run side by side, so looks arrive in any order: the words are the same.
    #[test]
    fn the_nearest_miss_is_the_same_in_any_order_of_arrival() {
        let looks =
            [([2.0, 0.0], miss("far", 0.3)), ([1.0, 5.0], miss("second", 0.2)), ([1.0, 4.0], miss("first", 0.2))];
        let told = |order: [usize; 3]| {
            let mut seen = Seen::new();
            for k in order {
                seen.add(&looks[k].0, looks[k].1.clone());
            }
            seen.told(3)
        };
        let words = told([0, 1, 2]);
        assert!(words.contains("first"), "{words}");
        for order in [[0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]] {
            assert_eq!(told(order), words);
        }
    }
}
