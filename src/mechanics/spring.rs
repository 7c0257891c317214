//! The springs of the sprung points: the seat of an anchor in bone, and a stitch through labrum.

use super::element::{At, Element, FRAGMENT, Numbered, Point};
use super::rig::Node;
use super::solver::Balance;
use crate::math::{Mat3, Vec3, Vec6};

impl Numbered<'_, Node> {
    /// Where the spring is held: its point, and that point's place, mm.
    fn home(&self, at: &At<'_>) -> (Point, Vec3) {
        match *self.what {
            Node::Anchor { place, .. } => (Point::Fixed, place),
            Node::Bite { point, .. } => {
                let home = at.place(FRAGMENT, &point);
                (Point::Body(FRAGMENT, home - at.centre(FRAGMENT)), home)
            }
        }
    }

    fn stiffness(&self) -> f64 {
        match *self.what {
            Node::Anchor { stiffness, .. } | Node::Bite { stiffness, .. } => stiffness,
        }
    }

    /// From the sprung point to where it is held, mm.
    fn stretch(&self, at: &At<'_>) -> Vec3 {
        self.home(at).1 - at.state.configuration.nodes[self.number]
    }
}

impl Element for Numbered<'_, Node> {
    fn add(&self, at: &At<'_>, balance: &mut Balance) {
        let (node, (home, _)) = (Point::Node(self.number), self.home(at));
        let force = self.stretch(at) * self.stiffness();
        let block = Mat3::identity() * self.stiffness();
        balance.push(node, &force, &-block);
        balance.push(home, &-force, &-block);
        balance.couple(node, home, &block);
        balance.couple(home, node, &block);
    }

    fn energy(&self, at: &At<'_>, _: &mut Balance) -> f64 {
        0.5 * self.stiffness() * self.stretch(at).norm_squared()
    }

    /// What the stitch does to the fragment is told by its limb.
    fn wrench(&self, _: &At<'_>, _: &mut Balance) -> Vec6 {
        Vec6::zeros()
    }
}
