//! Pushing a tied fragment: what load it takes to move it, and who bears that load.

use super::Direction;
use super::Watcher;
use super::arrival::{arrived, note_jumps, refusal};
use super::events::{Events, Signs, slides};
use super::measure;
use super::result::{
    Carrier, Contributor, Event, EventKind, Failure, Jump, Outcome, Petal, Push, PushPoint, Settling, Tally, Ultimate,
};
use super::settle::{SettlePlan, settle_with};
use super::tie::Tied;
use crate::math::{Vec3, upper};
use crate::mechanics::{Controls, Motion, Ramp, Rig, Solver, State, Strand};
use crate::model::{Case, Construct};
use crate::par;
use std::borrow::Cow;

/// How to push.
#[derive(Debug, Clone, PartialEq)]
pub struct PushPlan {
    /// Direction.
    pub direction: Direction,
    /// Distance to go, mm.
    pub to: f64,
    /// Number of recorded steps.
    pub steps: usize,
    /// Whether turning is forbidden.
    pub guided: bool,
    /// Whether the repair is settled before it is pushed, as its case says, along the direction of the push where that names none;
    /// otherwise it is pushed as tied.
    pub settled: bool,
    /// Whether the push ends where the load has fallen to half its peak.
    pub to_failure: bool,
}

impl PushPlan {
    /// To failure: 10 mm at most.
    pub fn to_failure() -> Self {
        Self { to: 10.0, steps: 200, to_failure: true, ..Self::default() }
    }
}

impl Default for PushPlan {
    fn default() -> Self {
        Self { direction: Direction::default(), to: 2.0, steps: 40, guided: false, settled: true, to_failure: false }
    }
}

/// Displacements at which the load is reported, mm.
pub const MARKS: [f64; 3] = [0.5, 1.0, 2.0];

/// Displacement of the probe for the tangent stiffness, mm: small against any slip length
/// (μp/k_t is some hundredths of a millimetre), large against rounding.
const PROBE: f64 = 1e-5;

/// Pushes a tied fragment and reports.
pub fn push(case: &Case, construct: &Construct, rig: &Rig, tied: &Tied, plan: &PushPlan) -> Push {
    pushed_on((case, construct, rig), tied, plan, false, &()).0
}

/// [`push`] and, where that is asked, the same to failure, settled once; with the settled repair, where it was to be
/// settled. What was to end is not whole, and is not to be used.
///
/// Where both have the same steps they are one walk, of which the push is the beginning.
pub(super) fn pushed_on(
    (case, construct, rig): (&Case, &Construct, &Rig),
    tied: &Tied,
    plan: &PushPlan,
    to_failure: bool,
    watcher: &dyn Watcher,
) -> (Push, Option<Ultimate>, Option<Tied>) {
    let mut solver = Solver::new(rig);
    solver.home = *tied.state.pose();
    let PushPlan { direction, guided, settled, .. } = plan.clone();
    let on = PushPlan { direction, guided, settled, ..PushPlan::to_failure() };
    let (settling, begun) = begin(case, construct, &mut solver, tied, plan, true);
    let settled = begun.as_ref().ok().filter(|_| plan.settled).map(|tied| tied.clone().into_owned());
    let stiffness = begun.as_ref().ok().and_then(|tied| tangent_stiffness((case, construct), &mut solver, tied, plan));
    if !to_failure {
        let push = walked(case, construct, &mut solver, begun, plan, &mut |_, _| !watcher.stops(), &mut |_, _| ());
        return (Push { stiffness, settling, ..push }, None, settled);
    }
    let mut near = None;
    let mut fresh = solver.clone();
    let one_walk = !plan.to_failure && plan.steps < on.steps && plan.steps as f64 * on.to == plan.to * on.steps as f64;
    let goes_on = &mut |_: &PushPoint, _: &Signs| !watcher.stops();
    let far = walked(case, construct, &mut solver, begun.clone(), &on, goes_on, &mut |push, events| {
        if one_walk && push.curve.len() == plan.steps + 1 {
            near = Some(finished(push.clone(), events));
        }
    });
    let near = match near {
        Some(near) => near,
        // It ended before it came so far.
        None if one_walk && !far.outcome.is_held() => far.clone(),
        None => walked(case, construct, &mut fresh, begun, plan, goes_on, &mut |_, _| ()),
    };
    (Push { stiffness, settling, ..near }, Some(far.into()), settled)
}

/// The state that a push begins from.
fn begin<'t>(
    case: &Case,
    construct: &Construct,
    solver: &mut Solver<'_>,
    tied: &'t Tied,
    plan: &PushPlan,
    recorded: bool,
) -> (Option<Settling>, Result<Cow<'t, Tied>, Outcome>) {
    if !plan.settled {
        return (None, Ok(Cow::Borrowed(tied)));
    }
    let settle = SettlePlan::before_push(case, &plan.direction);
    let (settling, settled) = settle_with(case, construct, solver, tied, &settle, recorded);
    let begun = settled.map(Cow::Owned).ok_or_else(|| settling.outcome.clone());
    (Some(settling), begun)
}

/// [`push`] without the tangent stiffness, which takes a probe of its own, each state shown as it is accepted; the push goes
/// on as long as that is wanted.
pub(super) fn pushed_seen(
    case: &Case,
    construct: &Construct,
    solver: &mut Solver<'_>,
    tied: &Tied,
    plan: &PushPlan,
    seen: &mut dyn FnMut(&PushPoint, &Signs) -> bool,
) -> Push {
    let (settling, begun) = begin(case, construct, solver, tied, plan, false);
    Push { settling, ..walked(case, construct, solver, begun, plan, seen, &mut |_, _| ()) }
}

/// What is read of a push where it ends.
fn finished(mut record: Push, events: &Events) -> Push {
    record.events = events.found();
    record.failure = failure(&record.curve, &record.events, matches!(record.outcome, Outcome::NotHeld { .. }));
    record.load_at = MARKS.map(|mark| load_at(&record.curve, mark));
    record.peak = record.curve.iter().max_by(|a, b| a.load.total_cmp(&b.load)).map(|p| [p.load, p.displacement]);
    record
}

/// A push without a state, and why.
pub(super) fn never_begun(case: &Case, construct: &Construct, plan: &PushPlan, outcome: Outcome) -> Push {
    Push {
        construct: construct.name.clone(),
        direction: plan.direction.name.clone(),
        vector: plan.direction.on(&case.fragment).into(),
        guided: plan.guided,
        outcome,
        contributors: contributors(case, construct),
        curve: Vec::with_capacity(plan.steps + 1),
        load_at: [None; 3],
        stiffness: None,
        peak: None,
        failure: None,
        events: Vec::new(),
        jumps: Vec::new(),
        settling: None,
    }
}

/// Pushes from where it begins: each state is shown as it is accepted and may end the push, and the record so far after it.
fn walked(
    case: &Case,
    construct: &Construct,
    solver: &mut Solver<'_>,
    begun: Result<Cow<'_, Tied>, Outcome>,
    plan: &PushPlan,
    seen: &mut dyn FnMut(&PushPoint, &Signs) -> bool,
    past: &mut dyn FnMut(&Push, &Events),
) -> Push {
    let rig = solver.rig();
    let tied = match begun {
        Ok(tied) => tied,
        Err(outcome) => return never_begun(case, construct, plan, outcome),
    };
    let mut record = never_begun(case, construct, plan, Outcome::Held);
    let mut walk = Walk::start((case, construct), rig, &tied, plan);
    let (first, signs) = walk.look(solver);
    if let Some(outcome) = refusal(&first.certificate, "push") {
        record.outcome = outcome;
        return record;
    }
    let mut events = Events::new(case, construct, &first, &signs);
    let mut goes_on = seen(&first, &signs);
    record.curve.push(first);
    for k in 1..=plan.steps {
        if !goes_on {
            break;
        }
        let distance = plan.to * k as f64 / plan.steps as f64;
        let before = events.sliding().is_none().then(|| walk.clone());
        let gone = walk.go(solver, distance, k > 1, &mut record.jumps);
        if let Err(outcome) = gone {
            record.outcome = outcome;
            break;
        }
        let (next, signs) = walk.look(solver);
        if let Some(outcome) = refusal(&next.certificate, "push") {
            record.outcome = outcome;
            break;
        }
        goes_on = seen(&next, &signs);
        events.compare(&record.curve[k - 1], &next, &signs, record.jumps.len());
        if let (Some(before), Some(event)) = (before, events.sliding()) {
            let (at, load) = before.first_sliding(solver, &next);
            event.displacement = at;
            event.load = load;
        }
        record.curve.push(next);
        past(&record, &events);
        let peak = record.curve.iter().map(|p| p.load).fold(0.0, f64::max);
        if plan.to_failure && record.curve[k].load < 0.5 * peak {
            break;
        }
    }
    finished(record, &events)
}

/// Steps in which the fragment is moved by hand, mm: as fine as those of a push, our choice, assumed. Farther than a push
/// to failure goes it is not moved.
const BY_HAND: f64 = 0.05;

/// A move by hand: the last state whose balance holds, and how it came there.
pub(super) struct Walked {
    pub there: Tied,
    /// How far it went along the pull, mm.
    pub reached: f64,
    /// Largest load on the way, N.
    pub most: f64,
    pub outcome: Outcome,
}

/// Moves the fragment from where it lies, its reference point evenly along a direction; across it that goes where it is let.
pub(super) fn walked_by_hand(
    case: &Case,
    construct: &Construct,
    solver: &mut Solver<'_>,
    tied: &Tied,
    by: Vec3,
) -> Walked {
    let far = by.norm().min(PushPlan::to_failure().to);
    if far < PROBE {
        return Walked { there: tied.clone(), reached: 0.0, most: 0.0, outcome: Outcome::Held };
    }
    let plan = PushPlan { direction: Direction::of_shoulder("by hand", by), ..PushPlan::default() };
    let mut walk = Walk::start((case, construct), solver.rig(), tied, &plan);
    let steps = (far / BY_HAND).ceil() as usize;
    let mut walked = Walked { there: tied.clone(), reached: 0.0, most: 0.0, outcome: Outcome::Held };
    for k in 1..=steps {
        let to = far * k as f64 / steps as f64;
        let gone = walk.go(solver, to, k > 1, &mut Vec::new());
        let refused = gone.err().or_else(|| refusal(&solver.certify(&walk.state, &walk.controls), "push"));
        if let Some(refused) = refused {
            walked.outcome = refused;
            break;
        }
        walked.there = Tied { state: walk.state.clone(), controls: walk.controls.clone() };
        walked.most = walked.most.max(walk.state.configuration.load);
        walked.reached = to;
    }
    walked
}

/// Fall of the load, as a share of its peak, that counts as failure.
const FALL: f64 = 0.02;

/// The first peak of a curve after which the load falls by more than two hundredths, and what gave there: the last
/// part whose limit was reached up to the fall. Bone of the bed that crushes under an edge is no such part: its load
/// does not fall.
/// A fragment that finds no rest any more bears nothing: `lost` ends a curve that has not fallen before.
fn failure(curve: &[PushPoint], events: &[Event], lost: bool) -> Option<Failure> {
    let mut peak = curve.first()?;
    let mut fallen = curve.last().filter(|_| lost);
    for point in curve {
        if point.load >= peak.load {
            peak = point;
        } else if point.load < (1.0 - FALL) * peak.load {
            fallen = Some(point);
            break;
        }
    }
    let end = fallen?.displacement;
    let gave = events.iter().filter(|e| e.kind.is_giving() && e.kind != EventKind::AboveCrush && e.displacement <= end);
    let gave = gave.max_by(|a, b| a.displacement.total_cmp(&b.displacement));
    let gave = gave.map(|e| (e.kind, e.subject.clone()));
    Some(Failure { load: peak.load, displacement: peak.displacement, gave })
}

/// Load at 1 mm in `count` directions evenly round the bed plane, starting inferiorly along the
/// chord and turning toward medial.
///
/// The repair is settled along the given push first, if that is.
pub fn rose(case: &Case, construct: &Construct, rig: &Rig, tied: &Tied, plan: &PushPlan, count: usize) -> Vec<Petal> {
    let mut solver = Solver::new(rig);
    solver.home = *tied.state.pose();
    let Ok(tied) = begin(case, construct, &mut solver, tied, plan, false).1 else {
        return Vec::new();
    };
    par::map(&(0..count).collect::<Vec<usize>>(), |k| {
        let angle = std::f64::consts::TAU * *k as f64 / count as f64;
        let vector = -case.fragment.along * libm::cos(angle) + case.fragment.down * libm::sin(angle);
        let plan = PushPlan {
            direction: Direction::of_shoulder(format!("{:.0}°", angle.to_degrees()), vector),
            to: 1.0,
            steps: 20,
            settled: false,
            ..PushPlan::default()
        };
        let push = push(case, construct, rig, &tied, &plan);
        Petal {
            angle: angle.to_degrees(),
            vector: vector.into(),
            load: push.load_at[1],
            tally: Tally::of_push(&push),
            outcome: push.outcome,
        }
    })
}

/// The slope of load against displacement at the tied state, N/mm: the response to a probe, on a
/// copy, with every cell and turn free to slip as the law asks.
fn tangent_stiffness(on: (&Case, &Construct), solver: &mut Solver<'_>, tied: &Tied, plan: &PushPlan) -> Option<f64> {
    let mut walk = Walk::start(on, solver.rig(), tied, plan);
    walk.go(solver, PROBE, false, &mut Vec::new()).ok()?;
    let certificate = solver.certify(&walk.state, &walk.controls);
    if refusal(&certificate, "push").is_some() {
        return None;
    }
    Some(walk.state.configuration.load / PROBE)
}

/// Halvings of a step within which the whole contact begins to slide: to a micrometre of a step of
/// 0.05 mm.
const HALVINGS: usize = 6;

/// A push under way.
#[derive(Clone)]
struct Walk<'a> {
    case: &'a Case,
    construct: &'a Construct,
    state: State,
    controls: Controls,
    direction: Vec3,
    from: Vec3,
}

impl<'a> Walk<'a> {
    fn start((case, construct): (&'a Case, &'a Construct), rig: &Rig, tied: &Tied, plan: &PushPlan) -> Self {
        let direction = plan.direction.on(&case.fragment);
        let point = rig.reference;
        let from = tied.state.pose().place(&rig.reference, &point);
        let mut controls = tied.controls.clone();
        controls.motion = Motion::Push { direction, point, from, distance: 0.0, guided: plan.guided };
        Self { case, construct, state: tied.state.clone(), controls, direction, from }
    }

    fn go(&mut self, solver: &mut Solver<'_>, to: f64, continued: bool, jumps: &mut Vec<Jump>) -> Result<(), Outcome> {
        let during = "push";
        let mut target = self.controls.clone();
        if let Motion::Push { distance, .. } = &mut target.motion {
            *distance = to;
        }
        let ramp = Ramp { first: 1.0, largest: 1.0, continued, ..Ramp::EVEN };
        let arrival = solver.ramp(&mut self.state, &self.controls, &target, ramp, None);
        note_jumps(self.construct, solver, jumps, during);
        arrived(self.case, arrival, during)?;
        self.controls = target;
        Ok(())
    }

    /// Displacement (mm) and load (N) at which the whole contact first slides, on the way from here to
    /// `end`, where it does. Copies go there, so that the push itself is not touched.
    fn first_sliding(mut self, solver: &Solver<'_>, end: &PushPoint) -> (f64, f64) {
        let mut found = (end.displacement, end.load);
        let (here, _) = self.look(&mut solver.clone());
        let mut low = here.displacement;
        for _ in 0..HALVINGS {
            let (mut tried, mut solver) = (self.clone(), solver.clone());
            let middle = 0.5 * (low + found.0);
            if tried.go(&mut solver, middle, false, &mut Vec::new()).is_err() {
                break;
            }
            let (point, _) = tried.look(&mut solver);
            if slides(&point) {
                found = (point.displacement, point.load);
            } else {
                (self, low) = (tried, middle);
            }
        }
        found
    }

    /// The state as a point of the curve, with what the event watch needs.
    fn look(&self, solver: &mut Solver<'_>) -> (PushPoint, Signs) {
        let rig = solver.rig();
        let Self { case, construct, state, controls, .. } = self;
        let share = |force: Vec3| -force.dot(&self.direction);
        let mut shares = Vec::new();
        let mut tensions = Vec::new();
        let mut signs = Signs::default();
        let reports: Vec<_> = (0..construct.limbs.len()).map(|k| solver.limb_report(state, controls, k)).collect();
        for report in &reports {
            shares.push(share(upper(&report.wrench)));
            tensions.push(report.tensions.iter().copied().fold(0.0, f64::max));
            signs.knots.push(report.at_tie_end());
            let shortest = report.lengths.iter().copied().fold(f64::INFINITY, f64::min);
            signs.seated.push(case.seat.length - shortest);
            signs.slack.push(report.slack);
        }
        let mut heads = Vec::new();
        for k in 0..construct.screws.len() {
            let report = solver.screw_report(state, controls, k);
            shares.push(share(upper(&report.wrench)));
            heads.push(report.axial);
            signs.bearing.push(report.pressure);
            signs.loose.push(-report.stretch);
        }
        // What has run out is beyond its limit, though it bears less by now.
        let run_out = |node: usize| state.gives[node].spent;
        signs.anchors = solver.anchor_pulls(&reports).iter().map(Vec3::norm).collect();
        for (k, pull) in signs.anchors.iter_mut().enumerate() {
            if let Some(spent) = rig.anchor_nodes[k].map(run_out).filter(|spent| *spent > 0.0) {
                *pull = construct.anchors[k].holding.unwrap_or(0.0) + spent;
            }
        }
        for k in 0..construct.limbs.len() {
            signs.torn.push(rig.bites_of(k).map(run_out).fold(0.0, f64::max));
            signs.broken.push(state.strands[k] == Strand::Loose);
        }
        let totals = solver.bed_totals(state);
        let bed = measure::bed(rig, &totals);
        signs.crushed = bed.crushed;
        let in_plane = |[along, down]: [f64; 2]| case.fragment.along * along + case.fragment.down * down;
        let friction = in_plane(totals.friction);
        let pressure = case.fragment.normal * bed.compression + in_plane(totals.keyed);
        shares.push(share(friction));
        shares.push(share(pressure));
        let (envelope, tethers, loads) = solver.other_forces(state, controls);
        if case.envelope.is_some() {
            shares.push(share(envelope));
        }
        shares.extend(tethers.into_iter().chain(loads).map(share));
        let place = state.pose().place(&rig.reference, &rig.reference);
        let point = PushPoint {
            displacement: (place - self.from).dot(&self.direction),
            load: state.configuration.load,
            shares,
            tensions,
            heads,
            compression: bed.compression,
            contact: bed.contact,
            sliding: bed.sliding,
            peak_pressure: bed.peak_pressure,
            measures: measure::measures(&case.fragment, state.pose()),
            certificate: solver.certify_with(state, controls, &totals),
        };
        (point, signs)
    }
}

/// Who can take a share of the load, in the order of [`PushPoint::shares`].
fn contributors(case: &Case, construct: &Construct) -> Vec<Contributor> {
    let named =
        |name: &str, group: &str, carrier| Contributor { name: name.to_owned(), group: group.to_owned(), carrier };
    let mut list: Vec<_> = construct.limbs.iter().map(|limb| named(&limb.name, &limb.group, Carrier::Limb)).collect();
    list.extend(construct.screws.iter().map(|screw| named(&screw.name, &screw.group, Carrier::Screw)));
    list.push(named("bed friction", "bed friction", Carrier::Friction));
    list.push(named("bed pressure", "bed pressure", Carrier::Pressure));
    if case.envelope.is_some() {
        list.push(named("soft tissue", "tissue", Carrier::Tissue));
    }
    list.extend(case.tethers.iter().map(|t| named(&t.name, "tissue", Carrier::Tether)));
    list.extend(case.loads.iter().map(|l| named(&l.name, "loads", Carrier::Load)));
    list
}

/// Load (N) at a displacement (mm), linear between recorded states; `None` beyond them.
pub fn load_at(curve: &[PushPoint], mark: f64) -> Option<f64> {
    curve.windows(2).find_map(|pair| {
        let (a, b) = (&pair[0], &pair[1]);
        (a.displacement <= mark && mark <= b.displacement + 1e-9).then(|| {
            let s = (mark - a.displacement) / (b.displacement - a.displacement);
            a.load + s.min(1.0) * (b.load - a.load)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::ConstructFile;
    use crate::study::result::EventKind;
    use crate::study::{result::Start, rig, tie};

    /// Cycles run along the push, or where the case says.
    #[test]
    fn cycles_run_along_the_push_or_where_the_case_says() {
        let text = crate::model::builtin("small").unwrap().to_owned();
        let construct = ConstructFile::open("single-row").unwrap();
        let settled = |text: &str, push: &str| {
            let case = Case::parse("small", text).unwrap();
            let construct = construct.fit(&case).unwrap();
            let rig = rig(&case, &construct, Start::Reduced);
            let (_, tied) = tie(&case, &construct, &rig, Start::Reduced);
            let plan =
                PushPlan { direction: Direction::parse(push).unwrap(), to: 0.1, steps: 2, ..PushPlan::default() };
            super::push(&case, &construct, &rig, &tied.unwrap(), &plan).settling.unwrap()
        };
        let given = format!("{text}\n[settling]\ndirection = \"anteroinferior\"\n");
        assert_eq!(settled(&text, "anterior").direction, "anterior");
        let (own, same) = (settled(&given, "anterior"), settled(&text, "anteroinferior"));
        assert_eq!(own.direction, "anteroinferior");
        assert_eq!(own.points, same.points);
        let wrong = Case::parse("small", &given.replace("anteroinferior", "sideways")).unwrap_err();
        assert!(wrong.to_string().contains("settling.direction"), "{wrong}");
    }

    /// A push whose load rises to 100 N, gives way by more than 2 % and rises again to 120 N (invented).
    #[test]
    fn the_failure_load_is_the_first_peak_before_a_fall() {
        let case = Case::open("quarter").unwrap();
        let construct = ConstructFile::open("one-by-one").unwrap().fit(&case).unwrap();
        let rig = rig(&case, &construct, Start::Reduced);
        let (_, tied) = tie(&case, &construct, &rig, Start::Reduced);
        let plan = PushPlan { to: 0.5, steps: 5, settled: false, ..PushPlan::default() };
        let mut push = push(&case, &construct, &rig, &tied.unwrap(), &plan);
        let kind = EventKind::AboveAnchor;
        let gave = Event { kind, subject: "medial".to_owned(), displacement: 0.21, load: 100.0 };
        let mut of = |loads: [f64; 6], lost: bool| {
            push.curve.iter_mut().zip(loads).for_each(|(point, load)| point.load = load);
            failure(&push.curve, std::slice::from_ref(&gave), lost)
        };
        let found = of([0.0, 50.0, 100.0, 97.0, 110.0, 120.0], false).unwrap();
        assert_eq!((found.load, found.gave), (100.0, Some((kind, "medial".to_owned()))));
        // Not while it has fallen by less than that, nor where it never falls; but where the fragment is lost.
        assert_eq!(of([0.0, 50.0, 100.0, 98.5, 110.0, 120.0], false), None);
        assert_eq!(of([0.0, 10.0, 20.0, 30.0, 40.0, 50.0], true).unwrap().load, 50.0);
    }
}
