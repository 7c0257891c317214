//! A screw: fixed in the scapula, its head pressing the fragment, its shank bearing sideways.
//!
//! It is drilled through the fragment as that lies when it is tightened. From then on its axis a stands
//! still in the scapula (head toward tip), and three things of the fragment are followed: the seat of
//! the head `x_h`, the hole at the fracture plane `x_c`, and the hole's direction b, which was a.
//!
//! ```text
//! outward travel of the head's seat     o = −a·(x_h − x_h⁰)
//! pull of the head                      N = k_a max(0, o − o₀), the force N a at x_h
//! shift and slope of the hole           s = P (x_c − x_c⁰),  τ = P b,   P = I − a aᵀ
//! bearing of the shank                  f(s, τ), a force at x_c;  g(s, τ), a couple on b: the moment b × g
//! ```
//!
//! A head cannot pull: N is never below zero, and o₀ is set when the screw is locked, so that N is then
//! its preload. While it is being tightened N is given instead. What the shank bears has a potential: elastic,
//! `½ (K_ss s² + 2 K_st s·τ + K_tt τ²)`, until bone yields beside it ([`bearing`]). Turning about its own axis a
//! screw does not resist. For finite turns τ is the sine of the angle between hole and shank; small-displacement
//! beam theory knows no more.

mod bearing;
mod shank;

pub use shank::{Shank, Stiffness};

use bearing::{Bearing, Block, Borne, Pair};

use super::certificate::Certificate;
use super::element::{At, Element, FRAGMENT, Lost, Numbered, Point};
use super::pose::Pose;
use super::rig::{Controls, Rig, State};
use super::solver::Balance;
use crate::math::{Mat3, Vec3, Vec6, add_block, any_perpendicular, cross, stack};
use nalgebra::{Matrix3x2, Vector4};

/// A screw on the reduced fragment.
#[derive(Debug, Clone, PartialEq)]
pub struct Screw {
    /// Seat of its head, mm.
    pub head: Vec3,
    /// Its unit direction, head toward tip.
    pub axis: Vec3,
    /// Dimensions and materials; `grip` says where it meets the fracture plane.
    pub shank: Shank,
    stiffness: Stiffness,
    bearing: Bearing,
    /// Two directions across it.
    across: Matrix3x2<f64>,
}

/// How far a screw is set.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub enum Setting {
    /// Not yet placed.
    #[default]
    Absent,
    /// Placed with the fragment in the pose `drilled`, and being tightened: the head's pull is given.
    Tightened {
        /// Pose in which it was drilled.
        drilled: Pose,
    },
    /// Left where it is.
    Locked {
        /// Pose in which it was drilled.
        drilled: Pose,
        /// Outward travel of the head's seat at which its pull is spent, mm.
        rest: f64,
        /// Travel that the ramp under way adds to `rest` in full at its end, mm (relaxation).
        feed: f64,
    },
}

/// What a screw does to the fragment in a state.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct ScrewReport {
    /// Pull of the head, N; zero when its preload is lost.
    pub axial: f64,
    /// How far the head is from losing its preload, mm; negative once it is off its seat.
    pub stretch: f64,
    /// The head's force on the fragment, N.
    pub press: Vec3,
    /// The shank's force on the fragment, across its axis, N.
    pub bearing: Vec3,
    /// Both, with their moment about the moved reference point (N, N·mm).
    pub wrench: Vec6,
    /// Largest pressure of the shank on bone, MPa.
    pub pressure: f64,
    /// Share of its length along which bone is at its strength, 0 to 1.
    pub yielding: f64,
    /// Where head, fracture plane and tip are (of the shank, which stands in the scapula), mm.
    pub places: [Vec3; 3],
}

/// What is taken from a pose.
struct Load {
    axis: Vec3,
    head: Vec3,
    hole: Vec3,
    /// Where the hole was when it was drilled, mm.
    drilled: Vec3,
    direction: Vec3,
    axial: f64,
    stretch: f64,
    /// Derivative of `axial` by the outward travel, N/mm.
    slope: f64,
    /// Two directions across the axis, and shift and slope of the hole along them.
    across: Matrix3x2<f64>,
    outer: Vector4<f64>,
    borne: Borne,
}

impl Load {
    /// The shank's force on the fragment, N.
    fn force(&self) -> Vec3 {
        self.across * self.borne.force
    }

    /// The shank's couple on the hole's direction, N·mm.
    fn couple(&self) -> Vec3 {
        self.across * self.borne.couple
    }
}

impl Screw {
    /// A screw whose head seats at `head` (mm) and which runs along `axis` (any length).
    pub fn new(head: Vec3, axis: Vec3, shank: Shank) -> Self {
        let axis = axis.normalize();
        let one = any_perpendicular(&axis);
        let across = Matrix3x2::from_columns(&[one, axis.cross(&one)]);
        let bearing = Bearing::new(&shank);
        let k = bearing.elastic;
        let stiffness = Stiffness { axial: shank.axial(), shift: k.m11, couple: k.m12, slope: k.m22 };
        Self { head, axis, shank, stiffness, bearing, across }
    }

    /// What it resists with while bone is elastic.
    pub fn stiffness(&self) -> Stiffness {
        self.stiffness
    }

    /// The hole at the fracture plane, on the reduced fragment, mm.
    pub fn hole(&self) -> Vec3 {
        self.head + self.axis * self.shank.grip
    }

    /// Outward travel of the head's seat since it was drilled, mm.
    pub(crate) fn travel(&self, pose: &Pose, reference: &Vec3, drilled: &Pose) -> f64 {
        let moved = pose.place(reference, &self.head) - drilled.place(reference, &self.head);
        -(drilled.turn * self.axis).dot(&moved)
    }
}

impl Element for Numbered<'_, Screw> {
    fn add(&self, at: &At<'_>, balance: &mut Balance) {
        let Some(load) = self.load(at) else { return };
        let centre = at.centre(FRAGMENT);
        let along = load.axis * load.axis.transpose();
        let [[shift, mixed], [_, slope]] = blocks(&load.across, &load.borne.tangent);
        let head = Point::Body(FRAGMENT, load.head - centre);
        balance.push(head, &(load.axis * load.axial), &(along * -load.slope));
        let arm = load.hole - centre;
        balance.push(Point::Body(FRAGMENT, arm), &load.force(), &-shift);
        // The couple on the hole's direction b: δb = −[b]× δθ, and the moment is b × g.
        let (b, arm) = (cross(&load.direction), cross(&arm));
        let body = &mut balance.bodies[FRAGMENT];
        body.wrench += stack(&Vec3::zeros(), &load.direction.cross(&load.couple()));
        add_block(&mut body.tangent, 0, 3, &(mixed * b));
        add_block(&mut body.tangent, 3, 0, &(-b * mixed.transpose()));
        let turning = arm * mixed * b + b * mixed.transpose() * arm + b * slope * b + cross(&load.couple()) * b;
        add_block(&mut body.tangent, 3, 3, &turning);
        balance.note(load.axial.max(load.force().norm()));
    }

    /// Lets bone yield as far as it does in the accepted state.
    fn commit(&self, rig: &Rig, controls: &Controls, state: &mut State, _: &mut Balance) -> Lost {
        let Some(load) = self.load(&At { rig, state, controls }) else { return Lost::default() };
        let memory = &mut state.bones[self.number];
        match self.what.bearing.yields(&load.outer, memory, &load.borne) {
            Some((now, work)) => {
                *memory = now;
                Lost { yielding: work, ..Lost::default() }
            }
            None => Lost::default(),
        }
    }

    /// Of head and thread (none while it is being tightened), and of bearing.
    fn energy(&self, at: &At<'_>, _: &mut Balance) -> f64 {
        let Some(load) = self.load(at) else { return 0.0 };
        let head = match at.state.screws[self.number] {
            Setting::Locked { .. } => load.axial.powi(2) / (2.0 * self.what.stiffness.axial),
            _ => 0.0,
        };
        head + self.what.bearing.energy(&load.outer, &at.state.bones[self.number], &load.borne)
    }

    fn check(&self, at: &At<'_>, _: &Balance, certificate: &mut Certificate) {
        let Some(load) = self.load(at) else { return };
        // A shank that found no balance bears no number.
        let pull = if load.force().norm().is_finite() { load.axial } else { f64::NEG_INFINITY };
        certificate.least_head = certificate.least_head.min(pull);
    }

    fn wrench(&self, at: &At<'_>, _: &mut Balance) -> Vec6 {
        self.report(at).wrench
    }
}

impl Numbered<'_, Screw> {
    fn load(&self, at: &At<'_>) -> Option<Load> {
        let (pose, reference, what) = (at.pose(FRAGMENT), &at.rig.reference, self.what);
        let k = &what.stiffness;
        let (drilled, stretch, axial, slope) = match &at.state.screws[self.number] {
            Setting::Absent => return None,
            Setting::Tightened { drilled } => {
                let pull = at.controls.head(self.number);
                (drilled, pull / k.axial, pull, 0.0)
            }
            Setting::Locked { drilled, rest, feed } => {
                let stretch = what.travel(pose, reference, drilled) - rest - at.controls.feed * feed;
                // A head that just touches counts as pressing, as a cell of the bed does.
                if stretch >= 0.0 {
                    (drilled, stretch, k.axial * stretch, k.axial)
                } else {
                    (drilled, stretch, 0.0, 0.0)
                }
            }
        };
        let across = drilled.turn.to_rotation_matrix() * what.across;
        let hole = pose.place(reference, &what.hole());
        let direction = pose.turn * what.axis;
        let axis = drilled.turn * what.axis;
        let drilled = drilled.place(reference, &what.hole());
        let shift: Pair = across.transpose() * (hole - drilled);
        let tilt: Pair = across.transpose() * direction;
        let outer = Vector4::new(shift.x, shift.y, tilt.x, tilt.y);
        Some(Load {
            axis,
            head: pose.place(reference, &what.head),
            hole,
            drilled,
            direction,
            axial,
            stretch,
            slope,
            across,
            outer,
            borne: what.bearing.bear(&outer, &at.state.bones[self.number]),
        })
    }

    /// What it does to the fragment.
    pub(crate) fn report(&self, at: &At<'_>) -> ScrewReport {
        let Some(load) = self.load(at) else { return ScrewReport::default() };
        let (centre, shank) = (at.centre(FRAGMENT), &self.what.shank);
        let press = load.axis * load.axial;
        let moment = (load.head - centre).cross(&press)
            + (load.hole - centre).cross(&load.force())
            + load.direction.cross(&load.couple());
        let memory = &at.state.bones[self.number];
        let (pressed, yielding) = self.what.bearing.pressed(&load.outer, memory, &load.borne);
        ScrewReport {
            axial: load.axial,
            stretch: load.stretch,
            press,
            bearing: load.force(),
            wrench: stack(&(press + load.force()), &moment),
            pressure: shank.foundation * pressed,
            yielding,
            places: [-shank.grip, 0.0, shank.working].map(|along| load.drilled + load.axis * along),
        }
    }
}

/// The blocks of a tangent across the axis, in space: of the force by shift and slope, of the couple by both.
fn blocks(across: &Matrix3x2<f64>, tangent: &Block) -> [[Mat3; 2]; 2] {
    let block = |i, j| across * tangent.fixed_view::<2, 2>(i, j) * across.transpose();
    [[block(0, 0), block(0, 2)], [block(2, 0), block(2, 2)]]
}
