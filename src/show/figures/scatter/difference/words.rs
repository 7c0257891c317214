//! What differences say in words and numbers.

use super::super::words::{drawn, spoken};
use super::MOST;
use crate::show::chart::*;
use crate::study::result::{Paired, Scatter};

/// The probability of superiority in words.
pub(super) fn superiority(pair: &Paired) -> String {
    let Some(s) = pair.superiority else {
        return "more: cannot be said".to_owned();
    };
    let error = match (s.error, s.bound) {
        (Some(e), _) => format!("s.e. {:.1}", 100.0 * e),
        (None, Some(b)) if s.value > 0.5 => format!("above {:.1}", 100.0 * b),
        (None, Some(b)) => format!("below {:.1}", 100.0 * b),
        (None, None) => "error not known".to_owned(),
    };
    format!("more on {:.1} % ({error}) of {} draws", 100.0 * s.value, pair.superiority_of)
}

pub(super) fn csv(pairs: &[&Paired]) -> String {
    let mut csv = Csv::new("quantity,unit,kind,from,to,value,error".split(','));
    for pair in pairs {
        let (key, unit) = (&pair.quantity.key, &pair.quantity.unit);
        let mut row = |kind: &str, value: f64, error: Option<f64>| csv.row(row![key, unit, kind, "", "", value, error]);
        if let Some(q) = &pair.difference {
            row("samples", q.of as f64, None);
            row("5 %", q.low.value, q.low.error);
            row("25 %", q.lower, None);
            row("median", q.median.value, q.median.error);
            row("75 %", q.upper, None);
            row("95 %", q.high.value, q.high.error);
        }
        if let Some(s) = pair.superiority {
            row("probability of superiority", s.value, s.error);
            row("draws that it rests on", pair.superiority_of as f64, None);
        }
        if let Some(h) = &pair.histogram {
            for (bin, count) in h.counts.iter().enumerate() {
                let [from, to] = [bin, bin + 1].map(|k| h.from + k as f64 * h.width);
                csv.row(row![key, unit, "count", from, to, *count, ""]);
            }
        }
    }
    csv.finish()
}

pub(super) fn caption(found: &Scatter, first: &str, second: &str) -> String {
    let many = found.constructs.len() * (found.constructs.len() - 1) / 2 > MOST;
    format!(
        "{second} minus {first} on the same draws: a histogram of the differences over the draws where both have the quantity, each panel on a scale of its own that leaves out one in a hundred at either end (what lies beyond the axis is counted there). Dark: 25–75 % of the draws; medium: 5–95 %. Below it marker, bar and line for median, 25–75 % and 5–95 %, with the numbers. Upright line: no difference. \"More on\": probability of superiority, with its Monte Carlo standard error in percent, or, where all draws agree, its exact bound at 95 %: the share of draws on which {second} has more than {first}; of what one wants more of, a stable construct has more than one whose fixation fails, and draws where it fails in both are left out. {}{}",
        if many { "Pairs without the first construct stand in the tables. " } else { "" },
        drawn(found)
    )
}

pub(super) fn alt(pairs: &[&Paired]) -> String {
    let said = |p: &&Paired| match &p.difference {
        None => format!("{}: no draw on which both have it", p.quantity.label),
        Some(q) => {
            format!("{}: median difference {}, {}", p.quantity.label, spoken(q, &p.quantity.unit), superiority(p))
        }
    };
    format!(
        "Histograms of paired differences, {} minus {}. {}.",
        pairs[0].second,
        pairs[0].first,
        joined(pairs.iter().map(said), ". ")
    )
}
