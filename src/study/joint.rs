//! The joint: what does a reduction buy?
//!
//! A rigid head is pressed on the socket along its axis and slid from its middle over the rim; at each displacement its
//! height is where the cartilage bears the compression. The head is held on its straight way: it does not turn aside to
//! where the rim is lower. No friction, no labrum; the fragment keeps its pose under the head.
//!
//! ```
//! use rimhold::model::{Case, ConstructFile};
//! use rimhold::study::{self, JointPlan, result::JointPose};
//!
//! let case = Case::open("quarter")?;
//! let construct = ConstructFile::open("one-by-one")?.fit(&case)?;
//! let found = study::joint(&case, Some(&construct), &JointPlan::default());
//! let ratio = |state| Some(100.0 * found.state(state)?.slide("anterior")?.ratio);
//! println!("{:.0?} % intact, {:.0?} % settled", ratio(JointPose::Intact), ratio(JointPose::Settled));
//! assert!(found.certificate.holds());
//! # Ok::<(), rimhold::model::Problems>(())
//! ```

use super::result::{
    Centred, Joint, JointCertificate, JointPose, JointState, MapCell, Notice, Outcome, Slide, SlidePoint, Start,
    StepMap,
};
use super::{Direction, SettlePlan, displaced_pose, measures, rig, settle, tie};
use crate::anatomy::Fragment;
use crate::math::{Rotation, Vec3};
use crate::mechanics::Pose;
use crate::mechanics::joint::{Head, Joint as Contact, NODES, Piece, Seated};
use crate::model::{Case, Construct};
use crate::par;

/// How a joint is tried.
#[derive(Debug, Clone, PartialEq)]
pub struct JointPlan {
    /// Where tying starts.
    pub from: Start,
    /// Directions of the slide, of the shoulder; what of them runs along the socket's axis is left out.
    pub directions: Vec<Direction>,
    /// Distance of the points of a curve, mm; peaks are found between them.
    pub spacing: f64,
    /// Steps of the map, mm, lateral positive, rising.
    pub steps: Vec<f64>,
    /// Gaps of the map, mm, rising.
    pub gaps: Vec<f64>,
    /// By what share a ratio must fall to be noticed: our choice, assumed.
    pub fallen: f64,
    /// By what share a pressure must rise to be noticed: our choice, assumed.
    pub risen: f64,
}

impl Default for JointPlan {
    fn default() -> Self {
        let evenly = |from: f64, count: usize| (0..count).map(|k| from + 0.5 * k as f64).collect();
        let directions = ["anterior", "anteroinferior", "inferior"].map(Direction::parse);
        Self {
            from: Start::Reduced,
            directions: directions.into_iter().flatten().collect(),
            spacing: 0.25,
            steps: evenly(-2.0, 11),
            gaps: evenly(0.0, 7),
            fallen: 0.1,
            risen: 0.25,
        }
    }
}

/// How closely a step is found from which on the joint notices, mm.
const CLOSELY: f64 = 0.01;

/// The joint of a case in every state that its fragment has, with a construct also as tied and as settled.
pub fn joint(case: &Case, construct: Option<&Construct>, plan: &JointPlan) -> Joint {
    let (tied, settled) = construct.map_or((None, None), |construct| reduced(case, construct, plan));
    let outcome = |end: &Option<Result<Pose, Outcome>>| {
        end.as_ref().map(|end| end.as_ref().err().cloned().unwrap_or(Outcome::Held))
    };
    let pose = |end: &Option<Result<Pose, Outcome>>| end.as_ref()?.as_ref().ok().copied();
    let poses = [
        (JointPose::Intact, Some(Piece::Whole)),
        (JointPose::Missing, Some(Piece::Missing)),
        (JointPose::Displaced, Some(Piece::At(displaced_pose(case)))),
        (JointPose::Tied, pose(&tied).map(Piece::At)),
        (JointPose::Settled, pose(&settled).map(Piece::At)),
    ];
    let bench = Bench::new(case, plan.spacing, NODES);
    let fine = Bench::new(case, plan.spacing, 2 * NODES);
    let mut certificate = JointCertificate::default();
    let poses: Vec<(JointPose, Piece)> = poses.into_iter().filter_map(|(state, piece)| Some((state, piece?))).collect();
    let work: Vec<(usize, usize)> =
        (0..poses.len()).flat_map(|s| (0..plan.directions.len()).map(move |d| (s, d))).collect();
    let slid: Vec<(Slide, JointCertificate)> = par::map(&work, |(s, d)| {
        let (piece, way) = (&poses[*s].1, &plan.directions[*d]);
        let (slide, mut certificate) = bench.slide(piece, way);
        let again = fine.ratio_at(piece, flat(way), slide.at);
        // Where nothing bears the head there is no ratio to refine.
        certificate.refinement = if slide.curve.is_empty() { 0.0 } else { (again - slide.ratio).abs() };
        (slide, certificate)
    });
    slid.iter().for_each(|(_, own)| certificate.take(own));
    let mut slid = slid.into_iter().map(|(slide, _)| slide);
    let states = poses
        .iter()
        .map(|(state, piece)| JointState {
            state: *state,
            measures: match piece {
                Piece::At(pose) => Some(measures(&case.fragment, pose)),
                Piece::Whole | Piece::Missing => None,
            },
            centred: bench.centred(piece),
            slides: slid.by_ref().take(plan.directions.len()).collect(),
        })
        .collect();
    let map = map(case, plan, &mut certificate);
    Joint {
        case: case.name.clone(),
        construct: construct.map(|c| c.name.clone()),
        from: plan.from,
        head: case.joint,
        foundation: case.joint.foundation(),
        to: case.fragment.socket.radius,
        range: bench.range,
        tied: outcome(&tied),
        settled: outcome(&settled),
        states,
        map,
        certificate,
    }
}

/// The poses as tied and as settled, or how each fails.
#[allow(clippy::type_complexity)]
fn reduced(
    case: &Case,
    construct: &Construct,
    plan: &JointPlan,
) -> (Option<Result<Pose, Outcome>>, Option<Result<Pose, Outcome>>) {
    let rig = rig(case, construct, plan.from);
    let (hold, tied) = tie(case, construct, &rig, plan.from);
    let Some(tied) = tied else {
        return (Some(Err(hold.outcome)), None);
    };
    let (settling, settled) = settle(case, construct, &rig, &tied, &SettlePlan::of(case));
    let settled = settled.map(|s| *s.state.pose()).ok_or(settling.outcome);
    (Some(Ok(*tied.state.pose())), Some(settled))
}

/// The head slid over a case's socket in one direction, with the fragment's part of the face as it is.
pub fn slid(case: &Case, piece: &Piece, direction: &Direction) -> Slide {
    Bench::new(case, JointPlan::default().spacing, NODES).slide(piece, direction).0
}

/// A fragment with a step (mm, lateral positive) and a gap (mm) alike along the whole fracture line.
pub fn stepped(fragment: &Fragment, step: f64, gap: f64) -> Pose {
    let (n, z) = (fragment.normal, Vec3::z());
    let out = (gap - step * n.z) / n.dot(&fragment.outward);
    Pose { shift: fragment.outward * out + z * step, turn: Rotation::identity() }
}

/// A direction in the plane of the socket's circle; none where there is nothing of it.
fn flat(direction: &Direction) -> [f64; 2] {
    let [x, y] = [direction.vector.x, direction.vector.y];
    let length = libm::hypot(x, y);
    if length > 0.0 { [x / length, y / length] } else { [0.0; 2] }
}

impl JointCertificate {
    fn take(&mut self, other: &Self) {
        self.imbalance = worse(self.imbalance, other.imbalance);
        self.refinement = worse(self.refinement, other.refinement);
        self.states += other.states;
    }
}

/// The larger of two errors; one that is not known is beyond any bound.
fn worse(a: f64, b: f64) -> f64 {
    if b.is_nan() { f64::INFINITY } else { a.max(b) }
}

/// A head over a socket.
struct Bench {
    joint: Contact,
    load: f64,
    to: f64,
    spacing: f64,
    thickness: f64,
    foundation: f64,
    /// Displacement at which the intact joint resists most, mm: alike in every direction.
    range: f64,
}

impl Bench {
    fn new(case: &Case, spacing: f64, nodes: usize) -> Self {
        let spec = case.joint;
        let head = Head { radius: spec.head_radius, stiffness: spec.foundation() };
        let mut bench = Self {
            joint: Contact::new(&case.fragment, head, nodes),
            load: spec.compression,
            to: case.fragment.socket.radius,
            spacing,
            thickness: spec.cartilage_thickness,
            foundation: spec.foundation(),
            range: 0.0,
        };
        bench.range = bench.slide(&Piece::Whole, &Direction::of_shoulder("anterior", Vec3::x())).0.at;
        bench
    }

    fn seat(&self, piece: &Piece, [x, y]: [f64; 2], at: f64, from: Option<&Seated>) -> Option<Seated> {
        self.joint.seat(piece, [x * at, y * at], self.load, from)
    }

    fn centred(&self, piece: &Piece) -> Centred {
        let seated = self.seat(piece, [0.0; 2], 0.0, None);
        seated.map_or(Centred { area: 0.0, pressure: 0.0 }, |s| Centred {
            area: s.contact.area,
            pressure: s.contact.pressure,
        })
    }

    /// Force against a slide along `way`, N.
    fn against(seated: &Seated, [x, y]: [f64; 2]) -> f64 {
        -(seated.contact.force.x * x + seated.contact.force.y * y)
    }

    /// The ratio at a displacement, never below zero.
    fn ratio_at(&self, piece: &Piece, way: [f64; 2], at: f64) -> f64 {
        self.seat(piece, way, at, None).map_or(f64::NAN, |s| Self::against(&s, way).max(0.0) / self.load)
    }

    fn slide(&self, piece: &Piece, direction: &Direction) -> (Slide, JointCertificate) {
        let way = flat(direction);
        let mut certificate = JointCertificate::default();
        let count = (self.to / self.spacing).ceil() as usize;
        let (mut last, mut leaves) = (None, None);
        let mut all: Vec<(f64, Seated)> = Vec::new();
        for k in 0..=count {
            let at = (k as f64 * self.spacing).min(self.to);
            let Some(seated) = self.seat(piece, way, at, last.as_ref()) else {
                leaves = all.last().map(|(at, _)| *at).or(Some(0.0));
                break;
            };
            certificate.imbalance = worse(certificate.imbalance, seated.imbalance);
            certificate.states += 1;
            all.push((at, seated));
            last = Some(seated);
        }
        let force = |seated: &Seated| Self::against(seated, way);
        let highest = (0..all.len()).max_by(|a, b| force(&all[*a].1).total_cmp(&force(&all[*b].1)));
        let peak = highest.and_then(|k| {
            let ends = [k.saturating_sub(1), (k + 1).min(all.len() - 1)].map(|k| all[k].0);
            let near = all[k];
            let found = self.peak(piece, way, ends, &near.1)?;
            Some(if force(&found.1) >= force(&near.1) { found } else { near })
        });
        let first = all.first().map_or(0.0, |(_, s)| s.height);
        let upto = self.seat(piece, way, self.range, last.as_ref());
        for seated in upto.iter().chain(peak.iter().map(|(_, seated)| seated)) {
            certificate.imbalance = worse(certificate.imbalance, seated.imbalance);
        }
        let before = || all.iter().filter(|(at, _)| *at <= self.range).map(|(_, s)| s).chain(&upto);
        let pressure = before().map(|s| s.contact.pressure).fold(0.0, f64::max);
        let slide = Slide {
            direction: direction.name.clone(),
            ratio: peak.map_or(0.0, |(_, s)| force(&s).max(0.0) / self.load),
            at: peak.map_or(0.0, |p| p.0),
            climb: all.iter().map(|(_, s)| s.height - first).fold(0.0, f64::max),
            area: peak.map_or(0.0, |(_, s)| s.contact.area),
            pressure,
            strain: pressure / self.foundation / self.thickness,
            on_fragment: before().map(|s| s.on_fragment.norm()).fold(0.0, f64::max),
            leaves,
            curve: all
                .iter()
                .map(|(at, s)| SlidePoint {
                    displacement: *at,
                    force: force(s),
                    height: s.height - first,
                    area: s.contact.area,
                    pressure: s.contact.pressure,
                })
                .collect(),
        };
        (slide, certificate)
    }

    /// The largest force between two displacements, by sections in the golden ratio: to a hundred-thousandth of their
    /// distance, so that a smooth peak is met to some 1e-10 of it.
    fn peak(
        &self,
        piece: &Piece,
        way: [f64; 2],
        [mut low, mut high]: [f64; 2],
        near: &Seated,
    ) -> Option<(f64, Seated)> {
        const GOLDEN: f64 = 0.618_033_988_749_894_9;
        let at = |u: f64| Some((u, self.seat(piece, way, u, Some(near))?));
        let force = |p: &(f64, Seated)| Self::against(&p.1, way);
        let (mut left, mut right) = (at(high - GOLDEN * (high - low))?, at(low + GOLDEN * (high - low))?);
        for _ in 0..22 {
            if force(&left) >= force(&right) {
                high = right.0;
                right = left;
                left = at(high - GOLDEN * (high - low))?;
            } else {
                low = left.0;
                left = right;
                right = at(low + GOLDEN * (high - low))?;
            }
        }
        Some(if force(&left) >= force(&right) { left } else { right })
    }
}

/// The joint against step and gap.
fn map(case: &Case, plan: &JointPlan, certificate: &mut JointCertificate) -> StepMap {
    let fragment = &case.fragment;
    let toward = |d: &Direction| flat(d)[0] * fragment.outward.x + flat(d)[1] * fragment.outward.y;
    let direction = plan.directions.iter().max_by(|a, b| toward(a).total_cmp(&toward(b))).cloned().unwrap_or_default();
    let bench = Bench::new(case, plan.spacing, NODES);
    let cell = |step: f64, gap: f64| {
        let (slide, own) = bench.slide(&Piece::At(stepped(fragment, step, gap)), &direction);
        (MapCell { step, gap, ratio: slide.ratio, pressure: slide.pressure }, own)
    };
    let at: Vec<[f64; 2]> = plan.steps.iter().flat_map(|s| plan.gaps.iter().map(|g| [*s, *g])).collect();
    let found: Vec<(MapCell, JointCertificate)> = par::map(&at, |[step, gap]| cell(*step, *gap));
    found.iter().for_each(|(_, own)| certificate.take(own));
    let reduced = cell(0.0, 0.0).0;
    let notice = |end: Option<&f64>| {
        // From the reduced place outward, first by the steps of the map, then by halves.
        let mut ways: Vec<f64> = plan.steps.iter().copied().filter(|s| end.is_some_and(|e| s * e > 0.0)).collect();
        ways.sort_by(|a, b| a.abs().total_cmp(&b.abs()));
        let noticed = |is: &dyn Fn(&MapCell) -> bool| {
            let mut before = 0.0;
            for step in &ways {
                if is(&cell(*step, 0.0).0) {
                    let (mut free, mut told) = (before, *step);
                    while (told - free).abs() > CLOSELY {
                        let middle = 0.5 * (free + told);
                        if is(&cell(middle, 0.0).0) { told = middle } else { free = middle }
                    }
                    return Some(told);
                }
                before = *step;
            }
            None
        };
        Notice {
            ratio: noticed(&|c| c.ratio < (1.0 - plan.fallen) * reduced.ratio),
            pressure: noticed(&|c| c.pressure > (1.0 + plan.risen) * reduced.pressure),
        }
    };
    StepMap {
        direction: direction.name.clone(),
        steps: plan.steps.clone(),
        gaps: plan.gaps.clone(),
        cells: found.into_iter().map(|(cell, _)| cell).collect(),
        reduced,
        fallen: plan.fallen,
        risen: plan.risen,
        recessed: notice(plan.steps.first()),
        proud: notice(plan.steps.last()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stepped_fragment_has_the_step_and_the_gap() {
        let fragment = Case::open("quarter").unwrap().fragment;
        for (step, gap) in [(-1.5, 0.0), (0.0, 2.0), (2.5, 0.5)] {
            let lies = measures(&fragment, &stepped(&fragment, step, gap));
            // The measures of the articular line; roundings of numbers near 10.
            assert!((lies.stations[1] - step).abs() < 1e-12 && (lies.gap.value - gap).abs() < 1e-12, "{lies:?}");
        }
    }

    #[test]
    fn a_fragment_in_its_place_is_an_intact_socket_and_one_far_away_a_missing_one() {
        let case = Case::open("quarter").unwrap();
        let anterior = Direction::parse("anterior").unwrap();
        let ratio = |piece: Piece| slid(&case, &piece, &anterior).ratio;
        let far = Pose { shift: Vec3::new(0.0, 0.0, -30.0), turn: Rotation::identity() };
        // The quadrature's own error.
        assert!((ratio(Piece::At(Pose::default())) - ratio(Piece::Whole)).abs() < 1e-8);
        assert_eq!(ratio(Piece::At(far)), ratio(Piece::Missing));
        // Less socket holds less.
        assert!(ratio(Piece::Missing) < 0.7 * ratio(Piece::Whole));
    }
}
