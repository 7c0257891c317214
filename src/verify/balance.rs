//! Balance of forces, moments and energy along a push, gathered piece by piece from what the engine
//! reports, not from its residual.

use super::check::{Found, Sheet};
use super::refinement::Subject;
use super::rigging::{at_distance, push_from};
use crate::math::{Vec3, lower, stack, upper};
use crate::mechanics::{
    Arrival, Attachment, Certificate, Controls, Motion, Ramp, Rig, Solver, Spring, State, Strand, Vertex,
};
use crate::study::{PushPlan, Tied};

/// Recorded steps of the default push, and of the energy balance on ever shorter steps.
const STEPS: [usize; 4] = [40, 80, 160, 320];

/// One state of a push with what the balance of energy needs.
struct Record {
    load: f64,
    distance: f64,
    stored: f64,
    /// Per cell: weight, elastic energy per area, weighted shear, slip.
    cells: Vec<(f64, f64, [f64; 2], [f64; 2])>,
    /// Per limb: rest material and T + T²/2EA of each segment.
    strands: Vec<(Vec<f64>, Vec<f64>)>,
    dead: f64,
}

/// What a push has done with its work, N·mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Energy {
    /// Work of the push.
    pub work: f64,
    /// Change of the stored energy, less the work of dead loads.
    pub stored: f64,
    /// Lost in the slip of the bed.
    pub bed: f64,
    /// Lost at turns that the strands ran over.
    pub strands: f64,
    /// Given up where cells left the bed over its broken edge, whose fading has no potential.
    pub edge: f64,
    /// The least that one step lost in friction of bed or strands (never below zero by the law).
    pub least: f64,
}

impl Energy {
    /// What is missing from the balance, N·mm: an error of quadrature between recorded states.
    pub fn missing(&self) -> f64 {
        self.work - self.stored - self.bed - self.strands - self.edge
    }
}

/// Largest imbalance met along a push: net force and net moment on the fragment, net force on an anchor and on a
/// bite, and the largest single force beside them (N, N·mm).
type Imbalance = [f64; 5];

/// A push by the program's default plan, with its states.
struct Walk<'a> {
    rig: &'a Rig,
    solver: Solver<'a>,
    state: State,
    controls: Controls,
    direction: Vec3,
}

impl<'a> Walk<'a> {
    fn start(rig: &'a Rig, tied: &Tied) -> Self {
        let direction = PushPlan::default().direction.vector;
        let controls = push_from(rig, &tied.state, &tied.controls, direction.into(), false);
        Self { rig, solver: Solver::new(rig), state: tied.state.clone(), controls, direction }
    }

    /// Whether the push reaches `distance`, mm.
    fn go(&mut self, distance: f64) -> Found<bool> {
        let target = at_distance(&self.controls, distance);
        let once = Ramp { first: 1.0, largest: 1.0, continued: distance > 0.0, ..Ramp::EVEN };
        match self.solver.ramp(&mut self.state, &self.controls, &target, once, None) {
            Arrival::Arrived(_) => {
                self.controls = target;
                Ok(true)
            }
            Arrival::Lost(_) | Arrival::Free(_) => Ok(false),
            Arrival::Stuck { .. } => Err(format!("no certified state at {distance} mm")),
        }
    }

    fn look(&mut self) -> Record {
        let (rig, law) = (self.rig, self.rig.bed.law);
        let pose = *self.state.pose();
        let cells = rig
            .bed
            .loads(&pose, &rig.reference, &self.state.bed)
            .enumerate()
            .map(|(k, load)| {
                let slip = self.state.bed.of(k).slip;
                let [a, b] = load.friction;
                let mut energy = load.pressure.powi(2) / (2.0 * law.normal);
                if law.shear > 0.0 {
                    energy += (a * a + b * b) / (2.0 * law.shear);
                }
                (load.weight, energy, [a * load.weight, b * load.weight], slip)
            })
            .collect();
        let strands = (0..rig.limbs.len())
            .map(|k| {
                let rigidity = rig.limbs[k].rigidity;
                let report = self.solver.limb_report(&self.state, &self.controls, k);
                let rest = match &self.state.strands[k] {
                    Strand::Tied { rest, .. } => rest.clone(),
                    Strand::Loose | Strand::Pulled => vec![0.0; report.tensions.len()],
                };
                let price = report.tensions.iter().map(|t| t + t * t / (2.0 * rigidity));
                (rest, price.collect())
            })
            .collect();
        let (_, _, loads) = self.solver.other_forces(&self.state, &self.controls);
        let dead =
            rig.loads.iter().zip(loads).map(|(load, force)| force.dot(&pose.place(&rig.reference, &load.point))).sum();
        let Motion::Push { distance, .. } = self.controls.motion else { unreachable!("a walk is a push") };
        Record {
            load: self.state.configuration.load,
            distance,
            stored: self.solver.stored_energy(&self.state, &self.controls),
            cells,
            strands,
            dead,
        }
    }

    /// Sums of all forces and moments, from reports of limbs, cells, tissue and the push.
    fn imbalance(&mut self) -> Imbalance {
        let rig = self.rig;
        let pose = *self.state.pose();
        let centre = rig.reference + pose.shift;
        let mut sum = self.solver.wrench_but_bed(&self.state, &self.controls);
        let loads = rig.bed.loads(&pose, &rig.reference, &self.state.bed);
        for (load, cell) in loads.zip(&rig.bed.cells) {
            let area = cell.area * load.weight;
            let force = rig.bed.axes * Vec3::new(load.shear[0], load.shear[1], load.pressure) * area;
            let place = rig.bed.origin + rig.bed.axes * load.foot;
            sum += stack(&force, &(place - centre).cross(&force));
        }
        let push = self.direction * self.state.configuration.load;
        sum += stack(&push, &Vec3::zeros());
        let reports: Vec<_> =
            (0..rig.limbs.len()).map(|k| self.solver.limb_report(&self.state, &self.controls, k)).collect();
        let (mut anchor, mut bite, mut largest) = (0.0f64, 0.0f64, self.state.configuration.load.abs());
        for (k, pull) in self.solver.anchor_pulls(&reports).iter().enumerate() {
            largest = largest.max(pull.norm());
            if let (Some(spring), Some(node)) = (rig.anchors[k].spring, rig.anchor_nodes[k]) {
                let set = self.state.gives[node].set;
                let give = rig.anchor_place(k, &self.state) - rig.anchors[k].place - set;
                anchor = anchor.max((pull - bears(&spring, &give)).norm());
            }
        }
        for (k, (limb, report)) in rig.limbs.iter().zip(&reports).enumerate() {
            for (v, vertex) in limb.path.iter().enumerate() {
                if let (Vertex::Bite { point, spring }, Attachment::Node(node)) = (vertex, rig.attachments[k][v]) {
                    let set = pose.turn * self.state.gives[node].set;
                    let give = report.places[v] - pose.place(&rig.reference, point) - set;
                    bite = bite.max((report.forces[v] - bears(spring, &give)).norm());
                }
            }
        }
        [upper(&sum).norm(), lower(&sum).norm(), anchor, bite, largest]
    }
}

/// What a spring bears when it is drawn by a vector (mm), N.
fn bears(spring: &Spring, give: &Vec3) -> Vec3 {
    let stretch = give.norm();
    if stretch > 0.0 { give * (spring.force(stretch).min(spring.strength) / stretch) } else { Vec3::zeros() }
}

/// What a push to `to` mm in so many steps does with its work; with the largest imbalances on the
/// way, and where it ended.
fn walk(rig: &Rig, tied: &Tied, to: f64, steps: usize) -> Found<(Energy, Imbalance, f64)> {
    let mut walk = Walk::start(rig, tied);
    let mut most = Imbalance::default();
    let mut last = walk.look();
    let first = (last.stored, last.dead);
    let mut energy = Energy { work: 0.0, stored: 0.0, bed: 0.0, strands: 0.0, edge: 0.0, least: 0.0 };
    for k in 1..=steps {
        if !walk.go(to * k as f64 / steps as f64)? {
            break;
        }
        if !walk.solver.leaps.is_empty() {
            // A jump is a move through states that are none of rest; its energy goes to no one here.
            break;
        }
        let next = walk.look();
        let here = walk.imbalance();
        most = std::array::from_fn(|k| most[k].max(here[k]));
        energy.work += 0.5 * (next.load + last.load) * (next.distance - last.distance);
        energy.stored = (next.stored - first.0) - (next.dead - first.1);
        let (bed, edge) = bed_losses(rig, &last, &next);
        let strands = strand_losses(&last, &next);
        energy.bed += bed;
        energy.edge += edge;
        energy.strands += strands;
        energy.least = energy.least.min(bed).min(strands);
        last = next;
    }
    Ok((energy, most, last.distance))
}

/// Lost in slip between two states, and given up at the edge: midpoint values times changes.
fn bed_losses(rig: &Rig, last: &Record, next: &Record) -> (f64, f64) {
    let (mut slip, mut edge) = (0.0, 0.0);
    for ((a, b), cell) in last.cells.iter().zip(&next.cells).zip(&rig.bed.cells) {
        for axis in 0..2 {
            let shear = 0.5 * (a.2[axis] + b.2[axis]);
            slip -= cell.area * shear * (b.3[axis] - a.3[axis]);
        }
        edge -= cell.area * 0.5 * (a.1 + b.1) * (b.0 - a.0);
    }
    (slip, edge)
}

/// Lost where material ran over turns: at fixed ends a segment of rest material S stores
/// EA (ℓ − S)²/2S, whose derivative by S is −(T + T²/2EA); the sum over all segments is what friction
/// takes.
fn strand_losses(last: &Record, next: &Record) -> f64 {
    let mut sum = 0.0;
    for (a, b) in last.strands.iter().zip(&next.strands) {
        for i in 0..a.0.len() {
            sum += 0.5 * (a.1[i] + b.1[i]) * (b.0[i] - a.0[i]);
        }
    }
    sum
}

/// Balance of forces and moments in every recorded state of the default push of a construct on a case.
pub fn forces(subject: &Subject<'_>, s: &mut Sheet) -> Found<()> {
    s.calculation(
        "balance of the default push, summed from limbs, cells, tissue and load",
        "Newton: forces and moments vanish at rest, on the fragment and on each sprung point",
    );
    let (rig, tied) = subject.tied()?;
    let (_, [force, moment, anchor, bite, largest], end) = walk(&rig, &tied, PushPlan::default().to, STEPS[0])?;
    let scale = Certificate { largest_force: largest, arm: rig.bed.gyration, ..Certificate::default() };
    s.within(scale.force_limit(), "what the certificate allows: 1e-6 N, or 1e-8 of the largest force");
    let at = |what: &str| format!("{}: {what}, largest in a push to {end:.2} mm", subject.name());
    s.at_most(at("net force"), "N", force, 0.0);
    s.at_most(at("net force on an anchor"), "N", anchor, 0.0);
    s.at_most(at("net force on a bite"), "N", bite, 0.0);
    s.within(scale.moment_limit(), "what the certificate allows: 1e-5 N·mm, or 1e-8 of force times r_g");
    s.at_most(at("net moment"), "N·mm", moment, 0.0);
    Ok(())
}

/// What became of the work of that push.
pub fn work(subject: &Subject<'_>, s: &mut Sheet) -> Found<()> {
    s.calculation(
        "energy of the default push: work = stored + lost in the bed + at turns + at the broken edge",
        "first law of mechanics; dissipation of Coulomb friction is never negative",
    );
    let (rig, tied) = subject.tied()?;
    let mut found = Vec::new();
    for steps in STEPS {
        found.push(walk(&rig, &tied, PushPlan::default().to, steps)?.0);
    }
    let (name, fine, coarse) = (subject.name(), found[3], found[2]);
    let accounted = fine.work - fine.missing();
    let turned_over = fine.stored.abs() + fine.bed + fine.strands + fine.edge.abs();
    s.within(
        1e-5 * turned_over,
        "midpoint sums over 320 steps, in which cells open and slip one by one: a hundred thousandth of what is turned over",
    );
    s.equal(format!("{name}: work against its account"), "N·mm", fine.work, accounted);
    s.within(0.5, "second order but for the kinks, which scatter");
    let order = libm::log2((coarse.missing() / fine.missing()).abs());
    s.at_least(format!("{name}: order of what is missing, 160 to 320 steps"), "", order, 2.0);
    s.within(1e-6 * fine.work.abs(), "midpoint sums: a millionth of the work");
    s.at_least(format!("{name}: least lost to friction in a step"), "N·mm", fine.least, 0.0);
    Ok(())
}

/// What became of the work of the default push, in steps of the finest balance.
///
/// # Errors
/// When the construct does not hold the fragment.
pub fn energy(subject: &Subject<'_>, steps: usize) -> Found<Energy> {
    let (rig, tied) = subject.tied()?;
    Ok(walk(&rig, &tied, PushPlan::default().to, steps)?.0)
}
