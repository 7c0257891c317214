//! An order of ties as a row of states: before the first tie, after each, and at the end.

use super::*;
use crate::model::TieSpec;
use crate::show::words::fails;

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
    /// Limbs and screws of every tie of this order, in words, reached or not.
    pub titles: Vec<String>,
}

/// The name of a tie: its members, or their group where the tie is all of it.
pub(crate) fn title(construct: &Construct, tie: &TieSpec) -> String {
    let limbs = || tie.limbs.iter().map(|k| &construct.limbs[*k]);
    let group = limbs().next().map_or("", |l| l.group.as_str());
    let whole = construct.limbs.iter().filter(|l| l.group == group).count() == tie.limbs.len();
    if whole && tie.screws.is_empty() && tie.limbs.len() > 1 && !group.is_empty() && limbs().all(|l| l.group == group) {
        return group.to_owned();
    }
    let screws = tie.screws.iter().map(|k| construct.screws[*k].name.as_str());
    limbs().map(|l| l.name.as_str()).chain(screws).collect::<Vec<_>>().join(" + ")
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
        let titles: Vec<String> = run.order.iter().map(|k| title(construct, &construct.ties[*k])).collect();
        let mut all = Self { run, stages: vec![first], lost: fails(&run.hold.outcome), titles };
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
                title: all.titles[k].clone(),
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

    /// The name of the tie `number`, from 1.
    pub fn title_of(&self, number: usize) -> String {
        self.titles.get(number.saturating_sub(1)).cloned().unwrap_or_default()
    }

    /// Whether the last state is one after the last tie.
    pub fn is_settled(&self) -> bool {
        self.stages.len() > self.run.hold.ties.len() + 1
    }
}

/// The best and the worst order; the worst is missing when there is but one.
pub(super) fn best_and_worst(orders: &Orders) -> (Option<&OrderRun>, Option<&OrderRun>) {
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

/// A length with its direction in words instead of a sign.
fn directed(value: f64, positive: &str, negative: &str) -> String {
    let text = format!("{:.2}", value.abs());
    let word = match (text.as_str(), value > 0.0) {
        ("0.00", _) => return "0 mm".to_owned(),
        (_, true) => positive,
        (_, false) => negative,
    };
    format!("{text} mm {word}")
}

/// The largest step-off.
pub(crate) fn step(m: &Measures) -> String {
    directed(m.step.value, "proud", "recessed")
}

/// The largest gap of the fracture line.
pub(super) fn gap(m: &Measures) -> String {
    directed(m.gap.value, "open", "pressed")
}

/// The inferior shift of the end or middle that is shifted most.
pub(crate) fn shift(m: &Measures) -> String {
    directed(m.largest_shift(), "inferior", "superior")
}

/// An angle in degrees.
pub(super) fn degrees(value: f64) -> String {
    format!("{}°", number(value, 1))
}

/// The ties of an order, with arrows.
pub(super) fn chain(sequence: &Sequence<'_>) -> String {
    sequence.titles.join(" → ")
}

/// Heading of the best order and of the worst.
pub(super) fn headings(orders: &Orders, best: &OrderRun, worst: Option<&OrderRun>) -> [String; 2] {
    let (held, all) = counts(orders);
    let own = |run: &OrderRun| if run.own { ", the construct's own" } else { "" };
    if all == 1 {
        return [format!("The order{}", if best.own { " of the construct" } else { "" }), String::new()];
    }
    let best_words = if best.hold.outcome.is_held() {
        format!("Best of {all} orders{}", own(best))
    } else {
        format!("Fixation fails in all {all} orders")
    };
    let worst_words = worst.map_or_else(String::new, |worst| {
        if !worst.hold.outcome.is_held() {
            format!("An order in which fixation fails{}", own(worst))
        } else if held < all {
            format!("Worst of {held} stable orders{} (fixation fails in {})", own(worst), all - held)
        } else {
            format!("Worst of {all} orders{}", own(worst))
        }
    });
    [best_words, worst_words]
}

/// How a drawing shows what was just tied.
pub(super) fn emphasis(construct: &Construct) -> &'static str {
    match (construct.limbs.is_empty(), construct.screws.is_empty()) {
        (_, true) => "Thick: limbs just tied",
        (true, false) => "Dark on a grey band: screws just tied",
        (false, false) => "Thick: limbs just tied; dark on a grey band: screws just tied",
    }
}

/// The language of screws for a caption; nothing without one.
pub(super) fn screws(construct: &Construct) -> &'static str {
    if construct.screws.is_empty() {
        ""
    } else {
        ", a disc with a cross the head of a screw, its line running to where the tip lay when it was placed, with threads beyond the fracture plane"
    }
}

/// What the orders drawn are chosen from, as a sentence.
pub(super) fn choice(orders: &Orders) -> String {
    let (held, all) = counts(orders);
    let mut text = if all == 1 {
        "One order was run.".to_owned()
    } else {
        format!(
            "{all} orders were run, {held} of them stable to the end; they are ranked by the largest residual step-off, and orders within {} mm count as equal.",
            orders.band
        )
    };
    if let Some(sampled) = orders.sampled {
        text.push_str(&format!(" They are a sample of {} orders (seed {}).", sampled.of, sampled.seed));
    }
    text
}

/// A state for alternative text.
pub(super) fn spoken(stage: &Stage) -> String {
    format!("{}: step-off {}, shift {}", stage.title, step(&stage.measures), shift(&stage.measures))
}

/// All states of an order for alternative text.
pub(super) fn all_spoken(sequence: &Sequence<'_>) -> String {
    let states = sequence.stages.iter().map(spoken).chain(sequence.lost.clone());
    joined(states, "; ")
}

/// How the fragment lies after every tie of every order, as a table.
pub(super) fn numbers(case: &Case, construct: &Construct, orders: &Orders) -> String {
    let own = ["order", "rank", "own", "state", "after"];
    let rest = [
        "shift_x_mm",
        "shift_y_mm",
        "shift_z_mm",
        "turn_x_deg",
        "turn_y_deg",
        "turn_z_deg",
        "compression_N",
        "worse_in",
    ];
    let heads = Measures::default().columns().map(|(head, _)| head);
    let rows = orders.runs.iter().flat_map(|run| {
        let sequence = Sequence::new(case, construct, orders, run);
        let begin = |number: usize, after: &str| json!([run.label, run.rank, run.own, number, after]);
        let row = |s: &Stage| {
            let m = &s.measures;
            let lies = m.columns().map(|(_, value)| value);
            json!([begin(s.number, &s.title), lies, m.shift, m.turn, s.compression, s.worse.join(" ")])
        };
        let blank = vec![None::<f64>; heads.len() + 8];
        let lost = sequence.lost.iter().map(|lost| json!([begin(run.hold.ties.len() + 1, lost), blank]));
        sequence.stages.iter().map(row).chain(lost).collect::<Vec<_>>()
    });
    csv(own.into_iter().chain(heads).chain(rest), rows)
}
