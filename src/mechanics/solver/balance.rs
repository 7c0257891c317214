//! The balance of a rig: forces on the sprung points, wrenches on the bodies, the equation of a push,
//! and their consistent tangent. Unknowns in order: sprung points (3 each), twists of the bodies
//! (6 each), load.

use super::linear::LinearSystem;
use crate::math::{Mat3, Mat6, Vec3, Vec6, add_block, cross, inverse_left_jacobian, lower, most, stack, upper};
use crate::mechanics::element::{At, Element, FRAGMENT, Point};
use crate::mechanics::limb::{LimbWork, MOST_VERTICES};
use crate::mechanics::rig::{Configuration, Controls, Motion, Rig, State};

/// What acts on a body.
#[derive(Debug, Clone, Default)]
pub(crate) struct OnBody {
    /// Net wrench about its moved reference point, with the push load.
    pub wrench: Vec6,
    /// Derivative of that by its own twist.
    pub tangent: Mat6,
}

/// Work space of the assembly, reused from call to call.
#[derive(Debug, Clone)]
pub(crate) struct Balance {
    pub linear: LinearSystem,
    pub limbs: Vec<LimbWork>,
    pub bodies: Vec<OnBody>,
    /// Net force on each sprung point, N.
    pub node_forces: Vec<Vec3>,
    /// What the push lacks to its distance, mm.
    pub lag: f64,
    /// Largest single force, N.
    pub largest: f64,
    /// Whether the tangent is wanted, the dearest part.
    pub with_tangent: bool,
    pub places: [Vec3; MOST_VERTICES],
}

/// Resistance to motion from an earlier configuration: the viscous path.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Drag<'a> {
    /// Resistance, N/mm; turns are scaled by the square of the bed's radius of gyration.
    pub strength: f64,
    /// The configuration it resists leaving.
    pub earlier: &'a Configuration,
}

impl Balance {
    /// Of a rig with one body.
    pub fn new(rig: &Rig) -> Self {
        let bodies = 1;
        Self {
            linear: LinearSystem::new(3 * rig.nodes.len() + 6 * bodies + 1),
            limbs: vec![LimbWork::default(); rig.limbs.len()],
            bodies: vec![OnBody::default(); bodies],
            node_forces: vec![Vec3::zeros(); rig.nodes.len()],
            lag: 0.0,
            largest: 0.0,
            with_tangent: true,
            places: [Vec3::zeros(); MOST_VERTICES],
        }
    }

    /// The first unknown of a body.
    fn first(&self, body: usize) -> usize {
        3 * self.node_forces.len() + 6 * body
    }

    /// The unknown load of a push.
    fn load(&self) -> usize {
        self.first(self.bodies.len())
    }

    /// Residual and tangent at a state under given controls, ready to be solved for the next step.
    pub fn assemble(&mut self, rig: &Rig, state: &State, controls: &Controls, drag: Option<Drag<'_>>) {
        self.gather(&At { rig, state, controls }, drag, None, true);
    }

    /// The residual alone: a tangent that was eliminated before stays, to be used again.
    pub fn weigh(&mut self, rig: &Rig, state: &State, controls: &Controls, drag: Option<Drag<'_>>) {
        self.gather(&At { rig, state, controls }, drag, None, false);
    }

    /// The residual alone, with the bed's wrench as it was read from its cells.
    pub fn weigh_with(&mut self, rig: &Rig, state: &State, controls: &Controls, bed: &Vec6) {
        self.gather(&At { rig, state, controls }, None, Some(bed), false);
    }

    fn gather(&mut self, at: &At<'_>, drag: Option<Drag<'_>>, bed: Option<&Vec6>, with_tangent: bool) {
        if with_tangent {
            self.linear.clear();
        }
        self.bodies.fill(OnBody::default());
        self.node_forces.fill(Vec3::zeros());
        self.largest = 0.0;
        self.with_tangent = with_tangent;
        match bed {
            None => Element::add(&at.rig.bed, at, self),
            Some(wrench) => {
                self.bodies[FRAGMENT].wrench += wrench;
                self.note(upper(wrench).norm());
            }
        }
        at.rig.all_but_bed(&mut |element| element.add(at, self));
        self.bodies[FRAGMENT].wrench += at.controls.instrument;
        let (point, applied) = at.controls.applied;
        if applied != Vec3::zeros() {
            self.force(Point::Body(FRAGMENT, at.place(FRAGMENT, &point) - at.centre(FRAGMENT)), &applied);
            self.note(applied.norm());
        }
        self.add_motion(at);
        for body in 0..self.bodies.len() {
            let wrench = self.bodies[body].wrench;
            self.turn_right(self.first(body), wrench.as_slice());
        }
        for node in 0..self.node_forces.len() {
            let force = self.node_forces[node];
            self.turn_right(3 * node, force.as_slice());
        }
        let (lag, load) = (self.lag, self.load());
        self.turn_right(load, &[lag]);
        if let Some(drag) = drag {
            self.add_drag(at, &drag);
        }
        if with_tangent {
            for body in 0..self.bodies.len() {
                let first = self.first(body);
                for (k, value) in self.bodies[body].tangent.iter().enumerate() {
                    self.linear.add(first + k % 6, first + k / 6, *value);
                }
            }
        }
        self.pin(at.controls);
    }

    /// Puts a part of the residual on the right-hand side.
    fn turn_right(&mut self, first: usize, residual: &[f64]) {
        for (right, value) in self.linear.right_mut()[first..].iter_mut().zip(residual) {
            *right = -value;
        }
    }

    /// Adds a force to a point, whose derivative by the point's own place is `block`.
    pub fn push(&mut self, point: Point, force: &Vec3, block: &Mat3) {
        self.force(point, force);
        self.couple(point, point, block);
    }

    /// Adds a force to a point; with a body turns the lever under it.
    pub fn force(&mut self, point: Point, force: &Vec3) {
        match point {
            Point::Fixed => {}
            Point::Node(n) => self.node_forces[n] += force,
            Point::Body(body, arm) => {
                let body = &mut self.bodies[body];
                body.wrench += stack(force, &arm.cross(force));
                if self.with_tangent {
                    add_block(&mut body.tangent, 3, 3, &(cross(force) * cross(&arm)));
                }
            }
        }
    }

    /// Adds the derivative of the force on one point by the place of another.
    pub fn couple(&mut self, on: Point, by: Point, block: &Mat3) {
        if !self.with_tangent {
            return;
        }
        // Of the place by the unknowns, and of the wrench by the force.
        match (on, by) {
            (Point::Fixed, _) | (_, Point::Fixed) => {}
            (Point::Node(n), Point::Node(m)) => self.linear.add_block(3 * n, 3 * m, block),
            (Point::Node(n), Point::Body(body, arm)) => {
                let first = self.first(body);
                self.linear.add_block(3 * n, first, block);
                self.linear.add_block(3 * n, first + 3, &(-block * cross(&arm)));
            }
            (Point::Body(body, arm), Point::Node(m)) => {
                let first = self.first(body);
                self.linear.add_block(first, 3 * m, block);
                self.linear.add_block(first + 3, 3 * m, &(cross(&arm) * block));
            }
            (Point::Body(a, arm), Point::Body(b, other)) => {
                let hat = cross(&arm);
                let turning = -block * cross(&other);
                let blocks = [(0, 0, *block), (0, 3, turning), (3, 0, hat * block), (3, 3, hat * turning)];
                for (row, column, block) in blocks {
                    if a == b {
                        add_block(&mut self.bodies[a].tangent, row, column, &block);
                    } else {
                        self.linear.add_block(self.first(a) + row, self.first(b) + column, &block);
                    }
                }
            }
        }
    }

    /// Tells of a force in the balance: the largest is its scale.
    pub fn note(&mut self, force: f64) {
        self.largest = most(self.largest, force);
    }

    fn add_motion(&mut self, at: &At<'_>) {
        self.lag = 0.0;
        let Motion::Push { direction, point, from, distance, .. } = &at.controls.motion else {
            return;
        };
        let place = at.place(FRAGMENT, point);
        let arm = place - at.centre(FRAGMENT);
        let load = at.state.configuration.load;
        self.force(Point::Body(FRAGMENT, arm), &(direction * load));
        self.note(load.abs());
        self.lag = direction.dot(&(place - from)) - distance;
        let way = stack(direction, &arm.cross(direction));
        if !self.with_tangent {
            return;
        }
        let (first, last) = (self.first(FRAGMENT), self.load());
        for i in 0..6 {
            self.linear.add(first + i, last, way[i]);
            self.linear.add(last, first + i, way[i]);
        }
    }

    fn add_drag(&mut self, at: &At<'_>, drag: &Drag<'_>) {
        let squared = at.rig.bed.gyration * at.rig.bed.gyration;
        let twist = at.pose(FRAGMENT).twist_from(&drag.earlier.pose);
        let resistance = stack(&upper(&twist), &(lower(&twist) * squared)) * drag.strength;
        let turning = inverse_left_jacobian(&lower(&twist)) * squared;
        let tangent = &mut self.bodies[FRAGMENT].tangent;
        add_block(tangent, 0, 0, &(-Mat3::identity() * drag.strength));
        add_block(tangent, 3, 3, &(-turning * drag.strength));
        let first = self.first(FRAGMENT);
        for (right, value) in self.linear.right_mut()[first..].iter_mut().zip(&resistance) {
            *right += value;
        }
        for (n, place) in at.state.configuration.nodes.iter().enumerate() {
            let moved = place - drag.earlier.nodes[n];
            if self.with_tangent {
                self.linear.add_block(3 * n, 3 * n, &(-Mat3::identity() * drag.strength));
            }
            for (right, moved) in self.linear.right_mut()[3 * n..].iter_mut().zip(&moved) {
                *right += drag.strength * moved;
            }
        }
    }

    fn pin(&mut self, controls: &Controls) {
        let (first, last) = (self.first(FRAGMENT), self.load());
        match controls.motion {
            Motion::Free => self.pin_rows(last..last + 1),
            Motion::Held => self.pin_rows(first..last + 1),
            Motion::Push { guided: true, .. } => self.pin_rows(first + 3..first + 6),
            Motion::Push { .. } => {}
        }
    }

    fn pin_rows(&mut self, rows: std::ops::Range<usize>) {
        if self.with_tangent {
            rows.for_each(|row| self.linear.pin(row));
        } else {
            self.linear.right_mut()[rows].fill(0.0);
        }
    }

    /// Net force, net moment (of the motions that are free) and largest net force on a sprung
    /// point, N and N·mm.
    pub fn imbalance(&self, controls: &Controls) -> (f64, f64, f64) {
        let (mut force, mut moment) = (0.0f64, 0.0f64);
        for body in &self.bodies {
            force = most(force, upper(&body.wrench).norm());
            moment = most(moment, lower(&body.wrench).norm());
        }
        let (force, moment) = match controls.motion {
            Motion::Held => (0.0, 0.0),
            Motion::Push { guided: true, .. } => (force, 0.0),
            _ => (force, moment),
        };
        let node = self.node_forces.iter().fold(0.0f64, |m, f| most(m, f.norm()));
        (force, moment, node)
    }
}
