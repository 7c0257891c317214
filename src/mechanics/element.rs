//! What acts on a fragment: each kind an element in a file of its own, behind one trait.

use super::certificate::Certificate;
use super::pose::Pose;
use super::rig::{Controls, Node, Rig, State};
use super::solver::Balance;
use crate::math::{Vec3, Vec6};

/// The number of the one body that a rig has today. Assembly and unknowns count bodies.
pub(crate) const FRAGMENT: usize = 0;

/// A state of a rig under the controls that drive it.
#[derive(Clone, Copy)]
pub(crate) struct At<'a> {
    pub rig: &'a Rig,
    pub state: &'a State,
    pub controls: &'a Controls,
}

impl At<'_> {
    /// Where a body is.
    pub fn pose(&self, _body: usize) -> &Pose {
        self.state.pose()
    }

    /// Where a body's reference point is now, mm.
    pub fn centre(&self, body: usize) -> Vec3 {
        self.rig.reference + self.pose(body).shift
    }

    /// Where a material point (mm, reduced) of a body is now, mm.
    pub fn place(&self, body: usize, point: &Vec3) -> Vec3 {
        self.pose(body).place(&self.rig.reference, point)
    }
}

/// A point that a force acts on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Point {
    /// Fixed in the scapula.
    Fixed,
    /// Sprung point number so-and-so.
    Node(usize),
    /// On a body, so far from its moved reference point, mm.
    Body(usize, Vec3),
}

/// What committing a state loses.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Lost {
    /// Work against friction, N·mm.
    pub friction: f64,
    /// Work on what yields, slides through or breaks, N·mm.
    pub yielding: f64,
    /// Whether a strength has fallen below what it bears, so that the state is no balance any more.
    pub unsettled: bool,
}

/// Something that acts on bodies and sprung points.
pub(crate) trait Element {
    /// Adds its forces to the balance, and their tangent.
    fn add(&self, at: &At<'_>, balance: &mut Balance);

    /// Enters an accepted state into what it remembers.
    fn commit(&self, _rig: &Rig, _controls: &Controls, _state: &mut State, _balance: &mut Balance) -> Lost {
        Lost::default()
    }

    /// Elastic energy that it stores, N·mm.
    fn energy(&self, at: &At<'_>, balance: &mut Balance) -> f64;

    /// Enters what it has to prove of an assembled state; the bed's part is read from its totals.
    fn check(&self, _at: &At<'_>, _balance: &Balance, _certificate: &mut Certificate) {}

    /// Its force on the fragment and moment about the moved reference point (N, N·mm).
    fn wrench(&self, at: &At<'_>, balance: &mut Balance) -> Vec6;
}

/// An element with its number among its kind, under which the state remembers it.
pub(crate) struct Numbered<'a, T> {
    pub number: usize,
    pub what: &'a T,
}

impl Rig {
    /// Goes over the elements but the bed, in the order in which their forces are summed.
    pub(crate) fn all_but_bed(&self, visit: &mut dyn FnMut(&dyn Element)) {
        if let Some(envelope) = &self.envelope {
            visit(envelope);
        }
        self.tethers.iter().for_each(|tether| visit(tether));
        self.loads.iter().for_each(|load| visit(load));
        self.screws.iter().enumerate().for_each(|(number, what)| visit(&Numbered { number, what }));
        self.nodes.iter().enumerate().for_each(|(number, what): (usize, &Node)| visit(&Numbered { number, what }));
        self.limbs.iter().enumerate().for_each(|(number, what)| visit(&Numbered { number, what }));
    }

    /// Goes over all elements.
    pub(crate) fn elements(&self, visit: &mut dyn FnMut(&dyn Element)) {
        visit(&self.bed);
        self.all_but_bed(visit);
    }
}
