//! From rows to what is reported.

use super::pair::{COMPARED, pair};
use super::plan::Study;
use super::row::Layout;
use super::sampling::Rows;
use super::under::Fate;
use crate::quantities::{place_of, quantity, sampled};
use crate::stats::{self, Replicated, mean, partial_rank_correlation, replicated, variance};
use crate::study::result::{
    Astray, BandPoint, End, Ends, Estimate, EventChance, Paired, Quantiles, Rank, Ranking, Scattered, Scattering,
    Share, ShareScatter, UnderLoad,
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

fn estimate(replicated: Replicated) -> Estimate {
    Estimate { value: replicated.value, error: replicated.error }
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
        estimate(replicated(&groups, |values| {
            values.sort_by(f64::total_cmp);
            stats::quantile(values, p)
        }))
    };
    Some(Quantiles {
        of: all.len(),
        mean: estimate(replicated(&groups, |v| mean(v))),
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
    let Replicated { value, error } = replicated(&groups, |v| mean(v));
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
