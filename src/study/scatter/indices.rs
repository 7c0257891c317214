//! Sobol' indices of the quantities: which draws are run, and what they say.

use super::gather::RANKED;
use super::plan::Study;
use crate::par;
use crate::quantities::{place_of, quantity};
use crate::stats::{BaseRun, Draws, Method, REDRAWS, sobol_indices};
use crate::study::Watcher;
use crate::study::result::{Index, Indices, Scatter};

/// Which draws are run: for each base sample those of A, of B, and of A with one group from B.
#[derive(Debug)]
pub(super) struct IndexDesign {
    /// Groups of inputs that are exchanged together: name and dimensions.
    pub groups: Vec<(String, Vec<usize>)>,
}

impl IndexDesign {
    /// Runs of a base sample.
    pub fn runs(&self) -> u64 {
        self.groups.len() as u64 + 2
    }

    /// Numbers that a base sample takes.
    pub fn numbers(&self, constructs: usize) -> u64 {
        self.runs() * (constructs * RANKED.len()) as u64
    }

    /// The point of the unit cube of a run, from the point of its base sample (A, then B).
    pub fn point(&self, base: &[f64], run: u64) -> Vec<f64> {
        let (a, b) = base.split_at(base.len() / 2);
        match run {
            0 => a.to_vec(),
            1 => b.to_vec(),
            _ => {
                let mut mixed = a.to_vec();
                for d in &self.groups[run as usize - 2].1 {
                    mixed[*d] = b[*d];
                }
                mixed
            }
        }
    }
}

/// The numbers of [`RANKED`] of a run.
type Run = [f64; RANKED.len()];

impl Study {
    /// Runs base samples and puts the indices to what was found. Where it is to end early, those of the base
    /// samples that are whole; of a quantity whose intervals were not finished there are none.
    pub(super) fn put_indices(&self, base: u64, found: &mut Scatter, watcher: &dyn Watcher) {
        let design = self.index_design();
        let (inputs, per) = (self.design.dimensions.len(), design.runs());
        // A seed of its own: the base samples are none of the samples. Single precision of the Sobol'
        // sequence would do as well, but has too few dimensions for twice the inputs of a large case.
        let draws = Draws::new(Method::LatinHypercube, self.plan.seed.wrapping_add(1), base, 2 * inputs);
        let constructs = self.points.names.len();
        let concerns = |k: usize, run: u64| {
            let of = |d: &usize| self.design.dimensions[*d].concerns(k);
            run < 2 || design.groups[run as usize - 2].1.iter().any(of)
        };
        watcher.stage(base * per, "runs for the indices");
        let space = || self.points.subject.clone();
        let runs: Vec<Vec<Option<Run>>> = par::until(base * per, space, |subject, k| {
            let mut both = vec![0.0; 2 * inputs];
            draws.point(k / per, &mut both);
            let mut point = design.point(&both, k % per);
            self.design.draw(&mut point);
            self.design.apply(&point, subject);
            // An input that does not concern a construct changes nothing there.
            let rows = self.points.rows(subject, |c| concerns(c, k % per), watcher)?;
            Some(rows.into_iter().map(|row| row.map(|row| RANKED.map(|key| row.values[place_of(key)]))).collect())
        });
        let whole = runs.chunks_exact(per as usize);
        found.index_done = whole.len() as u64;
        found.complete &= found.index_done == base;
        // Interrupted already: what stands is still summed up.
        let already = watcher.stops();
        let go_on = || {
            watcher.step();
            already || !watcher.stops()
        };
        watcher.stage(constructs as u64 * RANKED.len() as u64 * REDRAWS, "redraws for the intervals of the indices");
        for (k, construct) in found.constructs.iter_mut().enumerate() {
            let of = |runs: &[Vec<Option<Run>>]| -> Vec<Run> {
                let at_a = runs[0][k];
                runs.iter().map(|run| run[k].or(at_a).unwrap_or([f64::NAN; RANKED.len()])).collect()
            };
            let values: Vec<Run> = whole.clone().flat_map(of).collect();
            construct.indices = index_results(&design, &values, self.plan.seed, &go_on);
        }
        found.complete &= go_on();
    }
}

/// Indices from the values of all runs, base sample by base sample; `go_on` is asked before each redraw of
/// the bootstrap. A quantity whose indices were not finished is left out.
fn index_results(design: &IndexDesign, values: &[Run], seed: u64, go_on: &(dyn Fn() -> bool + Sync)) -> Vec<Indices> {
    let per = design.runs() as usize;
    RANKED
        .iter()
        .enumerate()
        .filter_map(|(q, key)| {
            let mut left_out = 0;
            let runs: Vec<BaseRun> = values
                .chunks_exact(per)
                .filter_map(|chunk| {
                    let values: Vec<f64> = chunk.iter().map(|v| v[q]).collect();
                    if values.iter().any(|v| v.is_nan()) {
                        left_out += 1;
                        return None;
                    }
                    Some(BaseRun { a: values[0], b: values[1], mixed: values[2..].to_vec() })
                })
                .collect();
            let (variance, found) = sobol_indices(&runs, seed, go_on)?;
            let mut indices: Vec<Index> = design
                .groups
                .iter()
                .zip(found)
                .map(|((path, _), i)| Index {
                    path: path.clone(),
                    first: i.first,
                    first_interval: i.first_interval,
                    total: i.total,
                    total_interval: i.total_interval,
                })
                .collect();
            indices.sort_by(|a, b| b.total.total_cmp(&a.total));
            Some(Indices { quantity: quantity(key).named(), of: runs.len(), left_out, variance, indices })
        })
        .collect()
}
