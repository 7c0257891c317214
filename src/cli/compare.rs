//! `rimhold compare`: constructs tied, settled and pushed, beside each other or one alone.

use super::open::{Opened, names, subject};
use super::present::{Summaries, present};
use super::progress::Progress;
use super::say::{Failure, print};
use super::values::{real, whole};
use super::{Common, Format, built_in, example, figures, stop};
use crate::model::Equal;
use crate::show::report::{
    Asked, Described, Document, SampleShown, Verdict, Versus, compare_full, compare_short, compared, curve_csv,
    hold_table, push_table, result_csv,
};
use crate::study::result::{Compared, Scatter, Start};
use crate::study::{ComparePlan, Direction, PushPlan, compare_all, scatter};
use clap::Args;
use std::path::PathBuf;

/// Folder of the figures of `compare` when nothing is given.
pub(super) const FIGURES: &str = "rimhold-figures";
/// Constructs that are compared when none are given.
pub(super) const COMPARED: [&str; 2] = ["one-by-one", "two-by-two-crossed"];

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
    /// cycles of 5 to 25 N along the push where it names no direction
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
        PushPlan { direction, to, steps, guided: self.guided, settled: !self.as_tied, to_failure }
    }
}

/// A distance of a push; infinite for one to failure.
fn how_far(text: &str) -> Result<f64, String> {
    if text == "failure" {
        return Ok(f64::INFINITY);
    }
    real(0.05, 10.0, "mm")(text).map_err(|range| format!("{range}, or failure"))
}

/// Cells of the bed under draws that only say how sure a difference is, from either pose.
const DRAWN: [usize; 2] = [100, 300];

#[derive(Debug, Args)]
#[command(after_help = format!("{}\n\n  {}", example(
    "rimhold compare quarter single-row one-by-one two-by-two-crossed --figures out",
    &format!("With nothing given: one-by-one and two-by-two-crossed on the case quarter, figures in {FIGURES}/.")
), built_in()))]
pub(super) struct Compare {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE")]
    case: Option<String>,
    /// Constructs: files, or built-in names; one alone is told in all detail by --full
    #[arg(value_name = "CONSTRUCT")]
    constructs: Vec<String>,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value_t = ComparePlan::default().from, value_enum)]
    from: Start,
    /// Tie only: no settling, no push
    #[arg(long)]
    tied_only: bool,
    #[command(flatten)]
    way: Way,
    /// Equal terms: all tensions of bridge limbs, which run from one anchor to another, times one factor a construct,
    /// to be those of the first that has a bridge; the lateral anchor of a limb is that of its tied end
    #[arg(long, value_name = "WHAT", value_enum)]
    equal: Option<Equal>,
    /// Draws of the uncertain inputs, the same for all constructs, that say whether a difference counts; 0 for none
    #[arg(long, value_name = "N", default_value_t = 32, value_parser = whole::<u64>(0, 100_000), allow_hyphen_values = true)]
    draws: u64,
    /// Recorded steps of the push (2 to 1000); one every 0.05 mm when not given
    #[arg(long, value_name = "N", value_parser = whole::<usize>(2, 1000), allow_hyphen_values = true)]
    steps: Option<usize>,
    /// Also push 1 mm in 24 directions round the bed plane
    #[arg(long)]
    rose: bool,
    /// As CSV: every state of the push of the first construct, instead of one value a line
    #[arg(long)]
    curve: bool,
    /// Bed cells aimed at (100 to 20000); the case's own when not given
    #[arg(long, value_name = "N", value_parser = whole::<usize>(100, 20_000), allow_hyphen_values = true)]
    cells: Option<usize>,
    /// Steps of each pull (5 to 1000); fewer and adaptive when not given
    #[arg(long, value_name = "N", value_parser = whole::<usize>(5, 1000), allow_hyphen_values = true)]
    pull_steps: Option<usize>,
}

impl Compare {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let case = self.case.as_deref().unwrap_or("quarter");
        let mut subject = subject(case, &names(&self.constructs, &COMPARED), self.from)?;
        self.equal.map_or(Ok(()), |equal| subject.equalise(equal)).map_err(Failure::Input)?;
        let mut opened = Opened::from(&subject);
        opened.case.bed.cells = self.cells.unwrap_or(opened.case.bed.cells);
        let plan = ComparePlan {
            from: self.from,
            push: (!self.tied_only).then(|| self.way.plan(self.steps)),
            rose: self.rose && !self.tied_only,
            pull_steps: self.pull_steps,
        };
        let progress = Progress::start(common.quiet);
        let results = compare_all(&opened.case, &opened.constructs, &plan, &progress);
        // A table of values has no place for a verdict.
        let wanted = self.draws > 0 && common.format != Format::Csv && results.iter().any(|r| r.push.is_some());
        let draws = plan.push.clone().filter(|_| wanted).map(|push| {
            let push = PushPlan { to: 1.0, steps: 4, to_failure: false, ..push };
            let cells = DRAWN[usize::from(self.from == Start::Displaced)];
            let plan = scatter::Plan { samples: self.draws, from: self.from, push, cells, ..Default::default() };
            scatter::run(subject, plan, &progress)
        });
        let draws = draws.transpose()?;
        drop(progress);
        let _gently = stop::gently();
        let folder = common.figures.clone().or_else(|| self.case.is_none().then(|| PathBuf::from(FIGURES)));
        let drawn = || figures::compared(&opened.case, &opened.constructs, &results);
        let written = folder.as_ref().map(|folder| (figures::write(&drawn(), folder), folder));
        let asked = Asked::compared("compare", &plan);
        let curve = self.curve.then(|| results.iter().find_map(|r| r.push.as_ref())).flatten();
        match curve.filter(|_| common.format == Format::Csv) {
            Some(push) => print(&curve_csv(push))?,
            None => show(&opened, &results, &asked, draws.as_ref(), None, common)?,
        }
        if let Some((written, folder)) = written {
            figures::tell(written, folder, common.quiet)?;
        }
        Failure::if_doubtful(results.iter().any(Compared::is_doubtful))
    }
}

/// Prints what was found.
pub(super) fn show(
    opened: &Opened,
    results: &[Compared],
    asked: &Asked,
    draws: Option<&Scatter>,
    sample: Option<SampleShown>,
    common: &Common,
) -> Result<(), Failure> {
    let summaries = Summaries::warned(opened, common);
    let Summaries { case, constructs } = &summaries;
    let verdict = Verdict::compared(&opened.case, &opened.constructs, results, draws);
    present(
        common,
        &verdict,
        |page| compare_short(page, &opened.case, &opened.constructs, results),
        |page| {
            match results {
                [one] => {
                    hold_table(page, &opened.case, &one.hold);
                    one.push.iter().for_each(|push| push_table(page, push));
                }
                _ => compare_full(page, &opened.case, &opened.constructs, results),
            }
            page.remarks(case, constructs, results.first().map_or(Start::Reduced, |r| r.hold.from));
            page.reading(&opened.case, results, &compared(results));
        },
        || result_csv(&opened.case, &opened.constructs, results, sample.as_ref()),
        || {
            let described = constructs.iter().zip(results.iter().cloned().map(Some).chain(std::iter::repeat(None)));
            let described = described
                .zip(&opened.constructs)
                .map(|((summary, found), construct)| Described::new(&opened.case, construct, summary.clone(), found));
            let mut document = Document::new(asked.clone(), case.clone(), described.collect());
            document.sample.clone_from(&sample);
            document.verdict = verdict.lines().to_vec();
            document.reading = compared(results);
            document.versus_first = Versus::first(results);
            document
        },
    )
}
