//! What a report tells of one construct.

use super::fact::Fact;
use super::limits::{Limit, limits};
use crate::model::Case;
use crate::show::report::ConstructSummary;
use crate::show::report::construct as tables;
use crate::show::report::reading;
use crate::show::table::Table;
use crate::show::words;
use crate::study::result::Compared;
use serde::Serialize;

/// A construct in the record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OneConstruct {
    /// Name.
    pub name: String,
    /// Description from its file.
    pub description: String,
    /// How tying ended, in words.
    pub outcome: String,
    /// Number of anchors.
    pub anchors: Fact,
    /// Number of limbs.
    pub limbs: Fact,
    /// Number of screws.
    pub screws: Fact,
    /// Order of tying in words.
    pub order: String,
    /// Reading in sentences.
    pub reading: Vec<String>,
    /// Limits at which parts give first during the push.
    pub limits: Vec<Limit>,
    /// Its own tables.
    pub tables: Vec<Table>,
}

impl OneConstruct {
    /// What is told of a construct and of what was found of it.
    pub(super) fn new(case: &Case, construct: &ConstructSummary, found: &Compared) -> Self {
        let order: Vec<String> = construct
            .ties
            .iter()
            .map(|t| {
                format!(
                    "{} ({}{})",
                    [t.limbs.as_slice(), &t.screws].concat().join(" + "),
                    if t.limbs.is_empty() {
                        "tightened to its preload"
                    } else if t.stop == "reduced" {
                        "pulled until reduced, at most to its tension"
                    } else {
                        "pulled to its tension"
                    },
                    if t.held { ", the fragment held by an instrument" } else { "" }
                )
            })
            .collect();
        let screws: Vec<String> = construct.screws.iter().map(|s| s.name.clone()).collect();
        let own = [
            tables::anchors(construct),
            tables::limbs(construct),
            tables::screws(construct),
            tables::screw_stiffness(construct),
            tables::ties(&found.hold, &screws),
            tables::tied_limbs(&found.hold),
            tables::tied_screws(&found.hold),
            tables::tied_anchors(&found.hold),
            found.push.as_ref().and_then(|p| tables::sharing(p, 1.0)),
            found.push.as_ref().and_then(tables::events),
        ];
        Self {
            name: construct.name.clone(),
            description: construct.description.clone(),
            outcome: words::not_held(&found.hold.outcome).unwrap_or_else(|| "stable".to_owned()),
            anchors: Fact::count(construct.anchors.len(), ""),
            limbs: Fact::count(construct.limbs.len(), ""),
            screws: Fact::count(construct.screws.len(), ""),
            order: order.join(", then "),
            reading: reading(case, &found.hold, found.push.as_ref()),
            limits: found.push.as_ref().map(limits).unwrap_or_default(),
            tables: own.into_iter().flatten().collect(),
        }
    }
}
