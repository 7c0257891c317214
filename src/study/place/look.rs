//! One look at a design: geometry, ties, pushes; what its objectives come to and how its constraints
//! stand.

use super::super::drill::{Ask, asked};
use super::super::push::{PushPlan, pushed_seen};
use super::super::result::{DrawEnds, Outcome, Push, Start};
use super::super::tie::{Tied, tied_only};
use super::super::{Direction, measure, setup};
use super::objective::Objective;
use super::rule::{Rule, Rules, Value};
use crate::anatomy::{Place, Vault};
use crate::math::{Vec3, angle_between, upper};
use crate::mechanics::{LimbReport, Rig, Solver};
use crate::model::{Case, Construct, depths, to_edges};

/// How a look ended.
#[derive(Debug, Clone, PartialEq)]
pub enum Fate {
    /// Tied, and pushed as far as its objectives ask.
    Held,
    /// Not tied: its geometry is far from what constraints allow.
    Far,
    /// Off the bone, or no construct at all: why.
    Impossible(String),
    /// The fragment is not held: why.
    NotHeld(String),
    /// A state could not be certified: where.
    Uncertified(String),
    /// Held where nothing errs, but too few of its draws are certified: how many.
    Silent(String),
}

/// What a look found.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// How it ended.
    pub fate: Fate,
    /// Objectives in the order asked for; absent where not held. Of a look over draws their percentiles.
    pub values: Vec<Option<f64>>,
    /// The objectives where nothing errs, where `values` are percentiles.
    pub nominal: Option<Vec<Option<f64>>>,
    /// Constraints in the order of [`Rule::ALL`]; absent where one does not apply, or was not come to.
    pub rules: Vec<Option<Value>>,
    /// How its draws ended, where some were made.
    pub draws: Option<DrawEnds>,
}

impl Look {
    /// A look without numbers, of so many objectives.
    pub(super) fn bare(fate: Fate, objectives: usize) -> Self {
        Self { fate, values: vec![None; objectives], nominal: None, rules: vec![None; Rule::ALL.len()], draws: None }
    }

    /// Sum of all violations as shares of their limits; a design that is not held is one violation
    /// more, one that is none two.
    pub fn violation(&self) -> f64 {
        let rules: f64 = self.rules.iter().flatten().map(|v| v.excess.max(0.0)).sum();
        rules
            + match self.fate {
                Fate::Held | Fate::Far => 0.0,
                Fate::NotHeld(_) | Fate::Uncertified(_) | Fate::Silent(_) => 1.0,
                Fate::Impossible(_) => 2.0,
            }
    }

    /// What makes it infeasible: the farthest violated rule, or that it is not held; key and words.
    pub fn broken(&self) -> Option<(String, String)> {
        let plain = |key: &str, words: &str| Some((key.to_owned(), words.to_owned()));
        match &self.fate {
            Fate::Impossible(_) => return plain("bone", "off the bone"),
            Fate::NotHeld(_) => return plain("held", "the fragment is not held"),
            Fate::Uncertified(_) => return plain("certificate", "a state is not certified"),
            Fate::Silent(_) => return plain("draws", "fewer than nine in ten draws are certified"),
            Fate::Held | Fate::Far => {}
        }
        let mut worst: Option<(Rule, &Value)> = None;
        for (rule, value) in Rule::ALL.iter().zip(&self.rules) {
            if let Some(value) = value.as_ref().filter(|v| v.excess > 0.0)
                && worst.is_none_or(|w| value.excess > w.1.excess)
            {
                worst = Some((*rule, value));
            }
        }
        worst.map(|(rule, value)| (rule.row().key.to_owned(), format!("{} ({})", rule.row().label, value.subject)))
    }

    /// Whether a load passes what a knot, strand, anchor or the bed can bear.
    pub(super) fn is_beyond(&self) -> bool {
        [Rule::Tension, Rule::Holding, Rule::Pressure]
            .into_iter()
            .filter_map(|rule| self.rules[rule as usize].as_ref())
            .any(|value| value.excess > 0.0)
    }

    fn put(&mut self, rule: Rule, value: Value) {
        let slot = &mut self.rules[rule as usize];
        if slot.as_ref().is_none_or(|s| value.excess > s.excess) {
            *slot = Some(value);
        }
    }
}

/// How to look.
pub(super) struct Eye<'a> {
    pub objectives: &'a [Objective],
    pub rules: &'a Rules,
    /// Names of anchors that are free.
    pub moved: &'a [String],
    /// Where tying starts.
    pub from: Start,
    /// Recorded steps to 1 mm.
    pub steps: usize,
    /// Points looked at along a limb for bone.
    pub samples: usize,
    /// Violation in the geometry above which nothing is tied.
    pub far: f64,
}

/// Looks at a design.
pub(super) fn look(case: &Case, construct: &Construct, eye: &Eye<'_>) -> Look {
    let mut look = Look::bare(Fate::Far, eye.objectives.len());
    geometry(case, construct, eye, &mut look);
    if look.violation() > eye.far {
        return look;
    }
    if eye.objectives.is_empty() {
        look.fate = Fate::Held;
        return look;
    }
    let rig = setup::rig(case, construct, eye.from);
    // A look is short: whoever wants an end is asked between looks.
    let done =
        tied_only(case, construct, &rig, eye.from, &()).unwrap_or(Err(Outcome::Held)).and_then(|(tied, mut solver)| {
            as_tied(case, construct, &tied, &mut solver, eye, &mut look);
            for k in 0..eye.objectives.len() {
                let value = value(case, construct, &rig, &tied, &mut solver, eye, k, &mut look)?;
                look.values[k] = Some(value);
            }
            Ok(())
        });
    look.fate = match done {
        Ok(()) => Fate::Held,
        Err(outcome) => {
            look.values.fill(None);
            fate(&outcome)
        }
    };
    look
}

fn fate(outcome: &Outcome) -> Fate {
    match outcome {
        Outcome::Held => Fate::Held,
        Outcome::NotHeld { during, .. } => Fate::NotHeld(format!("the fragment is not held during the {during}")),
        Outcome::Uncertified { during, .. } => Fate::Uncertified(format!("no certificate during the {during}")),
    }
}

/// The constraints that need no solving.
fn geometry(case: &Case, construct: &Construct, eye: &Eye<'_>, look: &mut Look) {
    let moved = |name: &str| eye.moved.iter().any(|m| m == name);
    let bone = Vault::of(&case.fragment);
    if eye.rules.drill {
        for found in asked(case, construct, &bone) {
            if !found.of.iter().any(|k| construct.anchors.get(*k).is_some_and(|a| moved(&a.name))) {
                continue;
            }
            let rule = match found.ask {
                Ask::Reach | Ask::Lean => Rule::Reach,
                Ask::Bridge | Ask::Face | Ask::Rim | Ask::Bed | Ask::Wall => Rule::Bone,
                // These are rules of their own.
                Ask::Spacing | Ask::RimDistance | Ask::FractureDistance | Ask::Cartilage => continue,
            };
            look.put(rule, eye.rules.against(rule, found.value, found.limit, found.subject));
        }
    }
    for (k, a) in construct.anchors.iter().enumerate() {
        for b in &construct.anchors[k + 1..] {
            if moved(&a.name) || moved(&b.name) {
                let distance = (a.point - b.point).norm();
                let subject = format!("{} and {}", a.name, b.name);
                look.put(Rule::Spacing, eye.rules.value(Rule::Spacing, distance, subject));
            }
        }
        let edges = to_edges(case, &a.place, &a.point).into_iter().filter(|_| moved(&a.name));
        for ((distance, ..), rule) in edges.zip([Rule::RimDistance, Rule::FractureDistance]) {
            look.put(rule, eye.rules.value(rule, distance, a.name.clone()));
        }
        for cone in &eye.rules.cones {
            let meant = match &cone.anchors {
                Some(names) => names.contains(&a.name),
                None => moved(&a.name),
            };
            let through = bone.through(&a.place, &a.point).filter(|_| meant && !matches!(a.place, Place::Point(_)));
            let Some(inward) = through.map(|surface| bone.inward(surface, &a.point)) else {
                continue;
            };
            let line = a.point - Vec3::from(cone.portal);
            let angle = angle_between(&line, &inward).to_degrees();
            let subject = format!("{} through {}", a.name, cone.name);
            look.put(Rule::Reach, eye.rules.against(Rule::Reach, angle, cone.half_angle, subject));
        }
    }
    for limb in &construct.limbs {
        for (_, _, deepest) in depths(limb, construct, case, eye.samples) {
            look.put(Rule::ThroughBone, eye.rules.value(Rule::ThroughBone, deepest.max(0.0), limb.name.clone()));
        }
    }
}

/// The constraints of the tied state.
fn as_tied(case: &Case, construct: &Construct, tied: &Tied, solver: &mut Solver<'_>, eye: &Eye<'_>, look: &mut Look) {
    let reports: Vec<LimbReport> =
        (0..construct.limbs.len()).map(|k| solver.limb_report(&tied.state, &tied.controls, k)).collect();
    let mut pull = Vec3::zeros();
    for (k, report) in reports.iter().enumerate() {
        let limb = &construct.limbs[k];
        pull += upper(&report.wrench);
        let length = measure::cartilage(case, construct, k, &report.places);
        look.put(Rule::Cartilage, eye.rules.value(Rule::Cartilage, length, limb.name.clone()));
        let most = report.tensions.iter().copied().fold(0.0, f64::max);
        tension(construct, k, report.at_tie_end(), most, eye, look);
    }
    for k in 0..construct.screws.len() {
        pull += solver.screw_report(&tied.state, &tied.controls, k).press;
    }
    for (k, force) in solver.anchor_pulls(&reports).iter().enumerate() {
        holding(construct, k, force.norm(), eye, look);
    }
    let pressure = solver.bed_totals(&tied.state).peak_pressure;
    look.put(Rule::Pressure, eye.rules.value(Rule::Pressure, pressure, "as tied".to_owned()));
    if pull.norm() > 1e-9 {
        let angle = angle_between(&pull, &-case.fragment.normal).to_degrees();
        look.put(Rule::Cone, eye.rules.value(Rule::Cone, angle, "all limbs together".to_owned()));
    }
}

fn tension(construct: &Construct, k: usize, at_tie_end: f64, most: f64, eye: &Eye<'_>, look: &mut Look) {
    let limb = &construct.limbs[k];
    let strand = limb.strand.strength.map_or(0.0, |s| most / s);
    let used = (at_tie_end / limb.knot_limit).max(strand);
    look.put(Rule::Tension, eye.rules.value(Rule::Tension, used, limb.name.clone()));
}

fn holding(construct: &Construct, k: usize, force: f64, eye: &Eye<'_>, look: &mut Look) {
    let anchor = &construct.anchors[k];
    if let Some(limit) = anchor.holding {
        look.put(Rule::Holding, eye.rules.value(Rule::Holding, force / limit, anchor.name.clone()));
    }
}

/// The value of an objective. Where it pushes, limits of limbs, anchors and bed are kept to 1 mm.
#[allow(clippy::too_many_arguments)]
fn value(
    case: &Case,
    construct: &Construct,
    rig: &Rig,
    tied: &Tied,
    solver: &mut Solver<'_>,
    eye: &Eye<'_>,
    k: usize,
    look: &mut Look,
) -> Result<f64, Outcome> {
    let mut load = |direction: Direction| {
        let plan = PushPlan { direction, to: 1.0, steps: eye.steps, ..PushPlan::default() };
        let seen = &mut |point: &super::super::result::PushPoint, signs: &super::super::events::Signs| {
            for k in 0..construct.limbs.len() {
                tension(construct, k, signs.knots[k], point.tensions[k], eye, look);
            }
            for (k, force) in signs.anchors.iter().enumerate() {
                holding(construct, k, *force, eye, look);
            }
            look.put(
                Rule::Pressure,
                eye.rules.value(Rule::Pressure, point.peak_pressure, format!("pushed {:.1} mm", point.displacement)),
            );
            true
        };
        let push: Push = pushed_seen(case, construct, solver, tied, &plan, seen);
        match (push.outcome, push.load_at[1]) {
            (Outcome::Held, Some(load)) => Ok(load),
            (outcome, _) => Err(outcome),
        }
    };
    Ok(match eye.objectives[k] {
        pushing @ (Objective::Inferior | Objective::Worst) => {
            let mut least = f64::INFINITY;
            for (direction, weight) in pushing.pushes(&case.fragment) {
                least = least.min(load(direction)? / weight);
            }
            least
        }
        Objective::Evenness => {
            let loads = rig.bed.loads(tied.state.pose(), &rig.reference, &tied.state.bed);
            let (mut sum, mut squares) = (0.0, 0.0);
            for (load, cell) in loads.zip(&rig.bed.cells) {
                let pressure = load.pressure * load.weight;
                sum += pressure * cell.area;
                squares += pressure * pressure * cell.area;
            }
            if squares > 0.0 { sum * sum / (rig.bed.area * squares) } else { 0.0 }
        }
        Objective::Reduction => measure::measures(&case.fragment, tied.state.pose()).step.value.abs(),
    })
}
