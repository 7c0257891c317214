//! `rimhold scatter`: the uncertain inputs drawn many times.

use super::compare::{COMPARED, Way, show};
use super::open::{Opened, names, subject};
use super::present::{Summaries, page, present};
use super::progress::Progress;
use super::say::{Failure, note, print};
use super::values::{real, seed, whole};
use super::{Common, Format, example, figures, stop};
use crate::model::spread::{SpreadTable, Subject};
use crate::show::figures::{Style, scatter_figures};
use crate::show::report::{
    Asked, Drawn, Envelope, SampleShown, ScatterBody, Verdict, inputs_csv, inputs_table, replay_table, scatter_csv,
    scatter_short, scatter_table,
};
use crate::study::ComparePlan;
use crate::study::compare_all;
use crate::study::result::{Sampler, Scatter as Found, Start, counted};
use crate::study::scatter::{Plan, Study};
use clap::Args;
use std::path::PathBuf;

/// Base samples below which indices are warned of.
const FEWEST_BASE: u64 = 64;
/// Most base samples of the indices.
pub(super) const MOST_BASE: u64 = 100_000;

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold scatter quarter one-by-one two-by-two --samples 500 --seed 7",
    "With nothing given: one-by-one and two-by-two-crossed on the case quarter, 2000 samples of the\n  \
     built-in spread, which `--inputs` lists with every other input. A spread of one's own is a\n  \
     [spread] table in the case, or a file:\n    \
     [spread]\n    \
     bed.friction = { triangular = [0.3, 0.5, 0.9] }\n    \
     \"limb.*.tension\" = { lognormal = { median = 1.0, cv = 0.35 }, use = \"factor\" }\n    \
     tether.hinge = { discrete = { intact = 0.4, weak = 0.4, none = 0.2 } }\n  \
     Ctrl-C ends with what the samples that are done say."
))]
pub(super) struct Scatter {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    case: String,
    /// Constructs: files, or built-in names; all are tried on the same draws, and compared in
    /// pairs
    #[arg(value_name = "CONSTRUCT")]
    constructs: Vec<String>,
    /// File with a [spread] table; otherwise the case's own, otherwise the built-in spread
    #[arg(long, value_name = "FILE")]
    spread: Option<PathBuf>,
    /// Number of samples
    #[arg(long, value_name = "N", default_value_t = Plan::default().samples, value_parser = whole::<u64>(1, 10_000_000), allow_hyphen_values = true)]
    samples: u64,
    /// Seed: the same one gives the same samples
    #[arg(long, value_name = "SEED", default_value_t = Plan::default().seed, value_parser = seed, allow_hyphen_values = true)]
    seed: u64,
    /// How to sample
    #[arg(long, value_name = "METHOD", default_value_t = Plan::default().sampler, value_enum)]
    sampler: Sampler,
    /// Load under which an articular step above 2 mm is counted, N
    #[arg(long, value_name = "N", default_value_t = Plan::default().under, value_parser = real(0.0, 1000.0, "N"), allow_hyphen_values = true)]
    under: f64,
    /// Also estimate Sobol' indices, from so many base samples (1 to 100000; fewer than 64 are warned
    /// of)
    #[arg(long, value_name = "BASE", num_args = 0..=1, default_missing_value = "256", value_parser = whole::<u64>(1, MOST_BASE))]
    indices: Option<u64>,
    /// Show one sample again in full, by its number
    #[arg(long, value_name = "NUMBER", value_parser = seed, allow_hyphen_values = true)]
    sample: Option<u64>,
    /// List every input that can be varied, with its range and backing, and do nothing else
    #[arg(long)]
    inputs: bool,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value_t = Plan::default().from, value_enum)]
    from: Start,
    #[command(flatten)]
    way: Way,
    /// Bed cells aimed at, in every sample; from the displaced pose 300 or more are wanted
    #[arg(long, value_name = "N", default_value_t = Plan::default().cells, value_parser = whole::<usize>(100, 20_000), allow_hyphen_values = true)]
    cells: usize,
    /// Recorded steps of the push
    #[arg(long, value_name = "N", default_value_t = Plan::default().push.steps, value_parser = whole::<usize>(2, 400), allow_hyphen_values = true)]
    steps: usize,
}

impl Scatter {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let subject = subject(&self.case, &names(&self.constructs, &COMPARED), self.from)?;
        if self.inputs {
            return list(&subject, common);
        }
        let spread = self.spread.as_deref().map(SpreadTable::read).transpose()?;
        let study = Study::new(subject, spread, self.plan())?;
        if let Some(number) = self.sample {
            return replay(&study, number, common);
        }
        if !common.quiet {
            warn(&study);
        }
        let _gently = stop::gently();
        let progress = Progress::start(common.quiet);
        let found = study.run(&progress);
        drop(progress);
        let Summaries { case, constructs } = Summaries::warned(&Opened::from(study.subject()), common);
        present(
            common,
            &Verdict::scattered(&found),
            |page| scatter_short(page, &found),
            |page| scatter_table(page, &found),
            || scatter_csv(&found),
            || Envelope::new(ScatterBody::new(case, constructs, found.clone())),
        )?;
        figures::asked(common, || scatter_figures(&found, Style::Print))?;
        if !found.complete {
            return Err(Failure::Interrupted(interrupted(&found)));
        }
        if found.constructs.iter().any(|c| c.ends.uncertified > 0) && !common.quiet {
            note("some samples could not be certified; they are listed and count for nothing");
        }
        Ok(())
    }

    fn plan(&self) -> Plan {
        Plan {
            samples: self.samples,
            seed: self.seed,
            sampler: self.sampler,
            indices: self.indices,
            from: self.from,
            push: self.way.plan(Some(self.steps)),
            under: self.under,
            cells: self.cells,
        }
    }
}

/// What is told before the work.
pub(super) fn warn(study: &Study) {
    for warning in study.warnings() {
        note(&format!("warning: {}; {}", warning.message, warning.advice));
    }
    if let Some(base) = study.plan.indices.filter(|base| *base < FEWEST_BASE) {
        note(&format!(
            "warning: {} for the indices: their intervals will span most of the axis; from {FEWEST_BASE} on they begin to say something",
            counted(base, "base sample")
        ));
    }
}

/// How far an interrupted run came.
fn interrupted(found: &Found) -> String {
    let indices = match (found.index_done, found.index_base) {
        (_, 0) => String::new(),
        (done, of) if done == of => {
            format!(" and all {of} base samples of the indices, their intervals not")
        }
        (done, of) => format!(" and {done} of {of} base samples of the indices"),
    };
    format!(
        "interrupted: {} of {} samples{indices} are done, and what they say stands above",
        found.done, found.samples
    )
}

/// Shows what was drawn for a sample and what came of it, state by state.
fn replay(study: &Study, sample: u64, common: &Common) -> Result<(), Failure> {
    let plan = &study.plan;
    if sample >= plan.samples {
        return Err(Failure::Input(format!(
            "there is no sample {sample}: with --samples {} they are numbered 0 to {}",
            plan.samples,
            plan.samples - 1
        )));
    }
    let draws = study.drawn(sample);
    let drawn = study.design.dimensions.iter().zip(&draws).map(|(d, value)| Drawn {
        path: d.path.clone(),
        value: *value,
        usage: d.use_word().to_owned(),
        unit: d.unit().to_owned(),
        said: d.said(*value),
    });
    let shown = SampleShown {
        number: sample,
        samples: plan.samples,
        seed: plan.seed,
        sampler: plan.sampler,
        spread: study.design.source.clone(),
        drawn: drawn.collect(),
    };
    if common.format == Format::Table {
        let mut page = crate::show::report::Page::new(common.colour.on_stdout());
        replay_table(&mut page, &shown);
        print(&page.finish())?;
    }
    let reading = study.sample(sample);
    let case = reading.case.map_err(|why| Failure::Other(format!("sample {sample} makes no fragment: {why}")))?;
    let mut constructs = Vec::new();
    for (asked, construct) in study.subject().constructs().zip(reading.constructs) {
        match construct {
            Ok(construct) => constructs.push(construct),
            Err(why) => note(&format!("sample {sample} makes no construct {}: {why}", asked.name)),
        }
    }
    let plan = ComparePlan { from: plan.from, push: Some(plan.push.clone()), ..ComparePlan::default() };
    let results = compare_all(&case, &constructs, &plan, &Progress::start(common.quiet));
    let opened = Opened { case, constructs };
    show(&opened, &results, &Asked::compared("compare", &plan), None, Some(shown), common)?;
    figures::asked(common, || figures::compared(&opened.case, &opened.constructs, &results))
}

/// Shows every input that can be varied.
fn list(subject: &Subject, common: &Common) -> Result<(), Failure> {
    let known = subject.known();
    match common.format {
        Format::Table | Format::Markdown => print(&page(common, |page| inputs_table(page, &known))),
        Format::Csv => print(&inputs_csv(&known)),
        Format::Json => Err(Failure::Input("`--inputs` is given as a table or as CSV, not as JSON".to_owned())),
    }
}
