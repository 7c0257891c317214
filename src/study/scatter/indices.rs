//! Sobol' indices of the quantities: which draws are run, and what they say.

use super::gather::RANKED;
use crate::quantities::quantity;
use crate::stats::{BaseRun, sobol_indices};
use crate::study::result::{Index, Indices};

/// Which draws are run: for each base sample those of A, of B, and of A with one group from B.
#[derive(Debug, Clone, PartialEq)]
pub struct IndexDesign {
    /// Groups of inputs that are exchanged together: name and dimensions.
    pub groups: Vec<(String, Vec<usize>)>,
}

impl IndexDesign {
    /// Runs of a base sample.
    pub fn runs(&self) -> u64 {
        self.groups.len() as u64 + 2
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

/// Indices from the values of all runs, base sample by base sample. `values` holds, for each run, the
/// numbers of [`RANKED`] in their order; `go_on` is asked before each redraw of the bootstrap. A
/// quantity whose indices were not finished is left out.
pub fn index_results(
    design: &IndexDesign,
    values: &[[f64; RANKED.len()]],
    seed: u64,
    go_on: &(dyn Fn() -> bool + Sync),
) -> Vec<Indices> {
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
