//! Refinement of one case and construct: cells of the bed, steps of the push, steps of the pulls.

use super::check::{Found, not_tied};
use crate::mechanics::{Ramp, Rig};
use crate::model::{Case, Construct};
use crate::par;
use crate::quantities::{View, quantity};
use crate::study::result::{Hold, Outcome, Push, Start};
use crate::study::{self, PushPlan, SettlePlan, Tied};
use schemars::JsonSchema;
use serde::Serialize;

const HALF: f64 = 0.005;
const WHY_HALF: &str = "half a percent, the rule for results of the bed";
const WHY_MEMORY: &str = "what is left of friction remembers when each cell slipped; near the end of a \
                          push the load hangs on a narrow strip of contact";
const WHY_COUNTED: &str = "counted in whole cells: half a cell of 0.5 mm on a strip of contact 2.8 mm wide (single \
                           row) is 9 %; columns of cells end at different places, which leaves 3.1 %";
const WHY_EDGE: &str = "the pressure at the middle of the outermost cell, 0.25 mm inside the edge: 5.3 % where \
                        contact is narrowest (single row, crater fan)";
const WHY_STICKING: &str = "carried by the cells that stick, counted like those in contact: 3.4 % (single row)";
const WHY_STRIP: &str = "a fragment that turns out of its bed hangs on a strip of contact, counted in whole cells: 1.03 % \
                         (two-by-two-crossed)";
const WHY_SEEN: &str = "a hundredth of a millimetre; eye and CT tell some tenths";
const WHY_TURN: &str = "0.13 deg at 5 deg, by the memory of friction (single row, 2.5 %); CT tells a degree or two";

const fn within(key: &'static str, floor: f64, tolerance: f64, reason: &'static str) -> Tolerated {
    Tolerated { key, floor, tolerance, reason }
}

/// What is refined of the tied state and the push.
const REPORTED: [Tolerated; 15] = [
    within("compression", 1.0, HALF, WHY_HALF),
    within("friction", 1.0, 0.01, WHY_MEMORY),
    within("contact", 5.0, 0.033, WHY_COUNTED),
    within("mean-pressure", 0.05, 0.033, WHY_COUNTED),
    within("peak-pressure", 0.05, 0.055, WHY_EDGE),
    within("step", 1.0, 0.01, WHY_SEEN),
    within("tilt", 5.0, 0.026, WHY_TURN),
    within("stiffness", 1.0, 0.035, WHY_STICKING),
    within("settled-compression", 1.0, HALF, WHY_HALF),
    within("settled-step", 1.0, 0.01, WHY_SEEN),
    within("settled-motion", 1.0, 0.01, WHY_SEEN),
    within("load-0.5mm", 1.0, HALF, WHY_HALF),
    within("load-1mm", 1.0, HALF, WHY_HALF),
    within("load-2mm", 1.0, 0.01, WHY_MEMORY),
    within(FAILURE, 1.0, 0.015, WHY_STRIP),
];

/// The one that is read from a push to failure.
const FAILURE: &str = "failure-load";

/// Numbers of cells aimed at: the size of a cell is halved three times.
pub const CELLS: [usize; LEVELS] = [150, 600, 2400, 9600];
/// Recorded steps of the push.
pub const PUSHES: [usize; LEVELS] = [20, 40, 80, 160];
/// Steps of each pull.
pub const PULLS: [usize; LEVELS] = [80, 160, 320, 640];
/// Steps of each load of a cycle.
pub const CYCLES: [usize; LEVELS] = [2, 4, 8, 16];

/// A case with a construct, tied from where.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'a> {
    /// The case.
    pub case: &'a Case,
    /// The construct on it.
    pub construct: &'a Construct,
    /// Where tying starts.
    pub from: Start,
}

impl Subject<'_> {
    /// Case and construct in words.
    pub fn name(&self) -> String {
        format!("{} on {}", self.construct.name, self.case.name)
    }

    fn rig(&self) -> Rig {
        study::rig(self.case, self.construct, self.from)
    }

    /// Its rig and its tied state.
    ///
    /// # Errors
    /// When the construct does not hold the fragment.
    pub(super) fn tied(&self) -> Found<(Rig, Tied)> {
        let rig = self.rig();
        let (_, tied) = held(&self.name(), study::tie(self.case, self.construct, &rig, self.from))?;
        Ok((rig, tied))
    }
}

/// A push along the default direction in so many steps, and one to failure in steps of the same length.
fn push_in(subject: &Subject<'_>, rig: &Rig, tied: &Tied, steps: usize) -> [Push; 2] {
    let (near, far) = (PushPlan::default(), PushPlan::to_failure());
    let longer = (far.to / near.to).round() as usize;
    [PushPlan { steps, ..near }, PushPlan { steps: longer * steps, ..far }]
        .map(|plan| study::push(subject.case, subject.construct, rig, tied, &plan))
}

/// What a level of refinement reports.
#[derive(Debug, Clone, Copy)]
struct Level {
    /// The values of [`REPORTED`]; no number where there is none.
    values: [f64; REPORTED.len()],
    /// Whether the push ended in a finding, so that the loads beyond are not there to be had.
    ended: bool,
    /// Whether the push to failure met none, every state of it checked.
    unfailing: bool,
}

fn reported(subject: &Subject<'_>, hold: &Hold, [push, to_failure]: &[Push; 2]) -> Level {
    let ended = matches!(push.outcome, Outcome::NotHeld { .. });
    let unfailing = to_failure.failure.is_none() && !to_failure.outcome.is_uncertified();
    let value = |q: Tolerated| {
        let push = if q.key == FAILURE { to_failure } else { push };
        let view = View::of_state(subject.case, subject.construct, hold.tied.as_ref(), Some(push));
        hold.tied.as_ref().and_then(|_| (quantity(q.key).of)(&view))
    };
    Level { values: REPORTED.map(|q| value(q).unwrap_or(f64::NAN)), ended, unfailing }
}

/// Where the loads of a push begin in [`REPORTED`].
const LOADS: usize = 11;
/// Where what a settled state comes to begins in [`REPORTED`].
const SETTLED_STATE: usize = 8;

/// The series of the quantities from `first` on.
fn series(
    subject: &Subject<'_>,
    (refined, levels, sizes): (Refined, [usize; LEVELS], [f64; LEVELS]),
    found: [Level; LEVELS],
    own: Level,
    first: usize,
) -> Vec<Series> {
    let name = subject.name();
    (first..REPORTED.len())
        .map(|q| {
            let values = found.map(|level| level.values[q]);
            let used = own.values[q];
            let series = Series::new(&name, refined, &REPORTED[q], levels, sizes, values, used);
            // Some that reach the mark and others that do not stay a failure: then the answer hangs
            // on the cells or steps.
            let may_end = |level: &Level| if REPORTED[q].key == FAILURE { level.unfailing } else { level.ended };
            let nowhere = |level: &Level| may_end(level) && !level.values[q].is_finite();
            if q >= LOADS && found.iter().chain([&own]).all(nowhere) { series.not_reached() } else { series }
        })
        .collect()
}

/// A hold with its tied state; an error that names `what` where there is none.
pub(super) fn held(what: &str, (hold, tied): (Hold, Option<Tied>)) -> Found<(Hold, Tied)> {
    let tied = tied.ok_or_else(|| not_tied(what, &hold.outcome))?;
    Ok((hold, tied))
}

/// Refines in one way: what is reported at each of the levels `aims` and at `own`, which the study uses, as series of the
/// quantities from `first` on. `at` answers the level that is reached and what it reports; `size` is that of a level.
fn refined(
    subject: &Subject<'_>,
    way: Refined,
    (aims, own): ([usize; LEVELS], usize),
    size: fn(usize) -> f64,
    first: usize,
    at: impl Fn(usize) -> Found<(usize, Level)> + Sync,
) -> Found<Vec<Series>> {
    let mut aims = aims.to_vec();
    if !aims.contains(&own) {
        aims.push(own);
    }
    let found: Vec<_> = par::map(&aims, |n| at(*n)).into_iter().collect::<Found<_>>()?;
    let used = aims.iter().position(|n| *n == own).unwrap_or(0);
    let levels = std::array::from_fn(|k| found[k].0);
    let values = std::array::from_fn(|k| found[k].1);
    Ok(series(subject, (way, levels, levels.map(size)), values, found[used].1, first))
}

/// Size of a step of which a way has so many.
fn share(steps: usize) -> f64 {
    1.0 / steps as f64
}

/// Halves the cells of the bed three times, and ties and pushes on each.
///
/// # Errors
/// When the construct does not hold the fragment on one of the beds.
pub fn cells(subject: &Subject<'_>) -> Found<Vec<Series>> {
    let aims = (CELLS, subject.case.bed.cells);
    let size = |cells: usize| libm::pow(cells as f64, -0.5);
    refined(subject, Refined::Cells, aims, size, 0, |cells| {
        let mut case = subject.case.clone();
        case.bed.cells = cells;
        let subject = Subject { case: &case, ..*subject };
        let rig = subject.rig();
        let (hold, tied) =
            held(&format!("on {cells} cells"), study::tie(&case, subject.construct, &rig, subject.from))?;
        let push = push_in(&subject, &rig, &tied, PushPlan::default().steps);
        // The number of cells that fits the outline differs a little from the one aimed at.
        Ok((rig.bed.cells.len(), reported(&subject, &hold, &push)))
    })
}

/// Halves the steps of the push three times.
///
/// # Errors
/// When the construct does not hold the fragment.
pub fn push_steps(subject: &Subject<'_>) -> Found<Vec<Series>> {
    let rig = subject.rig();
    let (hold, tied) = held("as given", study::tie(subject.case, subject.construct, &rig, subject.from))?;
    let aims = (PUSHES, PushPlan::default().steps);
    refined(subject, Refined::PushSteps, aims, share, LOADS, |steps| {
        Ok((steps, reported(subject, &hold, &push_in(subject, &rig, &tied, steps))))
    })
}

/// Halves the steps of every pull three times, and holds the steps that the study chooses against
/// them.
///
/// # Errors
/// When the construct does not hold the fragment in one of the ways.
pub fn pull_steps(subject: &Subject<'_>) -> Found<Vec<Series>> {
    let (rig, Subject { case, construct, from }) = (subject.rig(), *subject);
    // No number of steps: those that the study chooses.
    refined(subject, Refined::PullSteps, (PULLS, 0), share, 0, |steps| {
        let end = match steps {
            0 => study::tie(case, construct, &rig, from),
            _ => {
                let step = share(steps);
                let ramp = Ramp { first: step, largest: step, continued: false, ..Ramp::EVEN };
                study::tie_in_steps(case, construct, &rig, from, ramp)
            }
        };
        let (hold, tied) = held("with other steps", end)?;
        Ok((steps, reported(subject, &hold, &push_in(subject, &rig, &tied, PushPlan::default().steps))))
    })
}

/// Halves the steps of every load of a cycle three times; what the settled state and the push from it come to.
///
/// # Errors
/// When the construct does not hold the fragment.
pub fn cycle_steps(subject: &Subject<'_>) -> Found<Vec<Series>> {
    let (rig, (case, construct)) = (subject.rig(), (subject.case, subject.construct));
    let (hold, tied) = held("as given", study::tie(case, construct, &rig, subject.from))?;
    let aims = (CYCLES, SettlePlan::of(case).steps);
    refined(subject, Refined::CycleSteps, aims, share, SETTLED_STATE, |steps| {
        let plan = SettlePlan { steps, ..SettlePlan::of(case) };
        let (settling, settled) = study::settle(case, construct, &rig, &tied, &plan);
        let settled = settled.ok_or_else(|| not_tied("settled in other steps", &settling.outcome))?;
        let pushes = [PushPlan::default(), PushPlan::to_failure()].map(|plan| Push {
            settling: Some(settling.clone()),
            ..study::push(case, construct, &rig, &settled, &PushPlan { settled: false, ..plan })
        });
        Ok((steps, reported(subject, &hold, &pushes)))
    })
}

// A quantity on ever finer cells or steps: observed order of convergence, extrapolated value, and
// the uncertainty of the value that the program uses.
//
// Order and extrapolation: Richardson's, on three levels with unequal ratios (Celik et al., J Fluids
// Eng 2008;130:078001). Uncertainty: the grid convergence index of Roache (J Fluids Eng
// 1994;116:405), as in ASME V&V 20. With a safety factor of 1.25 where two sets of three levels show
// the same order, and 3 where they do not. Where the changes alternate or do not shrink there is no
// order, nothing is extrapolated, and the largest change seen stands in its place, times 3. (All
// three sources recalled, not read again.)

/// Levels of a series, each with half the size of the one before.
pub const LEVELS: usize = 4;
/// An order above that of the midpoint rule is not used for extrapolating, however it comes out.
const FORMAL: f64 = 2.0;
/// An order below this extrapolates beyond all that was seen.
const LEAST: f64 = 0.5;
/// How near two orders must be to count as the same.
const SETTLED: f64 = 0.5;
/// Changes below this share of the value are rounding and the solver's balance, not discretisation.
const NOTHING: f64 = 1e-8;

/// What is said of the order of convergence.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "finding")]
pub enum Order {
    /// Both sets of three levels show it.
    Settled {
        /// Order on the three finest levels.
        order: f64,
        /// Order on the three coarsest.
        coarse: f64,
    },
    /// The three finest levels show an order, the coarsest another or none.
    Unsettled {
        /// Order on the three finest levels.
        order: f64,
        /// Order on the three coarsest, where there is one.
        coarse: Option<f64>,
    },
    /// The last changes have opposite signs.
    Alternates,
    /// The last change is no smaller than the one before, or hardly.
    DoesNotShrink,
    /// Nothing changes but rounding.
    NoChange,
}

/// What is refined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Refined {
    /// Cells of the bed; a level is their number.
    Cells,
    /// Steps of the push; a level is their number.
    PushSteps,
    /// Steps of each pull; a level is their number.
    PullSteps,
    /// Steps of each load of a cycle; a level is their number.
    CycleSteps,
}

/// A quantity over four levels of refinement.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Series {
    /// Case and construct.
    pub subject: String,
    /// What is refined.
    pub refined: Refined,
    /// The quantity.
    pub quantity: String,
    /// Its unit; empty for a pure number.
    pub unit: String,
    /// Cells or steps, coarsest first.
    pub levels: [usize; LEVELS],
    /// The values there; absent where the study gave none.
    pub values: [Option<f64>; LEVELS],
    /// The value that the program gives with its own settings.
    pub used: Option<f64>,
    /// What is said of the order.
    pub order: Order,
    /// The value extrapolated to size zero; absent without an order.
    pub extrapolated: Option<f64>,
    /// Estimated error of the value used, as a share of it: against the extrapolated value, or the
    /// farthest finer one where there is none.
    pub error: Option<f64>,
    /// The same with its safety factor: the grid convergence index of the value used.
    pub uncertainty: Option<f64>,
    /// What the estimated error may be, as a share.
    pub tolerance: f64,
    /// What makes the tolerance so large.
    pub reason: String,
    /// Whether any level gave a value to look at; false where the push ends before the mark at every
    /// level, which is the same answer everywhere and passes.
    pub reached: bool,
    /// Whether it is within tolerance.
    pub passed: bool,
}

/// A quantity, the size below which its error is counted in absolute terms (a step of
/// 0.01 mm need not be right to a percent), and what its error may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerated {
    /// Key in the list of quantities.
    pub key: &'static str,
    /// Least size to which an error is related.
    pub floor: f64,
    /// Allowed error as a share.
    pub tolerance: f64,
    /// What makes it so large.
    pub reason: &'static str,
}

impl Series {
    /// A series of `values` at sizes `sizes` (any unit, falling), with the value that is `used`.
    /// What is no number at a level makes the series fail.
    pub fn new(
        subject: &str,
        refined: Refined,
        quantity: &Tolerated,
        levels: [usize; LEVELS],
        sizes: [f64; LEVELS],
        values: [f64; LEVELS],
        used: f64,
    ) -> Self {
        let named = crate::quantities::quantity(quantity.key);
        let fine = [values[3], values[2], values[1]];
        let scale = values[3].abs().max(quantity.floor);
        let order = order(&values, &sizes, scale);
        let (extrapolated, factor) = match order {
            Order::Settled { order, .. } => (Some(richardson(&fine, &sizes, order)), 1.25),
            Order::Unsettled { order, .. } => (Some(richardson(&fine, &sizes, order)), 3.0),
            Order::Alternates | Order::DoesNotShrink => (None, 3.0),
            Order::NoChange => (Some(values[3]), 1.25),
        };
        let error = match extrapolated {
            Some(value) => (used - value).abs(),
            None => largest(values.iter().map(|v| (used - v).abs()).skip(1)),
        } / scale;
        let known = |v: f64| v.is_finite().then_some(v);
        Self {
            subject: subject.to_owned(),
            refined,
            quantity: named.label.to_owned(),
            unit: named.unit.to_owned(),
            levels,
            values: values.map(known),
            used: known(used),
            order,
            extrapolated: extrapolated.and_then(known),
            error: known(error),
            uncertainty: known(factor * error),
            tolerance: quantity.tolerance,
            reason: quantity.reason.to_owned(),
            reached: true,
            passed: error <= quantity.tolerance && values.iter().all(|v| v.is_finite()),
        }
    }
}

impl Series {
    /// The series of a load at a mark that no level reaches: the fragment is lost before, on every one
    /// of them, and the program says so with its own settings too. All agree, and there is no number.
    pub(super) fn not_reached(mut self) -> Self {
        self.quantity += ", not reached";
        "at every level the push ends before, as a finding".clone_into(&mut self.reason);
        self.reached = false;
        self.passed = true;
        self
    }
}

/// The largest of some numbers; what is no number is larger than all.
fn largest(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(0.0, |a, b| if a >= b || f64::is_nan(a) { a } else { b })
}

/// The order of three levels, finest first, with their sizes. `None` unless they change to one side
/// by ever less.
fn order_of(values: [f64; 3], sizes: [f64; 3]) -> Option<f64> {
    let (late, early) = (values[1] - values[0], values[2] - values[1]);
    let ratio = early / late;
    let (fine, coarse) = (sizes[1] / sizes[0], sizes[2] / sizes[1]);
    if !(ratio.is_finite() && ratio > 0.0) {
        return None;
    }
    // p = (ln(ε₃₂/ε₂₁) + ln((r₂₁ᵖ − 1)/(r₃₂ᵖ − 1)))/ln r₂₁, by fixed point: the ratios are near 2.
    let mut p = libm::log(ratio) / libm::log(fine);
    for _ in 0..100 {
        if p < 1e-3 {
            return None;
        }
        let shift = libm::log((libm::pow(fine, p) - 1.0) / (libm::pow(coarse, p) - 1.0));
        p = (libm::log(ratio) + shift) / libm::log(fine);
    }
    (p.is_finite() && p > 0.0).then_some(p)
}

fn order(values: &[f64; LEVELS], sizes: &[f64; LEVELS], scale: f64) -> Order {
    let [a, b, c, d] = *values;
    let [ha, hb, hc, hd] = *sizes;
    if [d - c, c - b].iter().all(|e| e.abs() <= NOTHING * scale) {
        return Order::NoChange;
    }
    if (d - c) * (c - b) < 0.0 {
        return Order::Alternates;
    }
    let coarse = order_of([c, b, a], [hc, hb, ha]);
    match (order_of([d, c, b], [hd, hc, hb]), coarse) {
        (Some(order), Some(coarse)) if order >= LEAST && (order - coarse).abs() <= SETTLED => {
            Order::Settled { order, coarse }
        }
        (Some(order), coarse) if order >= LEAST => Order::Unsettled { order, coarse },
        _ => Order::DoesNotShrink,
    }
}

/// The value at size zero from the two finest levels.
fn richardson(fine: &[f64; 3], sizes: &[f64; LEVELS], order: f64) -> f64 {
    let ratio = libm::pow(sizes[2] / sizes[3], order.min(FORMAL));
    fine[0] + (fine[0] - fine[1]) / (ratio - 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::ConstructFile;

    #[test]
    fn a_mark_that_no_level_reaches_passes_and_one_that_some_reach_fails() {
        let case = Case::open("quarter").unwrap();
        let construct = ConstructFile::open("one-by-one").unwrap();
        let subject = Subject { case: &case, construct: &construct.fit(&case).unwrap(), from: Start::Reduced };
        let whole = Level { values: [1.0; REPORTED.len()], ended: false, unfailing: false };
        let mut short = whole;
        short.values[LOADS + 2] = f64::NAN;
        short.ended = true;
        let way = (Refined::Cells, [1, 2, 3, 4], [8.0, 4.0, 2.0, 1.0]);
        let last = |found, own| series(&subject, way, found, own, 0).swap_remove(LOADS + 2);
        let nowhere = last([short; LEVELS], short);
        assert!(nowhere.passed && !nowhere.reached);
        assert_eq!(nowhere.quantity, "load at 2 mm, not reached");
        assert!(last([whole; LEVELS], whole).passed);
        for (found, own) in
            [([short, short, short, whole], short), ([short; LEVELS], whole), ([whole, whole, whole, short], whole)]
        {
            let some = last(found, own);
            assert!(!some.passed && some.reached, "{some:?}");
        }
        // What is missing without a finding (an uncertified state) is a failure on every level too.
        let lost = Level { ended: false, ..short };
        assert!(!last([lost; LEVELS], lost).passed);
    }
}

#[cfg(test)]
mod tests_of_series {
    use super::*;

    const ANY: Tolerated = Tolerated { key: "compression", floor: 0.0, tolerance: 0.01, reason: "" };

    fn of(values: [f64; LEVELS], sizes: [f64; LEVELS]) -> Series {
        Series::new("s", Refined::Cells, &ANY, [1, 2, 3, 4], sizes, values, values[1])
    }

    #[test]
    fn a_power_of_the_size_is_found_and_extrapolated_with_unequal_ratios() {
        // f(h) = 3 + 0.1 hᵖ has order p and the value 3 at zero, by construction.
        for p in [0.7, 1.0, 1.6, 2.0] {
            let sizes = [8.1, 4.0, 1.9, 1.0];
            let series = of(sizes.map(|h: f64| 3.0 + 0.1 * libm::pow(h / 8.0, p)), sizes);
            let Order::Settled { order, coarse } = series.order else { panic!("{series:?}") };
            assert!((order - p).abs() < 1e-8 && (coarse - p).abs() < 1e-8);
            assert!((series.extrapolated.unwrap() - 3.0).abs() < 1e-9);
            let error = 0.1 * libm::pow(0.5f64, p) / series.values[3].unwrap();
            assert!((series.error.unwrap() - error).abs() < 1e-9);
            assert!((series.uncertainty.unwrap() - 1.25 * error).abs() < 1e-9);
        }
    }

    #[test]
    fn no_order_is_claimed_where_there_is_none() {
        let sizes = [8.0, 4.0, 2.0, 1.0];
        let alternating = of([1.0, 1.1, 1.05, 1.07], sizes);
        assert_eq!(alternating.order, Order::Alternates);
        assert_eq!(alternating.extrapolated, None);
        // Three times the farthest finer value.
        assert!((alternating.uncertainty.unwrap() - 3.0 * 0.05 / 1.07).abs() < 1e-12);
        let growing = of([1.0, 1.01, 1.03, 1.07], sizes);
        assert_eq!(growing.order, Order::DoesNotShrink);
        assert!(!growing.passed);
        let unsettled = of([1.0, 1.3, 1.2, 1.15], sizes);
        assert!(matches!(unsettled.order, Order::Unsettled { coarse: None, .. }));
        let same = of([1.0; 4], sizes);
        assert_eq!(same.order, Order::NoChange);
        assert!(same.passed);
        assert!(!of([1.0, 1.0, 1.0, f64::NAN], sizes).passed);
        assert!(!of([1.0, f64::NAN, 1.0, 1.0], sizes).passed);
    }

    #[test]
    fn too_good_an_order_is_shown_but_not_used() {
        let sizes = [8.0, 4.0, 2.0, 1.0];
        let series = of([1.0 + 4096e-5, 1.0 + 64e-5, 1.0 + 1e-5, 1.0], sizes);
        let (Order::Settled { order, .. } | Order::Unsettled { order, .. }) = series.order else {
            panic!("{series:?}")
        };
        assert!(order > 5.0);
        // By the formal order 2: a third of the last change.
        assert!((series.extrapolated.unwrap() - (1.0 - 1e-5 / 3.0)).abs() < 1e-12);
    }
}
