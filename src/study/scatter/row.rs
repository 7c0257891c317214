//! One sample of one construct as a row of numbers.

use super::super::events::gauges;
use super::super::result::{Carrier, End, EventKind, Outcome, Push, PushPoint, Start};
use super::super::tie::{Tied, tied_only};
use super::super::{PushPlan, Watcher, measure, push, setup};
use crate::mechanics::Solver;
use crate::model::{Case, Construct};
use crate::quantities::{TiedView, View, sampled};
use crate::study::STEP_LIMIT;

/// How each sample is run.
#[derive(Debug, Clone, PartialEq)]
pub struct Probe {
    /// Where tying starts.
    pub from: Start,
    /// The push.
    pub push: PushPlan,
    /// The load under which steps are counted, N.
    pub under: f64,
}

/// What stands where in the rows of a construct. NaN stands for what a sample has not.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Who may bear a share of the load at 1 mm.
    pub carriers: Vec<(String, Carrier)>,
    /// What may happen within the push, and to whom.
    pub gauges: Vec<(EventKind, String)>,
    /// Displacements at which the load is kept, mm.
    pub grid: Vec<f64>,
}

/// A row.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// How the sample ended.
    pub end: End,
    /// Why, in words; empty when held.
    pub why: String,
    /// Quantities, shares at 1 mm, loads on the grid, fate under the given load, displacement of each
    /// event.
    pub values: Vec<f64>,
}

impl Layout {
    /// The layout for a construct on a case; `hinge`: a hinge may be there in some samples.
    pub fn new(case: &Case, construct: &Construct, hinge: bool, probe: &Probe) -> Self {
        let mut carriers: Vec<(String, Carrier)> =
            construct.limbs.iter().map(|l| (l.name.clone(), Carrier::Limb)).collect();
        let mut more = |name: &str, carrier| {
            if !carriers.iter().any(|c| c.0 == name && c.1 == carrier) {
                carriers.push((name.to_owned(), carrier));
            }
        };
        construct.screws.iter().for_each(|s| more(&s.name, Carrier::Screw));
        more("bed friction", Carrier::Friction);
        more("bed pressure", Carrier::Pressure);
        more("soft tissue", Carrier::Tissue);
        case.tethers.iter().for_each(|t| more(&t.name, Carrier::Tether));
        if hinge {
            more("hinge", Carrier::Tether);
        }
        case.loads.iter().for_each(|l| more(&l.name, Carrier::Load));
        let gauges = gauges(case, construct).into_iter().map(|(kind, subject, _)| (kind, subject));
        let gauges = gauges.chain([(EventKind::Jump, String::new())]).collect();
        let grid = (0..=probe.push.steps).map(|k| probe.push.to * k as f64 / probe.push.steps as f64).collect();
        Self { carriers, gauges, grid }
    }

    /// Length of a row.
    pub fn width(&self) -> usize {
        self.events() + self.gauges.len()
    }

    /// Where the shares start.
    pub fn shares(&self) -> usize {
        sampled().count()
    }

    /// Where the loads on the grid start.
    pub fn loads(&self) -> usize {
        self.shares() + self.carriers.len()
    }

    /// Where the fate under the given load stands, the number of a [`Fate`]: 0 borne, 1 with too large a
    /// step, 2 gives way, 3 not reached.
    pub fn fate(&self) -> usize {
        self.loads() + self.grid.len()
    }

    /// Where the displacements of events start.
    pub fn events(&self) -> usize {
        self.fate() + 1
    }

    /// A row of a sample that has no numbers.
    pub fn without(&self, end: End, why: String) -> Row {
        Row { end, why, values: vec![f64::NAN; self.width()] }
    }
}

/// Ties and pushes a construct, and keeps the row. `None` when it was to end.
pub fn run(case: &Case, construct: &Construct, layout: &Layout, probe: &Probe, watcher: &dyn Watcher) -> Option<Row> {
    let rig = setup::rig(case, construct, probe.from);
    let (tied, mut solver) = match tied_only(case, construct, &rig, probe.from, watcher)? {
        Ok(tied) => tied,
        Err(outcome) => {
            let (end, why) = ended(&outcome, false);
            let mut row = layout.without(end, why);
            if row.end == End::NotHeld {
                row.values[layout.fate()] = Fate::GivesWay as u8 as f64;
            }
            return Some(row);
        }
    };
    let push = push::pushed_seen(case, construct, &mut solver, &tied, &probe.push, &mut |_, _| !watcher.stops());
    if watcher.stops() {
        return None;
    }
    let (end, why) = ended(&push.outcome, true);
    // Of a sample that could not be certified to its end nothing counts.
    if end == End::Uncertified {
        return Some(layout.without(end, why));
    }
    let mut row = layout.without(end, why);
    fill(&mut row.values, (case, construct), &solver, &tied, &push, layout);
    let lost = end == End::LostInPush;
    row.values[layout.fate()] = fate(&push.curve, probe.under, lost) as u8 as f64;
    Some(row)
}

fn ended(outcome: &Outcome, in_push: bool) -> (End, String) {
    match outcome {
        Outcome::Held => (End::Held, String::new()),
        Outcome::NotHeld { mode, during, .. } => {
            (if in_push { End::LostInPush } else { End::NotHeld }, format!("{} during the {during}", mode.words()))
        }
        Outcome::Uncertified { during, net_force, net_moment } => (
            End::Uncertified,
            format!("no certificate during the {during}: {net_force:.1e} N, {net_moment:.1e} N·mm left"),
        ),
    }
}

fn fill(
    values: &mut [f64],
    (case, construct): (&Case, &Construct),
    solver: &Solver<'_>,
    tied: &Tied,
    push: &Push,
    layout: &Layout,
) {
    let bed = measure::bed(solver.rig(), &solver.bed_totals(&tied.state));
    let pose = *tied.state.pose();
    let measures = &measure::measures(&case.fragment, &pose);
    let tied = Some(TiedView { bed: &bed, measures, pose, state: None });
    let view = View { case, construct, tied, push: Some(push), compared: None };
    for (value, quantity) in values.iter_mut().zip(sampled()) {
        *value = (quantity.of)(&view).unwrap_or(f64::NAN);
    }
    for (k, (name, carrier)) in layout.carriers.iter().enumerate() {
        let found = push.contributors.iter().position(|c| c.name == *name && c.carrier == *carrier);
        // Who is not there in a sample bears nothing.
        let share = |p: &PushPoint| found.map_or(0.0, |c| p.shares[c]);
        values[layout.shares() + k] = view.at(1.0, &share).unwrap_or(f64::NAN);
    }
    for (k, point) in push.curve.iter().enumerate() {
        values[layout.loads() + k] = point.load;
    }
    for (k, (kind, subject)) in layout.gauges.iter().enumerate() {
        let event = push.events.iter().find(|e| e.kind == *kind && e.subject == *subject);
        values[layout.events() + k] = event.map_or(f64::NAN, |e| e.displacement);
    }
}

// What becomes of a sample under a given load.

/// What becomes of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// The load is borne, and the step is within its limit.
    Borne,
    /// The load is borne, but the step has passed its limit on the way.
    Steps,
    /// The fragment is lost before the load is reached.
    GivesWay,
    /// Held to the end of a push that ended before the load was reached: it says nothing of the load.
    NotReached,
}

/// The fate of a push under a load; whether the fragment was lost in it.
pub(super) fn fate(curve: &[PushPoint], load: f64, lost: bool) -> Fate {
    let mut stepped = false;
    let step = |k: usize| curve[k].measures.step.value;
    for (k, point) in curve.iter().enumerate() {
        if point.load >= load {
            let at = if k == 0 {
                step(0)
            } else {
                let before = curve[k - 1].load;
                step(k - 1) + (load - before) / (point.load - before) * (step(k) - step(k - 1))
            };
            return if stepped || at.abs() > STEP_LIMIT { Fate::Steps } else { Fate::Borne };
        }
        stepped |= step(k).abs() > STEP_LIMIT;
    }
    if lost { Fate::GivesWay } else { Fate::NotReached }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::result::Measures;

    fn curve(points: &[(f64, f64)]) -> Vec<PushPoint> {
        points
            .iter()
            .map(|&(load, step)| {
                let mut measures = Measures::default();
                measures.step.value = step;
                PushPoint {
                    displacement: 0.0,
                    load,
                    shares: Vec::new(),
                    tensions: Vec::new(),
                    heads: Vec::new(),
                    compression: 0.0,
                    contact: 0.0,
                    sliding: 0.0,
                    peak_pressure: 0.0,
                    measures,
                    certificate: Default::default(),
                }
            })
            .collect()
    }

    #[test]
    fn the_step_counts_up_to_the_load() {
        // The step passes 2 mm at 15 N.
        let rising = curve(&[(0.0, 0.0), (10.0, 1.0), (20.0, 3.0)]);
        assert_eq!(fate(&rising, 14.9, true), Fate::Borne);
        assert_eq!(fate(&rising, 15.1, true), Fate::Steps);
        assert_eq!(fate(&rising, 20.1, true), Fate::GivesWay);
        assert_eq!(fate(&rising, 20.1, false), Fate::NotReached);
        let passing = curve(&[(0.0, 0.0), (10.0, -2.1), (20.0, 0.0)]);
        assert_eq!(fate(&passing, 19.0, false), Fate::Steps);
        assert_eq!(fate(&[], 1.0, true), Fate::GivesWay);
    }
}
