//! The work of `rimhold scatter`.

use super::arguments::{SamplerChoice, Scatter as Arguments};
use super::replay::{list_inputs, replay};
use super::store::{Head, IndexRuns, Store, StoreError, checksum};
use crate::case::spread::{Design, Reading, SpreadTable, Subject, default_spread};
use crate::chance::{Draws, MOST_SOBOL, MOST_SOBOL_INPUTS, Method, mean, spearman, variance};
use crate::cli::arguments::{Common, Format};
use crate::cli::failure::Failure;
use crate::cli::figures::write_scatter;
use crate::cli::output::{note, print};
use crate::cli::progress::Progress;
use crate::cli::run::tell;
use crate::cli::stop;
use crate::report::{CAUTION, CaseSummary, ConstructSummary, Page, ScatterDocument};
use crate::report::{scatter_csv, scatter_methods, scatter_reading, scatter_table};
use crate::study::result::{Correlated, End, InputUsed, Sampler, Scatter, Start, counted};
use crate::study::scatter::{
    Asked, IndexDesign, Layout, Probe, RANKED, Row, Rows, gather, index_results, place_of, run,
};
use rayon::prelude::*;
use std::ops::Range;
use std::path::Path;

/// Constructs that are compared when none are given.
const COMPARED: [&str; 2] = ["one-by-one", "two-by-two-crossed"];
/// Samples of a chunk: about half a second of work, lost when the program is killed.
const CHUNK: u64 = 128;
/// Base samples of a chunk of the indices.
const INDEX_CHUNK: u64 = 8;
/// Base samples below which indices are warned of.
const FEWEST_BASE: u64 = 64;
/// Samples that correlations and moments of the inputs are checked on.
const MOST_CHECKED: u64 = 20_000;

/// Everything that a run of samples needs.
pub(super) struct Job {
    pub subject: Subject,
    pub design: Design,
    pub draws: Draws,
    pub probe: Probe,
    pub layouts: Vec<Layout>,
    pub names: Vec<String>,
    pub inputs: usize,
}

/// Runs `rimhold scatter`.
pub(in super::super) fn scatter(typed: &Arguments, common: &Common) -> Result<(), Failure> {
    let case = typed.case.as_deref().unwrap_or("quarter");
    let constructs = if typed.constructs.is_empty() {
        COMPARED.map(str::to_owned).to_vec()
    } else {
        typed.constructs.clone()
    };
    let mut subject = Subject::open(case, &constructs).map_err(Failure::Files)?;
    subject.set_cells(typed.cells);
    if typed.inputs {
        return list_inputs(&subject, common);
    }
    let (table, lenient) = match &typed.spread {
        Some(path) => (
            SpreadTable::read(path).map_err(|p| Failure::Files(vec![p]))?,
            false,
        ),
        None => spread_of(&subject),
    };
    let design = Design::new(&table, &subject, lenient).map_err(|p| Failure::Files(vec![p]))?;
    if typed.from.start() == Start::Displaced {
        let checked = subject.case().check_displaced(case);
        checked.map_err(|p| Failure::Files(vec![p]))?;
    }
    let job = job(typed, subject, design)?;
    if let Some(number) = typed.sample {
        return replay(&job, number, typed.samples, typed.from, common);
    }
    let head = Head::new(asked(typed, &job));
    let path = typed
        .store
        .as_deref()
        .unwrap_or(Path::new("scatter.samples"));
    let opened = if typed.resume {
        Store::resume(path, &head, &job.layouts)
    } else {
        Store::create(path, &head, &job.layouts)
    };
    let mut store = opened.map_err(|e| refused(e, path))?;
    stop::listen();
    let broken = |e: std::io::Error| Failure::Other(format!("`{}`: {e}", path.display()));
    samples(&job, typed.samples, &mut store, common.quiet).map_err(broken)?;
    let index = index_design(typed, &job);
    if let Some(index) = &index {
        if index_base(typed) < FEWEST_BASE && !common.quiet {
            note(&format!(
                "warning: {} for the indices: their intervals will span most of the axis; from {FEWEST_BASE} on they begin to say something",
                counted(index_base(typed), "base sample")
            ));
        }
        indices(&job, index, typed, &mut store, common.quiet).map_err(broken)?;
    }
    let mut found = report(typed, &job, &mut store).map_err(broken)?;
    if let Some(index) = &index {
        put_indices(&job, index, typed.seed, &mut store, &mut found).map_err(broken)?;
    }
    found.reading = scatter_reading(&found);
    let index_done = index.is_none() || store.index_done() == index_base(typed);
    let complete = found.done == typed.samples && index_done;
    present(&job, &found, common)?;
    // Before the samples are removed: after a refusal --resume draws without solving again.
    if let Some(folder) = common.figures.as_deref() {
        tell(&write_scatter(folder, &found)?, folder, common.quiet);
    }
    if !complete {
        return Err(Failure::Interrupted(format!(
            "interrupted: {} of {} samples are done and stand above; `{}` holds them, and the same command with --resume goes on",
            found.done,
            typed.samples,
            path.display()
        )));
    }
    // A file that was asked for by name is the user's to keep.
    if typed.store.is_none() {
        store.remove();
    }
    if found.constructs.iter().any(|c| c.ends.uncertified > 0) && !common.quiet {
        note("some samples could not be certified; they are listed and count for nothing");
    }
    Ok(())
}

/// The spread of a case, or the built-in one, of which lines that stand for nothing are left out.
pub(super) fn spread_of(subject: &Subject) -> (SpreadTable, bool) {
    match subject.spread() {
        Some(table) => (table, false),
        None => (default_spread(), true),
    }
}

pub(super) fn refused(e: StoreError, path: &Path) -> Failure {
    match e {
        StoreError::Refused(message) => Failure::Input(message),
        StoreError::Io(e) => Failure::Other(format!(
            "`{}` cannot be written: {e}\n  samples are kept there until the run is finished; name another file by --store",
            path.display()
        )),
    }
}

pub(super) fn job(typed: &Arguments, subject: Subject, design: Design) -> Result<Job, Failure> {
    let probe = Probe {
        from: typed.from.start(),
        direction: typed.direction.clone(),
        to: typed.to,
        steps: typed.steps,
        under: typed.under,
        guided: false,
    };
    let inputs = design.dimensions.len();
    let method = typed.sampler.method();
    let draws = Draws::new(method, typed.seed, typed.samples, inputs);
    if method == Method::Sobol {
        let most = MOST_SOBOL * draws.replicates();
        if typed.samples > most {
            return Err(Failure::Input(format!(
                "a Sobol' sequence here has at most {most} samples, not {}\n  use --sampler latin, or fewer samples",
                typed.samples
            )));
        }
        if inputs > MOST_SOBOL_INPUTS {
            return Err(Failure::Input(format!(
                "a Sobol' sequence here has at most {MOST_SOBOL_INPUTS} inputs, not {inputs}\n  use --sampler latin"
            )));
        }
    }
    let hinge = design
        .lines
        .iter()
        .any(|l| l.targets.iter().any(|t| t.starts_with("tether.hinge")));
    let layouts = subject
        .constructs()
        .map(|c| Layout::new(subject.case(), c, hinge, &probe))
        .collect();
    let names = subject.constructs().map(|c| c.name.clone()).collect();
    Ok(Job {
        subject,
        design,
        draws,
        probe,
        layouts,
        names,
        inputs,
    })
}

/// What was asked, by name, so that samples of one question are never taken for those of another.
fn asked(typed: &Arguments, job: &Job) -> Vec<(String, String)> {
    let mut list = texts_asked(job);
    let mut say = |name: &str, value: String| list.push((name.to_owned(), value));
    let lines: Vec<String> = job
        .design
        .dimensions
        .iter()
        .map(|d| format!("{d:?}"))
        .collect();
    let text = format!("{lines:?}{:?}", job.design.correlations);
    say(
        "spread",
        format!(
            "{} (text {:016x})",
            job.design.source,
            checksum(text.as_bytes())
        ),
    );
    say("seed", typed.seed.to_string());
    say("samples", typed.samples.to_string());
    say("sampler", format!("{:?}", typed.sampler.method()));
    say("from", format!("{:?}", job.probe.from));
    say(
        "direction",
        format!(
            "{} {:?}",
            typed.direction.name,
            <[f64; 3]>::from(typed.direction.vector)
        ),
    );
    say("to", format!("{} mm", typed.to));
    say("under", format!("{} N", typed.under));
    say("cells", typed.cells.to_string());
    say("steps", typed.steps.to_string());
    say("indices", index_base(typed).to_string());
    list
}

/// The version and the files of a question.
pub(super) fn texts_asked(job: &Job) -> Vec<(String, String)> {
    let mut list = vec![("version".to_owned(), env!("CARGO_PKG_VERSION").to_owned())];
    for (k, (name, text)) in job.subject.texts().enumerate() {
        let what = if k == 0 {
            "case".to_owned()
        } else {
            format!("construct {k}")
        };
        list.push((
            what,
            format!("{name} (text {:016x})", checksum(text.as_bytes())),
        ));
    }
    list
}

/// The rows of one point: every construct on the same draws.
pub(super) fn rows(
    job: &Job,
    draws: &[f64],
    subject: &mut Subject,
    wanted: impl Fn(usize) -> bool,
) -> Vec<Option<Row>> {
    job.design.apply(draws, subject);
    let reading = job.read(subject);
    let impossible = |k: usize, why: &str| job.layouts[k].without(End::Impossible, why.to_owned());
    (0..job.layouts.len())
        .map(|k| {
            if !wanted(k) {
                return None;
            }
            Some(match &reading.case {
                Err(why) => impossible(k, why),
                Ok(case) => match &reading.constructs[k] {
                    Err(why) => impossible(k, why),
                    Ok(construct) => run(case, construct, &job.layouts[k], &job.probe),
                },
            })
        })
        .collect()
}

impl Job {
    /// The draws of a sample.
    pub fn drawn(&self, sample: u64) -> Vec<f64> {
        let mut point = vec![0.0; self.inputs];
        self.draws.point(sample, &mut point);
        self.design.draw(&mut point);
        point
    }

    /// The files with their drawn numbers, read again. As for a file that was typed, tying cannot start
    /// from deeper in the bed than bone gives.
    pub fn read(&self, subject: &Subject) -> Reading {
        let mut reading = subject.read();
        if let (Ok(case), Start::Displaced) = (&reading.case, self.probe.from)
            && let Some(sunk) = case.sunk()
        {
            reading.case = Err(sunk.to_string());
        }
        reading
    }
}

/// The rows of samples, every construct on the same draws, in their order.
pub(super) fn solved(job: &Job, samples: Range<u64>, progress: &Progress) -> Vec<Vec<Row>> {
    let numbers: Vec<u64> = samples.collect();
    numbers
        .into_par_iter()
        .map_init(
            || job.subject.clone(),
            |subject, sample| {
                let draws = job.drawn(sample);
                let found = rows(job, &draws, subject, |_| true);
                progress.step();
                found.into_iter().flatten().collect()
            },
        )
        .collect()
}

fn samples(job: &Job, total: u64, store: &mut Store, quiet: bool) -> std::io::Result<()> {
    let mut done = store.done();
    let progress = Progress::long(total, done, "samples", quiet);
    while done < total && !stop::asked() {
        let next = (done + CHUNK).min(total);
        store.add_rows(&solved(job, done..next, &progress))?;
        done = next;
    }
    Ok(())
}

fn index_base(typed: &Arguments) -> u64 {
    typed.indices.unwrap_or(0)
}

fn index_design(typed: &Arguments, job: &Job) -> Option<IndexDesign> {
    typed.indices.map(|_| IndexDesign {
        groups: job.design.independent_groups(),
    })
}

fn index_draws(typed: &Arguments, job: &Job) -> Draws {
    // A seed of its own: the base samples are none of the samples. Single precision of the Sobol'
    // sequence would do as well, but has too few dimensions for twice the inputs of a large case.
    Draws::new(
        Method::LatinHypercube,
        typed.seed.wrapping_add(1),
        index_base(typed),
        2 * job.inputs,
    )
}

fn indices(
    job: &Job,
    index: &IndexDesign,
    typed: &Arguments,
    store: &mut Store,
    quiet: bool,
) -> std::io::Result<()> {
    let total = index_base(typed);
    let draws = index_draws(typed, job);
    let concerns: Vec<Vec<bool>> = (0..job.layouts.len())
        .map(|k| {
            let of = |d: &usize| job.design.dimensions[*d].concerns(k);
            index.groups.iter().map(|g| g.1.iter().any(of)).collect()
        })
        .collect();
    let mut done = store.index_done();
    let progress = Progress::long(
        total * index.runs(),
        done * index.runs(),
        "runs for the indices",
        quiet,
    );
    while done < total && !stop::asked() {
        let next = (done + INDEX_CHUNK).min(total);
        let runs: Vec<(u64, u64)> = (done..next)
            .flat_map(|base| (0..index.runs()).map(move |run| (base, run)))
            .collect();
        let found: Vec<Vec<Option<[f64; RANKED.len()]>>> = runs
            .par_iter()
            .map_init(
                || job.subject.clone(),
                |subject, &(base, run)| {
                    let mut both = vec![0.0; 2 * job.inputs];
                    draws.point(base, &mut both);
                    let mut point = index.point(&both, run);
                    job.design.draw(&mut point);
                    // An input that does not concern a construct changes nothing there.
                    let wanted = |k: usize| run < 2 || concerns[k][run as usize - 2];
                    let found = rows(job, &point, subject, wanted);
                    progress.step();
                    found
                        .into_iter()
                        .map(|row| row.map(|row| RANKED.map(|key| row.values[place_of(key)])))
                        .collect()
                },
            )
            .collect();
        let per = index.runs() as usize;
        let chunk: Vec<IndexRuns> = found
            .chunks(per)
            .map(|runs| {
                let at_a = &runs[0];
                (0..job.layouts.len())
                    .flat_map(|k| {
                        runs.iter()
                            .map(move |run| run[k].or(at_a[k]).unwrap_or([f64::NAN; RANKED.len()]))
                    })
                    .collect()
            })
            .collect();
        store.add_index(&chunk)?;
        done = next;
    }
    Ok(())
}

fn put_indices(
    job: &Job,
    index: &IndexDesign,
    seed: u64,
    store: &mut Store,
    found: &mut Scatter,
) -> std::io::Result<()> {
    let all = store.index_runs()?;
    let (per, constructs) = (index.runs() as usize, job.layouts.len());
    for (k, construct) in found.constructs.iter_mut().enumerate() {
        let own: Vec<[f64; RANKED.len()]> = all
            .chunks_exact(per * constructs)
            .flat_map(|base| base[k * per..(k + 1) * per].iter().copied())
            .collect();
        construct.indices = index_results(index, &own, seed);
    }
    Ok(())
}

pub(super) fn report(
    typed: &Arguments,
    job: &Job,
    store: &mut dyn Rows,
) -> std::io::Result<Scatter> {
    let inputs: Vec<Vec<(String, usize)>> = (0..job.layouts.len())
        .map(|k| {
            let concerned = |d: &usize| job.design.dimensions[*d].concerns(k);
            (0..job.inputs)
                .filter(concerned)
                .map(|d| (job.design.dimensions[d].path.clone(), d))
                .collect()
        })
        .collect();
    let replicates = job.draws.replicates();
    let (constructs, pairs) = gather(
        store,
        &Asked {
            names: &job.names,
            layouts: &job.layouts,
            replicates,
            under: typed.under,
            inputs: &inputs,
            draws: &|sample| job.drawn(sample),
        },
    )?;
    let done = store.done();
    let checked: Vec<Vec<f64>> = (0..done.min(MOST_CHECKED)).map(|s| job.drawn(s)).collect();
    let column = |d: usize| checked.iter().map(|draws| draws[d]).collect::<Vec<f64>>();
    let inputs = job
        .design
        .lines
        .iter()
        .map(|line| {
            let drawn = column(line.dimension);
            InputUsed {
                path: line.path.clone(),
                targets: line.targets.clone(),
                shared: line.shared,
                distribution: line.words.clone(),
                usage: line.usage.word().to_owned(),
                unit: line.unit.clone(),
                tag: line.tag,
                source: line.source.clone(),
                cut: line.cut,
                mean: if drawn.is_empty() { 0.0 } else { mean(&drawn) },
                deviation: variance(&drawn).sqrt(),
            }
        })
        .collect();
    let correlations = job
        .design
        .correlations
        .iter()
        .map(|&(a, b, asked)| Correlated {
            between: [a, b].map(|d| job.design.dimensions[d].path.clone()),
            asked,
            reached: spearman(&column(a), &column(b)),
        })
        .collect();
    Ok(Scatter {
        case: job.subject.case().name.clone(),
        from: job.probe.from,
        direction: typed.direction.name.clone(),
        to: typed.to,
        cells: typed.cells,
        steps: typed.steps,
        sampler: match typed.sampler {
            SamplerChoice::Latin => Sampler::LatinHypercube,
            SamplerChoice::Sobol => Sampler::Sobol,
            SamplerChoice::Random => Sampler::Random,
        },
        seed: typed.seed,
        samples: typed.samples,
        done,
        replicates,
        spread: job.design.source.clone(),
        inputs,
        correlations,
        constructs,
        pairs,
        index_base: index_base(typed),
        reading: Vec::new(),
    })
}

fn present(job: &Job, found: &Scatter, common: &Common) -> Result<(), Failure> {
    if !common.quiet {
        for warning in &job.design.warnings {
            note(&format!("warning: {}; {}", warning.message, warning.advice));
        }
    }
    match common.format {
        Format::Table | Format::Markdown => {
            let mut page = Page::new(common.colour.on_stdout());
            scatter_table(&mut page, found);
            page.caution(CAUTION);
            print(&page.finish())
        }
        Format::Csv => print(&scatter_csv(found)),
        Format::Json => {
            let case = CaseSummary::new(job.subject.case());
            let constructs = job
                .subject
                .constructs()
                .map(|c| ConstructSummary::new(job.subject.case(), c))
                .collect();
            let document =
                ScatterDocument::new(case, constructs, scatter_methods(found), found.clone());
            let mut text = serde_json::to_string_pretty(&document)
                .map_err(|e| Failure::Other(format!("the JSON could not be made: {e}")))?;
            text.push('\n');
            print(&text)
        }
    }
}
