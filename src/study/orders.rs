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
use super::push::{self, PushPlan};
use super::result::{
    Measures, OrderRun, OrderSweep, Orders, Outcome, Sampled, Start, SweepOver, SweepPoint, TiedState, Worse, WorseIn,
};
use super::tie::{Sequence, Tying};
use crate::anatomy::{Along, Place};
use crate::mechanics::Rig;
use crate::model::spread::{HINGE_ENDS, INTACT_HINGE, WEAK_HINGE};
use crate::model::{Case, Construct, StopRule, TetherSpec, TieSpec};
use crate::par;
use crate::stats::SplitMix64;

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
        let grown: Vec<Vec<_>> = par::map(&branches, |(tie, orders)| {
            let mut sequence = sequence.clone();
            sequence.next(&self.construct.ties[*tie]);
            self.grow(&sequence, depth + 1, orders)
        });
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
}

// Which orders of a construct's ties are run: its own, all of them, or a stated sample.
//
// An order is a permutation of the construct's ties, by their indices in its own order.

/// Most ties of which all orders are run: 720 orders.
pub const MOST_WHOLE: usize = 6;
/// Orders of a sample.
pub const SAMPLE: usize = 120;
/// Seed of a sample.
pub const SEED: u64 = 1;

/// Orders to be run, the construct's own first where it is among them, none twice.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen {
    /// The orders.
    pub orders: Vec<Vec<usize>>,
    /// How they were sampled; absent when none was left out or they were chosen by hand.
    pub sampled: Option<Sampled>,
}

impl Chosen {
    /// The construct's own order alone.
    pub fn own(construct: &Construct) -> Self {
        Self::these(vec![(0..construct.ties.len()).collect()])
    }

    /// Orders chosen by hand.
    pub fn these(orders: Vec<Vec<usize>>) -> Self {
        Self { orders, sampled: None }
    }

    /// Every order of up to [`MOST_WHOLE`] ties, in lexicographic order; of more a seeded sample of
    /// [`SAMPLE`] different orders, which always holds the construct's own, its reverse and
    /// bridge-first.
    pub fn all(construct: &Construct, seed: u64) -> Self {
        let n = construct.ties.len();
        let own: Vec<usize> = (0..n).collect();
        if n <= MOST_WHOLE {
            let mut orders = vec![own];
            while let Some(next) = next_permutation(&orders[orders.len() - 1]) {
                orders.push(next);
            }
            return Self::these(orders);
        }
        let reverse: Vec<usize> = own.iter().rev().copied().collect();
        let mut orders: Vec<Vec<usize>> = Vec::with_capacity(SAMPLE);
        let mut random = SplitMix64(seed);
        let mut wanted = vec![own.clone(), reverse, bridge_first(construct)].into_iter();
        // Seven ties have 5040 orders: a sample of different ones is always found.
        while orders.len() < SAMPLE {
            let order = wanted.next().unwrap_or_else(|| {
                let mut order = own.clone();
                random.shuffle(&mut order);
                order
            });
            if !orders.contains(&order) {
                orders.push(order);
            }
        }
        Self { orders, sampled: Some(Sampled { seed, of: (2..=n as u64).fold(1, u64::saturating_mul) }) }
    }
}

/// The construct's own order with every tie of a bridge limb drawn to the front.
pub fn bridge_first(construct: &Construct) -> Vec<usize> {
    let is_bridge = |t: &usize| {
        let limbs = &construct.ties[*t].limbs;
        limbs.iter().any(|k| construct.limbs[*k].group == "bridge")
    };
    let (mut order, others): (Vec<usize>, Vec<usize>) = (0..construct.ties.len()).partition(is_bridge);
    order.extend(others);
    order
}

/// The next permutation in lexicographic order (Knuth, The Art of Computer Programming, section
/// 7.2.1.2, algorithm L); `None` after the last.
fn next_permutation(order: &[usize]) -> Option<Vec<usize>> {
    let mut next = order.to_vec();
    let i = (1..next.len()).rev().find(|i| next[i - 1] < next[*i])?;
    let j = (i..next.len()).rev().find(|j| next[*j] > next[i - 1])?;
    next.swap(i - 1, j);
    next[i..].reverse();
    Some(next)
}

// The same orders against friction of the bed, the displaced pose, or the inferior hinge.

/// Friction coefficients of a sweep: the range of the table of parameters.
pub const FRICTIONS: [f64; 7] = [0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9];
/// Multiples of the case's displaced pose in a sweep, shifts and turns alike.
pub const MULTIPLES: [f64; 6] = [0.25, 0.5, 0.75, 1.0, 1.25, 1.5];
/// Inferior hinges of a sweep: stiffness (N/mm) and slack (mm).
pub const HINGES: [(&str, Option<[f64; 2]>); 3] =
    [("intact", Some(INTACT_HINGE)), ("weak", Some(WEAK_HINGE)), ("none", None)];
/// The name of the tether that is taken for the inferior hinge.
const HINGE: &str = "hinge";

/// A case of a sweep, or why there is none.
type Varied = (String, Option<f64>, Result<Case, String>);

/// How many cases a sweep has.
pub fn sweep_points(over: SweepOver) -> usize {
    match over {
        SweepOver::Friction => FRICTIONS.len(),
        SweepOver::Displacement => MULTIPLES.len(),
        SweepOver::Hinge => HINGES.len(),
    }
}

/// Runs the same orders on every case of a sweep. Each order is a step.
pub fn sweep_orders(
    case: &Case,
    construct: &Construct,
    over: SweepOver,
    chosen: &Chosen,
    plan: &OrdersPlan,
    watcher: &dyn Watcher,
) -> OrderSweep {
    let cases = match over {
        SweepOver::Friction => FRICTIONS.map(|mu| friction(case, mu)).to_vec(),
        SweepOver::Displacement => MULTIPLES.map(|m| displaced(case, m)).to_vec(),
        SweepOver::Hinge => hinges(case),
    };
    let points = par::map(&cases, |(label, value, case)| {
        let (orders, refused) = match case {
            Ok(case) => (Some(orders(case, construct, chosen, plan, watcher)), None),
            Err(why) => (None, Some(why.clone())),
        };
        SweepPoint { label: label.clone(), value: *value, orders, refused }
    });
    OrderSweep { over, points }
}

fn friction(case: &Case, value: f64) -> Varied {
    let mut varied = case.clone();
    varied.bed.friction = value;
    (format!("{value}"), Some(value), Ok(varied))
}

fn displaced(case: &Case, multiple: f64) -> Varied {
    let mut varied = case.clone();
    let d = &mut varied.displaced;
    for part in [&mut d.inferior, &mut d.medial, &mut d.out_of_bed, &mut d.tilt, &mut d.spin, &mut d.yaw] {
        *part *= multiple;
    }
    let varied = match varied.sunk() {
        Some(sunk) => Err(sunk.to_string()),
        None => Ok(varied),
    };
    (format!("{multiple} x"), Some(multiple), varied)
}

/// The case with an intact, a weak and no inferior hinge. A tether of the case that is named `hinge`
/// keeps its ends; otherwise they sit on the rim at −92 % (fragment) and −108 % (scapula) of the half
/// chord. Other tethers stay as they are.
pub fn hinges(case: &Case) -> Vec<Varied> {
    let own = case.tethers.iter().find(|t| t.name == HINGE);
    let rim = |percent: f64| {
        let along = Along::Percent(percent);
        case.fragment
            .locate(&Place::Rim { along })
            .map_err(|e| format!("there is no place for a hinge on this rim: {e}"))
    };
    let ends = match own {
        Some(tether) => Ok((tether.fragment, tether.scapula)),
        None => rim(HINGE_ENDS[0]).and_then(|fragment| Ok((fragment, rim(HINGE_ENDS[1])?))),
    };
    let with = |hinge: Option<[f64; 2]>| -> Result<Case, String> {
        let mut varied = case.clone();
        varied.tethers.retain(|t| t.name != HINGE);
        if let Some([stiffness, slack]) = hinge {
            let (fragment, scapula) = ends.clone()?;
            varied.tethers.push(TetherSpec { name: HINGE.to_owned(), fragment, scapula, stiffness, slack });
        }
        Ok(varied)
    };
    HINGES.map(|(label, hinge)| (label.to_owned(), None, with(hinge))).to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn permutations_are_all_and_in_order() {
        let mut orders = vec![vec![0, 1, 2, 3]];
        while let Some(next) = next_permutation(&orders[orders.len() - 1]) {
            orders.push(next);
        }
        assert_eq!(orders.len(), 24);
        assert!(orders.windows(2).all(|pair| pair[0] < pair[1]));
        assert_eq!(orders[23], [3, 2, 1, 0]);
    }
}

#[cfg(test)]
mod tests_of_order_sweep {
    use super::*;

    #[test]
    fn hinges_are_those_of_the_shipped_cases() {
        let open = |name| Case::open(name).expect("a built-in case");
        let found = hinges(&open("quarter"));
        for ((label, _, case), shipped) in found.iter().zip(["hinge-intact", "hinge-weak"]) {
            let tethers = &case.as_ref().expect("a place for a hinge").tethers;
            assert_eq!(*tethers, open(shipped).tethers, "{label}");
        }
        assert!(found[2].2.as_ref().expect("nothing to place").tethers.is_empty());
        // A case's own hinge keeps its ends.
        let weak = hinges(&open("hinge-weak"));
        let intact = weak[0].2.as_ref().expect("ends of its own");
        assert_eq!(intact.tethers, open("hinge-intact").tethers);
    }
}
