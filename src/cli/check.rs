//! `rimhold check`: what was understood of files.

use super::open::open;
use super::present::{Summaries, present};
use super::say::Failure;
use super::{Common, built_in, example};
use crate::show::report::{Asked, Described, Document, Verdict, case_csv, case_defaults, case_short, drill_warning};
use crate::study::result::Start;
use crate::study::{DrillPlan, drill};
use clap::Args;

#[derive(Debug, Args)]
#[command(after_help = format!("{}\n\n  {}", example(
    "rimhold check my-case.toml two-by-two",
    "Nothing is solved: this shows the geometry and the places of the anchors; --full every default taken."
), built_in()))]
pub(super) struct Check {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    case: String,
    /// Constructs to put on it: files, or built-in names
    #[arg(value_name = "CONSTRUCT")]
    constructs: Vec<String>,
}

impl Check {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let opened = open(&self.case, &self.constructs, Start::Reduced)?;
        let mut summaries = Summaries::of(&opened);
        let quick = DrillPlan { remedies: false, ..DrillPlan::default() };
        for (summary, construct) in summaries.constructs.iter_mut().zip(&opened.constructs) {
            summary.warnings.extend(drill_warning(&drill(&opened.case, construct, &quick)));
        }
        summaries.warn(common);
        let Summaries { case, constructs } = &summaries;
        let verdict = Verdict::checked(case, constructs);
        present(
            common,
            &verdict,
            |page| case_short(page, case, constructs),
            |page| case_defaults(page, case, constructs),
            || case_csv(case, constructs),
            || {
                let described = constructs.iter().zip(&opened.constructs);
                let described = described.map(|(c, own)| Described::new(&opened.case, own, c.clone(), None));
                let mut document = Document::new(Asked::of("check"), case.clone(), described.collect());
                document.verdict = verdict.lines().to_vec();
                document
            },
        )
    }
}
