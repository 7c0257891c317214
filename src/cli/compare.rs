//! `rimhold compare`, `hold` and `push`: constructs tied, and pushed.

use super::open::{Opened, names, open};
use super::present::{Summaries, present};
use super::progress::Progress;
use super::say::Failure;
use super::values::{real, whole};
use super::{Common, example, figures, stop};
use crate::model::Case;
use crate::show::report::{
    Asked, Described, Document, SampleShown, Versus, compare_table, compared, curve_csv, hold_table, push_table,
    result_csv,
};
use crate::study::result::{Compared, Start};
use crate::study::{ComparePlan, Direction, PushPlan, compare_all};
use clap::Args;
use std::path::{Path, PathBuf};

/// Folder of the figures of `compare` when nothing is given.
pub(super) const FIGURES: &str = "rimhold-figures";
/// Constructs that are compared when none are given.
pub(super) const COMPARED: [&str; 2] = ["one-by-one", "two-by-two-crossed"];

/// A case and a construct.
#[derive(Debug, Args)]
struct Pair {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    case: String,
    /// Construct: a file, or a built-in name
    #[arg(value_name = "CONSTRUCT", default_value = "one-by-one")]
    construct: String,
}

/// Where a push goes.
#[derive(Debug, Clone, Args)]
pub(super) struct Way {
    /// Direction: of the shoulder (inferior, anterior, medial …, or two joined: anteroinferior), of the
    /// fracture bed (along-the-line, down-the-plane, off-the-bed …), or three numbers x,y,z
    #[arg(long, default_value_t = PushPlan::default().direction, value_parser = Direction::parse, allow_hyphen_values = true)]
    pub direction: Direction,
    /// How far to push, mm (0.05 to 10); `failure` goes on until the load has fallen to half its peak, 10 mm at most
    #[arg(long, value_name = "MM", default_value_t = PushPlan::default().to, value_parser = how_far, allow_hyphen_values = true)]
    pub to: f64,
    /// Push the repair as tied; by default it is settled first, as the case's [settling] says: relaxation, and ten
    /// cycles of 5 to 25 N along the push
    #[arg(long)]
    pub as_tied: bool,
    /// Forbid the fragment to turn
    #[arg(long)]
    pub guided: bool,
}

impl Way {
    /// The same for a study, in so many steps: by default one every twentieth of a millimetre, 20 at least.
    pub fn plan(&self, steps: Option<usize>) -> PushPlan {
        let to_failure = self.to.is_infinite();
        let to = if to_failure { PushPlan::to_failure().to } else { self.to };
        let steps = steps.unwrap_or(((to / 0.05).round() as usize).max(20));
        let direction = self.direction.clone();
        PushPlan { direction, to, steps, guided: self.guided, point: None, settled: !self.as_tied, to_failure }
    }
}

/// A distance of a push; infinite for one to failure.
fn how_far(text: &str) -> Result<f64, String> {
    if text == "failure" {
        return Ok(f64::INFINITY);
    }
    real(0.05, 10.0, "mm")(text).map_err(|range| format!("{range}, or failure"))
}

/// How finely to compute.
#[derive(Debug, Clone, Default, Args)]
struct Fine {
    /// Bed cells aimed at (100 to 20000); the case's own when not given
    #[arg(long, value_name = "N", value_parser = whole::<usize>(100, 20_000), allow_hyphen_values = true)]
    cells: Option<usize>,
    /// Steps of each pull (5 to 1000); fewer and adaptive when not given
    #[arg(long, value_name = "N", value_parser = whole::<usize>(5, 1000), allow_hyphen_values = true)]
    pull_steps: Option<usize>,
}

/// How to push.
#[derive(Debug, Clone, Args)]
struct Pushing {
    #[command(flatten)]
    way: Way,
    /// Recorded steps of the push (2 to 1000); one every 0.05 mm when not given
    #[arg(long, value_name = "N", value_parser = whole::<usize>(2, 1000), allow_hyphen_values = true)]
    steps: Option<usize>,
    /// Also push 1 mm in 24 directions round the bed plane
    #[arg(long)]
    rose: bool,
}

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold compare quarter single-row one-by-one two-by-two-crossed --figures out",
    &format!("With nothing given: one-by-one and two-by-two-crossed on the case quarter, figures in {FIGURES}/.")
))]
pub(super) struct Compare {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE")]
    case: Option<String>,
    /// Constructs: files, or built-in names; loads are given as ratios to the first
    #[arg(value_name = "CONSTRUCT")]
    constructs: Vec<String>,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value_t = ComparePlan::default().from, value_enum)]
    from: Start,
    #[command(flatten)]
    pushing: Pushing,
    #[command(flatten)]
    fine: Fine,
}

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold hold quarter two-by-two-crossed --from displaced",
    "Per limb: how hard it presses the fragment on its bed, and where it drags it."
))]
pub(super) struct Hold {
    #[command(flatten)]
    pair: Pair,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value_t = ComparePlan::default().from, value_enum)]
    from: Start,
    #[command(flatten)]
    fine: Fine,
}

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold push quarter one-by-one --direction anteromedial --rose",
    "The load is what must be applied at the fragment's centre to move it that far."
))]
pub(super) struct Push {
    #[command(flatten)]
    pair: Pair,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value_t = ComparePlan::default().from, value_enum)]
    from: Start,
    #[command(flatten)]
    pushing: Pushing,
    #[command(flatten)]
    fine: Fine,
}

impl Compare {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let opened = open(self.case.as_deref().unwrap_or("quarter"), &names(&self.constructs, &COMPARED), self.from)?;
        let folder = common.figures.clone().or_else(|| self.case.is_none().then(|| PathBuf::from(FIGURES)));
        study("compare", opened, self.from, Some(&self.pushing), &self.fine, common, folder.as_deref())
    }
}

impl Hold {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let opened = open(&self.pair.case, std::slice::from_ref(&self.pair.construct), self.from)?;
        study("hold", opened, self.from, None, &self.fine, common, common.figures.as_deref())
    }
}

impl Push {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let opened = open(&self.pair.case, std::slice::from_ref(&self.pair.construct), self.from)?;
        study("push", opened, self.from, Some(&self.pushing), &self.fine, common, common.figures.as_deref())
    }
}

fn study(
    command: &str,
    mut opened: Opened,
    from: Start,
    pushing: Option<&Pushing>,
    fine: &Fine,
    common: &Common,
    folder: Option<&Path>,
) -> Result<(), Failure> {
    if let Some(cells) = fine.cells {
        opened.case.bed.cells = cells;
    }
    let plan = ComparePlan {
        from,
        push: pushing.map(|p| p.way.plan(p.steps)),
        rose: pushing.is_some_and(|p| p.rose),
        pull_steps: fine.pull_steps,
    };
    let progress = Progress::start(common.quiet);
    let results = compare_all(&opened.case, &opened.constructs, &plan, &progress);
    drop(progress);
    let _gently = stop::gently();
    let written = folder
        .map(|folder| (figures::write(&figures::compared(&opened.case, &opened.constructs, &results), folder), folder));
    show(&opened, &results, &Asked::compared(command, &plan), None, common)?;
    if let Some((written, folder)) = written {
        figures::tell(written, folder, common.quiet)?;
    }
    if results.iter().any(Compared::is_doubtful) {
        return Err(Failure::uncertified());
    }
    Ok(())
}

/// Prints what was found.
pub(super) fn show(
    opened: &Opened,
    results: &[Compared],
    asked: &Asked,
    sample: Option<SampleShown>,
    common: &Common,
) -> Result<(), Failure> {
    let summaries = Summaries::of(opened);
    summaries.warn(common);
    let Summaries { case, constructs } = &summaries;
    present(
        common,
        |page| {
            if asked.command == "compare" {
                compare_table(page, &opened.case, &opened.constructs, results);
            } else {
                results.iter().for_each(|result| single(page, &opened.case, result));
                page.remarks(case, constructs, results.first().map_or(Start::Reduced, |r| r.hold.from));
            }
            if !results.is_empty() {
                page.reading(&opened.case, results, &compared(results));
            }
        },
        || match (asked.command.as_str(), results.first()) {
            ("push", Some(Compared { push: Some(push), .. })) => curve_csv(push),
            _ => result_csv(&opened.case, &opened.constructs, results, sample.as_ref()),
        },
        || {
            let described = constructs.iter().zip(results.iter().cloned().map(Some).chain(std::iter::repeat(None)));
            let described = described
                .zip(&opened.constructs)
                .map(|((summary, found), construct)| Described::new(&opened.case, construct, summary.clone(), found));
            let mut document = Document::new(asked.clone(), case.clone(), described.collect());
            document.sample.clone_from(&sample);
            document.reading = compared(results);
            document.versus_first = if asked.command == "compare" { Versus::first(results) } else { Vec::new() };
            document
        },
    )
}

fn single(page: &mut crate::show::report::Page, case: &Case, result: &Compared) {
    match &result.push {
        Some(push) => push_table(page, push, result.rose.as_deref()),
        None => hold_table(page, case, &result.hold),
    }
}
