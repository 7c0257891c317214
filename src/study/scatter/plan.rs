//! What is asked of a study of scatter, and its run.

use super::gather::IndexDesign;
use super::gather::gather;
use super::row::Probe;
use super::sampling::{Points, Rows};
use crate::model::Warning;
use crate::model::spread::{Design, Reading, SpreadTable, Subject, default_spread};
use crate::stats::{Draws, MOST_SOBOL, MOST_SOBOL_INPUTS, mean, spearman, variance};
use crate::study::result::{Correlated, InputUsed, Sampler, Scatter, Start};
use crate::study::{PushPlan, Refused, Watcher};

/// Samples that correlations and moments of the inputs are checked on.
const MOST_CHECKED: u64 = 20_000;
/// Most numbers that are kept of all samples, or of all runs of the indices: 0.8 GB.
const MOST_NUMBERS: u64 = 100_000_000;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Number of samples.
    pub samples: u64,
    /// Seed: the same one gives the same samples.
    pub seed: u64,
    /// How they are drawn.
    pub sampler: Sampler,
    /// Base samples of Sobol' indices, where they are wanted.
    pub indices: Option<u64>,
    /// Where tying starts.
    pub from: Start,
    /// The push of each sample.
    pub push: PushPlan,
    /// Load under which an articular step above 2 mm is counted, N.
    pub under: f64,
    /// Bed cells aimed at.
    pub cells: usize,
}

impl Default for Plan {
    fn default() -> Self {
        Self {
            samples: 2000,
            seed: 1,
            sampler: Sampler::LatinHypercube,
            indices: None,
            from: Start::Reduced,
            push: PushPlan { steps: 10, ..PushPlan::default() },
            under: 50.0,
            cells: 220,
        }
    }
}

/// Runs a study over the case's own spread, or the built-in one where it has none.
///
/// # Errors
/// A spread that does not fit, or a plan that cannot be carried out.
pub fn run(subject: Subject, plan: Plan, watcher: &dyn Watcher) -> Result<Scatter, Refused> {
    Ok(Study::new(subject, None, plan)?.run(watcher))
}

/// A study that is ready to be run.
#[derive(Debug)]
pub struct Study {
    /// What is asked.
    pub plan: Plan,
    /// What is drawn.
    pub design: Design,
    pub(super) points: Points,
    pub(super) draws: Draws,
}

impl Study {
    /// A plan on a case and constructs, over a spread: a given one, else the case's own, else the built-in one.
    ///
    /// # Errors
    /// A spread that does not fit, or a plan that cannot be carried out.
    pub fn new(mut subject: Subject, spread: Option<SpreadTable>, plan: Plan) -> Result<Self, Refused> {
        subject.set_cells(plan.cells);
        let (table, lenient) = match spread.or_else(|| subject.spread()) {
            Some(table) => (table, false),
            None => (default_spread(), true),
        };
        let design = Design::new(&table, &subject, lenient).map_err(|p| Refused::Files(vec![p]))?;
        let probe = Probe { from: plan.from, push: plan.push.clone(), under: plan.under };
        let hinge = design.lines.iter().any(|l| l.targets.iter().any(|t| t.starts_with("tether.hinge")));
        let points = Points::new(subject, probe, hinge);
        let inputs = design.dimensions.len();
        let draws = Draws::new(plan.sampler, plan.seed, plan.samples, inputs);
        let study = Self { plan, design, points, draws };
        study.check(inputs)?;
        Ok(study)
    }

    fn check(&self, inputs: usize) -> Result<(), Refused> {
        let samples = self.plan.samples;
        if self.plan.sampler == Sampler::Sobol {
            let most = MOST_SOBOL * self.draws.replicates();
            if samples > most {
                return Err(Refused::Asked(format!(
                    "a Sobol' sequence here has at most {most} samples, not {samples}\n  use --sampler latin, or fewer samples"
                )));
            }
            if inputs > MOST_SOBOL_INPUTS {
                return Err(Refused::Asked(format!(
                    "a Sobol' sequence here has at most {MOST_SOBOL_INPUTS} inputs, not {inputs}\n  use --sampler latin"
                )));
            }
        }
        let index = self.plan.indices.unwrap_or(0).saturating_mul(self.index_design().numbers(self.points.names.len()));
        for (numbers, of, each) in [
            (samples.saturating_mul(self.points.width() as u64), "samples", self.points.width() as u64),
            (index, "base samples", self.index_design().numbers(self.points.names.len())),
        ] {
            if numbers > MOST_NUMBERS {
                return Err(Refused::Asked(format!(
                    "so many {of} of these constructs do not fit into memory; allowed: {}",
                    MOST_NUMBERS / each
                )));
            }
        }
        Ok(())
    }

    pub(super) fn index_design(&self) -> IndexDesign {
        IndexDesign { groups: self.design.independent_groups() }
    }

    /// What was cut off the distributions, and the like.
    pub fn warnings(&self) -> &[Warning] {
        &self.design.warnings
    }

    /// The case and the constructs as they stand in their files.
    pub fn subject(&self) -> &Subject {
        &self.points.subject
    }

    /// The draws of a sample, one for each of [`Design::dimensions`].
    pub fn drawn(&self, sample: u64) -> Vec<f64> {
        let mut point = vec![0.0; self.design.dimensions.len()];
        self.draws.point(sample, &mut point);
        self.design.draw(&mut point);
        point
    }

    /// The case and the constructs of a sample.
    pub fn sample(&self, sample: u64) -> Reading {
        let mut subject = self.points.subject.clone();
        self.design.apply(&self.drawn(sample), &mut subject);
        self.points.read(&subject)
    }

    /// Draws, ties and pushes. Where it is to end early, the result is that of the samples that are whole.
    pub fn run(&self, watcher: &dyn Watcher) -> Scatter {
        watcher.stage(self.plan.samples, "samples");
        let set = |subject: &mut Subject, sample| self.design.apply(&self.drawn(sample), subject);
        let rows = self.points.each(self.plan.samples, set, watcher);
        let mut found = self.found(&rows);
        if let Some(base) = self.plan.indices {
            self.put_indices(base, &mut found, watcher);
        }
        found.complete &= found.done == self.plan.samples;
        found
    }

    fn found(&self, rows: &Rows) -> Scatter {
        let (constructs, pairs) = gather(rows, self);
        let (plan, done) = (&self.plan, rows.done());
        let checked: Vec<Vec<f64>> = (0..done.min(MOST_CHECKED)).map(|s| self.drawn(s)).collect();
        let column = |d: usize| checked.iter().map(|draws| draws[d]).collect::<Vec<f64>>();
        let inputs = self.design.lines.iter().map(|line| {
            let drawn = column(line.dimension);
            InputUsed {
                line: line.clone(),
                mean: if drawn.is_empty() { 0.0 } else { mean(&drawn) },
                deviation: variance(&drawn).sqrt(),
            }
        });
        let backed = self.design.correlations.iter().zip(&self.design.correlation_backing);
        let correlations = backed.map(|(&(a, b, asked), &(tag, source))| Correlated {
            between: [a, b].map(|d| self.design.dimensions[d].path.clone()),
            asked,
            tag,
            source: source.to_owned(),
            reached: spearman(&column(a), &column(b)),
        });
        Scatter {
            case: self.points.subject.case().name.clone(),
            from: plan.from,
            direction: plan.push.direction.name.clone(),
            to: plan.push.to,
            cells: plan.cells,
            steps: plan.push.steps,
            sampler: plan.sampler,
            seed: plan.seed,
            samples: plan.samples,
            done,
            replicates: self.draws.replicates(),
            spread: self.design.source.clone(),
            inputs: inputs.collect(),
            correlations: correlations.collect(),
            constructs,
            pairs,
            index_base: plan.indices.unwrap_or(0),
            index_done: 0,
            complete: true,
        }
    }
}
