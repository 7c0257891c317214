//! `rimhold budget`: what assumed loads of rehabilitation do to a repair.

use super::open::{Opened, subject};
use super::present::{Summaries, present};
use super::progress::Progress;
use super::say::Failure;
use super::values::{real, seed, whole};
use super::{Common, example, figures, stop};
use crate::show::figures::{Theme, budget as drawn};
use crate::show::report::{BudgetBody, Envelope, Verdict, budget_full, budget_short, budget_table};
use crate::study::result::Start;
use crate::study::{Allowed, BudgetPlan, budget};
use clap::Args;

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold budget quarter two-by-two-crossed --draws 1000 --figures out",
    "Phases are the case's own, [[phase]] with name, high, cycles, or our usual ones, assumed. No healing is modelled."
))]
pub(super) struct Budget {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    case: String,
    /// Construct: a file, or a built-in name
    #[arg(value_name = "CONSTRUCT", default_value = "one-by-one")]
    construct: String,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value_t = BudgetPlan::default().from, value_enum)]
    from: Start,
    /// Displacement that may be left over under the least load, mm
    #[arg(long, value_name = "MM", default_value_t = Allowed::default().left, value_parser = real(0.01, 15.0, "mm"), allow_hyphen_values = true)]
    left: f64,
    /// Displacement allowed at the largest load, mm
    #[arg(long, value_name = "MM", default_value_t = Allowed::default().peak, value_parser = real(0.01, 15.0, "mm"), allow_hyphen_values = true)]
    peak: f64,
    /// Motion allowed between least and largest load, mm (the default from memory)
    #[arg(long, value_name = "MM", default_value_t = Allowed::default().motion, value_parser = real(0.001, 15.0, "mm"), allow_hyphen_values = true)]
    motion: f64,
    /// Draws of the uncertain inputs; 0 for none
    #[arg(long, value_name = "N", default_value_t = BudgetPlan::default().draws, value_parser = whole::<u64>(0, 100_000), allow_hyphen_values = true)]
    draws: u64,
    /// Seed of the draws
    #[arg(long, value_name = "N", default_value_t = BudgetPlan::default().seed, value_parser = seed, allow_hyphen_values = true)]
    seed: u64,
}

impl Budget {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let subject = subject(&self.case, std::slice::from_ref(&self.construct), self.from)?;
        let opened = Opened::from(&subject);
        let names: Vec<String> = opened.constructs[0].limbs.iter().map(|limb| limb.name.clone()).collect();
        let allowed = Allowed { left: self.left, peak: self.peak, motion: self.motion };
        let plan = BudgetPlan { from: self.from, allowed, draws: self.draws, seed: self.seed, ..BudgetPlan::default() };
        let _gently = stop::gently();
        let progress = Progress::start(common.quiet);
        let found = budget(subject, &plan, &progress)?;
        drop(progress);
        let any = (!found.phases.is_empty()).then_some(&found);
        figures::asked(common, || any.map(|found| drawn(found, &Theme::double())).into_iter().collect())?;
        let summaries = Summaries::warned(&opened, common);
        present(
            common,
            &Verdict::budgeted(&found, !opened.constructs[0].screws.is_empty()),
            |page| budget_short(page, &found),
            |page| {
                budget_full(page, &found, &names);
                page.remarks(&summaries.case, &summaries.constructs, self.from);
            },
            || budget_table(&found).csv(),
            || Envelope::new(BudgetBody::new(summaries.case.clone(), summaries.constructs[0].clone(), found.clone())),
        )?;
        Failure::if_doubtful(found.outcome.is_uncertified())?;
        if found.complete {
            return Ok(());
        }
        Err(Failure::Interrupted(format!(
            "interrupted: {} of {} draws are done and counted above",
            found.done, found.draws
        )))
    }
}
