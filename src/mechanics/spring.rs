//! The springs of the sprung points: the seat of an anchor in bone, and a stitch through labrum.
//!
//! A spring drawn by d bears `F = (k₀/c)(e^{c d} − 1)` along its stretch, so that its tangent is `k₀ + c F` (Fung
//! 1967, an exponential law of soft tissue); with c = 0 it is linear. Past its strength it runs out (radial
//! return), and the strength falls linearly to zero over its run-out. Within a step the strength is that of the
//! step's beginning; steps are repeated until nothing runs out any more, so that a state that is accepted keeps
//! the strength that it has.

use super::element::{At, Element, FRAGMENT, Lost, Numbered, Point};
use super::rig::{Controls, Home, Node, Rig, State};
use super::solver::Balance;
use crate::math::{Mat3, Vec3, Vec6};

/// The law of a sprung point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spring {
    /// Toe stiffness k₀, N/mm.
    pub toe: f64,
    /// Stiffening c, 1/mm; zero of a linear spring.
    pub stiffening: f64,
    /// Strength, N; infinite when it is not known.
    pub strength: f64,
    /// Travel beyond its stretch over which the strength falls to zero, mm.
    pub run_out: f64,
}

impl Spring {
    /// A linear spring without limit of strength.
    pub const fn linear(stiffness: f64) -> Self {
        Self { toe: stiffness, stiffening: 0.0, strength: f64::INFINITY, run_out: 1.0 }
    }

    /// A soft tissue without limit of strength.
    pub const fn soft(toe: f64, stiffening: f64) -> Self {
        Self { toe, stiffening, strength: f64::INFINITY, run_out: 1.0 }
    }

    /// Force (N) at a stretch (mm).
    pub fn force(&self, stretch: f64) -> f64 {
        if self.stiffening > LEAST {
            self.toe / self.stiffening * libm::expm1((self.stiffening * stretch).min(MOST_STRAIN))
        } else {
            self.toe * stretch
        }
    }

    /// Stretch (mm) under a force (N): `ln(1 + c F/k₀)/c`.
    pub fn stretch(&self, force: f64) -> f64 {
        if self.stiffening > LEAST {
            libm::log1p(self.stiffening * force / self.toe) / self.stiffening
        } else {
            force / self.toe
        }
    }

    /// Stiffness (N/mm) under a force (N).
    pub fn stiffness(&self, force: f64) -> f64 {
        self.toe + self.stiffening * force
    }

    /// Energy stored at a force (N), N·mm.
    pub fn energy(&self, force: f64) -> f64 {
        let stretch = self.stretch(force);
        let strain = self.stiffening * stretch;
        // Below that the difference loses its digits; the series is good to the fourth power of the strain.
        if strain > 1e-3 {
            (force - self.toe * stretch) / self.stiffening
        } else {
            self.toe * stretch * stretch * (0.5 + strain / 6.0 + strain * strain / 24.0)
        }
    }

    /// Force (N) and stiffness (N/mm) at a stretch (mm) that is shared with a creep of `compliance` mm for every
    /// newton: `F = f(d − F s)`.
    fn shared(&self, stretch: f64, compliance: f64) -> (f64, f64) {
        if compliance == 0.0 {
            let force = self.force(stretch);
            return (force, self.stiffness(force));
        }
        // The stretch under F, and F's creep, sum to d: convex in F, and Newton from above falls to the root.
        let mut force = self.force(stretch).min(stretch / compliance);
        for _ in 0..60 {
            let step =
                (self.stretch(force) + compliance * force - stretch) / (1.0 / self.stiffness(force) + compliance);
            force -= step;
            if step.abs() <= 1e-15 * force.abs() {
                break;
            }
        }
        (force, 1.0 / (1.0 / self.stiffness(force) + compliance))
    }
}

/// Stiffening (1/mm) below which a spring is linear: nothing that is drawn can tell it from that.
const LEAST: f64 = 1e-12;
/// Strain c d beyond which no more is asked of the exponential: e^60 is beyond any force.
const MOST_STRAIN: f64 = 60.0;

/// What a sprung point remembers.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Give {
    /// By how far the place at which it bears nothing has moved, mm: in scapular axes of an anchor, in the
    /// fragment's reduced axes of a bite.
    pub set: Vec3,
    /// What the ramp under way adds to the set in full at its end, mm.
    pub feed: Vec3,
    /// Creep that the ramp under way lets happen in full at its end, mm for every newton that is borne.
    pub creep: f64,
    /// How far it has run out past its strength, mm.
    pub spent: f64,
    /// Whether it has let go for good.
    pub gone: bool,
}

/// A sprung point in a state.
pub(crate) struct Drawn {
    /// Where its spring is held.
    pub home: Point,
    /// Force of the spring on the point, N.
    pub force: Vec3,
    /// Derivative of that by the stretch, N/mm.
    pub block: Mat3,
    /// Size of the force, N.
    pub size: f64,
    /// Direction of the stretch, from the point to where it is held.
    pub along: Vec3,
    /// How far the stretch is beyond what its strength holds, mm: zero where it holds.
    pub beyond: f64,
}

impl Numbered<'_, Node> {
    /// Strength that is left, N.
    fn strength(&self, give: &Give) -> f64 {
        let spring = &self.what.spring;
        if spring.strength.is_finite() {
            spring.strength * (1.0 - give.spent / spring.run_out).max(0.0)
        } else {
            f64::INFINITY
        }
    }

    /// What the spring bears at a state.
    pub(crate) fn drawn(&self, at: &At<'_>) -> Drawn {
        let give = &at.state.gives[self.number];
        let set = give.set + give.feed * at.controls.feed;
        let (home, place) = match self.what.home {
            Home::Anchor(place) => (Point::Fixed, place + set),
            Home::Bite(point) => {
                let place = at.place(FRAGMENT, &point) + at.pose(FRAGMENT).turn * set;
                (Point::Body(FRAGMENT, place - at.centre(FRAGMENT)), place)
            }
        };
        let offset = place - at.state.configuration.nodes[self.number];
        let stretch = offset.norm();
        let (spring, creep) = (&self.what.spring, give.creep * at.controls.feed);
        if stretch == 0.0 {
            let block = Mat3::identity() * (1.0 / (1.0 / spring.toe + creep));
            return Drawn { home, force: Vec3::zeros(), block, size: 0.0, along: Vec3::zeros(), beyond: 0.0 };
        }
        let along = offset / stretch;
        let (mut size, mut stiffness) = spring.shared(stretch, creep);
        let strength = if give.gone { f64::INFINITY } else { self.strength(give) };
        let mut beyond = 0.0;
        if size > strength {
            beyond = stretch - spring.stretch(strength) - creep * strength;
            (size, stiffness) = (strength, 0.0);
        }
        let out = along * along.transpose();
        let block = out * stiffness + (Mat3::identity() - out) * (size / stretch);
        Drawn { home, force: along * size, block, size, along, beyond }
    }
}

/// Force by which a spring may pass the strength that is left when a step is accepted, N: a thousandth of what a
/// certificate asks of the balance.
const SETTLED: f64 = 1e-9;

impl Element for Numbered<'_, Node> {
    fn add(&self, at: &At<'_>, balance: &mut Balance) {
        let Drawn { home, force, block, .. } = self.drawn(at);
        let node = Point::Node(self.number);
        balance.push(node, &force, &-block);
        balance.push(home, &-force, &-block);
        balance.couple(node, home, &block);
        balance.couple(home, node, &block);
    }

    /// What is drawn beyond its strength has run out, and the strength falls by it.
    fn commit(&self, rig: &Rig, controls: &Controls, state: &mut State, _: &mut Balance) -> Lost {
        let drawn = self.drawn(&At { rig, state, controls });
        if drawn.beyond <= 0.0 {
            return Lost::default();
        }
        let along = match self.what.home {
            Home::Anchor(_) => drawn.along,
            Home::Bite(_) => state.pose().turn.inverse() * drawn.along,
        };
        let give = &mut state.gives[self.number];
        give.set -= along * drawn.beyond;
        give.spent += drawn.beyond;
        let left = self.strength(give);
        if left == 0.0 {
            give.gone = true;
            rig.limbs_on(self.number).for_each(|k| state.strands[k] = super::limb::Strand::Loose);
        }
        Lost { friction: 0.0, yielding: drawn.size * drawn.beyond, unsettled: drawn.size - left > SETTLED }
    }

    fn energy(&self, at: &At<'_>, _: &mut Balance) -> f64 {
        self.what.spring.energy(self.drawn(at).size)
    }

    /// What the stitch does to the fragment is told by its limb.
    fn wrench(&self, _: &At<'_>, _: &mut Balance) -> Vec6 {
        Vec6::zeros()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A bite under F is drawn by ln(1 + c F/k₀)/c, with the tangent k₀ + c F (Fung 1967); the energy is the area
    /// under the curve.
    #[test]
    fn a_soft_spring_keeps_its_law() {
        let bite = Spring::soft(4.0, 0.4);
        assert!((bite.stretch(15.0) - libm::log(2.5) / 0.4).abs() < 1e-14);
        assert_eq!(bite.stiffness(15.0), 10.0);
        assert_eq!(bite.stiffness(50.0), 24.0);
        for force in [0.1, 15.0, 60.0] {
            let d = bite.stretch(force);
            assert!((bite.force(d) - force).abs() < 1e-12 * force);
            let h = 1e-5;
            let slope = (bite.energy(bite.force(d + h)) - bite.energy(bite.force(d - h))) / (2.0 * h);
            // Central differences: h² times a third derivative of some k₀ c² e^{c d}.
            assert!((slope - force).abs() < 1e-7 * force, "{slope}");
            let (shared, _) = bite.shared(d + 0.02 * force, 0.02);
            assert!((shared - force).abs() < 1e-12 * force);
        }
    }
}
