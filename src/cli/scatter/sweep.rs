//! The work of `rimhold sweep`.

use super::arguments::Sweep as Arguments;
use super::head::Head;
use super::job::{Job, rows};
use super::present::present;
use super::question::texts_asked;
use super::run::refused;
use super::store::Store;
use crate::case::spread::{Axis, Design, Subject, Varying};
use crate::case::{CASES, CONSTRUCTS, is_case, near};
use crate::chance::{Draws, Method};
use crate::cli::arguments::Common;
use crate::cli::failure::Failure;
use crate::cli::figures::write_sweep;
use crate::cli::progress::Progress;
use crate::cli::run::tell;
use crate::cli::stop;
use crate::report::{SweepDocument, sweep_csv, sweep_reading, sweep_table};
use crate::study::result::{GridPoint, Start, Sweep, SweepAxis, Swept};
use crate::study::scatter::{
    Layout, NAMED, Named, Probe, QUANTITIES, Row, Rows, place_of, quantity,
};
use rayon::prelude::*;
use std::path::Path;

/// Points of a chunk.
const CHUNK: u64 = 128;
/// Most points of a grid.
const MOST: u64 = 100_000;
/// What is shown when nothing is asked for.
const SHOWN: [&str; 4] = ["load-1mm", "load-2mm", "compression", "step"];

/// Runs `rimhold sweep`.
pub(in super::super) fn sweep(typed: &Arguments, common: &Common) -> Result<(), Failure> {
    let named = named(typed)?;
    let pick = |given: Option<&str>, built_in: fn(&Named) -> &'static str, other: &str| {
        given.map_or_else(|| named.map_or(other, built_in).to_owned(), str::to_owned)
    };
    let case = match named {
        Some(_) => typed.constructs.first().map(String::as_str),
        None => typed.case.as_deref(),
    };
    let case = pick(case, |n| n.case, "quarter");
    let given = if named.is_some() {
        typed.constructs.get(1..).unwrap_or_default()
    } else {
        &typed.constructs
    };
    let constructs: Vec<String> = if given.is_empty() {
        let built_in = named.map_or(["one-by-one"].as_slice(), |n| n.constructs);
        built_in.iter().map(|c| (*c).to_owned()).collect()
    } else {
        given.to_vec()
    };
    let mut subject = Subject::open(&case, &constructs).map_err(Failure::Files)?;
    subject.set_cells(typed.cells);
    let axes = axes(typed, named, &subject)?;
    let total = axes
        .iter()
        .map(|a| a.varying.values.len() as u64)
        .product::<u64>();
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
        guided: false,
    };
    let hinge = axes
        .iter()
        .any(|a| a.varying.path.starts_with("tether.hinge"));
    let job = Job {
        layouts: subject
            .constructs()
            .map(|c| Layout::new(subject.case(), c, hinge, &probe))
            .collect(),
        names: subject.constructs().map(|c| c.name.clone()).collect(),
        design: Design::empty(),
        draws: Draws::new(Method::Random, 0, 1, 0),
        inputs: 0,
        subject,
        probe,
    };
    let mut asked = texts_asked(&job);
    asked.push(("from".into(), format!("{from:?}")));
    asked.push((
        "direction".into(),
        format!(
            "{} {:?}",
            typed.direction.name,
            <[f64; 3]>::from(typed.direction.vector)
        ),
    ));
    asked.push(("to".into(), typed.to.to_string()));
    asked.push(("cells".into(), typed.cells.to_string()));
    asked.push(("steps".into(), typed.steps.to_string()));
    for (k, axis) in axes.iter().enumerate() {
        // Points are numbered by the order of the axes.
        asked.push((
            format!("input {}", k + 1),
            format!(
                "{} ({}) {:?}",
                axis.varying.path, axis.unit, axis.varying.values
            ),
        ));
    }
    let head = Head::new(asked);
    // Without a file of its own a sweep keeps its points in a folder that goes with it.
    let room =
        tempfile::tempdir().map_err(|e| Failure::Other(format!("no temporary folder: {e}")))?;
    let path = typed
        .store
        .clone()
        .unwrap_or_else(|| room.path().join("sweep"));
    let opened = if typed.resume {
        Store::resume(&path, &head, &job.layouts)
    } else {
        Store::create(&path, &head, &job.layouts)
    };
    let mut store = opened.map_err(|e| refused(e, &path))?;
    stop::listen();
    let broken = |e: std::io::Error| Failure::Other(format!("`{}`: {e}", path.display()));
    points(&job, &axes, total, &mut store, common.quiet).map_err(broken)?;
    let mut found = found(typed, &job, &axes, named, &mut store).map_err(broken)?;
    found.complete = store.done() == total;
    found.reading = sweep_reading(&found);
    present(
        &job,
        common,
        |page| sweep_table(page, &found),
        || sweep_csv(&found),
        |case, constructs| SweepDocument::new(case, constructs, found.clone()),
    )?;
    if let Some(folder) = common.figures.as_deref() {
        tell(&write_sweep(folder, &found)?, folder, common.quiet);
    }
    if found.complete {
        return Ok(());
    }
    Err(Failure::Interrupted(interrupted(
        store.done(),
        total,
        typed.store.as_deref(),
    )))
}

fn interrupted(done: u64, total: u64, store: Option<&Path>) -> String {
    let go_on = match store {
        Some(path) => format!(
            "`{}` holds them, and the same command with --resume goes on",
            path.display()
        ),
        None => "with --store FILE they would be kept, to go on with --resume".to_owned(),
    };
    format!("interrupted: {done} of {total} points are done and stand above; {go_on}")
}

/// The ready-made sweep that is meant, if one is.
fn named(typed: &Arguments) -> Result<Option<&'static Named>, Failure> {
    let meant = typed
        .case
        .as_deref()
        .and_then(|name| NAMED.iter().find(|n| n.name == name));
    match (meant, typed.vary.is_empty()) {
        (Some(named), true) => Ok(Some(named)),
        (_, false) => Ok(None),
        (None, true) => Err(Failure::Input(match typed.case.as_deref() {
            Some(word) if !is_case(word) => unknown(word),
            _ => format!(
                "nothing is varied\n  write --vary PATH=LOW..HIGH:NUMBER, or name a ready-made sweep: {}",
                NAMED.map(|n| n.name).join(", ")
            ),
        })),
    }
}

/// Neither a case nor a ready-made sweep.
fn unknown(word: &str) -> String {
    let sweeps = NAMED.map(|n| n.name);
    let cases = CASES.iter().map(|c| c.0);
    let hint = if CONSTRUCTS.iter().any(|c| c.0 == word) {
        format!("; this is a construct, and the case comes first: CASE {word}")
    } else {
        near(word, sweeps.into_iter().chain(cases.clone()))
            .map_or_else(String::new, |near| format!("; did you mean `{near}`?"))
    };
    format!(
        "no case or sweep `{word}`{hint}\n  ready-made sweeps: {}; cases built in: {}",
        sweeps.join(", "),
        cases.collect::<Vec<_>>().join(", ")
    )
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
    if wrong.is_empty() {
        Ok(axes)
    } else {
        Err(Failure::Input(wrong.join("\n")))
    }
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

fn points(
    job: &Job,
    axes: &[Axis],
    total: u64,
    store: &mut Store,
    quiet: bool,
) -> std::io::Result<()> {
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

fn found(
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
    keys.extend(
        QUANTITIES
            .iter()
            .map(|q| q.0)
            .filter(|k| !first.contains(k)),
    );
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
                at: axes
                    .iter()
                    .zip(place(axes, point as u64))
                    .map(|(axis, k)| axis.varying.values[k])
                    .collect(),
                end: *end,
                why: why
                    .next_if(|w| w.0 == point as u64)
                    .map_or_else(String::new, |w| w.1.clone()),
                values: columns
                    .iter()
                    .map(|c| Some(c[point]).filter(|v| !v.is_nan()))
                    .collect(),
            })
            .collect();
        constructs.push(Swept {
            construct: name.clone(),
            points,
        });
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
        quantities: keys.iter().map(|key| quantity(place_of(key))).collect(),
        constructs,
        complete: false,
        reading: Vec::new(),
    })
}
