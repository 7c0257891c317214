//! What was understood of a case and of a construct, with every default that was taken.

use super::construct;
use super::summary::{CaseSummary, ConstructSummary};
use crate::model::{Tag, Taken, Warning};
use crate::show::prose::sentences;
use crate::show::table::Table;
use crate::show::terminal::Page;
use crate::show::words::tag;
use crate::study::result::Start;
use minijinja::Value;

/// Warnings shown beside results; `check` shows all.
const WARNINGS: usize = 4;

/// Writes the case, the order in which each construct is tied, and the warnings.
pub fn case_short(page: &mut Page, case: &CaseSummary, constructs: &[ConstructSummary]) {
    page.values(&sentences(include_str!("said/case.txt"), &Value::from_serialize(case)));
    for construct in constructs {
        page.value(&format!("order of {}", construct.name), order(construct));
    }
    warnings(page, case, constructs, usize::MAX);
}

/// Writes the parts of the constructs, and the defaults taken.
pub fn case_defaults(page: &mut Page, case: &CaseSummary, constructs: &[ConstructSummary]) {
    for summary in constructs {
        page.heading(&format!("Construct {}", summary.name));
        page.paragraph(&summary.description);
        for table in [construct::anchors(summary), construct::limbs(summary), construct::screws(summary)] {
            page.titled(table);
        }
        page.titled(construct::screw_stiffness(summary));
    }
    defaults(page, "the case", &case.defaults);
    for construct in constructs {
        defaults(page, &construct.name, &construct.defaults);
    }
}

/// The ties of a construct in their order.
fn order(summary: &ConstructSummary) -> String {
    let order: Vec<String> = summary
        .ties
        .iter()
        .enumerate()
        .map(|(k, t)| {
            format!(
                "{}. {} (stops {}{})",
                k + 1,
                [t.limbs.as_slice(), &t.screws].concat().join(" + "),
                if t.stop == "reduced" { "when reduced" } else { "at its tension" },
                if t.held { "; an instrument holds the fragment" } else { "" }
            )
        })
        .collect();
    order.join("  ")
}

/// Warnings of a case and its constructs, each with its advice, at most `most`; nothing when there
/// are none.
fn warnings(page: &mut Page, case: &CaseSummary, constructs: &[ConstructSummary], most: usize) {
    let all: Vec<(Option<&str>, &Warning)> = case
        .warnings
        .iter()
        .map(|w| (None, w))
        .chain(constructs.iter().flat_map(|c| c.warnings.iter().map(|w| (Some(c.name.as_str()), w))))
        .collect();
    if all.is_empty() {
        return;
    }
    page.heading("Worth a look");
    let more = all.len().saturating_sub(most);
    for (of, warning) in all.into_iter().take(most) {
        let of = of.map_or_else(String::new, |name| format!("{name}: "));
        page.item(&format!("{of}{}. Advice: {}.", warning.message, warning.advice));
    }
    if more > 0 {
        page.item(&format!("and {more} more: `rimhold check CASE CONSTRUCT` lists them"));
    }
}

fn defaults(page: &mut Page, of: &str, taken: &[Taken]) {
    let title = format!("Not said in {of}, so taken from the table of defaults");
    page.titled(
        Table::of(
            "defaults",
            &title,
            taken,
            &[
                ("value", "", &|t| (&t.path).into()),
                ("taken", "", &|t| format!("{} {}", t.value, t.unit).trim().into()),
                ("backing", "", &|t| tag(t.tag).into()),
                ("where it comes from", "", &|t| (&t.source).into()),
            ],
        )
        .filled(),
    );
}

/// How many values were taken from the table of defaults, and how many of them are assumed. A displaced pose counts
/// only where tying starts from it, head and cartilage where the joint is the question.
pub(super) fn taken<'a>(case: &'a [Taken], constructs: impl Iterator<Item = &'a Taken>, from: Start) -> [usize; 2] {
    let counts =
        |t: &&Taken| (from == Start::Displaced || !t.path.starts_with("displaced.")) && !t.path.starts_with("joint.");
    let all = case.iter().chain(constructs).filter(counts);
    let mut all: Vec<(&str, bool)> = all.map(|t| (t.path.as_str(), t.tag == Tag::Assumed)).collect();
    all.sort_unstable();
    all.dedup_by_key(|t| t.0);
    [all.len(), all.iter().filter(|t| t.1).count()]
}

impl Page {
    /// The warnings, and a line on the defaults taken, for tables that do not list them.
    pub fn remarks(&mut self, case: &CaseSummary, constructs: &[ConstructSummary], from: Start) {
        warnings(self, case, constructs, WARNINGS);
        let [all, assumed] = taken(&case.defaults, constructs.iter().flat_map(|c| &c.defaults), from);
        self.heading("Defaults");
        self.paragraph(&format!(
            "{all} values were not given and taken from the table of defaults, {assumed} of them \
             assumed without a publication: `rimhold check CASE CONSTRUCT --full` lists them."
        ));
    }
}
