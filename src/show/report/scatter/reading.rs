//! The methods and the reading of studies of scatter, in sentences.

use crate::show::prose::sentences;
use crate::show::words::{num, signed, word};
use crate::study::result::{Paired, Sampler, Scatter, counted};
use minijinja::context;

/// Fewest draws on which constructs are said to differ: of something that none of them shows, up to
/// one in twenty may still be like that (the rule of three, 3/n at 95 %).
const FEWEST: usize = 60;

/// From how much more often one has more than the other, two standard errors off, it is said to be so
/// whatever the doubt, and to be likely: 95 and 75 % of the draws. Our choice, assumed.
const SURE: f64 = 0.95;
const LIKELY: f64 = 0.75;

/// The bound of a share of none or of all, in words.
pub(in super::super) fn bound_words(share: f64, bound: f64) -> String {
    let percent = num(100.0 * bound, 1);
    if share > 0.5 { format!("above {percent} %") } else { format!("below {percent} %") }
}

/// To how many per cent standard errors from so many replicates are themselves known: 1/√(2(r − 1)),
/// as for the deviation of normal numbers.
pub(in super::super) fn known_to(replicates: u64) -> f64 {
    100.0 / (2.0 * (replicates as f64 - 1.0)).sqrt()
}

/// What the verdicts on pairs mean, for a methods section.
pub(in super::super) fn verdicts_mean() -> String {
    format!(
        "Of a pair it is said that the uncertainty does not turn it round when one has more on above {} % of \
         the draws, two standard errors off (or by the exact bound at 95 % where all draws agree), and \
         that it is likely above {} %; below that the uncertainty is called larger than the difference. Both \
         borders are assumed.",
        num(100.0 * SURE, 0),
        num(100.0 * LIKELY, 0)
    )
}

/// How samples are drawn, in words.
pub(in super::super) fn sampler(sampler: Sampler) -> &'static str {
    match sampler {
        Sampler::LatinHypercube => "a Latin hypercube",
        Sampler::Sobol => "a scrambled Sobol' sequence",
        Sampler::Random => "independent draws",
    }
}

/// How a study of scatter was done, for a methods section.
pub fn scatter_methods(found: &Scatter) -> String {
    let sampler = sampler(found.sampler);
    let done = if found.done < found.samples {
        format!("{} of {} done; ", found.done, counted(found.samples, "sample"))
    } else {
        format!("{} ", counted(found.samples, "sample"))
    };
    let errors = if found.replicates > 1 {
        format!(
            "in {} independent replicates, from whose scatter the standard errors come (they are themselves known to about {} %)",
            found.replicates,
            num(known_to(found.replicates), 0)
        )
    } else {
        "too few for standard errors".to_owned()
    };
    format!(
        "{done}from {sampler}, seed {}, {errors}; spread: {}; every construct is tried on the same \
         draws, tied from the {} position and pushed {} {} mm in {} steps on about {} bed cells. \
         Intervals of 5 to 95 % are of the samples, not of the mean.{}",
        found.seed,
        found.spread,
        word(&found.from),
        found.direction,
        found.to,
        found.steps,
        found.cells,
        if found.pairs.is_empty() { String::new() } else { format!(" {}", verdicts_mean()) }
    )
}

/// What a study of scatter says.
pub fn scatter_reading(found: &Scatter) -> Vec<String> {
    let constructs = found.constructs.iter().map(|c| {
        let of = |key: &str| c.quantities.iter().find(|q| q.quantity.key == key)?.quantiles.as_ref();
        let ends = [
            (c.ends.lost_in_push, "fail in the push"),
            (c.ends.not_held, "fail when tied"),
            (c.ends.uncertified, "have no checked balance and count for nothing"),
            (c.ends.impossible, "make invalid geometry"),
        ];
        let share = |n: u64| num(100.0 * n as f64 / found.done.max(1) as f64, 1);
        let astray = ends.into_iter().filter(|(n, _)| *n > 0);
        let ranking = c.rankings.iter().find(|r| r.quantity.key == "load-1mm").filter(|r| r.ranks.len() > 2);
        let moved = ranking.iter().flat_map(|r| &r.ranks[..3]);
        context! {
            construct => c.construct,
            one => of("load-1mm"),
            press => of("compression"),
            astray => astray.map(|(n, words)| format!("{n} ({} %) {words}", share(n))).collect::<Vec<_>>(),
            moved => moved.map(|r| format!("{} ({})", r.path, signed(r.coefficient, 2))).collect::<Vec<_>>(),
        }
    });
    let loads = found.pairs.iter().filter(|p| p.quantity.key.starts_with("load"));
    let data = context! {
        done => found.done,
        samples => found.samples,
        constructs => constructs.collect::<Vec<_>>(),
        pairs => loads.map(|pair| context! { pair, verdict => verdict(pair) }).collect::<Vec<_>>(),
    };
    sentences(include_str!("../said/scatter.txt"), &data)
}

/// What draws say of a pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in super::super) enum Judged {
    /// The uncertainty is larger than the difference.
    Alike,
    /// Likely, but not beyond the uncertainty.
    Likely,
    /// The uncertainty does not turn it round.
    Sure,
}

/// Whether the uncertainty could turn a pair round, two standard errors from the border, so that few samples cannot
/// promise much; `None` with too few to say.
pub(in super::super) fn judged(pair: &Paired) -> Option<Judged> {
    let s = pair.superiority?;
    let off = match s.bound {
        Some(bound) => (bound - 0.5).abs(),
        None => (s.value - 0.5).abs() - 2.0 * s.error?,
    };
    Some(match off {
        v if v > SURE - 0.5 => Judged::Sure,
        v if v > LIKELY - 0.5 => Judged::Likely,
        _ => Judged::Alike,
    })
}

/// The same in words, of as many draws as can promise something.
fn verdict(pair: &Paired) -> Option<&'static str> {
    let enough = pair.difference.as_ref()?.of >= FEWEST;
    Some(match judged(pair).filter(|_| enough) {
        None => "too few samples to say more",
        Some(Judged::Sure) => "the uncertainty does not turn this round",
        Some(Judged::Likely) => "likely, but not beyond the uncertainty",
        Some(Judged::Alike) => "the uncertainty is larger than the difference",
    })
}
