//! A study of uncertainty: its tables, on the terminal and in a report.

mod file;
mod reading;

use super::json::SampleShown;
use crate::model::spread::LineUsed;
use crate::quantities::quantity;
use crate::show::table::{Cell, Column, Table};
use crate::show::terminal::Page;
use crate::show::words::{event, joined, num, signed, tag, word};
use crate::stats::wilson;
use crate::study::result::{
    Carrier, Correlated, Ends, Estimate, EventChance, Index, Indices, Paired, Quantiles, Ranking, Scatter, Scattered,
    Scattering, Share, counted, with_unit,
};

pub use file::{ScatterBody, scatter_csv};
pub(super) use reading::{Judged, judged};
pub(super) use reading::{bound_words, known_to, sampler, verdicts_mean};
pub use reading::{scatter_methods, scatter_reading};

/// Events of a construct, inputs of a ranking and failed samples that a table shows.
const EVENTS: usize = 8;
const RANKS: usize = 6;
const FAILED: usize = 12;

/// Quantities that a first look holds.
const SHORT: [&str; 4] = ["compression", "step", "settled-compression", "load-1mm"];

/// Writes what people look at first: how far each construct scatters, and why samples failed.
pub fn scatter_short(page: &mut Page, found: &Scatter) {
    let all = found.constructs.iter().flat_map(|c| c.quantities.iter().map(move |s| (c, s)));
    let at = |pick: fn(&Quantiles) -> f64| {
        move |(_, s): &(&Scattered, &Scattering)| {
            Cell::from(s.quantiles.as_ref().map(|q| Cell::of(&s.quantity.key, pick(q))))
        }
    };
    let (low, median, high) = (at(|q| q.low.value), at(|q| q.median.value), at(|q| q.high.value));
    let columns: [Column<'_, (&Scattered, &Scattering)>; 6] = [
        ("construct", "", &|(c, _)| (&c.construct).into()),
        ("quantity", "", &|(_, s)| quantity(&s.quantity.key).axis().into()),
        ("5 %", "", &low),
        ("median", "", &median),
        ("95 %", "", &high),
        ("draws", "", &|(_, s)| Cell::count(s.quantiles.as_ref().map_or(0, |q| q.of))),
    ];
    page.table(&Table::of("scatter", "", all.filter(|(_, s)| SHORT.contains(&&*s.quantity.key)), &columns));
    // Of the samples that count.
    let fails = |c: &Scattered| (c.ends.not_held + c.ends.lost_in_push, c.ends.held);
    let failing = found.constructs.iter().map(|c| (c, fails(c))).filter(|(_, (fail, held))| fail + held > 0);
    let columns: [Column<'_, (&Scattered, (u64, u64))>; 4] = [
        ("construct", "", &|(c, _)| (&c.construct).into()),
        ("fails", "% of draws", &|(_, (fail, held))| Cell::fixed(100.0 * *fail as f64 / (fail + held) as f64, 1)),
        ("95 % interval", "%", &|(_, (fail, held))| {
            let all = fail + held;
            let [low, high] = wilson(*fail as f64 / all as f64, all as usize).map(|share| num(100.0 * share, 1));
            format!("{low} to {high}").into()
        }),
        ("draws", "", &|(_, (fail, held))| Cell::count((fail + held) as usize)),
    ];
    page.titled(Table::of("scatter-fails", "Fixation fails, as tied or within the push", failing, &columns).filled());
    page.titled(failed(found));
}

/// Writes the study.
pub fn scatter_table(page: &mut Page, found: &Scatter) {
    page.heading(&format!(
        "Uncertainty of {} on case {}, tied from the {} position",
        counted(found.constructs.len() as u64, "construct"),
        found.case,
        word(&found.from)
    ));
    page.paragraph(&scatter_methods(found));
    page.titled(Some(inputs(found)));
    for c in &found.correlations {
        page.paragraph(&format!("Rank correlation of {}.", correlation(c)));
    }
    page.items("How the samples ended", &found.constructs.iter().map(|c| ended(found, c)).collect::<Vec<_>>());
    page.titled(Some(quantities(found)));
    page.titled(shares(found));
    page.items("Under the given load", &found.constructs.iter().map(under).collect::<Vec<_>>());
    page.titled(events(found));
    page.titled(rankings(found));
    page.titled(indices(found));
    let often = |i: &&Indices| i.left_out * 10 > i.of + i.left_out;
    if found.constructs.iter().flat_map(|c| &c.indices).any(|i| often(&i)) {
        page.paragraph(
            "Where more than a tenth of the base samples is left out, indices describe the stable draws, not all.",
        );
    }
    if let Some(pairs) = pairs(found) {
        page.titled(Some(pairs));
        page.paragraph(
            "More: how often the construct has more than the other on the same draw; for loads and compression one that \
             is stable has more than one whose fixation fails. Where all draws agree, the exact bound at 95 % stands \
             for a standard error. Variance ratio: of the difference on common draws, over what separate draws would \
             give.",
        );
    }
    page.items("Reading", &scatter_reading(found));
}

/// The tables of a study in a report.
pub(super) fn tables(found: &Scatter) -> Vec<Table> {
    let more = [shares(found), events(found), pairs(found), indices(found), failed(found)];
    [inputs(found), quantities(found)].into_iter().chain(more.into_iter().flatten()).collect()
}

/// A rank correlation in words.
pub(super) fn correlation(c: &Correlated) -> String {
    let [one, other] = &c.between;
    let (asked, reached) = (signed(c.asked, 2), signed(c.reached, 2));
    format!("{one} with {other} (requested {asked}, reached {reached}; {}: {})", tag(c.tag), c.source)
}

/// How the samples of a construct ended, in a sentence.
pub(super) fn ended(found: &Scatter, one: &Scattered) -> String {
    let Ends { held, lost_in_push, not_held, uncertified, impossible, .. } = &one.ends;
    format!(
        "{}: of {} {held} stayed stable to the end of the push, {lost_in_push} were tied but failed in it, of {not_held} \
         fixation failed when tied, of {uncertified} the balance could not be checked, and {impossible} made invalid \
         geometry.",
        one.construct,
        counted(found.done, "sample")
    )
}

fn under(one: &Scattered) -> String {
    let u = &one.under;
    let share = |e: Option<Share>| e.map_or_else(|| "none (no sample counts)".to_owned(), |e| chance(&e));
    let rest = match u.not_reached {
        Some(e) if e.value > 0.0 => format!("; in {} the push ends before that load", chance(&e)),
        _ => String::new(),
    };
    format!(
        "{}: under {} N an articular step above 2 mm in {}, failure in {}, either in {}{rest}",
        one.construct,
        num(u.load, 0),
        share(u.step),
        share(u.gives_way),
        share(u.either)
    )
}

/// A probability in percent with its standard error, or its bound.
fn chance(e: &Share) -> String {
    let value = num(100.0 * e.value, 1);
    match (e.error, e.bound) {
        (Some(error), _) => format!("{value} ± {} %", num(100.0 * error, 1)),
        (None, Some(bound)) => format!("{value} % ({})", bound_words(e.value, bound)),
        (None, None) => format!("{value} %"),
    }
}

fn inputs(found: &Scatter) -> Table {
    let columns: [Column<'_, &LineUsed>; 7] = [
        ("input", "", &|i| {
            let many = match (i.targets.len(), i.shared) {
                (1, _) => String::new(),
                (n, true) => format!(" (one for {n})"),
                (n, false) => format!(" ({n})"),
            };
            format!("{}{many}", i.path).into()
        }),
        ("distribution", "", &|i| (&i.distribution).into()),
        ("used as", "", &|i| (&i.usage).into()),
        ("unit", "", &|i| if i.unit.is_empty() { Cell::none() } else { (&i.unit).into() }),
        ("cut off", "%", &|i| Cell::fixed(100.0 * i.cut, 1)),
        ("backing", "", &|i| tag(i.tag).into()),
        ("source", "", &|i| (&i.source).into()),
    ];
    Table::of("inputs", "What was varied", found.inputs.iter().map(|i| &i.line), &columns)
}

/// Median, 5 % and 95 %, each with its standard error, and how many samples have them.
fn estimates(q: Option<&Quantiles>, decimals: usize, with_sign: bool) -> [Cell; 7] {
    let Some(q) = q else {
        return std::array::from_fn(|k| if k < 6 { Cell::none() } else { Cell::count(0) });
    };
    let value = |e: Estimate| if with_sign { Cell::signed(e.value, decimals) } else { Cell::fixed(e.value, decimals) };
    let error = |e: Estimate| e.error.map(|e| Cell::fixed(e, decimals + 1)).into();
    let [m, l, h] = [q.median, q.low, q.high];
    [value(m), error(m), value(l), error(l), value(h), error(h), Cell::count(q.of)]
}

const ESTIMATES: [&str; 7] = ["median", "se", "5 %", "se", "95 %", "se", "samples"];

fn quantities(found: &Scatter) -> Table {
    let mut table = Table::new(
        "scatter",
        "Each construct: median, 5 % and 95 % of the samples, with standard errors (se)",
        &[&["construct", "quantity"], &ESTIMATES[..]].concat(),
    );
    for (c, s) in found.constructs.iter().flat_map(|c| c.quantities.iter().map(move |s| (c, s))) {
        let q = quantity(&s.quantity.key);
        let name = with_unit(&s.quantity.label, &s.quantity.unit);
        let sign = q.better == crate::quantities::Better::NearZero;
        let cells = estimates(s.quantiles.as_ref(), q.decimals, sign);
        table.row([Cell::from(&c.construct), name.into()].into_iter().chain(cells));
    }
    table
}

fn shares(found: &Scatter) -> Option<Table> {
    let mut table = Table::new(
        "scatter-sharing",
        "Load sharing at 1 mm (N): median, 5 % and 95 % of the samples, with standard errors (se)",
        &[&["construct", "carrier"], &ESTIMATES[..]].concat(),
    );
    for (c, s) in found.constructs.iter().flat_map(|c| c.shares.iter().map(move |s| (c, s))) {
        // Tissue and tethers that are nowhere are not worth a row.
        let Some(q) = s
            .quantiles
            .as_ref()
            .filter(|q| matches!(s.carrier, Carrier::Limb) || q.low.value != 0.0 || q.high.value != 0.0)
        else {
            continue;
        };
        table.row([Cell::from(&c.construct), (&s.name).into()].into_iter().chain(estimates(Some(q), 1, false)));
    }
    table.filled()
}

fn events(found: &Scatter) -> Option<Table> {
    let all = found.constructs.iter().flat_map(|c| c.events.iter().take(EVENTS).map(move |e| (c, e)));
    let columns: [Column<'_, (&Scattered, &EventChance)>; 5] = [
        ("construct", "", &|(c, _)| (&c.construct).into()),
        ("event within the push", "", &|(_, e)| {
            let subject = if e.subject.is_empty() { "the bed or fragment" } else { &e.subject };
            format!("{}: {subject}", event(e.kind)).into()
        }),
        ("probability", "", &|(_, e)| chance(&e.probability).into()),
        ("before all else", "", &|(_, e)| chance(&e.first).into()),
        ("median at", "mm", &|(_, e)| e.displacement.map(|d| Cell::fixed(d, 2)).into()),
    ];
    Table::of("scatter-events", "Events within the push, most probable first", all, &columns).filled()
}

fn rankings(found: &Scatter) -> Option<Table> {
    let all = found.constructs.iter().flat_map(|c| c.rankings.iter().map(move |r| (c, r)));
    let columns: [Column<'_, (&Scattered, &Ranking)>; 3] = [
        ("construct", "", &|(c, _)| (&c.construct).into()),
        ("quantity", "", &|(_, r)| (&r.quantity.label).into()),
        ("moved by, partial rank correlation", "", &|(_, r)| {
            let strongest = r.ranks.iter().take(RANKS);
            strongest.map(|k| format!("{} {}", k.path, signed(k.coefficient, 2))).collect::<Vec<_>>().join(", ").into()
        }),
    ];
    let some = all.filter(|(_, r)| !r.ranks.is_empty());
    Table::of("scatter-ranking", "Sensitivity: which inputs move what, strongest first", some, &columns).filled()
}

fn indices(found: &Scatter) -> Option<Table> {
    let title = "Sobol' indices: share of the variance that goes when an input is known (first), and that stays when all \
                 others are (total)";
    let all = found.constructs.iter().flat_map(|c| c.indices.iter().map(move |i| (c, i)));
    let all = all.flat_map(|(c, i)| i.indices.iter().map(move |x| (c, i, x)));
    let columns: [Column<'_, (&Scattered, &Indices, &Index)>; 11] = [
        ("construct", "", &|(c, ..)| (&c.construct).into()),
        ("quantity", "", &|(_, i, _)| (&i.quantity.label).into()),
        ("input", "", &|(.., x)| (&x.path).into()),
        ("first", "", &|(.., x)| Cell::fixed(x.index.first, 2)),
        ("95 % low", "", &|(.., x)| Cell::fixed(x.index.first_interval[0], 2)),
        ("95 % high", "", &|(.., x)| Cell::fixed(x.index.first_interval[1], 2)),
        ("total", "", &|(.., x)| Cell::fixed(x.index.total, 2)),
        ("95 % low", "", &|(.., x)| Cell::fixed(x.index.total_interval[0], 2)),
        ("95 % high", "", &|(.., x)| Cell::fixed(x.index.total_interval[1], 2)),
        ("base samples", "", &|(_, i, _)| Cell::count(i.of)),
        ("left out", "", &|(_, i, _)| Cell::count(i.left_out)),
    ];
    Table::of("scatter-indices", title, all, &columns).filled()
}

/// How many base samples were left out of the indices of each construct, in sentences.
pub(super) fn left_out(found: &Scatter) -> Vec<String> {
    let one = |c: &Scattered| {
        let list = c.indices.iter().map(|i| {
            let of = counted((i.of + i.left_out) as u64, "base sample");
            format!("{} of {of} ({})", i.left_out, i.quantity.label)
        });
        match joined(&list.collect::<Vec<_>>()) {
            _ if c.indices.is_empty() => {
                format!("{}: no indices, for want of base samples that are all stable", c.construct)
            }
            list => format!("{}: left out, because a run of theirs has no such value, {list}", c.construct),
        }
    };
    found.constructs.iter().map(one).collect()
}

/// Every construct against each before it on the same draws; `None` with one alone.
fn pairs(found: &Scatter) -> Option<Table> {
    let heads = ["construct", "against", "difference of"];
    let last = ["more (% of draws)", "se, or bound at 95 %", "draws", "variance ratio"];
    let mut table = Table::new(
        "scatter-pairs",
        "Differences of each pair on the same draws, and how often there is more than with the other",
        &[&heads[..], &ESTIMATES[..6], &last].concat(),
    );
    for p in &found.pairs {
        let Paired { first, second, difference, superiority, .. } = p;
        let name = with_unit(&p.quantity.label, &p.quantity.unit);
        let estimates = estimates(difference.as_ref(), quantity(&p.quantity.key).decimals, true);
        let bound = superiority.map(|s| match s.bound {
            Some(bound) => bound_words(s.value, bound).into(),
            None => s.error.map(|e| Cell::fixed(100.0 * e, 1)).into(),
        });
        table.row(
            [Cell::from(second), first.into(), name.into()].into_iter().chain(estimates.into_iter().take(6)).chain([
                superiority.map(|s| Cell::fixed(100.0 * s.value, 1)).into(),
                bound.unwrap_or_else(Cell::none),
                Cell::count(p.superiority_of),
                p.variance_ratio.map(|r| Cell::fixed(r, 2)).into(),
            ]),
        );
    }
    table.filled()
}

/// Samples that were not stable to the end, counted by why; `None` when all were.
fn failed(found: &Scatter) -> Option<Table> {
    let mut table = Table::new(
        "scatter-failed",
        "Failed samples: how and why (--sample with the number of the first shows it)",
        &["construct", "how it ended", "why", "samples", "the first of them"],
    );
    for one in &found.constructs {
        let mut groups: Vec<(&str, &str, usize, u64)> = Vec::new();
        for a in &one.ends.listed {
            match groups.iter_mut().find(|g| g.0 == a.end.words() && g.1 == a.why) {
                Some(group) => group.2 += 1,
                None => groups.push((a.end.words(), &a.why, 1, a.sample)),
            }
        }
        for (end, why, count, first) in groups.into_iter().take(FAILED) {
            let cells = [end.into(), why.into(), Cell::count(count), Cell::count(first as usize)];
            table.row(std::iter::once(Cell::from(&one.construct)).chain(cells));
        }
    }
    table.filled()
}

/// A quantity of the samples that have it: 5 %, median and 95 %.
pub(super) fn band(found: &Scatter, construct: &str, key: &str) -> Option<[f64; 3]> {
    let one = found.constructs.iter().find(|c| c.construct == construct)?;
    let q = one.quantities.iter().find(|q| q.quantity.key == key)?.quantiles.as_ref()?;
    Some([q.low.value, q.median.value, q.high.value])
}

/// Writes what was drawn for a sample.
pub fn replay_table(page: &mut Page, sample: &SampleShown) {
    page.heading(&format!("Sample {}: what was drawn with seed {}", sample.number, sample.seed));
    for d in &sample.drawn {
        page.value(&d.path, &d.said);
    }
    page.gap();
}
