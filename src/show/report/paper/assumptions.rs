//! What the model leaves out or simplifies, and which way that errs: one list for the page, the
//! methods section and the README.

use crate::show::table::{Column, Table};
use serde::Serialize;

/// An assumption of the model.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Assumption {
    /// What is assumed.
    pub what: &'static str,
    /// Which way it errs.
    pub errs: &'static str,
}

/// Every assumption, in the order in which a reader meets them.
pub const ASSUMPTIONS: &[Assumption] = &[
    Assumption {
        what: "Fragment and scapula are rigid but for the bed's elastic layer",
        errs: "stiffness too high; peak pressure at the edge too high",
    },
    Assumption {
        what: "Asperities are one ramp of one angle and height everywhere, and never wear",
        errs: "resistance near reduction too even; too high after many cycles",
    },
    Assumption {
        what: "Limbs are straight between their points; crossings do not slip along bone",
        errs: "resistance a little too high; a limb off the middle would slip along the round rim",
    },
    Assumption {
        what: "A labral loop is drawn as straight legs from anchor to bite, through the thin end of the fragment",
        errs: "its lateral lift is too large for a loop that lies over the rim",
    },
    Assumption {
        what: "Bone about a screw yields at one strength, on both sides of its hole alike; shank and head do not loosen or break",
        errs: "loads too high where a screw works loose or bends",
    },
    Assumption {
        what: "Anchors and bites are isotropic springs that give at one strength each",
        errs: "sequence of failure uncertain beyond the first part that gives",
    },
    Assumption {
        what: "Sets under cycles follow one logarithm; relaxation is over at once",
        errs: "tension too high in the first minutes, unknown after thousands of cycles",
    },
    Assumption { what: "No healing", errs: "motion too large after the first weeks" },
    Assumption { what: "Tissue is at rest where tying starts", errs: "too little help from tissue in reduction" },
    Assumption {
        what: "Defaults marked *assumed* (asperity height, tissue, seating, tilt, tension by hand, cut-out and pull-out)",
        errs: "unknown: sweep them, never cite them",
    },
];

/// The same as a table.
pub(super) fn table() -> Table {
    let plain = |text: &str| text.replace(['`', '*'], "").into();
    let columns: [Column<'_, &Assumption>; 2] =
        [("assumption", "", &|a| plain(a.what)), ("which way it errs", "", &|a| plain(a.errs))];
    Table::of("assumptions", "Assumptions, and which way they err", ASSUMPTIONS, &columns)
}

#[cfg(test)]
mod tests {
    use super::ASSUMPTIONS;

    #[test]
    fn the_readme_tells_the_same() {
        let readme = include_str!("../../../../plots/README.md");
        let table: String = ASSUMPTIONS.iter().map(|a| format!("| {} | {} |\n", a.what, a.errs)).collect();
        let head = "| assumption | which way it errs |\n|---|---|\n";
        assert!(readme.contains(&format!("{head}{table}\n")), "{table}");
    }
}
