//! What a report tells of Sobol' indices.

use super::fact::Fact;
use crate::show::table::{Cell, Table};
use crate::stats::REDRAWS;
use crate::study::result::{Scatter, counted};
use schemars::JsonSchema;
use serde::Serialize;

/// What page and methods section say of Sobol' indices.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Sensitivity {
    /// Base samples of each construct.
    pub base: Fact,
    /// Seed of the base samples, which are none of the samples.
    pub seed: Fact,
    /// Estimators and intervals.
    pub estimators: String,
    /// How many base samples were left out, by construct and quantity, in sentences.
    pub left_out: Vec<String>,
}

impl Sensitivity {
    /// `None` when no indices were asked for.
    pub(super) fn new(found: &Scatter) -> Option<Self> {
        if found.index_base == 0 {
            return None;
        }
        let left_out = found.constructs.iter().map(|c| {
            let list: Vec<String> = c
                .indices
                .iter()
                .map(|i| {
                    format!(
                        "{} of {} ({})",
                        i.left_out,
                        counted((i.of + i.left_out) as u64, "base sample"),
                        i.quantity.label
                    )
                })
                .collect();
            if list.is_empty() {
                return format!("{}: no indices, for want of base samples that are all held", c.construct);
            }
            format!("{}: left out, because a run of theirs has no such value, {}", c.construct, list.join(", "))
        });
        Some(Self {
            base: Fact::exact(found.index_base as f64, ""),
            seed: Fact::exact(found.seed.wrapping_add(1) as f64, ""),
            estimators: format!(
                "first-order indices after Saltelli et al. [@saltelli-2010], total indices after Jansen \
                 [@jansen-1999], with intervals of 95 % by a bootstrap of {REDRAWS} redraws over base samples"
            ),
            left_out: left_out.collect(),
        })
    }
}

/// The indices; `None` when there are none.
pub(super) fn table(found: &Scatter) -> Option<Table> {
    let mut table = Table::new(
        "scatter-indices",
        "Sobol' indices: share of the variance that goes when an input is known (first), and that stays when all others are (total)",
        &[
            "construct",
            "quantity",
            "input",
            "first",
            "95 % low",
            "95 % high",
            "total",
            "95 % low",
            "95 % high",
            "base samples",
            "left out",
        ],
    );
    for c in &found.constructs {
        for i in &c.indices {
            for x in &i.indices {
                let mut row: Vec<Cell> =
                    vec![c.construct.as_str().into(), i.quantity.label.as_str().into(), x.path.as_str().into()];
                for v in [
                    x.first,
                    x.first_interval[0],
                    x.first_interval[1],
                    x.total,
                    x.total_interval[0],
                    x.total_interval[1],
                ] {
                    row.push(Fact::new(v, 2, "").into());
                }
                row.push(Fact::count(i.of, "").into());
                row.push(Fact::count(i.left_out, "").into());
                table.row(row);
            }
        }
    }
    (!table.rows.is_empty()).then_some(table)
}
