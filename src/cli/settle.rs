//! `rimhold settle`: what relaxation and cycles leave of a tied repair.

use super::open::open;
use super::present::{Summaries, present};
use super::say::Failure;
use super::values::{real, whole};
use super::{Common, example, figures, stop};
use crate::model::Taken;
use crate::show::figures::{Theme, settling};
use crate::show::report::{Asked, Described, Document, Verdict, settle_cycles, settle_short, settle_table};
use crate::study::result::Start;
use crate::study::{self, ComparePlan, Direction, SettlePlan};
use clap::Args;

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold settle quarter two-by-two-crossed --cycles 1000",
    "Losses are millimetres of set in each part; what tension they cost comes out. No healing is modelled."
))]
pub(super) struct Settle {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    case: String,
    /// Construct: a file, or a built-in name
    #[arg(value_name = "CONSTRUCT", default_value = "one-by-one")]
    construct: String,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value_t = ComparePlan::default().from, value_enum)]
    from: Start,
    /// Least load of a cycle, N; the case's `settling.low` when not given
    #[arg(long, value_name = "N", value_parser = real(0.0, 500.0, "N"), allow_hyphen_values = true)]
    lo: Option<f64>,
    /// Largest load of a cycle, N; the case's `settling.high` when not given
    #[arg(long, value_name = "N", value_parser = real(0.0, 500.0, "N"), allow_hyphen_values = true)]
    hi: Option<f64>,
    /// Cycles; the case's `settling.cycles` when not given. Beyond ten they are taken in ever larger blocks
    #[arg(long, value_name = "N", value_parser = whole::<u32>(0, 100_000), allow_hyphen_values = true)]
    cycles: Option<u32>,
    /// Direction of the load, as of a push; the case's `settling.direction`, or inferior, when not given
    #[arg(long, value_name = "DIRECTION", value_parser = Direction::parse, allow_hyphen_values = true)]
    direction: Option<Direction>,
}

impl Settle {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let opened = open(&self.case, std::slice::from_ref(&self.construct), self.from)?;
        let (case, construct) = (&opened.case, &opened.constructs[0]);
        let usual = SettlePlan::of(case);
        let usual = self.direction.as_ref().map_or(usual.clone(), |direction| usual.along(direction));
        let plan = SettlePlan {
            low: self.lo.unwrap_or(usual.low),
            high: self.hi.unwrap_or(usual.high),
            cycles: self.cycles.unwrap_or(usual.cycles),
            ..usual
        };
        if plan.low > plan.high {
            return Err(Failure::Input(format!(
                "a cycle from {} N to {} N goes down: --lo must be at most --hi",
                plan.low, plan.high
            )));
        }
        let rig = study::rig(case, construct, self.from);
        let (hold, tied) = study::tie(case, construct, &rig, self.from);
        let found = tied.map(|tied| study::settle(case, construct, &rig, &tied, &plan).0);
        let names: Vec<String> = construct.limbs.iter().map(|limb| limb.name.clone()).collect();
        let _gently = stop::gently();
        let drawn = |found| settling(found, &names, &Theme::double());
        figures::asked(common, || found.as_ref().map(drawn).into_iter().collect())?;
        let summaries = Summaries::warned(&opened, common);
        let doubtful = hold.outcome.is_uncertified()
            || found
                .as_ref()
                .is_some_and(|f| f.outcome.is_uncertified() || f.points.iter().any(|point| !point.certificate.holds()));
        let taken: Vec<&Taken> = case.defaults.iter().chain(&construct.defaults).collect();
        let verdict = Verdict::settled(&case.name, &construct.name, &hold, found.as_ref(), &taken);
        present(
            common,
            &verdict,
            |page| found.iter().for_each(|found| settle_short(page, found)),
            |page| {
                found.iter().for_each(|found| settle_table(page, found, &names));
                page.remarks(&summaries.case, &summaries.constructs, self.from);
            },
            || found.as_ref().map_or_else(String::new, |found| settle_cycles(found, &names).csv()),
            || {
                let described = Described {
                    construct: summaries.constructs[0].clone(),
                    quantities: Default::default(),
                    found: None,
                };
                let asked = Asked {
                    from: Some(self.from),
                    direction: Some(plan.direction.name.clone()),
                    ..Asked::of("settle")
                };
                let mut document = Document::new(asked, summaries.case.clone(), vec![described]);
                document.settling.clone_from(&found);
                document.verdict = verdict.lines().to_vec();
                document
            },
        )?;
        Failure::if_doubtful(doubtful)
    }
}
