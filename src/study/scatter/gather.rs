//! From rows to what is reported.

use super::pair::{COMPARED, pair};
use super::row::Layout;
use super::under::Fate;
use crate::quantities::{place_of, quantity, sampled};
use crate::stats::{self, Replicated, mean, partial_rank_correlation, replicated, variance};
use crate::study::result::{
    Astray, BandPoint, End, Ends, Estimate, EventChance, Paired, Quantiles, Rank, Ranking, Scattered, Scattering,
    Share, ShareScatter, UnderLoad,
};

/// Most samples of a list of those gone astray.
pub const MOST_LISTED: usize = 200;
/// Most samples that the ranking of inputs rests on, so that memory stays flat.
const MOST_RANKED: u64 = 20_000;
/// Quantities whose inputs are ranked, and whose Sobol' indices are estimated.
pub const RANKED: [&str; 5] = ["compression", "step", "load-1mm", "load-2mm", "peak-load"];

/// The rows of all samples done, wherever they are kept.
pub trait Rows {
    /// Samples done.
    fn done(&self) -> u64;
    /// One column of a construct for all samples, in their order.
    ///
    /// # Errors
    /// When what was kept cannot be read.
    fn column(&mut self, construct: usize, column: usize) -> std::io::Result<Vec<f64>>;
    /// How each sample of a construct ended.
    ///
    /// # Errors
    /// When what was kept cannot be read.
    fn ends(&mut self, construct: usize) -> std::io::Result<Ended>;
}

/// How the samples of a construct ended.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ended {
    /// Each sample.
    pub ends: Vec<End>,
    /// Why, for the first that were not held to the end: number and words.
    pub why: Vec<(u64, String)>,
}

/// What else the report needs.
#[allow(missing_debug_implementations)]
pub struct Asked<'a> {
    /// Names of the constructs.
    pub names: &'a [String],
    /// Their layouts.
    pub layouts: &'a [Layout],
    /// Replicates that samples are dealt to in turn.
    pub replicates: u64,
    /// The load under which steps are counted, N.
    pub under: f64,
    /// Names of the inputs, by construct those that concern it.
    pub inputs: &'a [Vec<(String, usize)>],
    /// The draws of a sample, one for each input.
    pub draws: &'a dyn Fn(u64) -> Vec<f64>,
}

/// Everything about constructs and pairs.
///
/// # Errors
/// When the rows cannot be read.
pub fn gather(rows: &mut dyn Rows, asked: &Asked<'_>) -> std::io::Result<(Vec<Scattered>, Vec<Paired>)> {
    let (mut constructs, mut ends) = (Vec::new(), Vec::new());
    for k in 0..asked.names.len() {
        let ended = rows.ends(k)?;
        constructs.push(one(rows, asked, k, &ended)?);
        ends.push(ended.ends);
    }
    let mut pairs = Vec::new();
    for first in 0..asked.names.len() {
        for second in first + 1..asked.names.len() {
            for key in COMPARED {
                pairs.push(pair(rows, asked, &ends, [first, second], key)?);
            }
        }
    }
    Ok((constructs, pairs))
}

fn one(rows: &mut dyn Rows, asked: &Asked<'_>, k: usize, ended: &Ended) -> std::io::Result<Scattered> {
    let layout = &asked.layouts[k];
    let mut quantities = Vec::new();
    for (q, quantity) in sampled().enumerate() {
        let quantiles = quantiles(&rows.column(k, q)?, asked.replicates);
        quantities.push(Scattering { quantity: quantity.named(), quantiles });
    }
    let mut shares = Vec::new();
    for (c, (name, carrier)) in layout.carriers.iter().enumerate() {
        shares.push(ShareScatter {
            name: name.clone(),
            carrier: *carrier,
            quantiles: quantiles(&rows.column(k, layout.shares() + c)?, asked.replicates),
        });
    }
    let mut band = Vec::new();
    for (g, displacement) in layout.grid.iter().enumerate() {
        let mut loads = rows.column(k, layout.loads() + g)?;
        loads.retain(|v| !v.is_nan());
        loads.sort_by(f64::total_cmp);
        band.push(BandPoint {
            displacement: *displacement,
            of: loads.len(),
            loads: (!loads.is_empty()).then(|| [0.05, 0.25, 0.5, 0.75, 0.95].map(|p| stats::quantile(&loads, p))),
        });
    }
    Ok(Scattered {
        construct: asked.names[k].clone(),
        under: under(rows, asked, k)?,
        events: events(rows, asked, k, &ended.ends)?,
        rankings: rankings(rows, asked, k)?,
        ends: count(ended),
        quantities,
        shares,
        band,
        indices: Vec::new(),
    })
}

fn count(ended: &Ended) -> Ends {
    let mut result = Ends::default();
    for end in &ended.ends {
        *match end {
            End::Held => &mut result.held,
            End::LostInPush => &mut result.lost_in_push,
            End::NotHeld => &mut result.not_held,
            End::Uncertified => &mut result.uncertified,
            End::Impossible => &mut result.impossible,
        } += 1;
    }
    result.listed = ended
        .why
        .iter()
        .map(|(sample, why)| Astray { sample: *sample, end: ended.ends[*sample as usize], why: why.clone() })
        .collect();
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

fn under(rows: &mut dyn Rows, asked: &Asked<'_>, k: usize) -> std::io::Result<UnderLoad> {
    let fates = rows.column(k, asked.layouts[k].fate())?;
    let of = |which: &dyn Fn(f64) -> bool| {
        let marks: Vec<f64> = fates.iter().map(|f| if f.is_nan() { *f } else { f64::from(which(*f)) }).collect();
        probability(&marks, asked.replicates)
    };
    let is = |fate: Fate| move |f: f64| f == f64::from(fate as u8);
    Ok(UnderLoad {
        load: asked.under,
        step: of(&is(Fate::Steps)),
        gives_way: of(&is(Fate::GivesWay)),
        either: of(&|f| f == f64::from(Fate::Steps as u8) || f == f64::from(Fate::GivesWay as u8)),
        not_reached: of(&is(Fate::NotReached)),
    })
}

fn events(rows: &mut dyn Rows, asked: &Asked<'_>, k: usize, ends: &[End]) -> std::io::Result<Vec<EventChance>> {
    let layout = &asked.layouts[k];
    let pushed: Vec<bool> = ends.iter().map(|e| matches!(e, End::Held | End::LostInPush)).collect();
    // The displacement of what happens first of all in each sample.
    let mut earliest = vec![f64::INFINITY; ends.len()];
    for g in 0..layout.gauges.len() {
        for (first, at) in earliest.iter_mut().zip(rows.column(k, layout.events() + g)?) {
            // `min` passes over what did not happen.
            *first = first.min(at);
        }
    }
    let mut list = Vec::new();
    for (g, (kind, subject)) in layout.gauges.iter().enumerate() {
        let column = rows.column(k, layout.events() + g)?;
        let mut places: Vec<f64> = column.iter().copied().filter(|v| !v.is_nan()).collect();
        if places.is_empty() {
            continue;
        }
        places.sort_by(f64::total_cmp);
        let marks = |is: &dyn Fn(usize) -> bool| -> Vec<f64> {
            (0..column.len()).map(|s| if pushed[s] { f64::from(is(s)) } else { f64::NAN }).collect()
        };
        let share = |is: &dyn Fn(usize) -> bool| probability(&marks(is), asked.replicates);
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
    Ok(list)
}

fn rankings(rows: &mut dyn Rows, asked: &Asked<'_>, k: usize) -> std::io::Result<Vec<Ranking>> {
    let n = rows.done().min(MOST_RANKED);
    let inputs = &asked.inputs[k];
    let mut drawn = vec![Vec::with_capacity(n as usize); inputs.len()];
    for sample in 0..n {
        let all = (asked.draws)(sample);
        for (column, (_, at)) in drawn.iter_mut().zip(inputs) {
            column.push(all[*at]);
        }
    }
    let mut list = Vec::new();
    for key in RANKED {
        let answer = rows.column(k, place_of(key))?;
        let has: Vec<usize> = (0..n as usize).filter(|s| !answer[*s].is_nan()).collect();
        let take = |column: &[f64]| -> Vec<f64> { has.iter().map(|s| column[*s]).collect() };
        let chosen: Vec<Vec<f64>> = drawn.iter().map(|c| take(c)).collect();
        let found = partial_rank_correlation(&chosen, &take(&answer));
        // Fisher's z with as many degrees of freedom fewer as inputs are held.
        let free = has.len() as f64 - 3.0 - (inputs.len() as f64 - 1.0);
        let mut ranks: Vec<Rank> = inputs
            .iter()
            .zip(found)
            .filter_map(|((path, _), coefficient)| {
                let coefficient = coefficient?;
                let z = coefficient.clamp(-1.0 + 1e-15, 1.0 - 1e-15).atanh();
                let half = stats::normal::quantile(0.975) / free.max(1.0).sqrt();
                Some(Rank { path: path.clone(), coefficient, interval: [(z - half).tanh(), (z + half).tanh()] })
            })
            .collect();
        ranks.sort_by(|a, b| b.coefficient.abs().total_cmp(&a.coefficient.abs()));
        list.push(Ranking { quantity: quantity(key).named(), of: has.len(), ranks });
    }
    Ok(list)
}
