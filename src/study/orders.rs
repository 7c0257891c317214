//! Tying orders: the same ties in other orders, ranked by what they leave of the step.
//!
//! The rig of a construct does not depend on the order of its ties, so all orders share it, and orders
//! that begin alike share their first ties. Branches are solved in parallel, each by one thread, and
//! collected in the order given: digits never depend on how many threads there are, nor on which other
//! orders are run.
//!
//! ```
//! use rimhold::model::{Case, ConstructFile};
//! use rimhold::study::{Chosen, OrdersPlan, label, orders};
//!
//! let case = Case::open("small")?;
//! let construct = ConstructFile::open("single-row")?.fit(&case)?;
//! let found = orders(&case, &construct, &Chosen::all(&construct, 1), &OrdersPlan::default(), &());
//! for run in &found.runs {
//!     println!("{:?} mm of step: {}", run.residual_step, label(&construct, &run.order));
//! }
//! # Ok::<(), rimhold::model::Problems>(())
//! ```

use super::Watcher;
use super::order_choice::Chosen;
use super::push::{self, PushPlan};
use super::result::{Measures, OrderRun, Orders, Outcome, PullEnd, Start, TiedState, Worse, WorseIn};
use super::tie::{Sequence, Tying};
use crate::mechanics::Rig;
use crate::model::{Case, Construct, StopRule, TieSpec};
use crate::par::*;

/// Width of a band of orders that count as equal, mm of largest residual step.
pub const BAND: f64 = super::tie::SIGHT;

/// How orders are run.
#[derive(Debug, Clone, PartialEq)]
pub struct OrdersPlan {
    /// Where tying starts.
    pub from: Start,
    /// The stop rule of every tie, instead of each one's own.
    pub stop: Option<StopRule>,
    /// Whether to run all limbs pulled together too, for comparison.
    pub together: bool,
    /// The push of every result, if one is asked for.
    pub push: Option<PushPlan>,
}

impl Default for OrdersPlan {
    fn default() -> Self {
        Self { from: Start::Displaced, stop: None, together: false, push: None }
    }
}

/// Runs orders of a construct's ties and ranks them; each is a step.
///
/// # Panics
/// When an order is no permutation of the construct's ties.
pub fn orders(case: &Case, construct: &Construct, chosen: &Chosen, plan: &OrdersPlan, watcher: &dyn Watcher) -> Orders {
    let rig = super::rig(case, construct, plan.from);
    let own: Vec<usize> = (0..construct.ties.len()).collect();
    let ruled = ruled(construct, plan.stop);
    let start = Sequence::start(case, &ruled, &rig, plan.from);
    let every: Vec<usize> = (0..chosen.orders.len()).collect();
    let tree = Tree { case, construct: &ruled, rig: &rig, orders: &chosen.orders, push: plan.push.as_ref(), watcher };
    let mut found = tree.grow(&start, 0, &every);
    found.sort_by_key(|f| f.0);
    let found: Vec<OrderRun> = found
        .into_iter()
        .map(|(k, mut result)| {
            let order = &chosen.orders[k];
            result.order.clone_from(order);
            result.label = label(construct, order);
            result.own = *order == own;
            result
        })
        .collect();
    let together = plan.together.then(|| {
        let mut sequence = start.clone();
        // Screws follow: drilled while the limbs still pull, they would hold the fragment back.
        let limbs: Vec<usize> = (0..construct.limbs.len()).collect();
        let screws: Vec<usize> = (0..construct.screws.len()).collect();
        let stop = plan.stop.unwrap_or(StopRule::Tension);
        for (limbs, screws, stop) in [(limbs, Vec::new(), stop), (Vec::new(), screws, StopRule::Tension)] {
            if !(limbs.is_empty() && screws.is_empty()) {
                sequence.next(&TieSpec { limbs, screws, stop, held: false });
            }
        }
        let mut result = tree.finish(sequence);
        result.order.clone_from(&own);
        result.together = true;
        result.label = "all together".to_owned();
        watcher.step();
        result
    });
    Orders {
        construct: construct.name.clone(),
        from: plan.from,
        before: start.before(),
        band: BAND,
        sampled: chosen.sampled,
        runs: ranked(found),
        together,
    }
}

/// The construct with one stop rule for all its ties.
fn ruled(construct: &Construct, stop: Option<StopRule>) -> Construct {
    let mut ruled = construct.clone();
    if let Some(stop) = stop {
        // A tie of screws alone draws nothing into place, so nothing could stop it.
        let limbs = ruled.ties.iter_mut().filter(|tie| !tie.limbs.is_empty());
        limbs.for_each(|tie| tie.stop = stop);
    }
    ruled
}

/// Orders as a tree: what begins alike is tied once.
struct Tree<'a> {
    case: &'a Case,
    construct: &'a Construct,
    rig: &'a Rig,
    orders: &'a [Vec<usize>],
    push: Option<&'a PushPlan>,
    watcher: &'a dyn Watcher,
}

impl<'a> Tree<'a> {
    /// Goes on from a sequence with the orders (by their places) that share its first `depth` ties.
    fn grow(&self, sequence: &Sequence<'a>, depth: usize, orders: &[usize]) -> Vec<(usize, OrderRun)> {
        if depth == self.construct.ties.len() {
            return orders
                .iter()
                .map(|k| {
                    let result = self.finish(sequence.clone());
                    self.watcher.step();
                    (*k, result)
                })
                .collect();
        }
        // The branches in the order in which the orders name them first.
        let mut branches: Vec<(usize, Vec<usize>)> = Vec::new();
        for &k in orders {
            let tie = self.orders[k][depth];
            match branches.iter_mut().find(|b| b.0 == tie) {
                Some(branch) => branch.1.push(k),
                None => branches.push((tie, vec![k])),
            }
        }
        let grown: Vec<Vec<_>> = branches
            .par_iter()
            .map(|(tie, orders)| {
                let mut sequence = sequence.clone();
                sequence.next(&self.construct.ties[*tie]);
                self.grow(&sequence, depth + 1, orders)
            })
            .collect();
        grown.into_iter().flatten().collect()
    }

    fn finish(&self, sequence: Sequence<'_>) -> OrderRun {
        report(self.case, self.construct, self.rig, sequence.finish(), self.push)
    }
}

/// Pushes what is tied, if that is asked for, and sums up.
fn report(case: &Case, construct: &Construct, rig: &Rig, tying: Tying, push: Option<&PushPlan>) -> OrderRun {
    let Tying { before, mut hold, tied } = tying;
    if hold.clear_if_doubtful() {
        return bare(hold, None);
    }
    let push = push.zip(tied).map(|(plan, tied)| push::push(case, construct, rig, &tied, plan));
    // One map of cells an order would be most of what is kept, and nobody looks at it.
    if let Some(tied) = &mut hold.tied {
        tied.bed.cells.clear();
    }
    let worsened = worsened(&before, &hold.ties);
    let measures = hold.tied.as_ref().map(|t: &TiedState| t.measures);
    OrderRun {
        residual_step: measures.map(|m| m.step.value.abs()),
        residual_shift: measures.map(|m| m.largest_shift().abs()),
        worsened,
        ..bare(hold, push)
    }
}

fn bare(hold: super::result::Hold, push: Option<super::result::Push>) -> OrderRun {
    OrderRun {
        order: Vec::new(),
        label: String::new(),
        own: false,
        together: false,
        rank: None,
        hold,
        residual_step: None,
        residual_shift: None,
        worsened: Vec::new(),
        push,
    }
}

/// The gap as far as it is open, mm: an edge that is pressed into the bed gapes less, not more.
fn open(m: &Measures) -> f64 {
    m.gap.value.max(0.0)
}

/// What became worse by more than a band, tie by tie.
fn worsened(before: &Measures, ties: &[super::result::TieRecord]) -> Vec<Worse> {
    let mut was = before;
    let mut list = Vec::new();
    for (tie, record) in ties.iter().enumerate() {
        let now = &record.measures;
        for (measure, by) in [
            (WorseIn::Step, now.step.value.abs() - was.step.value.abs()),
            (WorseIn::Gap, open(now) - open(was)),
            (WorseIn::InferiorShift, now.largest_shift().abs() - was.largest_shift().abs()),
        ] {
            if by > BAND {
                list.push(Worse { tie, measure, by });
            }
        }
        was = now;
    }
    list
}

/// The orders by residual step, best first; those not held last. A rank counts the orders before its
/// band, and a band begins with the first order that is more than its width behind the last one's
/// beginning.
fn ranked(mut runs: Vec<OrderRun>) -> Vec<OrderRun> {
    runs.sort_by(|a, b| {
        let step = |r: &OrderRun| r.residual_step.unwrap_or(f64::INFINITY);
        step(a).total_cmp(&step(b)).then_with(|| a.order.cmp(&b.order))
    });
    let mut band: Option<(f64, usize)> = None;
    for (k, run) in runs.iter_mut().enumerate() {
        run.rank = run.residual_step.map(|step| match band {
            Some((first, rank)) if step - first <= BAND => rank,
            _ => {
                band = Some((step, k + 1));
                k + 1
            }
        });
    }
    runs
}

/// An order in words: limbs and screws of a tie joined by `+`, ties by `, `.
pub fn label(construct: &Construct, order: &[usize]) -> String {
    let ties: Vec<String> = order.iter().map(|t| construct.names_of(&construct.ties[*t]).join("+")).collect();
    ties.join(", ")
}

impl Orders {
    /// Every run, the one of all together last.
    pub fn every(&self) -> impl Iterator<Item = &OrderRun> {
        self.runs.iter().chain(&self.together)
    }

    /// The worst of the orders that are held.
    pub fn worst(&self) -> Option<&OrderRun> {
        self.runs.iter().rev().find(|run| run.rank.is_some())
    }

    /// The best of the orders that are held.
    pub fn best(&self) -> Option<&OrderRun> {
        self.runs.first().filter(|run| run.rank.is_some())
    }

    /// The construct's own order, if it was run.
    pub fn own(&self) -> Option<&OrderRun> {
        self.runs.iter().find(|run| run.own)
    }

    /// Whether any state could not be certified: no finding, but a defect to be told.
    pub fn is_doubtful(&self) -> bool {
        let bad = |outcome: &Outcome| matches!(outcome, Outcome::Uncertified { .. });
        self.every().any(|run| bad(&run.hold.outcome) || run.push.as_ref().is_some_and(|p| bad(&p.outcome)))
    }
}

impl OrderRun {
    /// Ties (their places in this order, from 0) after which something is worse than before.
    pub fn worse(&self) -> Vec<usize> {
        let mut ties: Vec<usize> = self.worsened.iter().map(|w| w.tie).collect();
        ties.dedup();
        ties
    }

    /// Whether a reducing tie reached its cap before the fragment was back.
    pub fn reached_cap(&self) -> bool {
        self.hold.ties.iter().any(|t| t.end == PullEnd::Cap)
    }
}
