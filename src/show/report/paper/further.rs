//! Further questions that a report answers beside its comparison: what holds it, what comes after.

use crate::model::{Case, Construct, Taken};
use crate::show::figures::{self, Figure, Style};
use crate::show::report::{Verdict, budget_tables, drill_tables, joint_slides, joint_states, lose_tables};
use crate::show::table::Table;
use crate::study::result::{Budget, Drilling, Joint, Losses};
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
    /// What backs the numbers that it takes and no file gives.
    #[serde(skip)]
    pub backing: Vec<String>,
    /// Its figures.
    #[serde(skip)]
    pub figures: Vec<Figure>,
}

impl Further {
    /// Whether holes can be reached, and whether the bone allows them.
    pub fn drilled(of: usize, case: &Case, construct: &Construct, found: &Drilling, style: Style) -> Self {
        Self {
            command: "drill".to_owned(),
            of,
            construct: construct.name.clone(),
            title: format!("Whether the holes of {} can be drilled", construct.name),
            how: include_str!("../said/drilled.txt").trim().to_owned(),
            verdict: Verdict::drilled(&case.name, found).parts(),
            tables: drill_tables(found),
            found: json!(found),
            backing: Vec::new(),
            figures: vec![figures::drilling(case, construct, found, &style.double())],
        }
    }

    /// Stability and contact pressure of the joint.
    pub fn joined(of: usize, case: &Case, construct: &Construct, found: &Joint, style: Style) -> Self {
        let taken: Vec<&Taken> = case.defaults.iter().collect();
        Self {
            command: "joint".to_owned(),
            of,
            construct: construct.name.clone(),
            title: format!("Stability and contact pressure of the joint with {}", construct.name),
            how: include_str!("../said/joined.txt").trim().to_owned(),
            verdict: Verdict::joint(found, &taken).parts(),
            tables: vec![joint_states(found), joint_slides(found)],
            found: json!(found),
            backing: Vec::new(),
            figures: vec![figures::joint_slid(found, &style.double()), figures::joint_map(found, &style.double())],
        }
    }

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
            backing: Vec::new(),
            figures: drawn.into_iter().collect(),
        }
    }

    /// What loads of rehabilitation do.
    pub fn budgeted(of: usize, construct: &Construct, found: &Budget, style: Style) -> Self {
        let drawn = (!found.phases.is_empty()).then(|| figures::budget(found, &style.double()));
        Self {
            command: "budget".to_owned(),
            of,
            construct: found.construct.clone(),
            title: format!("Assumed loads of rehabilitation on {}", found.construct),
            how: include_str!("../said/budgeted.txt").trim().to_owned(),
            verdict: Verdict::budgeted(found, !construct.screws.is_empty()).parts(),
            tables: budget_tables(found),
            found: json!(found),
            backing: found.phases.iter().map(|p| p.source.clone()).collect(),
            figures: drawn.into_iter().collect(),
        }
    }
}
