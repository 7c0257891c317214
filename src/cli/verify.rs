//! `rimhold verify`: the parts of the suite on all cores, in order, and their report.

use super::open::open;
use super::present::present;
use super::progress::Progress;
use super::say::{Failure, json, print};
use super::values::whole;
use super::{Common, Format, example};
use crate::show::report::{
    AskedToVerify, Envelope, Verdict, VerifyBody, evidence_page, published_markdown, published_short, published_table,
    verify_markdown, verify_short, verify_table,
};
use crate::study::Watcher;
use crate::study::result::Start;
use crate::verify::published::{DRAWS, Predictions, SEED, predict};
use crate::verify::{self, Verification};
use clap::Args;

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold verify quarter single-row --format markdown",
    "The suite, with refinement and balance of this calculation for a methods text. Exit code 1 when \
     anything is out of tolerance."
))]
pub(super) struct Verify {
    /// Case whose own refinement and balance are added: a file, or a built-in name
    #[arg(value_name = "CASE", requires = "construct")]
    case: Option<String>,
    /// Construct on it: a file, or a built-in name
    #[arg(value_name = "CONSTRUCT")]
    construct: Option<String>,
    /// Where tying of that construct starts
    #[arg(long, value_name = "POSE", default_value_t = Start::Reduced, value_enum, requires = "case")]
    from: Start,
    /// Instead: predictions beside published bench tests and facts of the trade
    #[arg(long, conflicts_with_all = ["case", "construct", "from"])]
    published: bool,
    /// Draws of the predictions
    #[arg(long, value_name = "N", default_value_t = DRAWS, value_parser = whole::<usize>(8, 4096), requires = "published", allow_hyphen_values = true)]
    draws: usize,
}

impl Verify {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        if common.format == Format::Csv {
            return Err(Failure::Input("`verify` has no --format csv: give table, markdown or json".to_owned()));
        }
        if self.published { published(common, self.draws) } else { self.suite(common) }
    }

    fn suite(&self, common: &Common) -> Result<(), Failure> {
        let opened = match (&self.case, &self.construct) {
            (Some(case), Some(construct)) => Some(open(case, std::slice::from_ref(construct), self.from)?),
            _ => None,
        };
        let (case, constructs) = verify::own()?;
        let mut parts = verify::parts();
        parts.extend(constructs.iter().flat_map(|construct| verify::of(&case, construct, Start::Reduced)));
        let mut asked = AskedToVerify::default();
        if let Some(opened) = &opened {
            let construct = &opened.constructs[0];
            parts.extend(verify::of(&opened.case, construct, self.from));
            asked.case = Some(opened.case.name.clone());
            asked.construct = Some(construct.name.clone());
            asked.from = Some(self.from);
        }
        let progress = Progress::start(common.quiet);
        let mut found = Verification::default();
        verify::run(&parts, &progress).into_iter().for_each(|part| found.extend(part));
        drop(progress);
        let failures = found.failures();
        match common.format {
            Format::Markdown => print(&evidence_page("Verification", &[verify_markdown(&found)]))?,
            Format::Json => json(&document(asked, Some(found), None))?,
            Format::Table | Format::Csv => present(
                common,
                &Verdict::verified(&found),
                |page| verify_short(page, &found),
                |page| verify_table(page, &found),
                String::new,
                String::new,
            )?,
        }
        match failures {
            0 => Ok(()),
            n => Err(Failure::Other(format!("{n} of the verification out of tolerance"))),
        }
    }
}

fn published(common: &Common, draws: usize) -> Result<(), Failure> {
    let progress = Progress::start(common.quiet);
    progress.stage(draws as u64 + 1, "predictions");
    let found = predict(draws, SEED, &|| progress.step());
    drop(progress);
    let asked = AskedToVerify { published: true, ..AskedToVerify::default() };
    match common.format {
        Format::Markdown => {
            print(&evidence_page("Predictions beside published bench tests", &[published_markdown(&found)]))
        }
        Format::Json => json(&document(asked, None, Some(found))),
        Format::Table | Format::Csv => present(
            common,
            &Verdict::published(&found),
            |page| published_short(page, &found),
            |page| published_table(page, &found),
            String::new,
            String::new,
        ),
    }
}

fn document(
    asked: AskedToVerify,
    verification: Option<Verification>,
    published: Option<Predictions>,
) -> Envelope<VerifyBody> {
    let passed = verification.as_ref().map(Verification::passed);
    Envelope::new(VerifyBody { asked, passed, verification, published })
}
