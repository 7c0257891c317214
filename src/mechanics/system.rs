//! Residual and consistent tangent of a rig: forces on the sprung points, wrench on the fragment,
//! and the equation of a push. Unknowns in order: sprung points (3 each), fragment twist (6), load.

use super::limb::{LimbWork, MOST_VERTICES};
use super::linear::LinearSystem;
use super::rig::{Attachment, Controls, Motion, Node, Rig, State};
use super::tissue::add_point_force;
use crate::math::{Mat3, Mat6, Vec3, Vec6, cross, inverse_left_jacobian, lower, stack, upper};

/// Work space of the assembly, reused from call to call.
#[derive(Debug, Clone)]
pub(super) struct System {
    pub linear: LinearSystem,
    pub limbs: Vec<LimbWork>,
    /// Net wrench on the fragment about its moved reference point, with the push load.
    pub wrench: Vec6,
    /// Net force on each sprung point, N.
    pub node_forces: Vec<Vec3>,
    /// What the push lacks to its distance, mm.
    pub lag: f64,
    /// Largest single force, N.
    pub largest: f64,
    places: [Vec3; MOST_VERTICES],
}

/// Resistance to motion from an earlier configuration: the viscous path.
#[derive(Debug, Clone, Copy)]
pub(super) struct Drag<'a> {
    /// Resistance, N/mm; turns are scaled by the square of the bed's radius of gyration.
    pub strength: f64,
    /// The configuration it resists leaving.
    pub earlier: &'a super::rig::Configuration,
}

impl System {
    pub fn new(rig: &Rig) -> Self {
        Self {
            linear: LinearSystem::new(3 * rig.nodes.len() + 7),
            limbs: vec![LimbWork::default(); rig.limbs.len()],
            wrench: Vec6::zeros(),
            node_forces: vec![Vec3::zeros(); rig.nodes.len()],
            lag: 0.0,
            largest: 0.0,
            places: [Vec3::zeros(); MOST_VERTICES],
        }
    }

    /// Measures limb `k` and finds its tensions at a state.
    pub fn carry_limb(&mut self, rig: &Rig, state: &State, controls: &Controls, k: usize) {
        let limb = &rig.limbs[k];
        let places = &mut self.places[..limb.path.len()];
        rig.vertex_places(k, &state.configuration, places);
        let work = &mut self.limbs[k];
        work.measure(limb, places);
        work.carry(limb, &state.strands[k], controls.pull[k], controls.feed);
    }

    /// Residual and tangent at a state under given controls, ready to be solved for the next step.
    pub fn assemble(&mut self, rig: &Rig, state: &State, controls: &Controls, drag: Option<Drag<'_>>) {
        self.gather(rig, state, controls, drag, true);
    }

    /// The residual alone, without the bed's tangent, the dearest part.
    pub fn weigh(&mut self, rig: &Rig, state: &State, controls: &Controls, drag: Option<Drag<'_>>) {
        self.gather(rig, state, controls, drag, false);
    }

    fn gather(&mut self, rig: &Rig, state: &State, controls: &Controls, drag: Option<Drag<'_>>, with_tangent: bool) {
        let configuration = &state.configuration;
        let pose = &configuration.pose;
        let centre = rig.reference + pose.shift;
        let first = 3 * rig.nodes.len();
        self.linear.clear();
        let mut tangent = Mat6::zeros();
        let mut wrench = Vec6::zeros();
        rig.bed.add(pose, &rig.reference, &state.slip, &mut wrench, with_tangent.then_some(&mut tangent));
        self.largest = upper(&wrench).norm();
        if let Some(envelope) = &rig.envelope {
            envelope.add(pose, &mut wrench, &mut tangent);
        }
        for tether in &rig.tethers {
            tether.add(pose, &rig.reference, &mut wrench, &mut tangent);
        }
        for load in &rig.loads {
            let factor = if load.during_tying { 1.0 } else { controls.late_loads };
            load.add(pose, &rig.reference, factor, &mut wrench, &mut tangent);
            self.largest = self.largest.max(factor * load.force.norm());
        }
        for (k, screw) in rig.screws.iter().enumerate() {
            let bears = screw.add(
                (pose, &rig.reference),
                &state.screws[k],
                (controls.head(k), controls.feed),
                &mut wrench,
                &mut tangent,
            );
            self.largest = self.largest.max(bears);
        }
        wrench += controls.instrument;
        for (n, node) in rig.nodes.iter().enumerate() {
            let place = configuration.nodes[n];
            match *node {
                Node::Anchor { place: home, stiffness } => {
                    self.node_forces[n] = (home - place) * stiffness;
                    for i in 0..3 {
                        self.linear.add(3 * n + i, 3 * n + i, -stiffness);
                    }
                }
                Node::Bite { point, stiffness } => {
                    let home = pose.place(&rig.reference, &point);
                    let force = (home - place) * stiffness;
                    self.node_forces[n] = force;
                    let block = -Mat3::identity() * stiffness;
                    let arm = home - centre;
                    add_point_force(&arm, &-force, &block, &mut wrench, &mut tangent);
                    // Node rows by fragment columns, and the reverse; the spring is symmetric.
                    let turning = cross(&arm) * stiffness;
                    for i in 0..3 {
                        self.linear.add(3 * n + i, 3 * n + i, -stiffness);
                        self.linear.add(3 * n + i, first + i, stiffness);
                        self.linear.add(first + i, 3 * n + i, stiffness);
                        for j in 0..3 {
                            self.linear.add(3 * n + i, first + 3 + j, -turning[(i, j)]);
                            self.linear.add(first + 3 + i, 3 * n + j, turning[(i, j)]);
                        }
                    }
                }
            }
        }
        for k in 0..rig.limbs.len() {
            if state.strands[k] == super::limb::Strand::Loose {
                continue;
            }
            self.carry_limb(rig, state, controls, k);
            self.limbs[k].assemble(&rig.limbs[k], &rig.seat);
            self.add_limb(rig, k, &centre, first, &mut wrench, &mut tangent);
        }
        self.add_motion(rig, state, controls, &mut wrench, &mut tangent);
        self.wrench = wrench;
        let mut residual = wrench;
        if let Some(drag) = drag {
            self.add_drag(rig, state, &drag, &mut residual, &mut tangent);
        }
        for i in 0..6 {
            for j in 0..6 {
                self.linear.add(first + i, first + j, tangent[(i, j)]);
            }
            self.linear.right_mut()[first + i] = -residual[i];
        }
        let right = self.linear.right_mut();
        for (n, force) in self.node_forces.iter().enumerate() {
            for i in 0..3 {
                right[3 * n + i] -= force[i];
            }
        }
        right[first + 6] = -self.lag;
        self.pin(controls, first);
    }

    fn add_limb(&mut self, rig: &Rig, k: usize, centre: &Vec3, first: usize, wrench: &mut Vec6, tangent: &mut Mat6) {
        let limb = &rig.limbs[k];
        let work = &self.limbs[k];
        let linear = &mut self.linear;
        let vertices = limb.path.len();
        for axial in &work.axial[..limb.segments()] {
            self.largest = self.largest.max(axial.abs());
        }
        for v in 0..vertices {
            let force = work.force[v];
            match rig.attachments[k][v] {
                Attachment::Fixed(_) => continue,
                Attachment::Node(n) => {
                    self.node_forces[n] += force;
                    for w in 0..vertices {
                        let block = &work.tangent[v][w];
                        match rig.attachments[k][w] {
                            Attachment::Fixed(_) => {}
                            Attachment::Node(other) => add(linear, 3 * n, 3 * other, block),
                            Attachment::Bone(_) => {
                                let arm = self.places[w] - centre;
                                add(linear, 3 * n, first, block);
                                add(linear, 3 * n, first + 3, &(-block * cross(&arm)));
                            }
                        }
                    }
                }
                Attachment::Bone(_) => {
                    let arm = self.places[v] - centre;
                    let hat = cross(&arm);
                    *wrench += stack(&force, &arm.cross(&force));
                    for w in 0..vertices {
                        let block = &work.tangent[v][w];
                        match rig.attachments[k][w] {
                            Attachment::Fixed(_) => {}
                            Attachment::Node(other) => {
                                add(linear, first, 3 * other, block);
                                add(linear, first + 3, 3 * other, &(hat * block));
                            }
                            Attachment::Bone(_) => {
                                let turning = -block * cross(&(self.places[w] - centre));
                                super::bed::add_block(tangent, 0, 0, block);
                                super::bed::add_block(tangent, 0, 3, &turning);
                                super::bed::add_block(tangent, 3, 0, &(hat * block));
                                super::bed::add_block(tangent, 3, 3, &(hat * turning));
                            }
                        }
                    }
                    super::bed::add_block(tangent, 3, 3, &(cross(&force) * hat));
                }
            }
        }
    }

    fn add_motion(&mut self, rig: &Rig, state: &State, controls: &Controls, wrench: &mut Vec6, tangent: &mut Mat6) {
        self.lag = 0.0;
        let Motion::Push { direction, point, from, distance, .. } = &controls.motion else {
            return;
        };
        let first = 3 * rig.nodes.len();
        let configuration = &state.configuration;
        let place = configuration.pose.place(&rig.reference, point);
        let arm = place - rig.reference - configuration.pose.shift;
        let load = configuration.load;
        add_point_force(&arm, &(direction * load), &Mat3::zeros(), wrench, tangent);
        self.largest = self.largest.max(load.abs());
        self.lag = direction.dot(&(place - from)) - distance;
        let lever = arm.cross(direction);
        for i in 0..3 {
            self.linear.add(first + i, first + 6, direction[i]);
            self.linear.add(first + 3 + i, first + 6, lever[i]);
            self.linear.add(first + 6, first + i, direction[i]);
            self.linear.add(first + 6, first + 3 + i, lever[i]);
        }
    }

    fn add_drag(&mut self, rig: &Rig, state: &State, drag: &Drag<'_>, residual: &mut Vec6, tangent: &mut Mat6) {
        let squared = rig.bed.gyration * rig.bed.gyration;
        let twist = state.configuration.pose.twist_from(&drag.earlier.pose);
        *residual -= stack(&upper(&twist), &(lower(&twist) * squared)) * drag.strength;
        let turning = inverse_left_jacobian(&lower(&twist)) * squared;
        super::bed::add_block(tangent, 0, 0, &(-Mat3::identity() * drag.strength));
        super::bed::add_block(tangent, 3, 3, &(-turning * drag.strength));
        for (n, place) in state.configuration.nodes.iter().enumerate() {
            let moved = place - drag.earlier.nodes[n];
            for i in 0..3 {
                self.linear.add(3 * n + i, 3 * n + i, -drag.strength);
                self.linear.right_mut()[3 * n + i] += drag.strength * moved[i];
            }
        }
    }

    fn pin(&mut self, controls: &Controls, first: usize) {
        match controls.motion {
            Motion::Free => self.linear.pin(first + 6),
            Motion::Held => (first..first + 7).for_each(|row| self.linear.pin(row)),
            Motion::Push { guided: true, .. } => {
                (first + 3..first + 6).for_each(|row| self.linear.pin(row));
            }
            Motion::Push { .. } => {}
        }
    }

    /// Net force, net moment (of the motions that are free) and largest net force on a sprung
    /// point, N and N·mm.
    pub fn imbalance(&self, controls: &Controls) -> (f64, f64, f64) {
        let (force, moment) = match controls.motion {
            Motion::Held => (0.0, 0.0),
            Motion::Push { guided: true, .. } => (upper(&self.wrench).norm(), 0.0),
            _ => (upper(&self.wrench).norm(), lower(&self.wrench).norm()),
        };
        let node = self.node_forces.iter().fold(0.0f64, |m, f| m.max(f.norm()));
        (force, moment, node)
    }
}

fn add(linear: &mut LinearSystem, row: usize, column: usize, block: &Mat3) {
    for i in 0..3 {
        for j in 0..3 {
            linear.add(row + i, column + j, block[(i, j)]);
        }
    }
}
