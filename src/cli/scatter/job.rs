//! A case, constructs and a spread, ready to be sampled; one sample of them.

use super::arguments::Scatter as Arguments;
use crate::cli::failure::Failure;
use crate::cli::progress::Progress;
use crate::model::spread::{Design, Reading, Subject};
use crate::stats::{Draws, MOST_SOBOL, MOST_SOBOL_INPUTS, Method};
use crate::study::result::{End, Start};
use crate::study::scatter::{Layout, Probe, Row, run};
use rayon::prelude::*;
use std::ops::Range;

/// Everything that a run of samples needs.
pub(super) struct Job {
    pub subject: Subject,
    pub design: Design,
    pub draws: Draws,
    pub probe: Probe,
    pub layouts: Vec<Layout>,
    pub names: Vec<String>,
    pub inputs: usize,
}

/// A job by what was typed.
///
/// # Errors
/// More samples or inputs than the sampler has.
pub(super) fn job(typed: &Arguments, subject: Subject, design: Design) -> Result<Job, Failure> {
    let probe = Probe {
        from: typed.from.start(),
        direction: typed.direction.clone(),
        to: typed.to,
        steps: typed.steps,
        under: typed.under,
        guided: false,
    };
    let inputs = design.dimensions.len();
    let method = typed.sampler.method();
    let draws = Draws::new(method, typed.seed, typed.samples, inputs);
    if method == Method::Sobol {
        let most = MOST_SOBOL * draws.replicates();
        if typed.samples > most {
            return Err(Failure::Input(format!(
                "a Sobol' sequence here has at most {most} samples, not {}\n  use --sampler latin, or fewer samples",
                typed.samples
            )));
        }
        if inputs > MOST_SOBOL_INPUTS {
            return Err(Failure::Input(format!(
                "a Sobol' sequence here has at most {MOST_SOBOL_INPUTS} inputs, not {inputs}\n  use --sampler latin"
            )));
        }
    }
    let hinge = design.lines.iter().any(|l| l.targets.iter().any(|t| t.starts_with("tether.hinge")));
    let layouts = subject.constructs().map(|c| Layout::new(subject.case(), c, hinge, &probe)).collect();
    let names = subject.constructs().map(|c| c.name.clone()).collect();
    Ok(Job { subject, design, draws, probe, layouts, names, inputs })
}

/// The rows of one point: every construct on the same draws.
pub(super) fn rows(
    job: &Job,
    draws: &[f64],
    subject: &mut Subject,
    wanted: impl Fn(usize) -> bool,
) -> Vec<Option<Row>> {
    job.design.apply(draws, subject);
    let reading = job.read(subject);
    let impossible = |k: usize, why: &str| job.layouts[k].without(End::Impossible, why.to_owned());
    (0..job.layouts.len())
        .map(|k| {
            if !wanted(k) {
                return None;
            }
            Some(match &reading.case {
                Err(why) => impossible(k, why),
                Ok(case) => match &reading.constructs[k] {
                    Err(why) => impossible(k, why),
                    Ok(construct) => run(case, construct, &job.layouts[k], &job.probe),
                },
            })
        })
        .collect()
}

impl Job {
    /// The draws of a sample.
    pub fn drawn(&self, sample: u64) -> Vec<f64> {
        let mut point = vec![0.0; self.inputs];
        self.draws.point(sample, &mut point);
        self.design.draw(&mut point);
        point
    }

    /// The files with their drawn numbers, read again. As for a file that was typed, tying cannot start
    /// from deeper in the bed than bone gives.
    pub fn read(&self, subject: &Subject) -> Reading {
        let mut reading = subject.read();
        if let (Ok(case), Start::Displaced) = (&reading.case, self.probe.from)
            && let Some(sunk) = case.sunk()
        {
            reading.case = Err(sunk.to_string());
        }
        reading
    }
}

/// The rows of samples, every construct on the same draws, in their order.
pub(super) fn solved(job: &Job, samples: Range<u64>, progress: &Progress) -> Vec<Vec<Row>> {
    let numbers: Vec<u64> = samples.collect();
    numbers
        .into_par_iter()
        .map_init(
            || job.subject.clone(),
            |subject, sample| {
                let draws = job.drawn(sample);
                let found = rows(job, &draws, subject, |_| true);
                progress.step();
                found.into_iter().flatten().collect()
            },
        )
        .collect()
}
