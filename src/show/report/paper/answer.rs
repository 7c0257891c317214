//! The answer in four sentences, each made of computed numbers, the first with the limits at which parts give on the
//! way.

use super::fact::Fact;
use super::limits::limits;
use super::record::Found;
use crate::show::prose::sentences;
use crate::show::report::scatter::band;
use crate::show::report::shares::{by_group, named};
use crate::show::words::{joined, not_held_short, num, pushed};
use crate::study::MARKS;
use crate::study::result::{Compared, Scatter, Tally};
use minijinja::{Value, context};
use std::collections::BTreeMap;

/// The answer: what they resist with, how they hold, who carries the load, and how far the numbers
/// depend on the mesh.
pub(super) fn answer(
    found: &[Found],
    scatter: Option<&Scatter>,
    tally: &Tally,
    refinement: &BTreeMap<String, Fact>,
) -> Vec<String> {
    let compared: Vec<&Compared> = found.iter().map(|f| &f.compared).collect();
    // In the order given, at every mark alike.
    let of = |k: usize| -> Vec<(f64, &str)> {
        compared.iter().filter_map(|c| Some((c.push.as_ref()?.load_at[k]?, c.hold.construct.as_str()))).collect()
    };
    // The farthest mark that some construct reaches, and the one before it.
    let marks: Vec<usize> = [1, 2, 0].into_iter().filter(|k| !of(*k).is_empty()).take(2).collect();
    // Samples have the loads at 1 and 2 mm.
    let range = |k: usize, name: &str| {
        let key = [None, Some("load-1mm"), Some("load-2mm")][k]?;
        let [low, median, high] = band(scatter?, name, key)?;
        Some(format!(" ({}; {} to {})", num(median, 0), num(low, 0), num(high, 0)))
    };
    let loads = marks.iter().map(|k| {
        let one = |(load, name): &(f64, &str)| {
            format!("{} N{} for {name}", num(*load, 0), range(*k, name).unwrap_or_default())
        };
        format!("{} at {} mm", joined(&of(*k).iter().map(one).collect::<Vec<_>>()), MARKS[*k])
    });
    let any = marks.iter().any(|k| of(*k).iter().any(|(_, name)| range(*k, name).is_some()));
    let changes =
        [("compression", "the compression"), ("load_at_1", "the load at 1 mm"), ("load_at_2", "the load at 2 mm")]
            .into_iter()
            .filter_map(|(key, words)| Some(format!("{words} by {}", refinement.get(key)?.with_unit())));
    let tied = compared.iter().map(|c| {
        let tied = c.hold.tied.as_ref();
        let fails = not_held_short(&c.hold.outcome).unwrap_or_else(|| "fixation fails".to_owned());
        let bed = tied.map(|t| context! { compression => t.bed.compression, contact => t.bed.contact });
        context! { name => c.hold.construct, bed, lies => tied.map(|t| t.measures), fails }
    });
    let data = context! {
        loads => loads.collect::<Vec<_>>(),
        direction => compared.iter().find_map(|c| c.push.as_ref()).map_or_else(String::new, |p| pushed(&p.direction)),
        samples => scatter.filter(|_| any).map(|s| s.done),
        beyond => compared.iter().filter_map(|c| beyond(c, &marks)).collect::<Vec<_>>(),
        least => MARKS[0],
        tied => tied.collect::<Vec<_>>(),
        carriers => compared.iter().filter_map(|c| carriers(c)).collect::<Vec<_>>(),
        states => tally.states,
        certified => tally.certified,
        whole => tally.is_whole(),
        changes => changes.collect::<Vec<_>>(),
    };
    sentences(include_str!("../said/answer.txt"), &data)
}

/// The limits at which parts give before the loads at these marks, where there are any.
fn beyond(compared: &Compared, marks: &[usize]) -> Option<String> {
    let push = compared.push.as_ref()?;
    let told = marks.iter().filter(|k| push.load_at[**k].is_some());
    let farthest = told.map(|k| MARKS[*k]).fold(f64::NEG_INFINITY, f64::max);
    let passed = limits(push).into_iter().filter(|limit| limit.displacement.value < farthest);
    let list: Vec<String> = passed.map(|limit| limit.words()).collect();
    (!list.is_empty()).then(|| format!("with {}, {}", compared.hold.construct, joined(&list)))
}

/// Who carries the load at 1 mm, the largest first, and what acts along with it: the others then bear more.
fn carriers(compared: &Compared) -> Option<Value> {
    let mut groups = by_group(compared.push.as_ref()?, 1.0)?;
    let load: f64 = groups.iter().map(|g| g.now).sum();
    groups.sort_by(|a, b| b.now.total_cmp(&a.now));
    let along: f64 = groups.iter().map(|g| g.now.min(0.0)).sum();
    let groups: Vec<_> = groups.iter().map(|g| (named(&g.name), g.now)).chain([(String::new(), 0.0)]).collect();
    (load > 0.0).then(|| context! { name => compared.hold.construct, load, groups, along })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn states_that_are_not_certified_are_told() {
        let tally = |certified| Tally { states: 40, certified, ..Tally::default() };
        let said = |certified| answer(&[], None, &tally(certified), &BTreeMap::new()).pop().unwrap_or_default();
        assert!(said(40).starts_with("All 40 states of tying and pushing"));
        assert!(said(39).starts_with("Only 39 of 40 states of tying and pushing"));
    }
}
