//! The grid of a sweep: its axes, its points, and the sweep from them.

use super::arguments::Sweep as Arguments;
use super::job::{Job, rows};
use super::store::Store;
use crate::cli::failure::Failure;
use crate::cli::progress::Progress;
use crate::cli::stop;
use crate::model::spread::{Axis, Design, Subject, Varying};
use crate::quantities::{place_of, quantity, sampled};
use crate::stats::{Draws, Method};
use crate::study::result::{GridPoint, Start, Sweep, SweepAxis, Swept};
use crate::study::scatter::{Layout, Named, Probe, Row, Rows};
use rayon::prelude::*;

/// Points of a chunk.
const CHUNK: u64 = 128;
/// Most points of a grid.
const MOST: u64 = 100_000;
/// What is shown when nothing is asked for.
const SHOWN: [&str; 4] = ["load-1mm", "load-2mm", "compression", "step"];

/// A grid, ready to be run.
pub(super) struct Grid {
    pub job: Job,
    pub axes: Vec<Axis>,
    /// Points.
    pub total: u64,
    pub named: Option<&'static Named>,
}

impl Grid {
    /// The grid that was typed, on a subject.
    ///
    /// # Errors
    /// Inputs that are none of the subject's, too many points.
    pub fn new(
        typed: &Arguments,
        named: Option<&'static Named>,
        mut subject: Subject,
        guided: bool,
    ) -> Result<Self, Failure> {
        subject.set_cells(typed.cells);
        let axes = axes(typed, named, &subject)?;
        let values = axes.iter().map(|a| a.varying.values.len() as u64);
        let total = values.product::<u64>();
        if total > MOST {
            return Err(Failure::Input(format!(
                "a grid of {total} points is too large; allowed are {MOST}\n  take fewer values"
            )));
        }
        let from = match (typed.from, named) {
            (Some(from), _) => from.start(),
            (None, Some(named)) => named.from,
            (None, None) => Start::Reduced,
        };
        let probe = Probe {
            from,
            direction: typed.direction.clone(),
            to: typed.to,
            steps: typed.steps,
            under: f64::INFINITY,
            guided,
        };
        let hinge = axes.iter().any(|a| a.varying.path.starts_with("tether.hinge"));
        let job = Job {
            layouts: subject.constructs().map(|c| Layout::new(subject.case(), c, hinge, &probe)).collect(),
            names: subject.constructs().map(|c| c.name.clone()).collect(),
            design: Design::empty(),
            draws: Draws::new(Method::Random, 0, 1, 0),
            inputs: 0,
            subject,
            probe,
        };
        Ok(Self { job, axes, total, named })
    }
}

fn axes(typed: &Arguments, named: Option<&Named>, subject: &Subject) -> Result<Vec<Axis>, Failure> {
    let texts: Vec<&str> = match named {
        Some(named) => named.vary.to_vec(),
        None => typed.vary.iter().map(String::as_str).collect(),
    };
    if texts.len() > 2 {
        return Err(Failure::Input(format!(
            "{} inputs are varied; allowed are one or two\n  `rimhold scatter` varies many at once",
            texts.len()
        )));
    }
    let (mut axes, mut wrong) = (Vec::new(), Vec::new());
    for text in texts {
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
    if wrong.is_empty() { Ok(axes) } else { Err(Failure::Input(wrong.join("\n"))) }
}

/// Numbers of the values at a point of the grid; the last axis runs fastest.
fn place(axes: &[Axis], point: u64) -> Vec<usize> {
    let mut rest = point as usize;
    let mut at: Vec<usize> = axes
        .iter()
        .rev()
        .map(|axis| {
            let n = axis.varying.values.len();
            let k = rest % n;
            rest /= n;
            k
        })
        .collect();
    at.reverse();
    at
}

/// Computes the points that are not done yet.
pub(super) fn points(job: &Job, axes: &[Axis], total: u64, store: &mut Store, quiet: bool) -> std::io::Result<()> {
    let mut done = store.done();
    let progress = Progress::long(total, done, "points", quiet);
    while done < total && !stop::asked() {
        let next = (done + CHUNK).min(total);
        let numbers: Vec<u64> = (done..next).collect();
        let list: Vec<Vec<Row>> = numbers
            .into_par_iter()
            .map_init(
                || job.subject.clone(),
                |subject, point| {
                    for (axis, k) in axes.iter().zip(place(axes, point)) {
                        axis.apply(k, subject);
                    }
                    let found = rows(job, &[], subject, |_| true);
                    progress.step();
                    found.into_iter().flatten().collect()
                },
            )
            .collect();
        store.add_rows(&list)?;
        done = next;
    }
    Ok(())
}

/// The sweep by its points.
pub(super) fn found(
    typed: &Arguments,
    job: &Job,
    axes: &[Axis],
    named: Option<&Named>,
    store: &mut Store,
) -> std::io::Result<Sweep> {
    let mut asked: Vec<&str> = Vec::new();
    for key in &typed.show {
        if !asked.contains(&key.as_str()) {
            asked.push(key);
        }
    }
    let first: &[&str] = match named {
        _ if !asked.is_empty() => &asked,
        Some(named) => named.show,
        None => &SHOWN,
    };
    // Those asked for first, the rest behind them.
    let mut keys: Vec<&str> = first.to_vec();
    keys.extend(sampled().map(|q| q.key).filter(|k| !first.contains(k)));
    let mut constructs = Vec::new();
    for (k, name) in job.names.iter().enumerate() {
        let ended = store.ends(k)?;
        let mut columns = Vec::new();
        for key in &keys {
            columns.push(store.column(k, place_of(key))?);
        }
        let mut why = ended.why.iter().peekable();
        let points = ended
            .ends
            .iter()
            .enumerate()
            .map(|(point, end)| GridPoint {
                at: axes.iter().zip(place(axes, point as u64)).map(|(axis, k)| axis.varying.values[k]).collect(),
                end: *end,
                why: why.next_if(|w| w.0 == point as u64).map_or_else(String::new, |w| w.1.clone()),
                values: columns.iter().map(|c| Some(c[point]).filter(|v| !v.is_nan())).collect(),
            })
            .collect();
        constructs.push(Swept { construct: name.clone(), points });
    }
    Ok(Sweep {
        name: named.map(|n| n.name.to_owned()),
        question: named.map(|n| n.question.to_owned()),
        case: job.subject.case().name.clone(),
        from: job.probe.from,
        direction: typed.direction.name.clone(),
        to: typed.to,
        cells: typed.cells,
        axes: axes
            .iter()
            .map(|a| SweepAxis {
                path: a.varying.path.clone(),
                label: a.label.clone(),
                unit: a.unit.clone(),
                values: a.varying.values.clone(),
            })
            .collect(),
        shown: first.len(),
        quantities: keys.iter().map(|key| quantity(key).named()).collect(),
        constructs,
        complete: false,
        reading: Vec::new(),
    })
}
