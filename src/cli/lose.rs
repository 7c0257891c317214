//! `rimhold lose`: what a repair hangs on, and what can still be done.

use super::open::{Opened, open};
use super::present::{Summaries, present};
use super::progress::Progress;
use super::say::{Failure, note};
use super::{Common, example, figures, stop};
use crate::show::figures::{Theme, losses};
use crate::show::report::{Envelope, LoseBody, Verdict, lose_csv, lose_full, lose_short};
use crate::study::result::{Bearing, Losses, Start};
use crate::study::{Direction, LosePlan, lose};
use clap::Args;

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold lose quarter two-by-two-crossed --rescue one-by-one",
    "A limb that is lost is cut, or its bite torn; an anchor takes every limb along that touches it."
))]
pub(super) struct Lose {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    case: String,
    /// Construct: a file, or a built-in name
    #[arg(value_name = "CONSTRUCT", default_value = "one-by-one")]
    construct: String,
    /// Anchors, limbs or screws that are lost together, beside every one in turn
    #[arg(long, value_name = "NAME,NAME", value_delimiter = ',')]
    lost: Vec<String>,
    /// What could still be done: a construct that is tied after the loss (after those of --lost, otherwise after the
    /// worst one). Of a name that the repair has, and that still holds, is what is there; all else is new. May be
    /// given again
    #[arg(long, value_name = "CONSTRUCT")]
    rescue: Vec<String>,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value_t = LosePlan::default().from, value_enum)]
    from: Start,
    /// Direction of the push, as of `compare`
    #[arg(long, default_value_t = LosePlan::default().direction, value_parser = Direction::parse, allow_hyphen_values = true)]
    direction: Direction,
    /// Push repairs as tied; by default they are settled first
    #[arg(long)]
    as_tied: bool,
}

impl Lose {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let all: Vec<String> = std::iter::once(&self.construct).chain(&self.rescue).cloned().collect();
        let Opened { case, mut constructs } = open(&self.case, &all, self.from)?;
        let rescues = constructs.split_off(1);
        let opened = Opened { case, constructs };
        let plan = LosePlan {
            from: self.from,
            direction: self.direction.clone(),
            settled: !self.as_tied,
            together: self.lost.clone(),
        };
        let progress = Progress::start(common.quiet);
        let found = lose(&opened.case, &opened.constructs[0], &rescues, &plan, &progress)?;
        drop(progress);
        let _gently = stop::gently();
        let any = (!found.losses.is_empty()).then_some(&found);
        figures::asked(common, || any.map(|found| losses(found, &Theme::double())).into_iter().collect())?;
        for rescue in found.rescues.iter().filter(|r| !common.quiet && !r.kept.is_empty()) {
            let kept = rescue.kept.join(", ");
            note(&format!("{}: {kept} stays as it is there, though the rescue has it otherwise", rescue.construct));
        }
        let summaries = Summaries::warned(&opened, common);
        present(
            common,
            &Verdict::lost(&found),
            |page| lose_short(page, &found),
            |page| {
                lose_full(page, &found);
                page.remarks(&summaries.case, &summaries.constructs, self.from);
            },
            || lose_csv(&found),
            || Envelope::new(LoseBody::new(summaries.case.clone(), summaries.constructs[0].clone(), found.clone())),
        )?;
        Failure::if_doubtful(bearings(&found).any(|b| b.outcome.is_uncertified()))
    }
}

fn bearings(found: &Losses) -> impl Iterator<Item = &Bearing> {
    let lost = found.losses.iter().flat_map(|l| [&l.after, &l.before]);
    std::iter::once(&found.whole).chain(lost).chain(found.rescues.iter().map(|r| &r.bearing))
}
