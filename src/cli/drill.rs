//! `rimhold drill`: whether holes can be reached, and whether the bone allows them.

use super::open::open;
use super::present::{Summaries, present};
use super::say::Failure;
use super::{Common, built_in, example, figures, stop};
use crate::show::figures::{Theme, drilling};
use crate::show::report::{DrillBody, Envelope, Verdict, drill_csv, drill_short, drill_table};
use crate::study::result::Start;
use crate::study::{DrillPlan, drill};
use clap::Args;

#[derive(Debug, Args)]
#[command(after_help = format!("{}\n\n  {}", example(
    "rimhold drill quarter two-by-two-crossed --full",
    "Portals, sizes of holes and limits are in the files ([portal.NAME], [drill], an anchor's `portal` or `axis`); those \
     built in are ours and assumed. Nothing is solved."
), built_in()))]
pub(super) struct Drill {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    case: String,
    /// Construct: a file, or a built-in name
    #[arg(value_name = "CONSTRUCT", default_value = "one-by-one")]
    construct: String,
}

impl Drill {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let opened = open(&self.case, std::slice::from_ref(&self.construct), Start::Reduced)?;
        let (case, construct) = (&opened.case, &opened.constructs[0]);
        let found = drill(case, construct, &DrillPlan::default());
        let _gently = stop::gently();
        figures::asked(common, || vec![drilling(case, construct, &found, &Theme::double())])?;
        let mut summaries = Summaries::warned(&opened, common);
        let verdict = Verdict::drilled(&case.name, &found);
        present(
            common,
            &verdict,
            |page| drill_short(page, &found),
            |page| drill_table(page, &found),
            || drill_csv(&found),
            || {
                let own = summaries.constructs.swap_remove(0);
                Envelope::new(DrillBody::new(summaries.case.clone(), own, found.clone(), verdict.lines()))
            },
        )
    }
}
