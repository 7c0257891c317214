//! The table of a study of scatter, and one sample's draws.

use super::json::SampleShown;
use super::scatter_words::bound_words;
use crate::show::terminal::{Page, Set};
use crate::show::words::{event, num, percent, signed, start, tag};
use crate::study::result::{Carrier, Paired, Quantiles, Scatter, Scattered, Scattering, Share, counted};

/// Events, inputs of a ranking and samples gone astray that a page shows.
const EVENTS: usize = 8;
const RANKS: usize = 6;
const ASTRAY: usize = 6;

/// Writes the study.
pub fn scatter_table(page: &mut Page, found: &Scatter) {
    page.heading(&format!(
        "Scatter of {} on case {}, tied from the {} position",
        if found.constructs.len() == 1 {
            "1 construct".to_owned()
        } else {
            format!("{} constructs", found.constructs.len())
        },
        found.case,
        start(found.from)
    ));
    page.paragraph(&super::scatter_methods(found));
    inputs(page, found);
    for construct in &found.constructs {
        one(page, found, construct);
    }
    pairs(page, &found.pairs);
    if !found.reading.is_empty() {
        page.heading("Reading");
        for sentence in &found.reading {
            page.item(sentence);
        }
    }
}

fn inputs(page: &mut Page, found: &Scatter) {
    page.heading("Inputs");
    let rows: Vec<Vec<String>> = found
        .inputs
        .iter()
        .map(|i| {
            let many = match (i.targets.len(), i.shared) {
                (1, _) => String::new(),
                (n, true) => format!(" (one for {n})"),
                (n, false) => format!(" ({n})"),
            };
            vec![
                format!("{}{many}", i.path),
                i.distribution.clone(),
                match i.usage.as_str() {
                    "value" => i.unit.clone(),
                    "factor" => "times".to_owned(),
                    _ => format!("± {}", i.unit),
                },
                percent(i.cut),
                tag(i.tag).to_owned(),
            ]
        })
        .collect();
    page.grid(
        &[
            ("input", Set::Left),
            ("distribution", Set::Fill),
            ("unit", Set::Left),
            ("cut", Set::Right),
            ("backing", Set::Left),
        ],
        &rows,
    );
    for c in &found.correlations {
        page.paragraph(&format!(
            "Rank correlation of {} with {}: {} asked for ({}: {}), {} reached.",
            c.between[0],
            c.between[1],
            signed(c.asked, 2),
            tag(c.tag),
            c.source,
            signed(c.reached, 2)
        ));
    }
}

fn one(page: &mut Page, found: &Scatter, construct: &Scattered) {
    page.heading(&construct.construct);
    let e = &construct.ends;
    page.paragraph(&format!(
        "Of {} {} held to the end of the push, {} were tied but lost in it, {} not held when \
         tied, {} not certified, {} impossible.",
        counted(found.done, "sample"),
        e.held,
        e.lost_in_push,
        e.not_held,
        e.uncertified,
        e.impossible
    ));
    let rows: Vec<Vec<String>> = construct.quantities.iter().filter_map(quantity).collect();
    let heads = [
        ("", Set::Left),
        ("median", Set::Right),
        ("± se", Set::Right),
        ("5 %", Set::Right),
        ("± se", Set::Right),
        ("95 %", Set::Right),
        ("± se", Set::Right),
        ("of", Set::Right),
    ];
    page.grid(&heads, &rows);
    page.paragraph("");
    let shares: Vec<Vec<String>> = construct
        .shares
        .iter()
        .filter_map(|s| {
            let q = s.quantiles.as_ref()?;
            // Tissue and tethers that are nowhere are not worth a row.
            let nothing = s.carrier != Carrier::Limb && q.low.value == 0.0 && q.high.value == 0.0;
            (!nothing).then(|| row(&format!("share of {} at 1 mm (N)", s.name), q, 1))
        })
        .collect();
    page.grid(&heads, &shares);
    let u = &construct.under;
    page.paragraph(&format!(
        "Under {} N: articular step above 2 mm in {}, gives way in {}, either in {}{}.",
        num(u.load, 0),
        share(u.step),
        share(u.gives_way),
        share(u.either),
        match u.not_reached {
            Some(e) if e.value > 0.0 => {
                format!("; in {} the push ends before that load", chance(&e))
            }
            _ => String::new(),
        }
    ));
    if !construct.events.is_empty() {
        page.paragraph("");
        let rows: Vec<Vec<String>> = construct
            .events
            .iter()
            .take(EVENTS)
            .map(|e| {
                let subject = if e.subject.is_empty() { "the bed or fragment" } else { &e.subject };
                vec![
                    format!("{}: {subject}", event(e.kind)),
                    chance(&e.probability),
                    chance(&e.first),
                    e.displacement.map_or_else(String::new, |d| num(d, 2)),
                ]
            })
            .collect();
        page.grid(
            &[
                ("within the push", Set::Left),
                ("probability", Set::Right),
                ("before all else", Set::Right),
                ("median at mm", Set::Right),
            ],
            &rows,
        );
    }
    ranks(page, construct);
    for a in construct.ends.listed.iter().take(ASTRAY) {
        page.item(&format!("sample {}: {} (the same command with --sample {} shows it)", a.sample, a.why, a.sample));
    }
    let all = e.lost_in_push + e.not_held + e.uncertified + e.impossible;
    if all > ASTRAY as u64 {
        page.paragraph(&format!("and {} more; JSON and CSV list the first 200.", all - ASTRAY as u64));
    }
}

fn ranks(page: &mut Page, construct: &Scattered) {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for r in construct.rankings.iter().filter(|r| !r.ranks.is_empty()) {
        let list: Vec<String> =
            r.ranks.iter().take(RANKS).map(|k| format!("{} {}", k.path, signed(k.coefficient, 2))).collect();
        rows.push(vec![r.quantity.label.clone(), list.join(", ")]);
    }
    if !rows.is_empty() {
        page.paragraph("");
        page.grid(&[("what moves", Set::Left), ("by partial rank correlation, strongest first", Set::Fill)], &rows);
    }
    for i in &construct.indices {
        page.paragraph("");
        page.paragraph(&format!(
            "Sobol' indices of {}: {}, {} left out because a run of theirs has no such value; variance {}.",
            i.quantity.label,
            counted(i.of as u64, "base sample"),
            i.left_out,
            num(i.variance, 2)
        ));
        if i.left_out * 10 > i.of + i.left_out {
            page.paragraph("More than a tenth is left out: these indices describe the draws that are held, not all.");
        }
        let interval = |[low, high]: [f64; 2]| format!("{} to {}", num(low, 2), num(high, 2));
        let rows: Vec<Vec<String>> = i
            .indices
            .iter()
            .take(2 * RANKS)
            .map(|x| {
                vec![
                    x.path.clone(),
                    num(x.first, 2),
                    interval(x.first_interval),
                    num(x.total, 2),
                    interval(x.total_interval),
                ]
            })
            .collect();
        page.grid(
            &[
                ("input", Set::Left),
                ("first", Set::Right),
                ("95 %", Set::Right),
                ("total", Set::Right),
                ("95 %", Set::Right),
            ],
            &rows,
        );
    }
}

fn quantity(s: &Scattering) -> Option<Vec<String>> {
    let decimals = match s.quantity.unit.as_str() {
        "N" => 1,
        "%" => 0,
        _ => 2,
    };
    let name = format!("{} ({})", s.quantity.label, s.quantity.unit);
    Some(row(&name, s.quantiles.as_ref()?, decimals))
}

fn row(name: &str, q: &Quantiles, decimals: usize) -> Vec<String> {
    let mut cells = vec![name.to_owned()];
    for e in [q.median, q.low, q.high] {
        cells.push(num(e.value, decimals));
        cells.push(e.error.map_or_else(|| "-".to_owned(), |e| num(e, decimals + 1)));
    }
    cells.push(q.of.to_string());
    cells
}

/// A probability in percent, where some sample counts.
fn share(e: Option<Share>) -> String {
    e.map_or_else(|| "none (no sample counts)".to_owned(), |e| chance(&e))
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

fn pairs(page: &mut Page, pairs: &[Paired]) {
    let mut firsts: Vec<&str> = pairs.iter().map(|p| p.first.as_str()).collect();
    firsts.dedup();
    for first in &firsts {
        against(page, first, pairs);
    }
    if firsts.is_empty() {
        return;
    }
    page.paragraph(
        "Has more: how often it has more than the other on the same draw; for loads and compression a \
         construct that is held has more than one that is not. In brackets behind a share of 0 or 100 %: \
         its exact bound at 95 %. Variance ratio: of the difference on common draws, over what separate \
         draws would give.",
    );
}

/// Those behind a construct against it.
fn against(page: &mut Page, first: &str, pairs: &[Paired]) {
    page.heading(&format!("Against {first}, on the same draws"));
    let rows: Vec<Vec<String>> = pairs
        .iter()
        .filter(|p| p.first == first)
        .filter_map(|p| {
            let d = p.difference.as_ref()?;
            let decimals = if p.quantity.unit == "N" { 1 } else { 2 };
            Some(vec![
                p.second.clone(),
                format!("{} ({})", p.quantity.label, p.quantity.unit),
                signed(d.median.value, decimals),
                signed(d.low.value, decimals),
                signed(d.high.value, decimals),
                p.superiority.as_ref().map_or_else(String::new, chance),
                p.variance_ratio.map_or_else(String::new, |r| num(r, 2)),
            ])
        })
        .collect();
    page.grid(
        &[
            ("", Set::Left),
            ("difference of", Set::Fill),
            ("median", Set::Right),
            ("5 %", Set::Right),
            ("95 %", Set::Right),
            ("has more", Set::Right),
            ("variance ratio", Set::Right),
        ],
        &rows,
    );
}

/// Writes what was drawn for a sample.
pub fn replay_table(page: &mut Page, sample: &SampleShown) {
    page.heading(&format!("Sample {}: what was drawn with seed {}", sample.number, sample.seed));
    for d in &sample.drawn {
        page.value(&d.path, &d.said);
    }
    page.gap();
}
