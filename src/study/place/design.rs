//! A design looked at with the full bed, in the steps of `compare`, and written as a file.

use super::super::result::{Placed, Placement, Tally};
use super::super::{PushPlan, push, rig, tie};
use super::look::Fate;
use super::question::{Effort, Question};
use super::rule::Rule;
use crate::model::spread::Subject;
use crate::optimise::Watcher;

/// Steps to 1 mm, as `compare` and `push` record them.
pub(super) const STEPS: usize = 20;

/// The effort of what is reported.
pub(super) const FULL: Effort = Effort { cells: None, steps: STEPS };

/// What names of answers get behind the construct's: plain, robust.
pub const PLACED: [&str; 2] = ["placed", "placed-robust"];

/// Longest name of a construct.
const LONGEST: usize = 40;

/// The name of a construct that was made from another.
pub(super) fn derived(name: &str, by: &str) -> String {
    let room = LONGEST - by.len() - 1;
    let kept: String = name.chars().take(room).collect();
    format!("{}-{by}", kept.trim_end())
}

/// What the answer of a question is called after its construct's name.
pub(super) fn made(by: &Question) -> &'static str {
    if by.is_robust() { PLACED[1] } else { PLACED[0] }
}

/// A design on the full bed, or the construct as it is. `full` is a question asked with [`FULL`], over
/// the draws of a robust search; when an end is asked for, those are left out. `by` is what the
/// construct's name gets behind it when it is another one.
pub(super) fn placement(full: &Question, name: &str, at: Option<&[f64]>, by: &str, watch: &dyn Watcher) -> Placement {
    let tried = at.map(|at| full.tried(at));
    let over = full.looked(at, watch);
    let drawn = over.as_ref().is_some_and(|look| look.nominal.is_some());
    let look = over.unwrap_or_else(|| full.nominal(at));
    let subject = full.set(tried.as_deref());
    let given = subject.constructs().next().map(|c| c.name.clone());
    let given = given.unwrap_or_default();
    let file = match at {
        Some(_) => subject.construct_text(0, &derived(&given, by)),
        None => subject.construct_text(0, &given),
    };
    let mut placement = Placement {
        name: name.to_owned(),
        at: tried.unwrap_or_else(|| full.given()),
        values: look.nominal.clone().unwrap_or_else(|| look.values.clone()),
        over_draws: if drawn { look.values.clone() } else { Vec::new() },
        draws: look.draws,
        kept: Rule::ALL.iter().zip(&look.rules).map(|(rule, value)| full.rules.kept(*rule, value.as_ref())).collect(),
        violation: look.rules.iter().flatten().map(|v| v.excess).fold(0.0, f64::max),
        why: match &look.fate {
            // Over draws it may have no percentile, and is held all the same.
            _ if look.nominal.is_some() => String::new(),
            Fate::Held => String::new(),
            Fate::Far => "its geometry is not allowed".to_owned(),
            Fate::Impossible(why) | Fate::NotHeld(why) | Fate::Uncertified(why) | Fate::Silent(why) => why.clone(),
        },
        anchors: Vec::new(),
        hold: None,
        tally: Tally::default(),
        file,
    };
    tied(&mut placement, full, &subject);
    placement
}

/// Where the anchors sit, how it is tied, and what the certificates say.
fn tied(placement: &mut Placement, full: &Question, subject: &Subject) {
    let mut reading = subject.read();
    let Ok(case) = reading.case else {
        return;
    };
    let Ok(construct) = reading.constructs.swap_remove(0) else {
        return;
    };
    placement.anchors =
        construct.anchors.iter().map(|a| Placed { anchor: a.name.clone(), point: a.point.into() }).collect();
    let from = full.start();
    let rig = rig(&case, &construct, from);
    let (mut hold, tied) = tie(&case, &construct, &rig, from);
    hold.clear_if_doubtful();
    placement.tally = Tally::of_hold(&hold);
    let Some(tied) = tied else {
        placement.hold = Some(hold);
        return;
    };
    let objectives = full.objectives.iter();
    for (direction, _) in objectives.flat_map(|o| o.pushes(&case.fragment)) {
        let plan = PushPlan { direction, to: 1.0, steps: STEPS, ..PushPlan::default() };
        let push = push(&case, &construct, &rig, &tied, &plan);
        placement.tally.join(&Tally::of_push(&push));
    }
    placement.hold = Some(hold);
}
