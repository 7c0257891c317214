//! `rimhold report`: everything that a talk and a methods section need, in one folder.

mod inputs;
mod pictures;
mod verified;

use super::again::again;
use super::compare::Way;
use super::folder::{self, MANIFEST};
use super::open::{Opened, names, open, subject};
use super::place::refusal;
use super::progress::Progress;
use super::say::{Failure, as_json, note, print};
use super::values::{among, seed, whole};
use super::{example, scatter};
use crate::CAUTION;
use crate::list::distinct;
use crate::model::{Case, Construct};
use crate::par;
use crate::show::figures::{Style, Subject, talk};
use crate::show::report::paper::{
    Found, Further, Hashed, METHODS, METHODS_SUPPLEMENT, Manifest, Output, Plate, Record, ReportedSweep, Run,
    bibliography, further_plates, methods, missing, page, plates, sha256, supplement,
};
use crate::study::place::{self, Objective};
use crate::study::result::{OrderRun, Orders, Place, Scatter, Start};
use crate::study::scatter::Study;
use crate::study::sweep::{self, NAMED, Named};
use crate::study::{
    BudgetPlan, Chosen, ComparePlan, DrillPlan, JointPlan, LosePlan, OrdersPlan, Refused, Watcher, budget, compare_all,
    drill, joint, lose, orders,
};
use clap::{ArgMatches, Args, ValueEnum};
use inputs::Inputs;
use std::path::{Path, PathBuf};

/// Constructs of a report when none are given.
const REPORTED: [&str; 3] = ["one-by-one", "two-by-two-crossed", "single-row"];
/// The commit that the program was built from, where the builder said so.
const COMMIT: Option<&str> = option_env!("RIMHOLD_COMMIT");

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold report quarter one-by-one two-by-two-crossed --out my-report",
    "With nothing given: one-by-one, two-by-two-crossed and single-row on the case quarter.\n  \
     Writing is all or nothing; a folder that is not a report of this program is never touched."
))]
pub(super) struct Report {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    case: String,
    /// Constructs: files, or built-in names
    #[arg(value_name = "CONSTRUCT")]
    constructs: Vec<String>,
    /// Folder of the report; an earlier report there is replaced once the new one is whole
    #[arg(long, value_name = "DIR", default_value = "rimhold-report")]
    out: PathBuf,
    /// Where DIR holds what this program did not write: leave it, and write into a new folder
    /// `rimhold-report` inside
    #[arg(long)]
    beside: bool,
    /// Style of the figures
    #[arg(long, default_value_t = Style::Print, value_enum)]
    style: Style,
    /// Figures as SVG alone: no PDF, no PNG
    #[arg(long)]
    svg_only: bool,
    /// Samples of the inputs, from 5 to 95 % of which the answers are told (the case's own [spread], or
    /// the built-in one); 0 leaves them out
    #[arg(long, value_name = "N", default_value_t = 128, value_parser = whole::<u64>(0, 20_000), allow_hyphen_values = true)]
    samples: u64,
    /// Also estimate Sobol' indices of the samples' inputs, from so many base samples (as `rimhold scatter`
    /// does; needs samples); takes a minute or so
    #[arg(long, value_name = "BASE", num_args = 0..=1, default_missing_value = "256", value_parser = whole::<u64>(1, scatter::MOST_BASE))]
    indices: Option<u64>,
    /// Also make a ready-made sweep on this case and those constructs that have what it varies:
    /// lower-end, size or tension; may be given again
    #[arg(long, value_name = "NAME", value_parser = among(NAMED.map(|n| n.name).to_vec()))]
    sweep: Vec<String>,
    /// Seed of the samples, and of tying orders where not all are run
    #[arg(long, value_name = "SEED", default_value_t = 1, value_parser = seed, allow_hyphen_values = true)]
    seed: u64,
    /// Leave out the program's whole verification suite; the refinement and balance of this case stay
    #[arg(long)]
    no_suite: bool,
    /// Also seek better places for the anchors of the last construct (load at 1 mm inferiorly, as
    /// `rimhold place` does); takes some seconds
    #[arg(long)]
    place: bool,
    /// With --place: seek the 10th percentile over so many common draws of placement error and tension,
    /// as `rimhold place --robust` does; takes minutes
    #[arg(long, value_name = "DRAWS", num_args = 0..=1, default_missing_value = "32", value_parser = whole::<u64>(10, 10_000), requires = "place")]
    robust: Option<u64>,
    /// With --place: also trace what can be had of this objective at the same time
    #[arg(long, value_name = "OBJECTIVE", value_enum, requires = "place")]
    against: Option<Objective>,
    /// With --place: most evaluations of each start, as of `rimhold place`
    #[arg(long, value_name = "N", value_parser = whole::<usize>(20, 1_000_000), requires = "place", allow_hyphen_values = true)]
    evaluations: Option<usize>,
    /// Also answer further questions of each construct, as the commands of these names do
    #[arg(long, value_name = "COMMAND", value_enum, value_delimiter = ',')]
    also: Vec<Also>,
    /// Template of the methods section (minijinja); the built-in one when not given
    #[arg(long, value_name = "FILE")]
    template: Option<PathBuf>,
    /// Also make five pages of 16 to 9 for a talk with speaker notes, in slides/
    #[arg(long)]
    slides: bool,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value_t = Start::Reduced, value_enum)]
    from: Start,
    #[command(flatten)]
    way: Way,
}

/// A further question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Also {
    Drill,
    Lose,
    Budget,
    Joint,
}

impl Report {
    /// Runs the studies and writes the report.
    pub fn run(&self, quiet: bool, typed: &ArgMatches) -> Result<(), Failure> {
        let names = names(&self.constructs, &REPORTED);
        let opened = open(&self.case, &names, self.from)?;
        let inputs = Inputs::read(self, &names, &opened)?;
        // Mistakes in a template (above), a spread or a sweep, or a folder that cannot be written, are told before the work.
        let scatter = self.scatter(&names, quiet)?;
        let sweeps = self.sweeps(&names, quiet)?;
        let folder = folder::place(&self.out, self.beside)?;
        let progress = &Progress::start(quiet);
        // First: it may find that nothing can be sought.
        let last = names.last().filter(|_| self.place);
        let place = last.map(|last| self.seek(last, quiet)).transpose()?;
        let found = self.solve(&opened, progress);
        let verified = verified::verify(self, &opened, &found, progress)?;
        let scatter = scatter.map(|study| study.run(progress));
        let run = |(study, left_out): (sweep::Study, _)| ReportedSweep { sweep: study.run(progress), left_out };
        let sweeps: Vec<ReportedSweep> = sweeps.into_iter().map(run).collect();
        let further = self.further(&names, &opened, progress)?;
        let (case, constructs) = (&opened.case, &opened.constructs);
        let mut drawn = plates(case, constructs, &found, scatter.as_ref(), &sweeps, place.as_ref(), self.style);
        further_plates(&mut drawn, &further, self.style);
        let again = self.again(&inputs, typed);
        let record = Record::new(&Run {
            case,
            constructs,
            found: &found,
            verified: &verified,
            scatter: scatter.as_ref(),
            sweeps: &sweeps,
            place: place.as_ref(),
            further: &further,
            case_file: &inputs.case,
            construct_files: &inputs.constructs,
            from: self.from,
            push: &self.way.plan(None),
            plates: &drawn,
            commit: COMMIT.unwrap_or("unknown"),
            again: &again,
        });
        let mut outputs = texts(&record, &drawn, &inputs, quiet)?;
        outputs.extend(pictures::pictures(&drawn, self.svg_only, progress)?);
        if self.slides {
            outputs.extend(slides(case, constructs, &found, scatter.as_ref())?);
        }
        outputs.sort_by(|a, b| a.path.cmp(&b.path));
        outputs.push(manifest(&record, &inputs, &outputs)?);
        folder::write(&folder, &outputs)?;
        tell(&record, &folder, drawn.len(), quiet)?;
        Failure::if_doubtful(!found.iter().all(|f| f.tally().is_whole()))
    }

    /// The line that runs it again from inside the folder.
    fn again(&self, inputs: &Inputs, typed: &ArgMatches) -> String {
        let template = if inputs.template.is_some() { " --template=inputs/template.md" } else { "" };
        let save = ["case", "constructs", "out", "beside", "template"];
        format!("{}{template} --out=../again", again("report", &inputs.paths, typed, &save))
    }

    /// The study of scatter.
    fn scatter(&self, names: &[String], quiet: bool) -> Result<Option<Study>, Failure> {
        if self.samples == 0 {
            return match self.indices {
                None => Ok(None),
                Some(_) => {
                    Err(Failure::Input("--indices needs samples\n  leave out --samples 0, or --indices".to_owned()))
                }
            };
        }
        let usual = crate::study::scatter::Plan::default();
        let plan = crate::study::scatter::Plan {
            samples: self.samples,
            seed: self.seed,
            indices: self.indices,
            from: self.from,
            push: self.way.plan(Some(usual.push.steps)),
            ..usual
        };
        let subject = subject(&self.case, names, self.from)?;
        // The name of a file would be another one when the report is run again from its copies.
        let source = if subject.spread().is_some() { "the case's own [spread] table" } else { "the built-in spread" };
        let mut study = Study::new(subject, None, plan)?;
        study.design.source = source.to_owned();
        if !quiet {
            scatter::warn(&study);
        }
        Ok(Some(study))
    }

    /// The sweeps asked for, each once, with the constructs that have not what each varies.
    fn sweeps(&self, names: &[String], quiet: bool) -> Result<Vec<(sweep::Study, Vec<String>)>, Failure> {
        let mut ready = Vec::new();
        for named in distinct(self.sweep.iter().filter_map(|name| Named::find(name))) {
            let plan = named.plan();
            let plan = sweep::Plan { push: self.way.plan(Some(plan.push.steps)), ..plan };
            let study = sweep::Study::where_it_can(&self.case, names, &plan).map_err(|refused| match refused {
                Refused::Asked(words) => Failure::Input(format!("--sweep {}: {words}", named.name)),
                other => other.into(),
            })?;
            if !quiet && !study.1.is_empty() {
                let left = study.1.join(", ");
                note(&format!("--sweep {}: left out, without such an input: {left}", named.name));
            }
            ready.push(study);
        }
        Ok(ready)
    }

    /// The places of a construct that bear the most at 1 mm inferiorly, over draws and against another
    /// objective where asked.
    fn seek(&self, construct: &str, quiet: bool) -> Result<Place, Failure> {
        let search = place::Plan::search(self.robust.is_some(), self.evaluations);
        let plan = place::Plan {
            against: self.against,
            robust: self.robust,
            from: self.from,
            search: crate::optimise::Plan { seed: self.seed, ..search },
            ..place::Plan::default()
        };
        let subject = subject(&self.case, &[construct.to_owned()], plan.start())?;
        let aim = plan.objective.aim();
        place::run(&subject, &plan, &Progress::seeking(aim.more_is_better, &aim.unit, quiet)).map_err(refusal)
    }

    /// The further questions of each construct.
    fn further(&self, names: &[String], opened: &Opened, watcher: &dyn Watcher) -> Result<Vec<Further>, Failure> {
        let mut asked = Vec::new();
        for (k, (name, construct)) in names.iter().zip(&opened.constructs).enumerate() {
            for also in Also::value_variants().iter().filter(|also| self.also.contains(also)) {
                asked.push(match also {
                    Also::Drill => {
                        let found = drill(&opened.case, construct, &DrillPlan::default());
                        Further::drilled(k + 1, &opened.case, construct, &found, self.style)
                    }
                    Also::Joint => {
                        let plan = JointPlan { from: self.from, ..JointPlan::default() };
                        let found = joint(&opened.case, Some(construct), &plan);
                        Further::joined(k + 1, &opened.case, construct, &found, self.style)
                    }
                    Also::Lose => {
                        let (direction, settled) = (self.way.direction.clone(), !self.way.as_tied);
                        let plan = LosePlan { from: self.from, direction, settled, ..LosePlan::default() };
                        Further::lost(k + 1, &lose(&opened.case, construct, &[], &plan, watcher)?, self.style)
                    }
                    Also::Budget => {
                        let subject = subject(&self.case, std::slice::from_ref(name), self.from)?;
                        let (draws, seed) = (self.samples, self.seed);
                        let plan = BudgetPlan { from: self.from, draws, seed, ..BudgetPlan::default() };
                        Further::budgeted(k + 1, construct, &budget(subject, &plan, watcher)?, self.style)
                    }
                });
            }
        }
        Ok(asked)
    }

    /// Ties, pushes, pushes all round, does it once more on a bed of cells half as wide, and ties in every
    /// order, from the displaced position where the case's is one that tying can start from.
    fn solve(&self, opened: &Opened, watcher: &dyn Watcher) -> Vec<Found> {
        let plan =
            ComparePlan { from: self.from, push: Some(self.way.plan(None)), rose: true, ..ComparePlan::default() };
        let (case, constructs) = (&opened.case, &opened.constructs);
        let compared = compare_all(case, constructs, &plan, watcher);
        let mut finer_case = case.clone();
        finer_case.bed.cells *= 4;
        let finer = compare_all(&finer_case, constructs, &ComparePlan { rose: false, ..plan }, watcher);
        let from = if case.sunk().is_none() { Start::Displaced } else { Start::Reduced };
        let plan = OrdersPlan { from, ..OrdersPlan::default() };
        let chosen: Vec<Chosen> = constructs.iter().map(|construct| Chosen::all(construct, self.seed)).collect();
        watcher.stage(chosen.iter().map(|c| c.orders.len() as u64).sum(), "orders");
        let tied = |(construct, chosen)| -> Orders { orders(case, construct, chosen, &plan, watcher) };
        let tied = constructs.iter().zip(&chosen).map(tied);
        let all = compared.into_iter().zip(finer).zip(tied);
        all.map(|((compared, finer), orders)| Found { compared, finer, orders }).collect()
    }
}

/// Five pages for a talk as SVG and PDF, and what to say. The order of tying is shown of the construct that it moves most.
fn slides(
    case: &Case,
    constructs: &[Construct],
    found: &[Found],
    scatter: Option<&Scatter>,
) -> Result<Vec<Output>, Failure> {
    let subjects: Vec<Subject<'_>> =
        constructs.iter().zip(found).filter_map(|(c, f)| Subject::of(c, &f.compared)).collect();
    let step = |run: Option<&OrderRun>| run.and_then(|r| r.residual_step).unwrap_or(0.0);
    let spread = |orders: &Orders| step(orders.worst()) - step(orders.best());
    let all = constructs.iter().zip(found.iter().map(|f| &f.orders));
    let Some(most) = all.max_by(|a, b| spread(a.1).total_cmp(&spread(b.1))) else { return Ok(Vec::new()) };
    let mut notes = "# Speaker notes\n".to_owned();
    let mut outputs = Vec::new();
    for (k, page) in talk(case, &subjects, most, scatter).into_iter().enumerate() {
        notes += &format!("\n## {}. {}\n\n{}\n", k + 1, page.title, page.notes);
        let pdf = page.figure.pdf().map_err(|e| Failure::Other(format!("{}: {e}", page.figure.name)))?;
        outputs.push(output(format!("slides/{}-{}.svg", k + 1, page.figure.name), page.figure.svg));
        outputs.push(output(format!("slides/{}-{}.pdf", k + 1, page.figure.name), pdf));
    }
    outputs.push(output("slides/notes.md", format!("{notes}\n{CAUTION}\n")));
    Ok(outputs)
}

fn output(path: impl Into<String>, text: impl Into<Vec<u8>>) -> Output {
    Output { path: path.into(), bytes: text.into() }
}

/// Page, methods, tables, record and what runs it again.
fn texts(record: &Record, drawn: &[Plate], inputs: &Inputs, quiet: bool) -> Result<Vec<Output>, Failure> {
    let (name, template) = match &inputs.template {
        Some((name, text)) => (name.as_str(), text.as_str()),
        None => ("methods.md (built in)", METHODS),
    };
    let written = methods(record, name, template).map_err(|e| Failure::Input(e.to_string()))?;
    let behind =
        methods(record, "methods-supplement.md", METHODS_SUPPLEMENT).map_err(|e| Failure::Other(e.to_string()))?;
    if !quiet {
        // What is built in is complete with its supplement; a text of one's own is looked at as it is.
        let whole = if inputs.template.is_some() { &written } else { &behind };
        let gaps: Vec<&str> = missing(whole).iter().map(|p| p.what).collect();
        if !gaps.is_empty() {
            note(&format!("rimhold: the methods section of {name} does not speak of: {}", gaps.join(", ")));
        }
    }
    let page = page(record, drawn).map_err(|e| Failure::Other(e.to_string()))?;
    let supplement = supplement(record, drawn).map_err(|e| Failure::Other(e.to_string()))?;
    let mut outputs = vec![
        output("index.html", page),
        output("supplement.html", supplement),
        output("methods.md", written),
        output("methods-supplement.md", behind),
        output("references.bib", bibliography(&record.sources)),
        output("results.json", as_json(record)?),
        output("rerun.sh", format!("#!/bin/sh\ncd \"$(dirname \"$0\")\" && {}\n", record.program.again)),
    ];
    for (name, table) in record.all_tables() {
        outputs.push(output(format!("tables/{name}.csv"), table.csv()));
        let text = format!("{}\n{CAUTION}\n", table.page());
        outputs.push(output(format!("tables/{name}.md"), text));
    }
    let files = std::iter::once(&inputs.case).chain(&inputs.constructs);
    outputs.extend(inputs.paths.iter().zip(files).map(|(path, file)| output(path.clone(), file.text.clone())));
    outputs.extend(inputs.template.iter().map(|(_, text)| output("inputs/template.md", text.clone())));
    Ok(outputs)
}

fn manifest(record: &Record, inputs: &Inputs, outputs: &[Output]) -> Result<Output, Failure> {
    let hashes = par::map(outputs, |o| Hashed { name: o.path.clone(), sha256: sha256(&o.bytes) });
    let typed = std::env::args_os().map(|a| a.to_string_lossy().into_owned()).collect();
    let manifest = Manifest::new(record, &inputs.case, &inputs.constructs, typed, hashes);
    Ok(output(MANIFEST, as_json(&manifest)?))
}

fn tell(record: &Record, folder: &Path, figures: usize, quiet: bool) -> Result<(), Failure> {
    if !quiet {
        note(&format!(
            "report in {}: index.html, methods.md, their supplements, {figures} figures, {} tables; rerun.sh runs it again",
            folder.display(),
            record.all_tables().len()
        ));
    }
    print(&format!("{}\n\n{CAUTION}\n", record.answer.join("\n")))
}
