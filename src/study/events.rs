//! The first time that each thing happens during a push.

use super::result::{Event, EventKind, PushPoint};
use crate::mechanics::ON_LIMIT;
use crate::model::{Case, Construct};

/// Step in the articular surface that counts as one worth fixing, mm (common practice, no source;
/// published advice ranges to 5 mm).
pub const STEP_LIMIT: f64 = 2.0;

/// What of a state the watch needs beyond its point of the curve, in the construct's order.
#[derive(Debug, Clone, Default)]
pub(super) struct Signs {
    /// Tension at each limb's tie end, N.
    pub knots: Vec<f64>,
    /// Pull on each anchor, N.
    pub anchors: Vec<f64>,
    /// Largest pressure of each screw's shank on bone, MPa.
    pub bearing: Vec<f64>,
    /// By how much the shortest segment of each limb is shorter than the seat length, mm.
    pub seated: Vec<f64>,
    /// How much material each limb has to spare, mm; negative while it is stretched.
    pub slack: Vec<f64>,
    /// How far the bites of each limb have cut out, mm.
    pub torn: Vec<f64>,
    /// Whether each limb's strand is broken.
    pub broken: Vec<bool>,
    /// Share of the bed that has been crushed.
    pub crushed: f64,
    /// How far each screw's head is off its seat, mm; negative while it presses.
    pub loose: Vec<f64>,
}

/// Whether all cells that touch slide.
pub(super) fn slides(point: &PushPoint) -> bool {
    point.contact > 0.0 && point.sliding > 1.0 - 1e-9
}

/// What a gauge reads that cannot rise: what has no strength never passes it.
const NEVER: f64 = -1.0;

/// How a quantity is read off a state.
pub(super) type Reading = Box<dyn Fn(&PushPoint, &Signs) -> f64>;

/// A quantity that makes an event when it rises above zero.
struct Gauge {
    kind: EventKind,
    subject: String,
    read: Reading,
    last: f64,
}

/// All that may happen in a push, to whom, and how it is read; a jump alone is seen otherwise.
pub(super) fn gauges(case: &Case, construct: &Construct) -> Vec<(EventKind, String, Reading)> {
    let mut gauges: Vec<(EventKind, String, Reading)> = Vec::new();
    let mut gauge = |kind, subject: &str, read: Reading| gauges.push((kind, subject.to_owned(), read));
    for (k, limb) in construct.limbs.iter().enumerate() {
        let knot = limb.knot_limit;
        gauge(EventKind::LimbSlack, &limb.name, Box::new(move |_, s| s.slack[k]));
        gauge(EventKind::AboveKnot, &limb.name, Box::new(move |_, s| s.knots[k] - knot * ON_LIMIT));
        let breaks: Reading = match limb.strand.strength {
            Some(strength) => Box::new(move |p, s| if s.broken[k] { strength } else { p.tensions[k] - strength }),
            None => Box::new(|_, _| NEVER),
        };
        gauge(EventKind::AboveStrand, &limb.name, breaks);
        gauge(EventKind::BiteTears, &limb.name, Box::new(move |_, s| s.torn[k]));
        gauge(EventKind::BiteSeated, &limb.name, Box::new(move |_, s| s.seated[k]));
    }
    for (k, anchor) in construct.anchors.iter().enumerate() {
        let holding = anchor.holding;
        let pulls_out = move |_: &PushPoint, s: &Signs| holding.map_or(NEVER, |holding| s.anchors[k] - holding);
        gauge(EventKind::AboveAnchor, &anchor.name, Box::new(pulls_out));
    }
    let crush = case.bed.crush_strength;
    for (k, screw) in construct.screws.iter().enumerate() {
        gauge(EventKind::ScrewLoose, &screw.name, Box::new(move |_, s| s.loose[k]));
        gauge(EventKind::AboveBearing, &screw.name, Box::new(move |_, s| s.bearing[k] - crush * ON_LIMIT));
    }
    gauge(EventKind::BedSliding, "", Box::new(|p, _| if slides(p) { 1.0 } else { -1.0 }));
    gauge(EventKind::HalfContact, "", Box::new(|p, _| 0.5 - p.contact));
    gauge(EventKind::AboveCrush, "", Box::new(|_, s| s.crushed));
    gauge(EventKind::Step, "", Box::new(|p, _| p.measures.step.value.abs() - STEP_LIMIT));
    gauges
}

/// Watches a push for first events.
pub(super) struct Events {
    gauges: Vec<Gauge>,
    events: Vec<Event>,
    jumps: usize,
}

impl Events {
    /// A watch that starts from the tied state. Limits that the tied state already passes are
    /// events at displacement zero.
    pub fn new(case: &Case, construct: &Construct, first: &PushPoint, signs: &Signs) -> Self {
        let mut watch = Self { gauges: Vec::new(), events: Vec::new(), jumps: 0 };
        for (kind, subject, read) in gauges(case, construct) {
            let last = read(first, signs);
            if last > 0.0 {
                watch.events.push(Event { kind, subject, displacement: 0.0, load: first.load });
            } else {
                watch.gauges.push(Gauge { kind, subject, read, last });
            }
        }
        watch
    }

    /// Looks at the step from one state to the next; `jumps` is the number of jumps so far.
    pub fn compare(&mut self, before: &PushPoint, now: &PushPoint, signs: &Signs, jumps: usize) {
        let events = &mut self.events;
        self.gauges.retain_mut(|gauge| {
            let value = (gauge.read)(now, signs);
            if value <= 0.0 {
                gauge.last = value;
                return true;
            }
            // Where the quantity passed zero, linear within the step.
            let s = -gauge.last / (value - gauge.last);
            events.push(Event {
                kind: gauge.kind,
                subject: gauge.subject.clone(),
                displacement: before.displacement + s * (now.displacement - before.displacement),
                load: before.load + s * (now.load - before.load),
            });
            false
        });
        if jumps > self.jumps && self.jumps == 0 {
            events.push(Event {
                kind: EventKind::Jump,
                subject: String::new(),
                displacement: now.displacement,
                load: now.load,
            });
        }
        self.jumps = jumps;
    }

    /// The event that the whole contact slides, if it is among those found so far. Nothing tells from
    /// a state how far it is from that, so within a step it has to be searched for.
    pub fn sliding(&mut self) -> Option<&mut Event> {
        self.events.iter_mut().find(|e| e.kind == EventKind::BedSliding)
    }

    /// The events so far, in the order of their displacement.
    pub fn found(&self) -> Vec<Event> {
        let mut events = self.events.clone();
        events.sort_by(|a, b| a.displacement.total_cmp(&b.displacement));
        events
    }
}
