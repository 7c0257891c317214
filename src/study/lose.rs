//! What a repair hangs on: every part lost in turn, and what can still be done.
//!
//! A limb that is lost (cut, or its bite torn) bears nothing any more; an anchor that is pulled out takes every limb
//! along that touches it; a screw comes out. Parts that take the same along are one row: either of them. *Never
//! placed*: tying goes on without what is lost. *After tying*: its pull on the fragment is taken off gradually before
//! loads come on, and the fragment finds its rest. Then each is settled and pushed to failure like the whole repair.
//!
//! A rescue is a construct that is tied in addition, after the loss. What it names as the repair does, and what still
//! holds, is what is there already, as it is; everything else of it is new. A new hole holds like a first one wherever
//! it lies, and labrum that is stitched again like labrum that never tore: distances are told, nothing is taken off.
//!
//! ```
//! use rimhold::model::{Case, ConstructFile};
//! use rimhold::study::{LosePlan, lose};
//!
//! let case = Case::open("quarter")?;
//! let construct = ConstructFile::open("one-by-one")?.fit(&case)?;
//! let found = lose(&case, &construct, &[], &LosePlan::default(), &()).unwrap();
//! let worst = &found.losses[0];
//! println!("without {}: {:?} N at 1 mm", worst.parts[0].name, worst.after.load);
//! # assert!(worst.after.load < found.whole.load);
//! # Ok::<(), rimhold::model::Problems>(())
//! ```

use super::push::{PushPlan, push};
use super::result::{Bearing, Losses, Lost, LostPart, PartKind, Rescue, Start};
use super::tie::{Sequence, Tying};
use super::{Direction, Refused, Watcher};
use crate::mechanics::Rig;
use crate::model::{Case, Construct, LimbSpec, Stop, TieSpec};
use crate::par;

/// What is lost, and how what is left is judged.
#[derive(Debug, Clone, PartialEq)]
pub struct LosePlan {
    /// Where tying starts.
    pub from: Start,
    /// Direction of the push; it goes on to failure.
    pub direction: Direction,
    /// Whether the repair is settled before it is pushed.
    pub settled: bool,
    /// Names of parts that are lost together; none: every one in turn alone.
    pub together: Vec<String>,
}

impl Default for LosePlan {
    fn default() -> Self {
        let PushPlan { direction, settled, .. } = PushPlan::default();
        Self { from: Start::Reduced, direction, settled, together: Vec::new() }
    }
}

/// Loses every part in turn, those named together too, and tries what could still be done after those named together,
/// or after the worst.
///
/// # Errors
/// Names that no part has, and an end before there was anything to report.
pub fn lose(
    case: &Case,
    construct: &Construct,
    rescues: &[Construct],
    plan: &LosePlan,
    watcher: &dyn Watcher,
) -> Result<Losses, Refused> {
    let mut sets = Vec::new();
    for part in parts(construct) {
        let set = Set::of(construct, std::slice::from_ref(&part));
        match sets.iter_mut().find(|s: &&mut Set| s.limbs == set.limbs && s.screws == set.screws) {
            Some(same) => same.parts.extend(set.parts),
            // An anchor that nothing touches holds nothing.
            None if set.limbs.is_empty() && set.screws.is_empty() => {}
            None => sets.push(set),
        }
    }
    let named = named(construct, &plan.together)?;
    if !named.is_empty() {
        sets.push(Set { together: true, ..Set::of(construct, &named) });
    }
    let rig = super::rig(case, construct, plan.from);
    let mut tied = Sequence::start(case, construct, &rig, plan.from);
    construct.ties.iter().for_each(|tie| tied.next(tie));
    watcher.stage(1 + 2 * sets.len() as u64 + rescues.len() as u64, "losses");
    let study = Study { case, plan, watcher };
    let whole = study.bearing(construct, &rig, tied.clone().finish()).ok_or(Refused::Ended)?;
    let mut losses = Vec::new();
    if whole.outcome.is_held() || whole.failure.is_some() {
        let lost = par::map(&sets, |set| study.lost(construct, &rig, &tied, set));
        losses = lost.into_iter().collect::<Option<Vec<Lost>>>().ok_or(Refused::Ended)?;
    }
    // What is done after a loss is asked of those lost together, or of the loss that leaves least.
    let after = if named.is_empty() { worst(&losses) } else { losses.len().checked_sub(1) };
    let tries = after.map_or_else(Vec::new, |k| par::map(rescues, |rescue| study.rescue(construct, &sets[k], rescue)));
    let mut rescues = tries.into_iter().collect::<Option<Vec<Rescue>>>().ok_or(Refused::Ended)?;
    // Of parts of which either is lost, the first was.
    let first = |l: &Lost| if l.together { l.parts.clone() } else { l.parts[..1].to_vec() };
    let rescued = after.filter(|_| !rescues.is_empty()).map(|k| first(&losses[k])).unwrap_or_default();
    losses.sort_by(|a, b| a.after.ranks().total_cmp(&b.after.ranks()));
    rescues.sort_by(|a, b| b.bearing.bears().total_cmp(&a.bearing.bears()));
    Ok(Losses {
        case: case.name.clone(),
        construct: construct.name.clone(),
        from: plan.from,
        direction: plan.direction.name.clone(),
        settled: plan.settled,
        whole,
        losses,
        rescued,
        rescues,
    })
}

/// The one that leaves least.
fn worst(losses: &[Lost]) -> Option<usize> {
    (0..losses.len()).min_by(|a, b| losses[*a].after.ranks().total_cmp(&losses[*b].after.ranks()))
}

/// All that can be lost: anchors, limbs, screws.
pub(crate) fn parts(construct: &Construct) -> Vec<LostPart> {
    let part = |kind| move |name: &String| LostPart { kind, name: name.clone() };
    let anchors = construct.anchors.iter().map(|a| &a.name).map(part(PartKind::Anchor));
    let limbs = construct.limbs.iter().map(|l| &l.name).map(part(PartKind::Limb));
    anchors.chain(limbs).chain(construct.screws.iter().map(|s| &s.name).map(part(PartKind::Screw))).collect()
}

/// The parts of these names; what an anchor and a limb are both called is both.
fn named(construct: &Construct, names: &[String]) -> Result<Vec<LostPart>, Refused> {
    let all = parts(construct);
    let names: Vec<&str> = names.iter().map(|name| name.trim()).collect();
    let unknown: Vec<&&str> = names.iter().filter(|name| all.iter().all(|p| p.name != **name)).collect();
    if !unknown.is_empty() {
        let mut have: Vec<&str> = all.iter().map(|p| p.name.as_str()).collect();
        have.dedup();
        let unknown: Vec<String> = unknown.iter().map(|n| format!("`{n}`")).collect();
        return Err(Refused::Asked(format!(
            "{} has no part {}\n  its parts: {}",
            construct.name,
            unknown.join(" and no part "),
            have.join(", ")
        )));
    }
    Ok(all.into_iter().filter(|p| names.contains(&p.name.as_str())).collect())
}

/// Parts that are lost at once, and what they take along.
pub(super) struct Set {
    parts: Vec<LostPart>,
    /// Whether all of them are lost; otherwise any one, which takes the same along.
    together: bool,
    /// Anchors that are pulled out: of parts of which either is lost, those of the first.
    anchors: Vec<usize>,
    pub limbs: Vec<usize>,
    pub screws: Vec<usize>,
}

impl Set {
    /// Parts of these names; `None` where none are named.
    pub fn named(construct: &Construct, names: &[String]) -> Result<Option<Self>, Refused> {
        let parts = named(construct, names)?;
        Ok((!parts.is_empty()).then(|| Self::of(construct, &parts)))
    }

    fn of(construct: &Construct, parts: &[LostPart]) -> Self {
        let has = |kind, name: &str| parts.iter().any(|p| p.kind == kind && p.name == name);
        let anchors: Vec<usize> =
            (0..construct.anchors.len()).filter(|k| has(PartKind::Anchor, &construct.anchors[*k].name)).collect();
        let touches = |stop: &Stop| matches!(stop, Stop::Anchor { index, .. } if anchors.contains(index));
        let goes = |k: &usize| {
            let limb = &construct.limbs[*k];
            has(PartKind::Limb, &limb.name) || limb.path.iter().any(touches)
        };
        Self {
            parts: parts.to_vec(),
            together: false,
            limbs: (0..construct.limbs.len()).filter(goes).collect(),
            screws: (0..construct.screws.len()).filter(|k| has(PartKind::Screw, &construct.screws[*k].name)).collect(),
            anchors,
        }
    }

    /// Ties without what is lost; the numbers of limbs and screws stay.
    fn left(&self, ties: &[TieSpec]) -> Vec<TieSpec> {
        let without = |all: &[usize], lost: &[usize]| all.iter().copied().filter(|k| !lost.contains(k)).collect();
        let ties = ties.iter().map(|tie| TieSpec {
            limbs: without(&tie.limbs, &self.limbs),
            screws: without(&tie.screws, &self.screws),
            ..tie.clone()
        });
        that_tie(ties)
    }
}

/// Those that tie anything.
fn that_tie(ties: impl Iterator<Item = TieSpec>) -> Vec<TieSpec> {
    ties.filter(|tie| !(tie.limbs.is_empty() && tie.screws.is_empty())).collect()
}

struct Study<'a> {
    case: &'a Case,
    plan: &'a LosePlan,
    watcher: &'a dyn Watcher,
}

impl Study<'_> {
    /// What a tied repair bears. `None` when it was to end.
    fn bearing(&self, construct: &Construct, rig: &Rig, tying: Tying) -> Option<Bearing> {
        if self.watcher.stops() {
            return None;
        }
        let state = tying.hold.tied.as_ref();
        let mut bearing = Bearing {
            outcome: tying.hold.outcome.clone(),
            measures: state.map(|s| s.measures),
            compression: state.map(|s| s.bed.compression),
            load: None,
            failure: None,
        };
        if let Some(tied) = &tying.tied {
            let (direction, settled) = (self.plan.direction.clone(), self.plan.settled);
            let plan = PushPlan { direction, settled, ..PushPlan::to_failure() };
            let push = push(self.case, construct, rig, tied, &plan);
            bearing.load = push.load_at[1];
            bearing.failure = push.failure;
            bearing.outcome = push.outcome;
        }
        self.watcher.step();
        Some(bearing)
    }

    fn lost(&self, construct: &Construct, rig: &Rig, tied: &Sequence<'_>, set: &Set) -> Option<Lost> {
        let mut sequence = tied.clone();
        sequence.lose(&set.limbs, &set.screws);
        let after = self.bearing(construct, rig, sequence.finish())?;
        let left = Construct { ties: set.left(&construct.ties), ..construct.clone() };
        let mut sequence = Sequence::start(self.case, &left, rig, self.plan.from);
        left.ties.iter().for_each(|tie| sequence.next(tie));
        let before = self.bearing(&left, rig, sequence.finish())?;
        let limbs = set.limbs.iter().map(|k| construct.limbs[*k].name.clone()).collect();
        Some(Lost { parts: set.parts.clone(), together: set.together, limbs, after, before })
    }

    fn rescue(&self, construct: &Construct, set: &Set, rescue: &Construct) -> Option<Rescue> {
        let (joined, ties) = joined(construct, set, rescue);
        let rig = super::rig(self.case, &joined, self.plan.from);
        let mut sequence = Sequence::start(self.case, &joined, &rig, self.plan.from);
        construct.ties.iter().for_each(|tie| sequence.next(tie));
        sequence.lose(&set.limbs, &set.screws);
        ties.iter().for_each(|tie| sequence.next(tie));
        let bearing = self.bearing(&joined, &rig, sequence.finish())?;
        let new = &joined.anchors[construct.anchors.len()..];
        let holes = construct.anchors.iter().map(|a| a.point);
        let from_hole = holes.flat_map(|hole| new.iter().map(move |a| (a.point - hole).norm())).reduce(f64::min);
        let tied = ties.iter().flat_map(|tie| {
            let limbs = tie.limbs.iter().map(|k| joined.limbs[*k].name.clone());
            limbs.chain(tie.screws.iter().map(|k| joined.screws[*k].name.clone()))
        });
        let kept = kept(construct, set, rescue);
        Some(Rescue { construct: rescue.name.clone(), tied: tied.collect(), kept, from_hole, bearing })
    }
}

/// What a rescue names as the repair does but has otherwise: it stays as it is there.
fn kept(construct: &Construct, set: &Set, rescue: &Construct) -> Vec<String> {
    let anchors = rescue.anchors.iter().filter(|anchor| {
        let there = construct.anchors.iter().enumerate().find(|(_, a)| a.name == anchor.name);
        there.is_some_and(|(k, a)| {
            !set.anchors.contains(&k) && ((a.point - anchor.point).norm() > CLOSE || a.class != anchor.class)
        })
    });
    let limbs = rescue.limbs.iter().filter(|limb| {
        let there = construct.limbs.iter().enumerate().find(|(_, l)| l.name == limb.name);
        there.is_some_and(|(k, l)| {
            let same = l.tension == limb.tension && l.strand == limb.strand && l.path.len() == limb.path.len();
            !set.limbs.contains(&k) && !same
        })
    });
    anchors.map(|a| a.name.clone()).chain(limbs.map(|l| l.name.clone())).collect()
}

/// Places this close are one, mm.
const CLOSE: f64 = 0.05;

/// Adds to `all`, as `new` makes it, each of `named` that is not there already or is `lost`, and says where each stands.
fn added<T>(all: &mut Vec<T>, named: &[T], lost: &[usize], name: fn(&T) -> &str, new: impl Fn(&T) -> T) -> Vec<usize> {
    let had = all.len();
    let mut stands = |part| {
        let there = all[..had].iter().position(|a| name(a) == name(part)).filter(|k| !lost.contains(k));
        there.unwrap_or_else(|| {
            all.push(new(part));
            all.len() - 1
        })
    };
    named.iter().map(&mut stands).collect()
}

/// A repair with what a rescue adds, and the ties of what is added.
fn joined(construct: &Construct, set: &Set, rescue: &Construct) -> (Construct, Vec<TieSpec>) {
    let mut joined = construct.clone();
    let anchors = added(&mut joined.anchors, &rescue.anchors, &set.anchors, |a| &a.name, Clone::clone);
    let led = |limb: &LimbSpec| {
        let mut limb = limb.clone();
        for stop in &mut limb.path {
            if let Stop::Anchor { index, .. } = stop {
                *index = anchors[*index];
            }
        }
        limb
    };
    let limbs = added(&mut joined.limbs, &rescue.limbs, &set.limbs, |l| &l.name, led);
    let screws = added(&mut joined.screws, &rescue.screws, &set.screws, |s| &s.name, Clone::clone);
    let new = |of: &[usize], all: &[usize], had: usize| of.iter().map(|k| all[*k]).filter(|k| *k >= had).collect();
    let ties = rescue.ties.iter().map(|tie| TieSpec {
        limbs: new(&tie.limbs, &limbs, construct.limbs.len()),
        screws: new(&tie.screws, &screws, construct.screws.len()),
        ..tie.clone()
    });
    let ties = that_tie(ties);
    (joined, ties)
}
