//! A study of scatter for a report: few samples, kept in memory.

use super::arguments::{SamplerChoice, Scatter as Arguments};
use super::found::found;
use super::head::Head;
use super::indices::{index_design, indices, put_indices};
use super::job::{Job, job, solved};
use super::run::spread_of;
use super::store::Store;
use crate::cli::arguments::{From, Way};
use crate::cli::failure::Failure;
use crate::cli::progress::Progress;
use crate::model::Warning;
use crate::model::spread::{Design, Subject};
use crate::show::report::scatter_reading;
use crate::study::result::{End, Scatter};
use crate::study::scatter::{Ended, MOST_LISTED, Row, Rows};

/// Bed cells aimed at and recorded steps of the push in each sample, as `rimhold scatter` has them.
const CELLS: usize = 220;
const STEPS: usize = 10;
/// The load under which steps are counted, N, as `rimhold scatter` has it.
const UNDER: f64 = 50.0;

/// A study of scatter, ready to be run.
pub(in crate::cli) struct InMemory {
    typed: Arguments,
    job: Job,
}

impl InMemory {
    /// A study of a case and constructs by the case's own spread, or the built-in one where it has
    /// none.
    ///
    /// # Errors
    /// Files or a spread with mistakes.
    pub fn new(
        case: &str,
        constructs: &[String],
        from: From,
        way: &Way,
        samples: u64,
        seed: u64,
        indices: Option<u64>,
    ) -> Result<Self, Failure> {
        let typed = Arguments {
            case: Some(case.to_owned()),
            constructs: constructs.to_vec(),
            spread: None,
            samples,
            seed,
            sampler: SamplerChoice::Latin,
            under: UNDER,
            indices,
            sample: None,
            inputs: false,
            store: None,
            resume: false,
            from,
            direction: way.direction.clone(),
            to: way.to,
            cells: CELLS,
            steps: STEPS,
        };
        let mut subject = Subject::open(case, constructs).map_err(Failure::Files)?;
        subject.set_cells(CELLS);
        let (table, lenient) = spread_of(&subject);
        let mut design = Design::new(&table, &subject, lenient).map_err(|p| Failure::Files(vec![p]))?;
        // The name of a file would be another one when the report is run again from its copies.
        design.source = if lenient { "the built-in spread" } else { "the case's own [spread] table" }.to_owned();
        let mut job = job(&typed, subject, design)?;
        job.probe.guided = way.guided;
        Ok(Self { typed, job })
    }

    /// What was cut off the distributions, and the like.
    pub fn warnings(&self) -> &[Warning] {
        &self.job.design.warnings
    }

    /// Runs every sample.
    ///
    /// # Errors
    /// No room for the runs of the indices.
    pub fn run(&self, quiet: bool) -> std::io::Result<Scatter> {
        let progress = Progress::long(self.typed.samples, 0, "samples", quiet);
        let mut kept = Kept(solved(&self.job, 0..self.typed.samples, &progress));
        drop(progress);
        let mut found = found(&self.typed, &self.job, &mut kept)?;
        if let Some(index) = index_design(&self.typed, &self.job) {
            let mut store = Store::unnamed(&Head::new(Vec::new()), &self.job.layouts)?;
            indices(&self.job, &index, &self.typed, &mut store, quiet)?;
            put_indices(&index, self.typed.seed, &mut store, &mut found, quiet)?;
        }
        found.reading = scatter_reading(&found);
        Ok(found)
    }
}

/// The rows of all samples: of each sample, one row a construct.
struct Kept(Vec<Vec<Row>>);

impl Rows for Kept {
    fn done(&self) -> u64 {
        self.0.len() as u64
    }

    fn column(&mut self, construct: usize, column: usize) -> std::io::Result<Vec<f64>> {
        let rows = self.0.iter();
        Ok(rows.map(|row| row[construct].values[column]).collect())
    }

    fn ends(&mut self, construct: usize) -> std::io::Result<Ended> {
        let mut ended = Ended::default();
        for (sample, rows) in self.0.iter().enumerate() {
            let row = &rows[construct];
            if row.end != End::Held && ended.why.len() < MOST_LISTED {
                ended.why.push((sample as u64, row.why.clone()));
            }
            ended.ends.push(row.end);
        }
        Ok(ended)
    }
}
