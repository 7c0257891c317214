//! A ready-made sweep for a report: on its case and constructs, its points in a file without a name.

use super::arguments::Sweep as Arguments;
use super::grid::{Grid, found, points};
use super::head::Head;
use super::store::Store;
use crate::cli::arguments::Way;
use crate::cli::failure::Failure;
use crate::model::spread::Subject;
use crate::show::report::sweep_reading;
use crate::study::result::Sweep;
use crate::study::scatter::NAMED;

/// Bed cells aimed at and recorded steps of the push at each point, as `rimhold sweep` has them.
const CELLS: usize = 400;
const STEPS: usize = 20;

/// A ready-made sweep, ready to be run.
pub(in crate::cli) struct Reported {
    typed: Arguments,
    grid: Grid,
    left_out: Vec<String>,
}

impl Reported {
    /// The sweep of a name on a case and those of the constructs that have what it varies.
    ///
    /// # Errors
    /// A name that is none, files with mistakes, a case and constructs of which none has what it varies.
    pub fn new(name: &str, case: &str, constructs: &[String], way: &Way) -> Result<Self, Failure> {
        let Some(named) = NAMED.iter().find(|n| n.name == name) else {
            return Err(Failure::Input(format!("no sweep `{name}`")));
        };
        let typed = Arguments {
            case: Some(case.to_owned()),
            constructs: constructs.to_vec(),
            vary: Vec::new(),
            show: Vec::new(),
            store: None,
            resume: false,
            from: None,
            direction: way.direction.clone(),
            to: way.to,
            cells: CELLS,
            steps: STEPS,
        };
        let open = |names: &[String]| {
            let subject = Subject::open(case, names).map_err(Failure::Files)?;
            Grid::new(&typed, Some(named), subject, way.guided).map_err(|e| match e {
                Failure::Input(words) => Failure::Input(format!("--sweep {name}: {words}")),
                other => other,
            })
        };
        let whole = open(constructs)?;
        let concerned = |k: usize| whole.axes.iter().all(|a| a.concerns(k));
        let (kept, left): (Vec<usize>, Vec<usize>) = (0..constructs.len()).partition(|k| concerned(*k));
        if kept.is_empty() {
            return Err(Failure::Input(format!(
                "--sweep {name}: no construct has all of what it varies\n  it varies {}",
                named.vary.join(" and ")
            )));
        }
        let left_out = left.iter().map(|k| whole.job.names[*k].clone()).collect();
        let grid = if left.is_empty() {
            whole
        } else {
            let names: Vec<String> = kept.iter().map(|k| constructs[*k].clone()).collect();
            open(&names)?
        };
        Ok(Self { typed, grid, left_out })
    }

    /// Constructs that have not what it varies.
    pub fn left_out(&self) -> &[String] {
        &self.left_out
    }

    /// Computes every point.
    ///
    /// # Errors
    /// No room for the points.
    pub fn run(&self, quiet: bool) -> std::io::Result<Sweep> {
        let Grid { job, axes, total, named } = &self.grid;
        let mut store = Store::unnamed(&Head::new(Vec::new()), &job.layouts)?;
        points(job, axes, *total, &mut store, quiet)?;
        let mut found = found(&self.typed, job, axes, *named, &mut store)?;
        found.complete = true;
        found.reading = sweep_reading(&found);
        Ok(found)
    }
}
