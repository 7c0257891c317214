//! The rig: everything that acts on the fragment, in one frame, ready to be solved.

use super::bed::{Bed, BedMemory};
use super::limb::{Limb, Seat, Strand, Vertex};
use super::pose::Pose;
use super::screw::{Screw, Setting};
use super::spring::{Give, Spring};
use super::tissue::{DeadLoad, Envelope, Tether};
use crate::math::{Vec3, Vec6};

/// A point fixed in the scapula on an isotropic spring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Anchor {
    /// Where it was placed, mm.
    pub place: Vec3,
    /// Its seat; rigid if absent.
    pub spring: Option<Spring>,
}

/// A sprung point that is solved for together with the pose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Node {
    /// Where its spring is held.
    pub home: Home,
    /// The law of its spring.
    pub spring: Spring,
}

/// Where the spring of a sprung point is held, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Home {
    /// An anchor that gives, at its place.
    Anchor(Vec3),
    /// A labral bite, at its material point.
    Bite(Vec3),
}

/// What a limb's vertex is attached to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Attachment {
    /// A rigid anchor.
    Fixed(Vec3),
    /// Node number so-and-so.
    Node(usize),
    /// The fragment's bone, at a material point.
    Bone(Vec3),
}

/// A rigid fragment with its bed, limbs, screws, tissue and loads.
#[derive(Debug, Clone)]
pub struct Rig {
    /// The fragment's reference point in its reduced pose (volume centroid), mm.
    pub reference: Vec3,
    /// Bed.
    pub bed: Bed,
    /// Anchors.
    pub anchors: Vec<Anchor>,
    /// Limbs.
    pub limbs: Vec<Limb>,
    /// Screws.
    pub screws: Vec<Screw>,
    /// Envelope.
    pub envelope: Option<Envelope>,
    /// Tethers.
    pub tethers: Vec<Tether>,
    /// Dead loads.
    pub loads: Vec<DeadLoad>,
    /// Seating of short segments.
    pub seat: Seat,
    pub(crate) nodes: Vec<Node>,
    pub(crate) attachments: Vec<Vec<Attachment>>,
    pub(crate) anchor_nodes: Vec<Option<usize>>,
}

impl Rig {
    /// A rig without limbs, screws, tissue or loads.
    pub fn new(reference: Vec3, bed: Bed, seat: Seat) -> Self {
        Self {
            reference,
            bed,
            anchors: Vec::new(),
            limbs: Vec::new(),
            screws: Vec::new(),
            envelope: None,
            tethers: Vec::new(),
            loads: Vec::new(),
            seat,
            nodes: Vec::new(),
            attachments: Vec::new(),
            anchor_nodes: Vec::new(),
        }
    }

    /// Adds an anchor; its number is its place in [`anchors`](Self::anchors).
    pub fn add_anchor(&mut self, anchor: Anchor) -> usize {
        self.anchor_nodes.push(anchor.spring.map(|spring| {
            self.nodes.push(Node { home: Home::Anchor(anchor.place), spring });
            self.nodes.len() - 1
        }));
        self.anchors.push(anchor);
        self.anchors.len() - 1
    }

    /// Adds a limb between anchors that were added before; its number is its place in
    /// [`limbs`](Self::limbs).
    ///
    /// # Panics
    /// When the path has fewer than two vertices, more than
    /// [`MOST_VERTICES`](super::limb::MOST_VERTICES), or not one passage a vertex.
    pub fn add_limb(&mut self, limb: Limb) -> usize {
        assert!(
            limb.path.len() >= 2 && limb.segments() <= super::limb::MOST_SEGMENTS,
            "a limb has 1 to {} segments",
            super::limb::MOST_SEGMENTS
        );
        assert_eq!(limb.path.len(), limb.passages.len(), "one passage a vertex");
        let attachments = limb
            .path
            .iter()
            .map(|vertex| match *vertex {
                Vertex::Anchor(k) => match self.anchor_nodes[k] {
                    Some(node) => Attachment::Node(node),
                    None => Attachment::Fixed(self.anchors[k].place),
                },
                Vertex::Bite { point, spring } => {
                    self.nodes.push(Node { home: Home::Bite(point), spring });
                    Attachment::Node(self.nodes.len() - 1)
                }
                Vertex::Bone(point) => Attachment::Bone(point),
            })
            .collect();
        self.attachments.push(attachments);
        self.limbs.push(limb);
        self.limbs.len() - 1
    }

    /// The state in which the fragment lies at `pose`, every limb loose, no screw placed and no
    /// shear in the bed.
    pub fn laid(&self, pose: Pose) -> State {
        let mut bed = BedMemory::none(self.bed.cells.len());
        self.bed.settle(&pose, &self.reference, &mut bed);
        State {
            configuration: Configuration {
                pose,
                nodes: self
                    .nodes
                    .iter()
                    .map(|node| match &node.home {
                        Home::Anchor(place) => *place,
                        Home::Bite(point) => pose.place(&self.reference, point),
                    })
                    .collect(),
                load: 0.0,
            },
            bed,
            strands: vec![Strand::Loose; self.limbs.len()],
            screws: vec![Setting::Absent; self.screws.len()],
            bones: vec![Vec::new(); self.screws.len()],
            gives: vec![Give::default(); self.nodes.len()],
        }
    }

    /// The anchor that sprung point `node` is; `None` of a bite.
    pub(crate) fn anchor_of(&self, node: usize) -> Option<usize> {
        self.anchor_nodes.iter().position(|n| *n == Some(node))
    }

    /// The sprung points of the bites of limb `k`.
    pub(crate) fn bites_of(&self, k: usize) -> impl Iterator<Item = usize> {
        self.attachments[k].iter().filter_map(|attachment| match attachment {
            Attachment::Node(n) if matches!(self.nodes[*n].home, Home::Bite(_)) => Some(*n),
            _ => None,
        })
    }

    /// The limbs that hang on sprung point `node`.
    pub(crate) fn limbs_on(&self, node: usize) -> impl Iterator<Item = usize> {
        let on = move |attachments: &[Attachment]| attachments.contains(&Attachment::Node(node));
        self.attachments.iter().enumerate().filter(move |(_, a)| on(a)).map(|(k, _)| k)
    }

    /// Controls under which nothing is pulled, tightened, pushed or loaded.
    pub fn idle(&self) -> Controls {
        Controls { tighten: vec![0.0; self.screws.len()], ..Controls::idle(self.limbs.len()) }
    }

    /// Where the vertices of limb `k` are.
    pub(crate) fn vertex_places(&self, k: usize, configuration: &Configuration, places: &mut [Vec3]) {
        for (place, attachment) in places.iter_mut().zip(&self.attachments[k]) {
            *place = match *attachment {
                Attachment::Fixed(p) => p,
                Attachment::Node(n) => configuration.nodes[n],
                Attachment::Bone(point) => configuration.pose.place(&self.reference, &point),
            };
        }
    }

    /// Where anchor `k` is now, mm.
    pub fn anchor_place(&self, k: usize, state: &State) -> Vec3 {
        match self.anchor_nodes[k] {
            Some(node) => state.configuration.nodes[node],
            None => self.anchors[k].place,
        }
    }
}

/// The unknowns: pose, places of the sprung points, and the load of a push.
#[derive(Debug, Clone, PartialEq)]
pub struct Configuration {
    /// Pose of the fragment.
    pub pose: Pose,
    /// Places of the sprung points, mm.
    pub(crate) nodes: Vec<Vec3>,
    /// Load that a push needs, N; zero otherwise.
    pub load: f64,
}

impl Configuration {
    /// Moves by a multiple of an increment in the order sprung points, fragment twist, load.
    pub(crate) fn advance(&mut self, increment: &[f64], scale: f64) {
        let m = 3 * self.nodes.len();
        for (n, place) in self.nodes.iter_mut().enumerate() {
            *place += Vec3::from_column_slice(&increment[3 * n..3 * n + 3]) * scale;
        }
        self.pose.advance(&(Vec6::from_column_slice(&increment[m..m + 6]) * scale));
        self.load += increment[m + 6] * scale;
    }

    pub(crate) fn copy_from(&mut self, other: &Self) {
        self.pose = other.pose;
        self.nodes.copy_from_slice(&other.nodes);
        self.load = other.load;
    }
}

/// A state: the unknowns, and what bed, strands and screws remember.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// The unknowns.
    pub configuration: Configuration,
    /// What the cells of the bed remember.
    pub bed: BedMemory,
    /// What is known about each limb's strand.
    pub strands: Vec<Strand>,
    /// How far each screw is set.
    pub screws: Vec<Setting>,
    /// What bone beside each screw has yielded by, at the stations along it, across its axis, mm; none where nothing has.
    pub bones: Vec<Vec<nalgebra::Vector2<f64>>>,
    /// What the sprung points (anchors that give, then bites, in the order in which they were added) remember.
    pub gives: Vec<Give>,
}

impl State {
    /// Moves the unknowns by an increment in the order sprung points (mm), fragment twist (mm, rad),
    /// load (N); what bed, strands and screws remember stays.
    pub fn nudge(&mut self, increment: &[f64]) {
        self.configuration.advance(increment, 1.0);
    }

    /// The pose.
    pub fn pose(&self) -> &Pose {
        &self.configuration.pose
    }
}

/// What drives a rig: it is ramped from one set of values to another.
#[derive(Debug, Clone, PartialEq)]
pub struct Controls {
    /// Tension at the tie end of each limb while it is pulled, N.
    pub pull: Vec<f64>,
    /// Pull of each screw's head while it is tightened, N; zero of a screw that it has no entry for.
    pub tighten: Vec<f64>,
    /// Fraction of the feed of strands and screws that has been let in, 0 to 1.
    pub feed: f64,
    /// Fraction of the dead loads that come on after tying, 0 to 1.
    pub late_loads: f64,
    /// Wrench of an instrument on the fragment about its reference point (N, N·mm).
    pub instrument: Vec6,
    /// A dead load: the material point of the reduced fragment that it acts on (mm), and its force (N).
    pub applied: (Vec3, Vec3),
    /// How the fragment may move.
    pub motion: Motion,
}

/// How the fragment may move.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Motion {
    /// Freely.
    Free,
    /// Not at all: an instrument holds it.
    Held,
    /// A point of it is moved by a given distance along a direction; the rest follows.
    Push {
        /// Unit direction.
        direction: Vec3,
        /// The control point on the reduced fragment, mm.
        point: Vec3,
        /// Where it was at distance zero, mm.
        from: Vec3,
        /// Distance along the direction, mm.
        distance: f64,
        /// Whether turning is forbidden.
        guided: bool,
    },
}

impl Controls {
    /// Nothing pulled, pushed or loaded. No screw has an entry: [`Rig::idle`] gives each its own.
    pub fn idle(limbs: usize) -> Self {
        Self {
            pull: vec![0.0; limbs],
            tighten: Vec::new(),
            feed: 0.0,
            late_loads: 0.0,
            instrument: Vec6::zeros(),
            applied: (Vec3::zeros(), Vec3::zeros()),
            motion: Motion::Free,
        }
    }

    /// Pull of the head of screw `k` while it is tightened, N.
    pub(crate) fn head(&self, k: usize) -> f64 {
        self.tighten.get(k).copied().unwrap_or(0.0)
    }

    /// Sets `self` to the blend of `from` and `to` at fraction `s`.
    pub(crate) fn blend(&mut self, from: &Self, to: &Self, s: f64) {
        let mix = |a: f64, b: f64| a + s * (b - a);
        for (own, (a, b)) in self.pull.iter_mut().zip(from.pull.iter().zip(&to.pull)) {
            *own = mix(*a, *b);
        }
        for (k, own) in self.tighten.iter_mut().enumerate() {
            *own = mix(from.head(k), to.head(k));
        }
        self.feed = mix(from.feed, to.feed);
        self.late_loads = mix(from.late_loads, to.late_loads);
        self.instrument = from.instrument + (to.instrument - from.instrument) * s;
        self.applied = (to.applied.0, from.applied.1 + (to.applied.1 - from.applied.1) * s);
        self.motion = to.motion;
        if let (Motion::Push { distance, .. }, Motion::Push { distance: a, .. }, Motion::Push { distance: b, .. }) =
            (&mut self.motion, from.motion, to.motion)
        {
            *distance = mix(a, b);
        }
    }
}
