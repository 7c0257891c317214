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
//! bearing, a force at x_c               f = −(K_ss s + K_st τ)
//! bearing, a couple on b                g = −(K_st s + K_tt τ),  the moment b × g
//! ```
//!
//! A head cannot pull: N is never below zero, and o₀ is set when the screw is locked, so that N is then
//! its preload. While it is being tightened N is given instead. The rest is linear and has the potential
//! `½ (K_ss s² + 2 K_st s·τ + K_tt τ²)`; turning about its own axis a screw does not resist. For finite
//! turns τ is the sine of the angle between hole and shank; small-displacement beam theory knows no more.

mod shank;

pub use shank::{Flexibility, Shank, Stiffness, end_flexibility};

use super::certificate::Certificate;
use super::element::{At, Element, FRAGMENT, Numbered, Point};
use super::pose::Pose;
use super::solver::Balance;
use crate::math::{Mat3, Vec3, Vec6, add_block, cross, stack};

/// A screw on the reduced fragment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Screw {
    /// Seat of its head, mm.
    pub head: Vec3,
    /// Its unit direction, head toward tip.
    pub axis: Vec3,
    /// Dimensions and materials; `grip` says where it meets the fracture plane.
    pub shank: Shank,
    stiffness: Stiffness,
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
    /// Largest pressure of shank on bone at the fracture plane, of its two sides, MPa.
    pub pressure: f64,
    /// Where head, fracture plane and tip are (of the shank, which stands in the scapula), mm.
    pub places: [Vec3; 3],
}

/// What is taken from a pose.
struct Load {
    axis: Vec3,
    head: Vec3,
    hole: Vec3,
    direction: Vec3,
    axial: f64,
    stretch: f64,
    /// Derivative of `axial` by the outward travel, N/mm.
    slope: f64,
    shift: Vec3,
    tilt: Vec3,
    force: Vec3,
    couple: Vec3,
}

impl Screw {
    /// A screw whose head seats at `head` (mm) and which runs along `axis` (any length).
    pub fn new(head: Vec3, axis: Vec3, shank: Shank) -> Self {
        Self { head, axis: axis.normalize(), shank, stiffness: shank.stiffness() }
    }

    /// What it resists with.
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

    fn load(&self, pose: &Pose, reference: &Vec3, setting: &Setting, tighten: f64, feed: f64) -> Option<Load> {
        let k = &self.stiffness;
        let (drilled, stretch, axial, slope) = match setting {
            Setting::Absent => return None,
            Setting::Tightened { drilled } => (drilled, tighten / k.axial, tighten, 0.0),
            Setting::Locked { drilled, rest, feed: more } => {
                let stretch = self.travel(pose, reference, drilled) - rest - feed * more;
                // A head that just touches counts as pressing, as a cell of the bed does.
                if stretch >= 0.0 {
                    (drilled, stretch, k.axial * stretch, k.axial)
                } else {
                    (drilled, stretch, 0.0, 0.0)
                }
            }
        };
        let axis = drilled.turn * self.axis;
        let across = |v: Vec3| v - axis * axis.dot(&v);
        let hole = pose.place(reference, &self.hole());
        let direction = pose.turn * self.axis;
        let shift = across(hole - drilled.place(reference, &self.hole()));
        let tilt = across(direction);
        Some(Load {
            axis,
            head: pose.place(reference, &self.head),
            hole,
            direction,
            axial,
            stretch,
            slope,
            shift,
            tilt,
            force: -(shift * k.shift + tilt * k.couple),
            couple: -(shift * k.couple + tilt * k.slope),
        })
    }

    /// What it does to the fragment at a pose.
    fn report(&self, (pose, reference): (&Pose, &Vec3), setting: &Setting, (tighten, feed): (f64, f64)) -> ScrewReport {
        let Some(load) = self.load(pose, reference, setting, tighten, feed) else {
            return ScrewReport::default();
        };
        let centre = reference + pose.shift;
        let press = load.axis * load.axial;
        let moment = (load.head - centre).cross(&press)
            + (load.hole - centre).cross(&load.force)
            + load.direction.cross(&load.couple);
        let (scapula, fragment) = self.shank.sides();
        // Force and couple that go over the fracture are the same on both sides.
        let settles = |side: Flexibility| (load.force * side.shift + load.couple * side.couple).norm();
        let (Setting::Tightened { drilled } | Setting::Locked { drilled, .. }) = setting else {
            return ScrewReport::default();
        };
        let seat = drilled.place(reference, &self.head);
        ScrewReport {
            axial: load.axial,
            stretch: load.stretch,
            press,
            bearing: load.force,
            wrench: stack(&(press + load.force), &moment),
            pressure: self.shank.foundation * settles(scapula).max(settles(fragment)),
            places: [0.0, self.shank.grip, self.shank.grip + self.shank.working].map(|along| seat + load.axis * along),
        }
    }
}

impl Element for Numbered<'_, Screw> {
    fn add(&self, at: &At<'_>, balance: &mut Balance) {
        let Some(load) = self.load(at) else { return };
        let centre = at.centre(FRAGMENT);
        let k = &self.what.stiffness;
        let along = load.axis * load.axis.transpose();
        let across = Mat3::identity() - along;
        let head = Point::Body(FRAGMENT, load.head - centre);
        balance.push(head, &(load.axis * load.axial), &(along * -load.slope));
        let arm = load.hole - centre;
        balance.push(Point::Body(FRAGMENT, arm), &load.force, &(across * -k.shift));
        // The couple on the hole's direction b: δb = −[b]× δθ, and the moment is b × g.
        let (b, arm) = (cross(&load.direction), cross(&arm));
        let body = &mut balance.bodies[FRAGMENT];
        body.wrench += stack(&Vec3::zeros(), &load.direction.cross(&load.couple));
        let mixed = across * -k.couple;
        add_block(&mut body.tangent, 0, 3, &(-mixed * b));
        add_block(&mut body.tangent, 3, 0, &(b * mixed));
        let turning = -arm * mixed * b - b * mixed * arm + b * across * b * k.slope + cross(&load.couple) * b;
        add_block(&mut body.tangent, 3, 3, &turning);
        balance.note(load.axial.max(load.force.norm()));
    }

    /// Of head and thread (none while it is being tightened), and of bearing.
    fn energy(&self, at: &At<'_>, _: &mut Balance) -> f64 {
        let (pose, setting) = (at.pose(FRAGMENT), &at.state.screws[self.number]);
        let Some(load) = self.what.load(pose, &at.rig.reference, setting, 0.0, at.controls.feed) else {
            return 0.0;
        };
        let k = &self.what.stiffness;
        load.axial.powi(2) / (2.0 * k.axial)
            + 0.5 * k.shift * load.shift.norm_squared()
            + k.couple * load.shift.dot(&load.tilt)
            + 0.5 * k.slope * load.tilt.norm_squared()
    }

    fn check(&self, at: &At<'_>, _: &Balance, certificate: &mut Certificate) {
        let pull = self.load(at).map_or(0.0, |load| load.axial);
        certificate.least_head = certificate.least_head.min(pull);
    }

    fn wrench(&self, at: &At<'_>, _: &mut Balance) -> Vec6 {
        self.report(at).wrench
    }
}

impl Numbered<'_, Screw> {
    fn load(&self, at: &At<'_>) -> Option<Load> {
        let (setting, head) = (&at.state.screws[self.number], at.controls.head(self.number));
        self.what.load(at.pose(FRAGMENT), &at.rig.reference, setting, head, at.controls.feed)
    }

    /// What it does to the fragment.
    pub(crate) fn report(&self, at: &At<'_>) -> ScrewReport {
        let (setting, head) = (&at.state.screws[self.number], at.controls.head(self.number));
        self.what.report((at.pose(FRAGMENT), &at.rig.reference), setting, (head, at.controls.feed))
    }
}
