//! The answer in four sentences, each made of computed numbers, the first with the limits beyond which
//! its loads are too high.

use super::fact::Fact;
use super::limits::limits;
use super::record::Found;
use crate::show::report::scatter::band;
use crate::show::report::shares::by_group;
use crate::show::words::{self, joined, num, percent, pushed, signed};
use crate::study::MARKS;
use crate::study::result::{Compared, Scatter, Tally, TiedState};
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
    vec![resistance(&compared, scatter), hold(&compared), carriers(&compared), trust(tally, refinement)]
}

fn resistance(compared: &[&Compared], scatter: Option<&Scatter>) -> String {
    let direction = compared.iter().find_map(|c| c.push.as_ref()).map_or_else(String::new, |p| pushed(&p.direction));
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
    let told: Vec<String> = marks
        .iter()
        .map(|k| {
            let list: Vec<String> = of(*k)
                .iter()
                .map(|(load, name)| {
                    let range = range(*k, name).unwrap_or_default();
                    format!("{} N{range} for {name}", num(*load, 0))
                })
                .collect();
            format!("{} at {} mm", joined(&list), MARKS[*k])
        })
        .collect();
    if told.is_empty() {
        return format!("No load is read off: no push came as far as {} mm.", MARKS[0]);
    }
    let any = marks.iter().any(|k| of(*k).iter().any(|(_, name)| range(*k, name).is_some()));
    let samples = match scatter.filter(|_| any) {
        None => String::new(),
        Some(s) => format!(
            "; in brackets, the median and from 5 to 95 % of those of {} samples of the inputs that bear it so far, \
             which are the stronger ones",
            s.done
        ),
    };
    format!(
        "In this model the load that moves the fragment {direction} is {}{samples}{}.",
        told.join("; and "),
        beyond(compared, &marks)
    )
}

/// Which of the loads told at these marks lie beyond a limit, and so are too high; empty when none is.
fn beyond(compared: &[&Compared], marks: &[usize]) -> String {
    let passed: Vec<String> = compared
        .iter()
        .filter_map(|c| {
            let push = c.push.as_ref()?;
            let told = marks.iter().filter(|k| push.load_at[**k].is_some());
            let farthest = told.map(|k| MARKS[*k]).fold(f64::NEG_INFINITY, f64::max);
            let list: Vec<String> = limits(push)
                .iter()
                .filter(|limit| limit.displacement.value < farthest)
                .map(|limit| limit.words())
                .collect();
            (!list.is_empty()).then(|| format!("with {}, {}", c.hold.construct, joined(&list)))
        })
        .collect();
    if passed.is_empty() {
        String::new()
    } else {
        format!(
            "; nothing yields or breaks in it, and so loads are too high beyond the first limits that \
             are passed: {}",
            passed.join("; ")
        )
    }
}

fn hold(compared: &[&Compared]) -> String {
    let parts: Vec<String> = compared
        .iter()
        .map(|c| match &c.hold.tied {
            Some(tied) => tied_words(&c.hold.construct, tied),
            None => format!(
                "with {} {}",
                c.hold.construct,
                words::not_held_short(&c.hold.outcome).unwrap_or_else(|| "fixation fails".to_owned())
            ),
        })
        .collect();
    format!("As tied, {}.", parts.join("; "))
}

fn tied_words(name: &str, tied: &TiedState) -> String {
    format!(
        "{name} presses the fragment on its bed with {} N over {} of it and leaves an articular step-off \
         of {} mm and a lateral tilt of {} deg",
        num(tied.bed.compression, 0),
        percent(tied.bed.contact),
        signed(tied.measures.step.value, 1),
        signed(tied.measures.tilt, 1)
    )
}

fn carriers(compared: &[&Compared]) -> String {
    let parts: Vec<String> = compared
        .iter()
        .filter_map(|c| {
            let mut groups = by_group(c.push.as_ref()?, 1.0)?;
            let load: f64 = groups.iter().map(|g| g.now).sum();
            if load <= 0.0 {
                return None;
            }
            groups.sort_by(|a, b| b.now.total_cmp(&a.now));
            let most = groups.first()?;
            let second = groups.get(1).filter(|g| g.now > 0.0);
            let words = |name: &str| match name.split_once(": ") {
                Some((what, group)) => format!("the {group} {what}"),
                None => format!("the {name}"),
            };
            let mut text = format!(
                "the {} N on {} by {} ({} N)",
                num(load, 0),
                c.hold.construct,
                words(&most.name),
                num(most.now, 0)
            );
            if let Some(second) = second {
                text.push_str(&format!(" and {} ({} N)", words(&second.name), num(second.now, 0)));
            }
            // What pushes along makes the others bear more than the load.
            let along: f64 = groups.iter().map(|g| g.now.min(0.0)).sum();
            if along < -0.01 * load {
                text.push_str(&format!(" while -{} N act with the applied load", num(-along, 0)));
            }
            Some(text)
        })
        .collect();
    if parts.is_empty() {
        "No construct bore a load at 1 mm of which shares could be told.".to_owned()
    } else {
        format!("At 1 mm the load is borne most: {}.", parts.join("; "))
    }
}

fn trust(tally: &Tally, refinement: &BTreeMap<String, Fact>) -> String {
    let all = "states of tying and pushing behind these numbers, those on a finer bed and in other tying \
               orders among them,";
    let certified = if tally.states == 0 {
        "The fragment comes to rest under none of the constructs, so that there is no state to check".to_owned()
    } else if tally.is_whole() {
        format!("All {} {all} are checked to be in balance", tally.states)
    } else {
        format!(
            "Only {} of {} {all} are checked to be in balance, so that numbers are missing here",
            tally.certified, tally.states
        )
    };
    let changes: Vec<String> =
        [("compression", "the compression"), ("load_at_1", "the load at 1 mm"), ("load_at_2", "the load at 2 mm")]
            .into_iter()
            .filter_map(|(key, words)| Some(format!("{words} by {}", refinement.get(key)?.with_unit())))
            .collect();
    let mesh = if changes.is_empty() {
        "no number could be compared on a finer bed".to_owned()
    } else {
        format!("cells of the bed half as wide change {} at most", joined(&changes))
    };
    format!(
        "{certified} and {mesh}, but no \
         experiment stands behind them: they compare constructs in a model and predict no patient."
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn states_that_are_not_certified_are_told() {
        let tally = |certified| Tally { states: 40, certified, ..Tally::default() };
        let said = |certified| trust(&tally(certified), &BTreeMap::new());
        assert!(said(40).starts_with("All 40 states of tying and pushing"));
        assert!(said(39).starts_with("Only 39 of 40 states of tying and pushing"));
    }
}
