//! Further questions that a report answers beside its comparison: what holds it, what comes after.

use crate::show::figures::{self, Figure, Style};
use crate::show::report::{Verdict, budget_tables, lose_tables};
use crate::show::table::Table;
use crate::study::result::{Budget, Losses};
use serde::Serialize;
use serde_json::{Value, json};

/// A further question, asked of one construct.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Further {
    /// The command that asks it alone.
    pub command: String,
    /// Number of the construct in the report, from 1.
    pub of: usize,
    /// Name of the construct.
    pub construct: String,
    /// The question, as a heading.
    pub title: String,
    /// How it was asked: a sentence of the methods section.
    pub how: String,
    /// The answer, each line a name and its words.
    pub verdict: Vec<[String; 2]>,
    /// Its tables.
    pub tables: Vec<Table>,
    /// What was found, as that command gives it with `--format json`.
    pub found: Value,
    /// Its figures.
    #[serde(skip)]
    pub figures: Vec<Figure>,
}

impl Further {
    /// What a repair hangs on.
    pub fn lost(of: usize, found: &Losses, style: Style) -> Self {
        let drawn = (!found.losses.is_empty()).then(|| figures::losses(found, &style.double()));
        Self {
            command: "lose".to_owned(),
            of,
            construct: found.construct.clone(),
            title: format!("What {} hangs on", found.construct),
            how: include_str!("../said/lost.txt").trim().to_owned(),
            verdict: Verdict::lost(found).parts(),
            tables: lose_tables(found),
            found: json!(found),
            figures: drawn.into_iter().collect(),
        }
    }

    /// What the arm may do.
    pub fn budgeted(of: usize, found: &Budget, style: Style) -> Self {
        let drawn = (!found.phases.is_empty()).then(|| figures::budget(found, &style.double()));
        Self {
            command: "budget".to_owned(),
            of,
            construct: found.construct.clone(),
            title: format!("How much the arm may do after {}", found.construct),
            how: include_str!("../said/budgeted.txt").trim().to_owned(),
            verdict: Verdict::budgeted(found).parts(),
            tables: budget_tables(found),
            found: json!(found),
            figures: drawn.into_iter().collect(),
        }
    }
}
