//! What do the answers do along one or two inputs?
//!
//! ```
//! use rimhold::model::spread::Subject;
//! use rimhold::study::sweep::{self, Plan};
//!
//! let subject = Subject::open("small", &["one-by-one".to_owned()]).unwrap();
//! let plan = Plan { vary: vec!["bed.friction=0.4,0.8".to_owned()], cells: 100, ..Plan::default() };
//! let found = sweep::run(subject, plan, &())?;
//! for point in &found.constructs[0].points {
//!     println!("friction {}: {:?} {}", point.at[0], point.values[0], found.quantities[0].unit);
//! }
//! assert!(found.complete);
//! # Ok::<(), rimhold::study::Refused>(())
//! ```

use super::result::{GridPoint, Start, Sweep, SweepAxis, Swept};
use super::scatter::{Points, Probe, Rows};
use super::{PushPlan, Refused, Watcher};
use crate::model::spread::{Axis, Subject, Varying};
use crate::quantities::{place_of, quantity, sampled};

/// Most points of a grid.
const MOST: u64 = 100_000;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The ready-made sweep that this is, if it is one.
    pub named: Option<&'static Named>,
    /// One or two inputs, each as `PATH=LOW..HIGH:NUMBER` or `PATH=VALUE,VALUE,…`.
    pub vary: Vec<String>,
    /// Keys of the quantities to show.
    pub show: Vec<String>,
    /// Where tying starts.
    pub from: Start,
    /// The push at each point.
    pub push: PushPlan,
    /// Bed cells aimed at.
    pub cells: usize,
}

impl Default for Plan {
    fn default() -> Self {
        Self {
            named: None,
            vary: Vec::new(),
            show: ["load-1mm", "load-2mm", "compression", "step"].map(str::to_owned).to_vec(),
            from: Start::Reduced,
            push: PushPlan { steps: 20, ..PushPlan::default() },
            cells: 400,
        }
    }
}

/// Runs a sweep.
///
/// # Errors
/// Inputs that are none of the case or a construct, values that cannot be, too many points.
pub fn run(subject: Subject, plan: Plan, watcher: &dyn Watcher) -> Result<Sweep, Refused> {
    Ok(Study::new(subject, plan)?.run(watcher))
}

/// A sweep that is ready to be run.
#[derive(Debug)]
pub struct Study {
    /// What is asked.
    pub plan: Plan,
    axes: Vec<Axis>,
    points: Points,
}

impl Study {
    /// A plan on a case and constructs.
    ///
    /// # Errors
    /// Inputs that are none of the case or a construct, values that cannot be, too many points.
    pub fn new(mut subject: Subject, plan: Plan) -> Result<Self, Refused> {
        subject.set_cells(plan.cells);
        let axes = axes(&plan, &subject)?;
        let probe = Probe { from: plan.from, push: plan.push.clone(), under: f64::INFINITY };
        let hinge = axes.iter().any(|a| a.varying.path.starts_with("tether.hinge"));
        let study = Self { points: Points::new(subject, probe, hinge), plan, axes };
        match study.total() {
            0..=MOST => Ok(study),
            total => Err(Refused::Asked(format!(
                "a grid of {total} points is too large; allowed are {MOST}\n  take fewer values"
            ))),
        }
    }

    /// A plan on a case and those of the constructs that have what it varies, with the names of the others.
    ///
    /// # Errors
    /// Files with mistakes, no construct that has all of it, and what [`Study::new`] refuses.
    pub fn where_it_can(case: &str, constructs: &[String], plan: &Plan) -> Result<(Self, Vec<String>), Refused> {
        let open = |names: &[String]| {
            let subject = Subject::open(case, names).map_err(Refused::Files)?;
            Self::new(subject, plan.clone())
        };
        let whole = open(constructs)?;
        let concerned = |k: &usize| whole.axes.iter().all(|a| a.concerns(*k));
        let (kept, left): (Vec<usize>, Vec<usize>) = (0..constructs.len()).partition(concerned);
        if kept.is_empty() {
            return Err(Refused::Asked(format!(
                "no construct has all of what it varies\n  it varies {}",
                plan.vary.join(" and ")
            )));
        }
        if left.is_empty() {
            return Ok((whole, Vec::new()));
        }
        let names: Vec<String> = kept.iter().map(|k| constructs[*k].clone()).collect();
        Ok((open(&names)?, left.iter().map(|k| whole.points.names[*k].clone()).collect()))
    }

    /// Points of the grid.
    pub fn total(&self) -> u64 {
        self.axes.iter().map(|a| a.varying.values.len() as u64).product()
    }

    /// The case and the constructs as they stand in their files.
    pub fn subject(&self) -> &Subject {
        &self.points.subject
    }

    /// Numbers of the values at a point of the grid; the last axis runs fastest.
    fn place(&self, point: u64) -> Vec<usize> {
        let mut rest = point as usize;
        let mut at = Vec::new();
        for axis in self.axes.iter().rev() {
            let n = axis.varying.values.len();
            at.push(rest % n);
            rest /= n;
        }
        at.reverse();
        at
    }

    /// Ties and pushes at every point. Where it is to end early, the points that are whole.
    pub fn run(&self, watcher: &dyn Watcher) -> Sweep {
        watcher.stage(self.total(), "points");
        let set = |subject: &mut Subject, point| {
            for (axis, k) in self.axes.iter().zip(self.place(point)) {
                axis.apply(k, subject);
            }
        };
        let rows = self.points.each(self.total(), set, watcher);
        let mut first: Vec<&str> = Vec::new();
        for key in &self.plan.show {
            if !first.contains(&key.as_str()) {
                first.push(key);
            }
        }
        // Those asked for first, the rest behind them.
        let mut keys = first.clone();
        keys.extend(sampled().map(|q| q.key).filter(|k| !first.contains(k)));
        let constructs = self.points.names.iter().enumerate();
        let axes = self.axes.iter().map(|a| SweepAxis {
            path: a.varying.path.clone(),
            label: a.label.clone(),
            unit: a.unit.clone(),
            values: a.varying.values.clone(),
        });
        Sweep {
            name: self.plan.named.map(|n| n.name.to_owned()),
            question: self.plan.named.map(|n| n.question.to_owned()),
            case: self.points.subject.case().name.clone(),
            from: self.plan.from,
            direction: self.plan.push.direction.name.clone(),
            to: self.plan.push.to,
            cells: self.plan.cells,
            axes: axes.collect(),
            shown: first.len(),
            quantities: keys.iter().map(|key| quantity(key).named()).collect(),
            constructs: constructs.map(|(k, name)| self.swept(name, k, &rows, &keys)).collect(),
            complete: rows.done() == self.total(),
        }
    }

    fn swept(&self, name: &str, construct: usize, rows: &Rows, keys: &[&str]) -> Swept {
        let mut why = rows.listed(construct).peekable();
        let points = rows.0.iter().zip(0..).map(|(rows, point)| {
            let row = &rows[construct];
            let at = self.axes.iter().zip(self.place(point)).map(|(axis, k)| axis.varying.values[k]);
            let of = |key: &&str| Some(row.values[place_of(key)]).filter(|v| !v.is_nan());
            GridPoint {
                at: at.collect(),
                end: row.end,
                why: why.next_if(|w| w.0 == point).map_or_else(String::new, |w| w.2.to_owned()),
                values: keys.iter().map(of).collect(),
            }
        });
        Swept { construct: name.to_owned(), points: points.collect() }
    }
}

fn axes(plan: &Plan, subject: &Subject) -> Result<Vec<Axis>, Refused> {
    if !(1..=2).contains(&plan.vary.len()) {
        return Err(Refused::Asked(format!(
            "{} inputs are varied; allowed are one or two\n  `rimhold scatter` varies many at once",
            plan.vary.len()
        )));
    }
    let (mut axes, mut wrong): (Vec<Axis>, Vec<String>) = (Vec::new(), Vec::new());
    for text in &plan.vary {
        match Varying::parse(text).and_then(|v| Axis::new(v, subject)) {
            Ok(axis) => axes.push(axis),
            Err(message) => wrong.push(format!("--vary {text}: {message}")),
        }
    }
    if let [a, b] = axes.as_slice()
        && a.varying.path == b.varying.path
    {
        wrong.push(format!("`{}` is varied twice", a.varying.path));
    }
    if wrong.is_empty() { Ok(axes) } else { Err(Refused::Asked(wrong.join("\n"))) }
}

// Ready-made sweeps: questions that are asked at every meeting.

/// A ready-made sweep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Named {
    /// Its name.
    pub name: &'static str,
    /// The question.
    pub question: &'static str,
    /// Built-in case.
    pub case: &'static str,
    /// Built-in constructs.
    pub constructs: &'static [&'static str],
    /// What is varied.
    pub vary: &'static [&'static str],
    /// What is shown first.
    pub show: &'static [&'static str],
    /// Where tying starts.
    pub from: Start,
}

/// All of them. Cases and constructs are our own inventions.
pub const NAMED: [Named; 3] = [
    Named {
        name: "lower-end",
        question: "Does the lower end close: medial anchor along the crater against the stiffness of the inferior hinge?",
        case: "hinge-intact",
        constructs: &["one-by-one-bare", "one-by-one"],
        vary: &["anchor.medial.along=-60%..60%:13", "tether.hinge.stiffness=0.5,2,5,10,20,60"],
        show: &["lower-off", "lower-gap"],
        from: Start::Displaced,
    },
    Named {
        name: "size",
        question: "From which size of the fragment does one-by-one no longer do?",
        case: "quarter",
        constructs: &["one-by-one", "two-by-two-crossed"],
        vary: &["fragment.width=10%..40%:16"],
        show: &["load-1mm", "load-2mm", "step"],
        from: Start::Reduced,
    },
    Named {
        name: "tension",
        question: "At which tension does more compression stop helping, and how does that depend on friction?",
        case: "quarter",
        constructs: &["one-by-one"],
        vary: &["limb.*.tension=10..80:8", "bed.friction=0.3..0.9:7"],
        show: &["load-1mm", "compression"],
        from: Start::Reduced,
    },
];

impl Named {
    /// The one of a name.
    pub fn find(name: &str) -> Option<&'static Self> {
        NAMED.iter().find(|n| n.name == name)
    }

    /// What it asks.
    pub fn plan(&'static self) -> Plan {
        let words = |list: &[&str]| list.iter().map(|w| (*w).to_owned()).collect();
        Plan { named: Some(self), vary: words(self.vary), show: words(self.show), from: self.from, ..Plan::default() }
    }
}
