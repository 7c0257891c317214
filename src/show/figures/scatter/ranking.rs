//! Figures "scatter-ranking-…" and "scatter-indices-…": which inputs move the answers of a construct.

use super::tornado::{Bars, Panel, Row, Sign, draw, most_rows};
use super::words::{self, short};
use crate::show::figures::axis::Scale;
use crate::show::figures::csv::{Csv, field};
use crate::show::figures::figure::Figure;
use crate::show::figures::input;
use crate::show::figures::theme::Theme;
use crate::study::result::{Indices, Ranking, Scatter, Scattered, counted};

/// What is drawn, in this order; the rest is in the table.
const KEYS: [&str; 4] = ["load-1mm", "load-2mm", "compression", "step"];

/// Draws the partial rank correlations, one figure a construct.
pub(super) fn ranking(found: &Scatter, theme: &Theme) -> Vec<Figure> {
    let each = found.constructs.iter().enumerate();
    each.map(|(k, construct)| {
        let panels: Vec<Panel> = KEYS
            .iter()
            .filter_map(|key| construct.rankings.iter().find(|r| r.quantity.key == *key))
            .map(|ranking| correlation(found, ranking, most_rows(theme)))
            .collect();
        let canvas = draw(
            theme,
            &panels,
            &Bars {
                title: &construct.construct,
                key: &[
                    (Sign::Full, "coefficient: more of the input, more (+) or less (\u{2212}) of the quantity"),
                    (Sign::Interval, "95 % interval"),
                ],
                scale: Scale::between(-1.0, 1.0, 4),
                axis: "partial rank correlation",
                heads: &[""],
                signed: true,
                colour: theme.series(k).0,
            },
        );
        let mut csv = Csv::new(&[
            "quantity", "samples", "input", "path", "coefficient", "interval_low", "interval_high",
        ]);
        for ranking in &construct.rankings {
            for rank in &ranking.ranks {
                csv.row([
                    ranking.quantity.key.clone(),
                    ranking.of.to_string(),
                    field(&input::words(&rank.path)),
                    field(&rank.path),
                    rank.coefficient.to_string(),
                    rank.interval[0].to_string(),
                    rank.interval[1].to_string(),
                ]);
            }
        }
        Figure::new(
            &format!("scatter-ranking-{}", construct.construct),
            canvas,
            csv.finish(),
            format!(
                "What moves the answers of {}: partial rank correlation of each input with the quantity, all other inputs held, strongest first, with its 95 % interval (Fisher's transformation: for independent draws, a little wide for these). Positive: more of the input, more of the quantity. A bar says how surely an input moves the answer in one direction, not by how much. {}",
                construct.construct,
                words::drawn(found)
            ),
            alt("partial rank correlation", construct, &panels),
        )
    })
    .collect()
}

fn correlation(found: &Scatter, ranking: &Ranking, most: usize) -> Panel {
    let rows =
        ranking.ranks.iter().map(|r| Row { name: input::words(&r.path), bars: vec![(r.coefficient, r.interval)] });
    let rest = ranking.ranks.get(most).map(|r| r.coefficient.abs());
    Panel {
        title: short(&ranking.quantity),
        rows: rows.collect(),
        note: format!(
            "{} of {}{}",
            ranking.of,
            counted(found.done, "sample"),
            left_out(ranking.ranks.len().saturating_sub(most), rest)
        ),
    }
}

/// What is not drawn, in words; `next` is the largest of it.
fn left_out(more: usize, next: Option<f64>) -> String {
    next.map_or_else(String::new, |next| {
        let them = if more == 1 { "input" } else { "inputs, each" };
        // Rounded up, so that it is no more than is said.
        let bound = (100.0 * next).ceil() / 100.0;
        format!("; {more} more {them} at most {bound:.2} in size")
    })
}

/// Draws the Sobol' indices, one figure for each construct that has some.
pub(super) fn indices(found: &Scatter, theme: &Theme) -> Vec<Figure> {
    let drawn: Vec<(usize, &Scattered)> =
        found.constructs.iter().enumerate().filter(|(_, c)| !c.indices.is_empty()).collect();
    let ends = || {
        let all = drawn.iter().flat_map(|(_, c)| &c.indices).flat_map(|i| &i.indices);
        all.flat_map(|i| {
            let [a, b] = i.first_interval;
            let [c, d] = i.total_interval;
            [a, b, c, d, i.first, i.total]
        })
    };
    let lo = ends().fold(0.0, f64::min).max(-0.25);
    let hi = ends().fold(1.0, f64::max).min(1.25);
    let each = drawn.iter();
    each.map(|(k, construct)| {
        let panels: Vec<Panel> = KEYS
            .iter()
            .filter_map(|key| construct.indices.iter().find(|i| i.quantity.key == *key))
            .map(|indices| sobol(indices, most_rows(theme)))
            .collect();
        let canvas = draw(
            theme,
            &panels,
            &Bars {
                title: &construct.construct,
                key: &[
                    (Sign::Full, "first: share that goes when the input is known"),
                    (Sign::Hatched, "total: share that stays when all others are known"),
                    (Sign::Interval, "95 % interval"),
                ],
                scale: Scale::load(lo, hi, 4),
                axis: "share of the variance",
                heads: &["first", "total"],
                signed: false,
                colour: theme.series(*k).0,
            },
        );
        let mut csv = Csv::new(&[
            "quantity", "base_samples", "left_out", "variance", "input", "path", "first", "first_low",
            "first_high", "total", "total_low", "total_high",
        ]);
        for indices in &construct.indices {
            for i in &indices.indices {
                csv.row([
                    indices.quantity.key.clone(),
                    indices.of.to_string(),
                    indices.left_out.to_string(),
                    indices.variance.to_string(),
                    field(&input::words(&i.path)),
                    field(&i.path),
                    i.first.to_string(),
                    i.first_interval[0].to_string(),
                    i.first_interval[1].to_string(),
                    i.total.to_string(),
                    i.total_interval[0].to_string(),
                    i.total_interval[1].to_string(),
                ]);
            }
        }
        Figure::new(
            &format!("scatter-indices-{}", construct.construct),
            canvas,
            csv.finish(),
            format!(
                "What the doubt about {} is made of: Sobol' indices of each input, largest total first. Upper, full bar: first-order index, the share of the variance that goes when this input is known. Lower, hatched bar: total index, the share that stays when all others are known. Thin lines: bootstrap intervals of 95 %; a first-order index can come out below zero or above its total by chance, and an interval that runs beyond the axis is cut there. Inputs that are correlated stand as one; the limbs' tensions, like other inputs with a star in their path, are drawn independently and taken together. Case {}; {}, of which those left out (below each panel) had a run without the quantity; spread: {}.",
                construct.construct,
                found.case,
                counted(found.index_base, "base sample"),
                found.spread
            ),
            alt("total Sobol' index", construct, &panels),
        )
    })
    .collect()
}

fn sobol(indices: &Indices, most: usize) -> Panel {
    let rows = indices.indices.iter().map(|i| Row {
        name: input::words(&i.path),
        bars: vec![(i.first, i.first_interval), (i.total, i.total_interval)],
    });
    let rest = indices.indices.get(most).map(|i| i.total.abs());
    Panel {
        title: short(&indices.quantity),
        rows: rows.collect(),
        note: format!(
            "{}, {} left out{}",
            counted(indices.of as u64, "base sample"),
            indices.left_out,
            left_out(indices.indices.len().saturating_sub(most), rest)
        ),
    }
}

fn alt(what: &str, construct: &Scattered, panels: &[Panel]) -> String {
    let list: Vec<String> = panels
        .iter()
        .map(|panel| {
            let rows: Vec<String> = panel
                .rows
                .iter()
                .take(5)
                .filter_map(|r| Some(format!("{} {}", r.name, words::number(r.bars.last()?.0, 2))))
                .collect();
            let rows = if rows.is_empty() { "too few samples".to_owned() } else { rows.join(", ") };
            format!("{}: {rows}", panel.title)
        })
        .collect();
    format!("Bars of what moves the answers of {} ({what}), strongest first. {}.", construct.construct, list.join(". "))
}
