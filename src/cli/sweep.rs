//! `rimhold sweep`: one or two inputs over a grid.

use super::compare::Way;
use super::open::{Opened, names, subject};
use super::present::{Summaries, present};
use super::progress::Progress;
use super::say::Failure;
use super::values::{among, whole};
use super::{Common, example, figures, stop};
use crate::model::{CASES, CONSTRUCTS, is_case, near};
use crate::quantities::sampled;
use crate::show::figures::{Style, sweep_figures};
use crate::show::report::{Envelope, SweepBody, Verdict, sweep_csv, sweep_reading, sweep_table};
use crate::study::result::Start;
use crate::study::sweep::{NAMED, Named, Plan, Study};
use clap::Args;

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold sweep quarter one-by-one two-by-two --vary bed.friction=0.3..0.9:7",
    "Ready-made, each by its name alone or followed by a case and constructs:\n    \
     rimhold sweep lower-end    whether the lower end closes: medial anchor against hinge\n    \
     rimhold sweep size         from which size one-by-one no longer does\n    \
     rimhold sweep tension      where more compression stops helping"
))]
pub(super) struct Sweep {
    /// Case (a file, or a built-in name), or a ready-made sweep: lower-end, size, tension
    #[arg(value_name = "CASE|SWEEP")]
    case: Option<String>,
    /// Constructs: files, or built-in names (after a ready-made sweep: its case, then constructs)
    #[arg(value_name = "CONSTRUCT")]
    constructs: Vec<String>,
    /// An input by its dotted path, with a range and a number of values, or values: once or twice.
    /// A place or width along the fragment may be in percent: fragment.width=15%..30%:3. `*` stands
    /// for a whole name: limb.*.tension=20,40. All paths: rimhold scatter --inputs CASE CONSTRUCT
    #[arg(long, value_name = "PATH=LOW..HIGH:N", allow_hyphen_values = true)]
    vary: Vec<String>,
    /// Quantity to show, and no other: compression, peak-pressure, contact, reserve, step, tilt, lower-gap,
    /// lower-off, load-1mm, load-2mm, step-1mm, step-2mm, tilt-2mm, peak-load; may be given again.
    /// CSV and JSON hold all of them, these first
    #[arg(long, value_name = "QUANTITY", value_parser = among(sampled().map(|q| q.key).collect()), hide_possible_values = true)]
    show: Vec<String>,
    /// Where tying starts; reduced unless a ready-made sweep asks otherwise
    #[arg(long, value_name = "POSE", value_enum)]
    from: Option<Start>,
    #[command(flatten)]
    way: Way,
    /// Bed cells aimed at, at every point
    #[arg(long, value_name = "N", default_value_t = Plan::default().cells, value_parser = whole::<usize>(100, 20_000), allow_hyphen_values = true)]
    cells: usize,
    /// Recorded steps of the push
    #[arg(long, value_name = "N", default_value_t = Plan::default().push.steps, value_parser = whole::<usize>(2, 400), allow_hyphen_values = true)]
    steps: usize,
}

impl Sweep {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let named = self.named()?;
        let mut plan = named.map_or_else(Plan::default, Named::plan);
        let (case, constructs) = match named {
            // After the name of a sweep come its case and constructs.
            Some(named) => {
                let (case, rest) = self.constructs.split_first().map_or((named.case, &[][..]), |(c, r)| (c, r));
                (case, names(rest, named.constructs))
            }
            None => (self.case.as_deref().unwrap_or("quarter"), names(&self.constructs, &["one-by-one"])),
        };
        if named.is_none() {
            plan.vary.clone_from(&self.vary);
        }
        if !self.show.is_empty() {
            plan.show.clone_from(&self.show);
        }
        plan.from = self.from.unwrap_or(plan.from);
        plan.push = self.way.plan(Some(self.steps));
        plan.cells = self.cells;
        let study = Study::new(subject(case, &constructs, Start::Reduced)?, plan)?;
        let _gently = stop::gently();
        let progress = Progress::start(common.quiet);
        let found = study.run(&progress);
        drop(progress);
        let Summaries { case, constructs } = Summaries::warned(&Opened::from(study.subject()), common);
        present(
            common,
            &Verdict::swept(&found),
            |page| sweep_table(page, &found),
            |page| page.items("Reading", &sweep_reading(&found)),
            || sweep_csv(&found),
            || Envelope::new(SweepBody::new(case, constructs, found.clone())),
        )?;
        figures::asked(common, || sweep_figures(&found, Style::Print))?;
        if found.complete {
            return Ok(());
        }
        let done = found.constructs.first().map_or(0, |c| c.points.len());
        let total = study.total();
        Err(Failure::Interrupted(format!("interrupted: {done} of {total} points are done and stand above")))
    }

    /// The ready-made sweep that is meant, if one is.
    fn named(&self) -> Result<Option<&'static Named>, Failure> {
        let word = self.case.as_deref();
        match word.and_then(Named::find) {
            _ if !self.vary.is_empty() => Ok(None),
            Some(named) => Ok(Some(named)),
            None => Err(Failure::Input(match word {
                Some(word) if !is_case(word) => unknown(word),
                _ => format!(
                    "nothing is varied\n  write --vary PATH=LOW..HIGH:NUMBER, or name a ready-made sweep: {}",
                    NAMED.map(|n| n.name).join(", ")
                ),
            })),
        }
    }
}

/// Neither a case nor a ready-made sweep.
fn unknown(word: &str) -> String {
    let sweeps = NAMED.map(|n| n.name);
    let cases = CASES.iter().map(|c| c.0);
    let hint = if CONSTRUCTS.iter().any(|c| c.0 == word) {
        format!("; this is a construct, and the case comes first: CASE {word}")
    } else {
        near(word, sweeps.into_iter().chain(cases.clone()))
            .map_or_else(String::new, |near| format!("; did you mean `{near}`?"))
    };
    format!(
        "no case or sweep `{word}`{hint}\n  ready-made sweeps: {}; cases built in: {}",
        sweeps.join(", "),
        cases.collect::<Vec<_>>().join(", ")
    )
}
