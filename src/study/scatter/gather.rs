//! From rows to what is reported.

use super::pair::{COMPARED, pair};
use super::plan::Study;
use super::row::{Fate, Layout};
use super::sampling::Rows;
use crate::par;
use crate::quantities::{place_of, quantity, sampled};
use crate::stats::{
    self, BaseRun, Draws, Estimate, Method, REDRAWS, mean, partial_rank_correlation, replicated, sobol_indices,
    variance,
};
use crate::study::Watcher;
use crate::study::result::{
    Astray, BandPoint, End, Ends, EventChance, Index, Indices, Paired, Quantiles, Rank, Ranking, Scatter, Scattered,
    Scattering, Share, ShareScatter, UnderLoad,
};

/// Most samples that the ranking of inputs rests on, so that memory stays flat.
const MOST_RANKED: u64 = 20_000;
/// Quantities whose inputs are ranked, and whose Sobol' indices are estimated.
pub const RANKED: [&str; 5] = ["compression", "step", "load-1mm", "load-2mm", "peak-load"];

/// Everything about constructs and pairs.
pub(super) fn gather(rows: &Rows, study: &Study) -> (Vec<Scattered>, Vec<Paired>) {
    let count = study.points.names.len();
    let constructs = (0..count).map(|k| one(rows, study, k)).collect();
    let ends: Vec<Vec<End>> = (0..count).map(|k| rows.ends(k)).collect();
    let mut pairs = Vec::new();
    for first in 0..count {
        for second in first + 1..count {
            pairs.extend(COMPARED.map(|key| pair(rows, study, &ends, [first, second], key)));
        }
    }
    (constructs, pairs)
}

fn one(rows: &Rows, study: &Study, k: usize) -> Scattered {
    let layout = &study.points.layouts[k];
    let replicates = study.draws.replicates();
    let of = |column| quantiles(&rows.column(k, column), replicates);
    let quantities =
        sampled().enumerate().map(|(q, quantity)| Scattering { quantity: quantity.named(), quantiles: of(q) });
    let shares = layout.carriers.iter().enumerate().map(|(c, (name, carrier))| ShareScatter {
        name: name.clone(),
        carrier: *carrier,
        quantiles: of(layout.shares() + c),
    });
    let band = layout.grid.iter().enumerate().map(|(g, displacement)| {
        let mut loads = rows.column(k, layout.loads() + g);
        loads.retain(|v| !v.is_nan());
        loads.sort_by(f64::total_cmp);
        BandPoint {
            displacement: *displacement,
            of: loads.len(),
            loads: (!loads.is_empty()).then(|| [0.05, 0.25, 0.5, 0.75, 0.95].map(|p| stats::quantile(&loads, p))),
        }
    });
    Scattered {
        construct: study.points.names[k].clone(),
        under: under(&rows.column(k, layout.fate()), study.plan.under, replicates),
        events: events(rows, layout, k, replicates),
        rankings: rankings(rows, study, k),
        ends: count(rows, k),
        quantities: quantities.collect(),
        shares: shares.collect(),
        band: band.collect(),
        indices: Vec::new(),
    }
}

fn count(rows: &Rows, k: usize) -> Ends {
    let mut result = Ends::default();
    for end in rows.ends(k) {
        *match end {
            End::Held => &mut result.held,
            End::LostInPush => &mut result.lost_in_push,
            End::NotHeld => &mut result.not_held,
            End::Uncertified => &mut result.uncertified,
            End::Impossible => &mut result.impossible,
        } += 1;
    }
    let listed = rows.listed(k).map(|(sample, end, why)| Astray { sample, end, why: why.to_owned() });
    result.listed = listed.collect();
    result
}

/// The values by replicate, without those that are absent.
fn grouped(values: impl IntoIterator<Item = f64>, replicates: u64) -> Vec<Vec<f64>> {
    let mut groups = vec![Vec::new(); replicates as usize];
    for (sample, value) in values.into_iter().enumerate() {
        if !value.is_nan() {
            groups[sample % replicates as usize].push(value);
        }
    }
    groups
}

/// Quantiles of a column; `None` when it is empty.
pub(super) fn quantiles(column: &[f64], replicates: u64) -> Option<Quantiles> {
    let groups = grouped(column.iter().copied(), replicates);
    let mut all: Vec<f64> = groups.iter().flatten().copied().collect();
    if all.is_empty() {
        return None;
    }
    all.sort_by(f64::total_cmp);
    let at = |p: f64| {
        replicated(&groups, |values| {
            values.sort_by(f64::total_cmp);
            stats::quantile(values, p)
        })
    };
    Some(Quantiles {
        of: all.len(),
        mean: replicated(&groups, |v| mean(v)),
        deviation: variance(&all).sqrt(),
        low: at(0.05),
        lower: stats::quantile(&all, 0.25),
        median: at(0.5),
        upper: stats::quantile(&all, 0.75),
        high: at(0.95),
    })
}

/// Share of samples for which something is so; NaN marks samples that do not count. `None` when none
/// does.
pub(super) fn probability(marks: &[f64], replicates: u64) -> Option<Share> {
    let groups = grouped(marks.iter().copied(), replicates);
    let all: Vec<f64> = groups.iter().flatten().copied().collect();
    if all.is_empty() {
        return None;
    }
    let Estimate { value, error } = replicated(&groups, |v| mean(v));
    let alike = |mark: f64| all.iter().all(|m| *m == mark);
    Some(if alike(0.0) || alike(1.0) {
        Share { value, error: None, bound: Some(stats::exact_bound(alike(1.0), all.len())) }
    } else {
        Share { value, error, bound: None }
    })
}

fn under(fates: &[f64], load: f64, replicates: u64) -> UnderLoad {
    let of = |which: &[Fate]| {
        let is = |f: f64| f64::from(which.iter().any(|fate| f == f64::from(*fate as u8)));
        let marks: Vec<f64> = fates.iter().map(|f| if f.is_nan() { *f } else { is(*f) }).collect();
        probability(&marks, replicates)
    };
    UnderLoad {
        load,
        step: of(&[Fate::Steps]),
        gives_way: of(&[Fate::GivesWay]),
        either: of(&[Fate::Steps, Fate::GivesWay]),
        not_reached: of(&[Fate::NotReached]),
    }
}

fn events(rows: &Rows, layout: &Layout, k: usize, replicates: u64) -> Vec<EventChance> {
    let ends = rows.ends(k);
    let pushed: Vec<bool> = ends.iter().map(|e| matches!(e, End::Held | End::LostInPush)).collect();
    // The displacement of what happens first of all in each sample.
    let mut earliest = vec![f64::INFINITY; ends.len()];
    for g in 0..layout.gauges.len() {
        for (first, at) in earliest.iter_mut().zip(rows.column(k, layout.events() + g)) {
            // `min` passes over what did not happen.
            *first = first.min(at);
        }
    }
    let mut list = Vec::new();
    for (g, (kind, subject)) in layout.gauges.iter().enumerate() {
        let column = rows.column(k, layout.events() + g);
        let mut places: Vec<f64> = column.iter().copied().filter(|v| !v.is_nan()).collect();
        if places.is_empty() {
            continue;
        }
        places.sort_by(f64::total_cmp);
        let marks = |is: &dyn Fn(usize) -> bool| -> Vec<f64> {
            (0..column.len()).map(|s| if pushed[s] { f64::from(is(s)) } else { f64::NAN }).collect()
        };
        let share = |is: &dyn Fn(usize) -> bool| probability(&marks(is), replicates);
        // Where it happens some sample was pushed.
        let (Some(happens), Some(first)) = (share(&|s| !column[s].is_nan()), share(&|s| column[s] == earliest[s]))
        else {
            continue;
        };
        list.push(EventChance {
            kind: *kind,
            subject: subject.clone(),
            probability: happens,
            first,
            displacement: Some(stats::quantile(&places, 0.5)),
        });
    }
    list.sort_by(|a, b| b.probability.value.total_cmp(&a.probability.value));
    list
}

fn rankings(rows: &Rows, study: &Study, k: usize) -> Vec<Ranking> {
    let n = rows.done().min(MOST_RANKED);
    let all = study.design.dimensions.iter().enumerate();
    let inputs: Vec<(usize, &str)> = all.filter(|(_, d)| d.concerns(k)).map(|(at, d)| (at, d.path.as_str())).collect();
    let mut drawn = vec![Vec::with_capacity(n as usize); inputs.len()];
    for sample in 0..n {
        let all = study.drawn(sample);
        for (column, (at, _)) in drawn.iter_mut().zip(&inputs) {
            column.push(all[*at]);
        }
    }
    let mut list = Vec::new();
    for key in RANKED {
        let answer = rows.column(k, place_of(key));
        let has: Vec<usize> = (0..n as usize).filter(|s| !answer[*s].is_nan()).collect();
        let take = |column: &[f64]| -> Vec<f64> { has.iter().map(|s| column[*s]).collect() };
        let chosen: Vec<Vec<f64>> = drawn.iter().map(|c| take(c)).collect();
        let found = partial_rank_correlation(&chosen, &take(&answer));
        // Fisher's z with as many degrees of freedom fewer as inputs are held.
        let free = has.len() as f64 - 3.0 - (inputs.len() as f64 - 1.0);
        let mut ranks: Vec<Rank> = inputs
            .iter()
            .zip(found)
            .filter_map(|((_, path), coefficient)| {
                let coefficient = coefficient?;
                let z = libm::atanh(coefficient.clamp(-1.0 + 1e-15, 1.0 - 1e-15));
                let half = stats::normal::quantile(0.975) / free.max(1.0).sqrt();
                let interval = [libm::tanh(z - half), libm::tanh(z + half)];
                Some(Rank { path: (*path).to_owned(), coefficient, interval })
            })
            .collect();
        ranks.sort_by(|a, b| b.coefficient.abs().total_cmp(&a.coefficient.abs()));
        list.push(Ranking { quantity: quantity(key).named(), of: has.len(), ranks });
    }
    list
}

// Sobol' indices of the quantities: which draws are run, and what they say.

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
            let mut indices: Vec<Index> =
                design.groups.iter().zip(found).map(|((path, _), index)| Index { path: path.clone(), index }).collect();
            indices.sort_by(|a, b| b.index.total.total_cmp(&a.index.total));
            Some(Indices { quantity: quantity(key).named(), of: runs.len(), left_out, variance, indices })
        })
        .collect()
}
