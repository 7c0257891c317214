//! Figures "scatter-ranking-…" and "scatter-indices-…": which inputs move the answers of a construct.

use super::super::input;
use super::bars::{Bars, Panel, Row, draw, most_rows};
use super::words::{self, KEYS, short};
use crate::show::chart::*;
use crate::study::result::{Indices, Ranking, Scatter, Scattered, counted};

/// Partial rank correlation of the inputs with compression, step-off and loads, strongest first: one
/// figure a construct.
pub fn scatter_ranking(found: &Scatter, theme: &Theme) -> Vec<Figure> {
    let figure = |(k, construct): (usize, &Scattered)| {
        let own = |key: &&str| construct.rankings.iter().find(|r| r.quantity.key == **key);
        let panels: Vec<Panel> = KEYS.iter().filter_map(own).map(|r| correlation(found, r, most_rows(theme))).collect();
        let bars = Bars {
            title: &construct.construct,
            key: &["coefficient: more of the input, more (+) or less (\u{2212}) of the quantity"],
            scale: Scale::between(-1.0, 1.0, 4),
            axis: "partial rank correlation",
            heads: &[""],
            colour: theme.series(k).0,
        };
        let heading = ["quantity", "samples", "input", "path", "coefficient", "interval_low", "interval_high"];
        let mut csv = Csv::new(heading);
        for ranking in &construct.rankings {
            for rank in &ranking.ranks {
                let (input, [low, high]) = (input::words(&rank.path), rank.interval);
                csv.row(row![&ranking.quantity.key, ranking.of, input, &rank.path, rank.coefficient, low, high]);
            }
        }
        let caption = format!(
            "What moves the answers of {}: partial rank correlation of each input with the quantity, all other inputs held, strongest first, with its 95 % interval (Fisher's transformation: for independent draws, a little wide for these). Positive: more of the input, more of the quantity. A bar says how surely an input moves the answer in one direction, not by how much. {}",
            construct.construct,
            words::drawn(found)
        );
        let (name, alt) = (format!("scatter-ranking-{}", construct.construct), alt(bars.axis, construct, &panels));
        Figure::new(&name, draw(theme, &panels, &bars), csv.finish(), caption, alt)
    };
    found.constructs.iter().enumerate().map(figure).collect()
}

fn correlation(found: &Scatter, ranking: &Ranking, most: usize) -> Panel {
    let row = |path: &str, c: f64, interval| Row { name: input::words(path), bars: vec![(c, interval)] };
    let rest = ranking.ranks.get(most).map(|r| r.coefficient.abs());
    let rest = left_out(ranking.ranks.len().saturating_sub(most), rest);
    Panel {
        title: short(&ranking.quantity),
        rows: ranking.ranks.iter().map(|r| row(&r.path, r.coefficient, r.interval)).collect(),
        note: format!("{} of {}{rest}", ranking.of, counted(found.done, "sample")),
    }
}

/// What is not drawn, in words; `next` is the largest of it.
fn left_out(more: usize, next: Option<f64>) -> String {
    next.map_or_else(String::new, |next| {
        let them = if more == 1 { "input" } else { "inputs, each" };
        // Rounded up, so that it is no more than is said.
        format!("; {more} more {them} at most {:.2} in size", (100.0 * next).ceil() / 100.0)
    })
}

/// Sobol' indices of the inputs, largest total first: one figure for each construct that has some.
pub fn scatter_indices(found: &Scatter, theme: &Theme) -> Vec<Figure> {
    let drawn: Vec<(usize, &Scattered)> =
        found.constructs.iter().enumerate().filter(|(_, c)| !c.indices.is_empty()).collect();
    let all = drawn.iter().flat_map(|(_, c)| &c.indices).flat_map(|i| &i.indices);
    let ends = all.flat_map(|i| [[i.first, i.total], i.first_interval, i.total_interval]).flatten();
    let [lo, hi] = extremes(ends.chain([0.0, 1.0]));
    let figure = |(k, construct): &(usize, &Scattered)| {
        let own = |key: &&str| construct.indices.iter().find(|i| i.quantity.key == **key);
        let panels: Vec<Panel> = KEYS.iter().filter_map(own).map(|i| sobol(i, most_rows(theme))).collect();
        let bars = Bars {
            title: &construct.construct,
            key: &[
                "first: share that goes when the input is known",
                "total: share that stays when all others are known",
            ],
            scale: Scale::load(lo.max(-0.25), hi.min(1.25), 4),
            axis: "share of the variance",
            heads: &["first", "total"],
            colour: theme.series(*k).0,
        };
        let mut csv = Csv::new(
            "quantity,base_samples,left_out,variance,input,path,first,first_low,first_high,total,total_low,total_high"
                .split(','),
        );
        for of in &construct.indices {
            for i in &of.indices {
                let begin = row![&of.quantity.key, of.of, of.left_out, of.variance, input::words(&i.path), &i.path];
                let ([a, b], [c, d]) = (i.first_interval, i.total_interval);
                csv.row(begin.into_iter().chain([i.first, a, b, i.total, c, d].map(Cell::from)));
            }
        }
        let caption = format!(
            "What the uncertainty of {} is made of: Sobol' indices of each input, largest total first. Upper, full bar: first-order index, the share of the variance that goes when this input is known. Lower, hatched bar: total index, the share that stays when all others are known. Thin lines: bootstrap intervals of 95 %; a first-order index can come out below zero or above its total by chance, and an interval that runs beyond the axis is cut there. Inputs that are correlated stand as one; the limbs' tensions, like other inputs with a star in their path, are drawn independently and taken together. Case {}; {}, of which those left out (below each panel) had a run without the quantity; spread: {}.",
            construct.construct,
            found.case,
            counted(found.index_base, "base sample"),
            found.spread
        );
        let (name, alt) =
            (format!("scatter-indices-{}", construct.construct), alt("total Sobol' index", construct, &panels));
        Figure::new(&name, draw(theme, &panels, &bars), csv.finish(), caption, alt)
    };
    drawn.iter().map(figure).collect()
}

fn sobol(indices: &Indices, most: usize) -> Panel {
    let rows = indices.indices.iter().map(|i| Row {
        name: input::words(&i.path),
        bars: vec![(i.first, i.first_interval), (i.total, i.total_interval)],
    });
    let rest = indices.indices.get(most).map(|i| i.total.abs());
    let rest = left_out(indices.indices.len().saturating_sub(most), rest);
    let base = counted(indices.of as u64, "base sample");
    Panel {
        title: short(&indices.quantity),
        rows: rows.collect(),
        note: format!("{base}, {} left out{rest}", indices.left_out),
    }
}

fn alt(what: &str, construct: &Scattered, panels: &[Panel]) -> String {
    let said = |panel: &Panel| {
        let rows =
            panel.rows.iter().take(5).filter_map(|r| Some(format!("{} {}", r.name, number(r.bars.last()?.0, 2))));
        let rows: Vec<String> = rows.collect();
        let rows = if rows.is_empty() { "too few samples".to_owned() } else { rows.join(", ") };
        format!("{}: {rows}", panel.title)
    };
    format!(
        "Bars of what moves the answers of {} ({what}), strongest first. {}.",
        construct.construct,
        joined(panels.iter().map(said), ". ")
    )
}
