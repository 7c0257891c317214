//! An order of ties as a row of states: before the first tie, after each, and at the end.

use crate::math::Vec3;
use crate::model::{Case, Construct};
use crate::study::result::{Measures, Mode, OrderRun, Orders, Outcome, Worse, WorseIn};

/// A state that a figure draws: each is solved, none is interpolated.
#[derive(Debug, Clone, Default)]
pub(super) struct Stage {
    /// Ties done; zero before the first.
    pub number: usize,
    /// What led here: limbs and screws just tied, or what happened otherwise.
    pub title: String,
    /// Which limbs and screws were just tied: indices as below.
    pub now: Vec<usize>,
    /// How the fragment lies.
    pub measures: Measures,
    /// Points of every limb's path, then head, passage through the fracture plane and tip of every
    /// screw, mm; none where it is not there yet.
    pub paths: Vec<Vec<[f64; 3]>>,
    /// Tension at the tie end of every limb, then pull of every screw's head, N.
    pub tensions: Vec<f64>,
    /// Their change since the stage before, N.
    pub changes: Vec<f64>,
    /// Bed compression, N; unknown before the first tie.
    pub compression: Option<f64>,
    /// In what the fragment lies worse than before this tie; empty where it does not.
    pub worse: Vec<&'static str>,
}

/// An order with its states.
#[derive(Debug, Clone)]
pub(super) struct Sequence<'a> {
    /// The order.
    pub run: &'a OrderRun,
    /// Its states, the one before the first tie first.
    pub stages: Vec<Stage>,
    /// Why it ended early, in words.
    pub lost: Option<String>,
}

impl<'a> Sequence<'a> {
    /// The states of an order. Where relaxation or late loads change the fragment after the last
    /// tie, the settled state follows as one more.
    pub fn new(case: &Case, construct: &Construct, orders: &Orders, run: &'a OrderRun) -> Self {
        let limbs = construct.limbs.iter().map(|l| &l.name);
        let names: Vec<&String> = limbs.chain(construct.screws.iter().map(|s| &s.name)).collect();
        let first = Stage {
            title: "before tying".to_owned(),
            measures: orders.before,
            paths: vec![Vec::new(); names.len()],
            tensions: vec![0.0; names.len()],
            changes: vec![0.0; names.len()],
            ..Stage::default()
        };
        let mut all = Self { run, stages: vec![first], lost: lost(&run.hold.outcome) };
        // Where each screw's tip came to lie: it is placed when the pull of its tie begins.
        let mut tips: Vec<Option<Vec3>> = vec![None; construct.screws.len()];
        for (k, tie) in run.hold.ties.iter().enumerate() {
            let own = tie.names();
            let (here, earlier) = (tie.measures.pose(), all.last().measures.pose());
            let mut paths = tie.paths.clone();
            for (tip, screw) in tips.iter_mut().zip(&construct.screws) {
                if own.contains(&screw.name) {
                    *tip = Some(earlier.place(&case.fragment.centroid, &screw.tip()));
                }
                paths.push(tip.map_or_else(Vec::new, |tip| {
                    let head = here.place(&case.fragment.centroid, &screw.head);
                    let share = screw.grip / (screw.grip + screw.working_length);
                    [head, head + (tip - head) * share, tip].map(Into::into).to_vec()
                }));
            }
            let worse = |w: &Worse| match w.measure {
                WorseIn::Step => "step",
                WorseIn::Gap => "gap",
                WorseIn::InferiorShift => "shift",
            };
            all.push(Stage {
                title: own.join(" + "),
                now: (0..names.len()).filter(|k| own.contains(names[*k])).collect(),
                measures: tie.measures,
                paths,
                tensions: [tie.tensions.as_slice(), &tie.heads].concat(),
                compression: Some(tie.compression),
                worse: run.worsened.iter().filter(|w| w.tie == k).map(worse).collect(),
                ..Stage::default()
            });
        }
        if let Some(tied) = run.hold.tied.as_ref().filter(|t| t.limbs.len() + t.screws.len() == names.len()) {
            let limbs = tied.limbs.iter().map(|l| l.tensions.last().copied().unwrap_or(0.0));
            all.push(Stage {
                title: "settled".to_owned(),
                measures: tied.measures,
                paths: (tied.limbs.iter().map(|l| l.path.clone()))
                    .chain(tied.screws.iter().map(|s| s.places.to_vec()))
                    .collect(),
                tensions: limbs.chain(tied.screws.iter().map(|s| s.axial)).collect(),
                compression: Some(tied.bed.compression),
                ..Stage::default()
            });
            // A newton's thousandth is far below what is printed.
            if all.last().changes.iter().all(|c| c.abs() <= 1e-3) {
                all.stages.pop();
            }
        }
        all
    }

    /// Adds a state, numbered, with what changed since the one before.
    fn push(&mut self, stage: Stage) {
        let changes = stage.tensions.iter().zip(&self.last().tensions).map(|(now, then)| now - then).collect();
        self.stages.push(Stage { number: self.stages.len(), changes, ..stage });
    }

    /// The last state; there is always one.
    pub fn last(&self) -> &Stage {
        &self.stages[self.stages.len() - 1]
    }

    /// How many cells a drawing of it needs: its states, and one for the tie that lost it.
    pub fn cells(&self) -> usize {
        self.stages.len() + usize::from(self.lost.is_some())
    }

    /// Limbs and screws of every tie of this order, in words, reached or not.
    pub fn titles(&self) -> Vec<String> {
        let ties = self.run.label.split(", ");
        ties.map(|tie| tie.replace('+', " + ")).collect()
    }

    /// The same of the tie `number`, from 1.
    pub fn title_of(&self, number: usize) -> String {
        let title = self.titles().into_iter().nth(number.saturating_sub(1));
        title.unwrap_or_default()
    }

    /// Whether the last state is one after the last tie.
    pub fn is_settled(&self) -> bool {
        self.stages.len() > self.run.hold.ties.len() + 1
    }
}

fn lost(outcome: &Outcome) -> Option<String> {
    match outcome {
        Outcome::Held => None,
        Outcome::NotHeld { mode, .. } => {
            let how = match mode {
                Mode::LiftOff => "it leaves its bed",
                Mode::Slides => "it slides away",
                Mode::Turns => "it turns over",
                Mode::Free => "it is free",
            };
            Some(format!("fixation fails: {how}"))
        }
        Outcome::Uncertified { .. } => Some("balance not checked".to_owned()),
    }
}

/// The best and the worst order; the worst is missing when there is but one.
pub(super) fn extremes(orders: &Orders) -> (Option<&OrderRun>, Option<&OrderRun>) {
    let held = || orders.runs.iter().filter(|r| r.hold.outcome.is_held());
    let best = held().next().or(orders.runs.first());
    let other = |run: &&OrderRun| best.is_some_and(|b| b.order != run.order);
    let worst = held().next_back().filter(other).or(orders.runs.last().filter(other));
    (best, worst)
}

/// How many orders were held, and how many there are.
pub(super) fn counts(orders: &Orders) -> (usize, usize) {
    let held = orders.runs.iter().filter(|r| r.hold.outcome.is_held()).count();
    (held, orders.runs.len())
}
