//! `rimhold joint`: what a head on the socket has of a reduction.

use super::open::open;
use super::present::{Summaries, present};
use super::say::Failure;
use super::{Common, example, figures, stop};
use crate::model::Taken;
use crate::show::figures::{Theme, joint_map, joint_slid};
use crate::show::report::{Envelope, JointBody, Verdict, joint_short, joint_slides, joint_table};
use crate::study::result::Start;
use crate::study::{self, JointPlan};
use clap::Args;

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold joint quarter two-by-two-crossed --full",
    "A rigid head is pressed on the cartilage and slid over the rim: intact, without the fragment, displaced, and with \
     a construct as tied and as settled. Frictionless, without labrum. Head and cartilage are [joint] of the case."
))]
pub(super) struct Joint {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    case: String,
    /// Construct that reduces the fragment: a file, or a built-in name; without one only what needs none
    #[arg(value_name = "CONSTRUCT")]
    construct: Option<String>,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value_t = JointPlan::default().from, value_enum)]
    from: Start,
}

impl Joint {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let opened = open(&self.case, self.construct.as_slice(), self.from)?;
        let (case, construct) = (&opened.case, opened.constructs.first());
        // The displaced fragment is one of the states: it must not lie deeper in its bed than bone gives.
        case.check_displaced(&self.case)?;
        let plan = JointPlan { from: self.from, ..JointPlan::default() };
        let found = study::joint(case, construct, &plan);
        let _gently = stop::gently();
        let theme = Theme::double();
        figures::asked(common, || vec![joint_slid(&found, &theme), joint_map(&found, &theme)])?;
        let summaries = Summaries::warned(&opened, common);
        let taken: Vec<&Taken> = case.defaults.iter().collect();
        let verdict = Verdict::joint(&found, &taken);
        present(
            common,
            &verdict,
            |page| joint_short(page, &found),
            |page| {
                joint_table(page, &found);
                page.remarks(&summaries.case, &summaries.constructs, self.from);
            },
            || joint_slides(&found).csv(),
            || {
                let (case, construct) = (summaries.case.clone(), summaries.constructs.first().cloned());
                Envelope::new(JointBody::new(case, construct, found.clone(), &verdict))
            },
        )?;
        let refused = [&found.tied, &found.settled].into_iter().flatten().any(|end| end.is_uncertified());
        Failure::if_doubtful(refused || !found.certificate.holds())
    }
}
